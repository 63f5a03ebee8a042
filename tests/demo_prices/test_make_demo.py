from __future__ import annotations

import csv
import math
from datetime import date
from statistics import fmean

import pytest

import demo_prices
from demo_prices import make_demo
from demo_prices.scenario import LAST, PATHS


def rows(name):
    text = demo_prices.demo_folder().joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def test_the_files_are_what_the_script_writes(tmp_path):
    make_demo.main(tmp_path)
    for name in demo_prices.FILES:
        assert (tmp_path / name).read_bytes() == demo_prices.demo_folder().joinpath(name).read_bytes()


def test_every_file_says_that_it_is_invented():
    for name in demo_prices.FILES:
        head = demo_prices.demo_folder().joinpath(name).read_text(encoding="utf-8").splitlines()[0]
        assert head.startswith("# INVENTED")


def slope(pairs):
    """Least-squares slope of the logarithm against years."""
    times = [(on - date(2022, 11, 3)).days / 365.25 for on, _ in pairs]
    logs = [math.log(value) for _, value in pairs]
    middle, mean = fmean(times), fmean(logs)
    top = sum((t - middle) * (y - mean) for t, y in zip(times, logs, strict=True))
    return top / sum((t - middle) ** 2 for t in times)


def of(name, what, column, **chosen):
    return [
        (date.fromisoformat(row["date"]), float(row[column]))
        for row in rows(name)
        if row["what"] == what and all(row[k] == v for k, v in chosen.items())
    ]


def test_one_trait_crashes_while_its_supply_grows():
    prices = of("prices.csv", "clown", "price", stage="hatchling", **{"asked or sold": "asked"})
    assert slope(prices) == pytest.approx(math.log(0.68), abs=0.06)
    assert slope(of("supply.csv", "clown", "offered")) > 0.25


def test_one_trait_holds_one_comes_back_and_some_rise():
    assert abs(slope(of("prices.csv", "pied", "price", stage="hatchling"))) < 0.05
    assert slope(of("prices.csv", "desert ghost", "price", stage="hatchling")) > 0.05
    hypo = of("prices.csv", "hypo", "price", stage="hatchling")
    early, late = (
        [pair for pair in hypo if pair[0] < date(2024, 10, 1)],
        [pair for pair in hypo if pair[0] > date(2024, 10, 1)],
    )
    assert slope(early) < -0.15
    assert slope(late) > 0.15


def test_one_trait_has_hardly_any_prices():
    assert 4 <= len([row for row in rows("prices.csv") if row["what"] == "monsoon"]) <= 7


def test_prices_are_mostly_asked_some_sold_of_every_sex_and_stage():
    table = rows("prices.csv")
    sold = [row for row in table if row["asked or sold"] == "sold"]
    assert 0.15 < len(sold) / len(table) < 0.30
    assert {row["sex"] for row in table} == {"male", "female", "unsexed"}
    assert {row["stage"] for row in table} == {"hatchling", "grown", "proven breeder"}
    assert max(date.fromisoformat(row["date"]) for row in table) <= LAST
    assert 15 <= len(PATHS) <= 25


def test_a_course_is_straight_in_the_logarithm_between_its_turns():
    turns = ((0.0, 100.0), (2.0, 25.0), (4.0, 25.0))
    assert make_demo.along(turns, 1.0) == pytest.approx(50.0, abs=1e-9)
    assert make_demo.along(turns, 3.0) == pytest.approx(25.0, abs=1e-9)
    assert make_demo.along(turns, 9.0) == 25.0


def test_the_young_of_the_last_season_are_as_many_as_hatched():
    clutches, young = rows("clutches.csv"), rows("young.csv")
    for clutch in clutches:
        own = [row for row in young if row["clutch"] == clutch["pairing"]]
        assert len(own) == int(clutch["hatched"]) <= int(clutch["fertile eggs"])
    sold = [float(row["sold for"]) for row in young if row["status"] == "sold"]
    assert (len(young), len(sold), sum(sold)) == (17, 5, 1230.0)
