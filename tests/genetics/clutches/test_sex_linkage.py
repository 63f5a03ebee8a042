"""Sex linkage: XX females, XY males, recombination in sires."""

from __future__ import annotations

from fractions import Fraction

import pytest

from genetics import BadRecombination, Sex, cross, make_animal, read_animal, write_animal
from genetics.clutches.sex_linkage import sex_linked_young
from tests.genetics.cases import pair
from tests.oracles import sex_linked_square

RS = ["0", "0.05", "0.1", "0.37", "0.5"]


@pytest.mark.parametrize("r", RS)
def test_sire_with_it_on_the_y_and_a_wild_type_dam_derived(r):
    rows = {row.label: row for row in pair("banana (from sire)", "normal", r=r).looks().rows}
    r = Fraction(r)
    assert rows["banana"].male == rows["normal"].female == (1 - r) / 2
    if r:
        assert rows["banana"].female == rows["normal"].male == r / 2
    assert rows["banana"].per_hatchling == Fraction(1, 2)


@pytest.mark.parametrize("r", RS)
def test_sire_with_it_on_the_x_gives_mostly_daughters(r):
    rows = {row.label: row for row in pair("banana (from dam)", "normal", r=r).looks().rows}
    assert rows["banana"].female == (1 - Fraction(r)) / 2
    assert rows["banana"].male == Fraction(r) / 2


@pytest.mark.parametrize("r", RS)
def test_dam_with_it_gives_a_quarter_in_every_class(r):
    for row in pair("normal", "banana", r=r).looks().rows:
        assert row.male == row.female == Fraction(1, 4)


@pytest.mark.parametrize("r", RS)
@pytest.mark.parametrize("sire", [("banana", "+"), ("+", "banana"), ("banana", "banana"), ("+", "+")])
@pytest.mark.parametrize("dam", [("banana", "+"), ("banana", "banana"), ("+", "+")])
def test_every_cell_as_counted_by_hand(catalogue, sire, dam, r):
    locus = catalogue.locus("banana")
    found = {
        (sex.value, pair if sex is Sex.MALE else tuple(sorted(pair))): chance
        for sex, pair, chance in sex_linked_young(locus, sire, dam, Fraction(r))
    }
    expected = {key: chance for key, chance in sex_linked_square(sire, dam, Fraction(r)).items() if chance}
    assert found == expected
    assert sum(found.values()) == 1


def test_half_recombination_is_the_autosomal_answer():
    linked = {
        row.label.replace("banana", "x"): (row.male, row.female)
        for row in pair("banana", "banana", r="0.5").looks().rows
    }
    plain = {
        row.label.replace("pastel", "x"): (row.male, row.female)
        for row in pair("pastel", "pastel").looks().rows
    }
    assert linked == plain


def test_unknown_phase_is_a_mixture_that_siblings_share():
    clutch = pair("banana", "normal", r="0")
    table = clutch.looks()
    assert sorted(table.weights) == [0.5, 0.5]
    assert {row.label: row.male for row in table.rows}["banana"] == Fraction(1, 4)
    banana = [row.label for row in table.rows].index("banana")
    assert sorted(table.shares[:, banana, 0]) == [0.0, 0.5]
    # No banana son among four hatchlings: half the sires give none, the others (1/2)^4.
    sons = table.shares[:, banana, 0]
    assert table.weights @ (1 - sons) ** 4 == pytest.approx(0.5 + 0.5 / 16)


def test_maker_type_of_the_sons_follows():
    def from_sire(sire, dam, r):
        rows = pair(sire, dam, r=r).looks().rows
        return dict(next(row for row in rows if row.label == "banana").from_sire)

    assert from_sire("banana (from sire)", "normal", "0.05") == {"banana": 1}
    # A recombinant son of a sire with it on the X has it on the Y: it came from the sire.
    assert from_sire("banana (from dam)", "normal", "0.05") == {"banana": 1}
    assert from_sire("normal", "banana", "0.05") == {"banana": 0}
    # Both parents carry it: on the Y with (1-r)/2, on the X with r/2, of the sons with one copy.
    assert from_sire("banana (from sire)", "banana", "0.05") == {"banana": Fraction(19, 20)}


def test_a_hatched_son_and_daughter_are_animals_again(catalogue):
    clutch = pair("banana (from sire)", "banana", r="0.05")
    table = clutch.looks()
    row = [look.label for look in table.rows].index("banana")
    assert write_animal(clutch.hatchling(table, row, sex=Sex.MALE), catalogue) == "banana (95% from sire)"
    assert write_animal(clutch.hatchling(table, row, sex=Sex.FEMALE), catalogue) == "banana"
    assert write_animal(clutch.hatchling(table, row, sex=Sex.UNSEXED), catalogue) == "banana"


def test_unsexed_parents_take_the_sex_of_their_place(catalogue):
    plain = read_animal("banana", catalogue)
    table = cross(plain, read_animal("normal", catalogue), catalogue).looks()
    assert len(table.weights) == 2


def test_a_sex_linked_gene_tied_to_another_in_the_sire(catalogue):
    half = Fraction(1, 2)
    tied = {(("+", "banana"), ("clown", "+")): half, (("+", "+"), ("+", "+")): half}
    sire = make_animal(Sex.MALE, [(("banana", "clown complex"), tied)])
    dam = read_animal("clown", catalogue, sex=Sex.FEMALE)
    rows = {row.label: row for row in cross(sire, dam, catalogue, recombination="0.05").looks().rows}
    assert rows["banana clown"].male == half * half * half * Fraction(19, 20)
    assert rows["clown"].female == half * half * half * Fraction(19, 20)
    assert sum(row.per_hatchling for row in rows.values()) == 1


@pytest.mark.parametrize("r", ["0.51", -0.01, "half", float("nan")])
def test_recombination_beyond_a_half_is_refused(r):
    with pytest.raises(BadRecombination, match=r"0 to 0\.5"):
        pair("banana", "normal", r={"banana": r})
