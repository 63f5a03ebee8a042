"""Published counts and classical ratios."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from scipy import stats

from genetics import Catalogue, hatchlings_needed
from tests.genetics.cases import by_label, invented, pair

REFERENCE = Path(__file__).parents[2] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


PARENTS = {
    "3:1": ("het wrinkled", "het wrinkled", ("het", "wrinkled")),
    "9:3:3:1": ("het wrinkled het green", "het wrinkled het green", None),
    "1:1:1:1": ("het wrinkled het green", "wrinkled green", None),
}


@pytest.mark.parametrize("row", rows("genetics_counts.csv"), ids=lambda row: row["counts"])
def test_chi_square_of_counts_in_print(row):
    sire, dam, _ = PARENTS[row["ratio"]]
    table = pair(sire, dam, catalogue=invented("wrinkled", "green")).looks()

    def seen(traits) -> tuple[bool, bool]:
        shown = {trait.gene for trait in traits if trait.form == "visual"}
        return "wrinkled" in shown, "green" in shown

    share = {seen(look.traits): float(look.per_hatchling) for look in table.rows}
    order = [(False, False), (False, True), (True, False), (True, True)]
    expected = [share[kind] for kind in order if kind in share]
    counts = [int(count) for count in row["counts"].split(":")]
    chi2 = stats.chisquare(counts, [sum(counts) * part for part in expected]).statistic
    decimals = len(row["chi2"].split(".")[1])
    assert chi2 == pytest.approx(float(row["chi2"]), abs=0.51 * 10**-decimals)


@pytest.mark.parametrize(
    "row", rows("genetics_looks.csv"), ids=lambda r: f"{r['sire']} x {r['dam']}: {r['label']}"
)
def test_share_of_a_look(row):
    for sire, dam in ((row["sire"], row["dam"]), (row["dam"], row["sire"])):
        look = {look.label: look for look in pair(sire, dam).looks().rows}[row["label"]]
        assert look.per_egg == Fraction(row["per_egg"])
        assert look.per_hatchling == Fraction(row["per_hatchling"])
        assert look.male == look.female == look.per_hatchling / 2


@pytest.mark.parametrize("row", rows("genetics_odds.csv"), ids=lambda row: f"{row['share']} {row['chance']}")
def test_hatchlings_needed(row):
    needed = hatchlings_needed(float(Fraction(row["share"])), float(row["chance"]))
    assert needed.hatchlings == int(row["hatchlings"])


def test_trihybrid_is_27_9_9_9_3_3_3_1_classical():
    genes = invented("one", "two", "three")
    parent = "het one het two het three"
    shares = sorted(
        (row.per_hatchling for row in pair(parent, parent, catalogue=genes).looks().rows), reverse=True
    )
    assert [share * 64 for share in shares] == [27, 9, 9, 9, 3, 3, 3, 1]


def test_two_recessives_that_look_alike_are_9_to_7_bateson():
    genes: Catalogue = invented("pale", "wan", alike=("pale", "wan"))
    table = pair("het pale het wan", "het pale het wan", catalogue=genes).looks()
    assert sorted(row.per_hatchling for row in table.rows) == [Fraction(7, 16), Fraction(9, 16)]
    light = next(row for row in table.rows if row.look_alikes)
    assert set(light.look_alikes) == {"pale", "wan", "pale wan"}
    chances = {trait.key: trait.chance for trait in light.traits}
    assert chances["pale"] == pytest.approx(4 / 7)
    assert chances["het pale"] == pytest.approx(2 / 7)


def test_eight_fertile_eggs_of_a_lethal_pair_leave_six():
    clutch = pair("spider", "spider")
    assert clutch.lost_share == Fraction(1, 4)
    table = clutch.looks()
    assert 8 * sum(row.per_egg for row in table.rows) == 6
    assert by_label(table) == {"spider": Fraction(2, 3), "normal": Fraction(1, 3)}
    assert {row.label: row.per_egg for row in table.rows} == {
        "spider": Fraction(1, 2),
        "normal": Fraction(1, 4),
    }


def test_four_ninths_of_two_double_hets_normal_young_carry_both():
    clutch = pair("het clown het pied", "het clown het pied")
    row = clutch.looks().rows[0]
    assert row.label == "66% het clown 66% het pied"
    young = clutch.units[0].classes[0].young, clutch.units[1].classes[0].young
    both = [sum(c for _, pairs, c in kinds if "+" in pairs[0] and pairs[0] != ("+", "+")) for kinds in young]
    assert both[0] * both[1] == Fraction(4, 9)
