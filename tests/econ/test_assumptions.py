"""The registry of figures, and a breeder's own figures in their place."""

from __future__ import annotations

import csv
import math
import pickle
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from econ.assumptions import (
    ASSUMPTIONS,
    Assumptions,
    Contradiction,
    MissingCost,
    OutOfRange,
    UnknownAssumption,
    assumption,
    faults_of,
)

CITED = Path(__file__).parents[1] / "reference" / "costs_cited_defaults.csv"
ROWS = list(csv.DictReader(CITED.open(encoding="utf-8", newline="")))


@pytest.mark.parametrize("entry", ASSUMPTIONS.values(), ids=lambda entry: entry.id)
def test_every_entry_is_complete_and_in_order(entry):
    assert entry.minimum <= entry.low <= entry.value <= entry.high <= entry.maximum
    assert entry.low < entry.high
    assert entry.source.text
    assert entry.range_source.text
    assert entry.help.endswith((".", ")"))
    assert entry.name
    assert entry.unit
    assert entry.check(entry.value) == entry.value


def test_custom_entries_say_that_they_have_no_source():
    for entry in ASSUMPTIONS.values():
        for source in (entry.source, entry.range_source):
            assert (source.kind == "custom") == (source.text == "common practice, no source")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_defaults_from_papers_are_cited_as_entered_a_second_time(row):
    entry = ASSUMPTIONS[row["id"]]
    assert entry.value == pytest.approx(float(row["value"]), abs=1e-9)
    assert entry.source.kind == "paper"
    assert entry.source.text == row["citation"]


def test_no_other_default_claims_a_paper():
    claimed = {entry.id for entry in ASSUMPTIONS.values() if entry.source.kind != "custom"}
    assert claimed == {row["id"] for row in ROWS}


def test_no_money_figure_claims_a_source():
    assert {entry.source.kind for entry in ASSUMPTIONS.values() if entry.is_money} == {"custom"}


def test_the_registry_is_complete_but_not_bloated():
    groups = Counter(entry.group for entry in ASSUMPTIONS.values())
    assert 45 <= len(ASSUMPTIONS) <= 65
    assert 8 <= len(groups) <= 10
    assert sum(entry.first for entry in ASSUMPTIONS.values()) == 10
    assert len({entry.name for entry in ASSUMPTIONS.values()}) == len(ASSUMPTIONS)


def test_a_book_without_figures_has_the_defaults():
    book = Assumptions()
    assert all(book[id_] == entry.value and book.is_default(id_) for id_, entry in ASSUMPTIONS.items())


def test_own_figures_stand_in_and_can_be_taken_back():
    start = Assumptions({"clutch.eggs_mean": 7})
    changed = start.with_values({"housing.tariff": 0.4})
    assert (changed["clutch.eggs_mean"], changed["housing.tariff"]) == (7.0, 0.4)
    assert start.is_default("housing.tariff")
    assert not changed.is_default("housing.tariff")
    assert changed.source("housing.tariff").text == "the breeder's own figure"
    assert changed.with_defaults(["housing.tariff"]) == start
    assert changed.with_defaults(["housing.tariff"])["housing.tariff"] == 0.3


def test_equal_books_are_one_key_of_a_cache():
    one = Assumptions({"clutch.eggs_mean": 7, "breeder.vet": None})
    other = Assumptions({"breeder.vet": math.nan, "clutch.eggs_mean": 7.0})
    assert one == other
    assert hash(one) == hash(other)
    assert one.fingerprint == other.fingerprint
    assert one != Assumptions({"clutch.eggs_mean": 7})
    assert one != dict(one.overrides)
    assert pickle.loads(pickle.dumps(one)) == one


def test_figures_and_the_callers_mapping_stay_apart():
    mine = {"clutch.eggs_mean": 7.0}
    book = Assumptions(mine)
    mine["clutch.eggs_mean"] = 9.0
    assert book["clutch.eggs_mean"] == 7.0
    with pytest.raises(TypeError):
        book.overrides["clutch.eggs_mean"] = 9.0  # type: ignore[index]


@pytest.mark.parametrize(
    "ask", [assumption, lambda id_: Assumptions()[id_], lambda id_: Assumptions({id_: 1})]
)
def test_an_unknown_id_names_the_nearest(ask):
    with pytest.raises(UnknownAssumption, match=r"clutch\.egg_mean.*clutch\.eggs_mean") as caught:
        ask("clutch.egg_mean")
    assert caught.value.nearest[0] == "clutch.eggs_mean"


@pytest.mark.parametrize(
    ("id_", "found"),
    [
        ("clutch.laying_chance", 1.2),
        ("clutch.laying_chance", -0.1),
        ("housing.tariff", math.inf),
        ("sale.first_month", 2.5),
        ("breeder.years", 0),
        ("breeder.vet", "20"),
        ("breeder.vet", True),
    ],
)
def test_a_figure_outside_says_what_is_allowed(id_, found):
    with pytest.raises(OutOfRange, match="allowed: ") as caught:
        Assumptions({id_: found})
    assert caught.value.id == id_
    assert caught.value.found == found
    assert f"{ASSUMPTIONS[id_].minimum:g} to {ASSUMPTIONS[id_].maximum:g}" in str(caught.value)


@pytest.mark.parametrize("empty", [None, math.nan])
def test_an_emptied_figure_is_missed_when_needed_and_not_before(empty):
    book = Assumptions({"feeding.weaned_price": empty})
    assert book.is_missing("feeding.weaned_price")
    assert book["feeding.pup_price"] == 0.9
    with pytest.raises(MissingCost, match=r"No figure for 'Weaned rat' \(money each\)"):
        book["feeding.weaned_price"]


@pytest.mark.parametrize(
    ("figures", "ids"),
    [
        ({"sale.first_month": 6, "sale.last_month": 6}, {"sale.first_month", "sale.last_month"}),
        ({"growth.hatchling_mass": 90, "growth.first_year_multiple": 15}, {"growth.adult_male_mass"}),
        ({"growth.adult_female_mass": 600, "growth.first_year_multiple": 11}, {"growth.adult_female_mass"}),
    ],
)
def test_figures_that_clash_are_refused_together(figures, ids):
    with pytest.raises(Contradiction, match="allowed: ") as caught:
        Assumptions(figures)
    assert ids <= set(caught.value.ids)


def test_all_faults_of_a_book_are_listed():
    faults = faults_of({"clutch.eggs_mean": 99, "nothing": 1, "sale.first_month": 20, "breeder.vet": 30})
    assert [type(fault) for fault in faults] == [OutOfRange, UnknownAssumption, Contradiction]
    assert faults_of({"sale.first_month": 20, "sale.last_month": 24}) == ()


@given(st.data())
def test_every_figure_between_its_ends_is_taken(data):
    entry = data.draw(st.sampled_from([one for one in ASSUMPTIONS.values() if one.low < one.high]))
    number = data.draw(st.floats(entry.low, entry.high))
    number = float(round(number)) if entry.whole else number
    assert Assumptions({entry.id: number})[entry.id] == number
