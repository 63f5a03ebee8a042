"""Several possible sires, egg by egg or for the whole clutch, against every genotype counted one by one."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from genetics import NothingHatches, PairingError, Sex, TooManyLooks, cross, read_animal
from genetics.clutches.queries.pattern import BadPattern, Pattern
from genetics.clutches.sires import factors
from genetics.clutches.sires import table as sire_table
from genetics.clutches.sires.several import cross_of_several
from tests.genetics.cases import pair
from tests.genetics.clutches.queries.test_kinds import patterns, wanted_by
from tests.genetics.clutches.random_crosses import Cross, animals_of, crosses
from tests.oracles import slow_eggs, slow_numbers

SLOW = settings(max_examples=30, deadline=None)
SHARES = (Fraction(1, 3), Fraction(1, 2), Fraction(3, 4))


@st.composite
def two_sires(draw):
    """A pairing, a second sire, and the first one's chance."""
    case = draw(crosses(most=2))
    return case, draw(animals_of(case.catalogue, Sex.MALE)), draw(st.sampled_from(SHARES))


def mixed(given_, each):
    case, other, share = given_
    try:
        return cross_of_several([(case.sire, share), (other, 1 - share)], case.dam, case.catalogue, each=each)
    except NothingHatches:
        assume(False)
        raise


def by_egg(case: Cross, other, share, wanted):
    """Joint genotypes of the dam and both sires: chance, share of the kind per hatchling, share alive."""
    loci, rows = case.slow_loci(), []
    for dam, w in case.belief(case.dam):
        for one, first in case.belief(case.sire):
            for two, second in case.belief(other):
                eggs = [(q, slow_eggs(loci, sire, dam)) for q, sire in ((share, one), (1 - share, two))]
                alive = sum(q * sum(table.values()) for q, table in eggs)
                kind = sum(q * c for q, table in eggs for key, c in table.items() if wanted(*key))
                rows.append((w * first * second, kind / alive if alive else Fraction(0), alive))
    return rows


@SLOW
@given(two_sires(), st.data(), st.integers(1, 4))
def test_each_egg_with_its_own_sire_shares_the_dam(given_, data, count):
    case, other, share = given_
    pattern = data.draw(patterns(case.catalogue))
    kind = mixed(given_, "egg").kind(pattern)
    rows = by_egg(case, other, share, wanted_by(case, pattern))
    live = sum(w for w, _, alive in rows if alive)
    assert kind.per_egg == sum(w * p * alive for w, p, alive in rows)
    assert kind.per_hatchling == sum(w * p for w, p, _ in rows) / live
    slow = [Fraction(0)] * (count + 1)
    for w, p, alive in rows:
        for k, chance in enumerate(slow_numbers(p, count)):
            slow[k] += w / live * chance if alive else 0
    assert kind.numbers(count) == pytest.approx([float(c) for c in slow], abs=1e-12)


@SLOW
@given(two_sires(), st.data(), st.integers(1, 4))
def test_one_sire_for_the_whole_clutch_is_a_mixture_of_clutches(given_, data, count):
    case, other, share = given_
    pattern = data.draw(patterns(case.catalogue))
    kind = mixed(given_, "clutch").kind(pattern)
    each = [cross(sire, case.dam, case.catalogue).kind(pattern) for sire in (case.sire, other)]
    eggs = [k.numbers(eggs=count) for k in each]
    assert kind.per_egg == share * each[0].per_egg + (1 - share) * each[1].per_egg
    assert kind.numbers(eggs=count) == pytest.approx(
        float(share) * eggs[0] + float(1 - share) * eggs[1], abs=1e-12
    )


@SLOW
@given(two_sires(), st.sampled_from(["egg", "clutch"]))
def test_table_of_looks_sums_to_one_and_agrees_with_its_kinds(given_, each):
    clutch = mixed(given_, each)
    table = clutch.looks(limit=None)
    assert sum(row.per_hatchling for row in table.rows) == 1
    assert sum(row.per_egg for row in table.rows) == 1 - clutch.lost_share
    assert all(row.male + row.female == row.per_hatchling for row in table.rows)
    assert table.shares.sum(axis=(1, 2)) == pytest.approx(1, abs=1e-12)
    assert table.weights @ table.lost == pytest.approx(float(clutch.lost_share), abs=1e-12)
    labels = [row.label for row in table.rows]
    assume(len(set(labels)) == len(labels))
    for place, (kind, row) in enumerate(zip(clutch.kinds(labels), table.rows, strict=True)):
        assert kind.per_egg == row.per_egg
        weights, male, female = kind.shares()
        mine = table.weights @ (1 - table.shares[:, place].sum(axis=1)) ** 3
        live = table.weights[table.lost < 1].sum()
        if live == 1:
            assert mine == pytest.approx(weights @ (1 - male - female) ** 3, abs=1e-12)


@SLOW
@given(two_sires(), st.sampled_from(["egg", "clutch"]), st.integers(1, 5))
def test_the_likeliest_are_the_likeliest_of_all(given_, each, limit):
    clutch = mixed(given_, each)
    every, some = clutch.looks(limit=None), clutch.looks(limit=limit)
    shares = [row.per_hatchling for row in every.rows]
    assert [row.per_hatchling for row in some.rows] == sorted(shares, reverse=True)[:limit]
    assert some.rest_share == 1 - sum(row.per_hatchling for row in some.rows)
    assert some.rest_count == len(every.rows) - len(some.rows)
    assert some.shares.sum(axis=(1, 2)) == pytest.approx(1, abs=1e-12)


@SLOW
@given(crosses(most=3), st.sampled_from(["egg", "clutch"]))
def test_one_sire_named_twice_is_one_sire(case, each):
    assume(case.sire.certain or each == "clutch")
    try:
        plain = cross(case.sire, case.dam, case.catalogue)
    except NothingHatches:
        assume(False)
    twice = cross_of_several([(case.sire, "1/3"), (case.sire, "2/3")], case.dam, case.catalogue, each=each)
    alone = cross_of_several([(case.sire, 1)], case.dam, case.catalogue, each=each)
    for other in (twice, alone):
        assert other.lost_share == plain.lost_share
        mine, theirs = plain.looks(limit=None), other.looks(limit=None)
        assert [row.label for row in mine.rows] == [row.label for row in theirs.rows]
        assert [row.per_egg for row in mine.rows] == [row.per_egg for row in theirs.rows]
        assert other.welfare == plain.welfare


def losses_hang_on_the_parents(clutch):
    """Whether some parents lose more eggs than others: then shares of eggs and of hatchlings part ways.

    Egg by egg the table takes shares of the eggs, a single hatchling those of each case of parents.
    """
    units = (unit for one in clutch.clutches for unit in one.units)
    return any(len({case.lost for case in unit.scenarios}) > 1 for unit in units)


@SLOW
@given(two_sires(), st.sampled_from(["egg", "clutch"]))
def test_a_hatchling_is_what_its_row_says(given_, each):
    clutch = mixed(given_, each)
    assume(each == "clutch" or not losses_hang_on_the_parents(clutch))
    table = clutch.looks(limit=None)
    for place, row in enumerate(table.rows):
        chances: dict[str, float] = {}
        for sex, share in ((Sex.MALE, row.male), (Sex.FEMALE, row.female)):
            if not share:
                with pytest.raises(PairingError):
                    clutch.hatchling(table, place, sex=sex)
                continue
            for trait in clutch.hatchling(table, place, sex=sex).traits(clutch.catalogue):
                part = float(share / row.per_hatchling) * trait.chance
                chances[trait.key] = chances.get(trait.key, 0.0) + part
        assert chances == pytest.approx({t.key: t.chance for t in row.traits}, abs=1e-12)


def several(catalogue, each, *sires):
    dam = read_animal("clown", catalogue, sex=Sex.FEMALE)
    males = [(read_animal(text, catalogue, sex=Sex.MALE), share) for text, share in sires]
    return cross_of_several(males, dam, catalogue, each=each)


def test_egg_by_egg_is_not_the_same_as_one_or_the_other(catalogue):
    sires = ("clown", "1/2"), ("normal", "1/2")
    egg, whole = several(catalogue, "egg", *sires), several(catalogue, "clutch", *sires)
    assert [row.per_hatchling for row in egg.looks().rows] == [Fraction(1, 2)] * 2
    assert [row.per_hatchling for row in whole.looks().rows] == [Fraction(1, 2)] * 2
    assert egg.kind("clown").numbers(2) == pytest.approx([1 / 4, 1 / 2, 1 / 4])
    assert whole.kind("clown").numbers(2) == pytest.approx([1 / 2, 0, 1 / 2])
    place = [row.label for row in egg.looks().rows].index("clown")
    assert egg.at_least_one(place, 2) == pytest.approx(3 / 4)
    assert whole.at_least_one(lambda row: row.label == "clown", 2) == pytest.approx(1 / 2)
    assert egg.two_kinds("clown", "het clown").one_of_each(2) == pytest.approx(1 / 2)


def test_labels_weigh_what_each_sire_would_give(catalogue):
    clutch = several(catalogue, "egg", ("pastel het pied", "3/4"), ("het pied het hypo", 0.25))
    rows = {row.label: row for row in clutch.looks().rows}
    pastel = rows["pastel het clown 50% het pied"]
    assert pastel.per_hatchling == Fraction(3, 8)
    plain = next(row for row in rows.values() if "pastel" not in row.label)
    chances = {trait.key: trait.chance for trait in plain.traits}
    # Without pastel: half of the first sire's 3/4, all of the second's 1/4; hypo in half of the latter.
    assert chances["het hypo"] == pytest.approx((1 / 4 / 2) / (3 / 8 + 1 / 4))
    assert chances["het pied"] == pytest.approx(1 / 2)


def test_a_hatchling_of_two_sires_keeps_their_genes_tied(catalogue):
    clutch = several(catalogue, "egg", ("het pied het hypo", "1/2"), ("normal", "1/2"))
    table = clutch.looks()
    young = clutch.hatchling(table, 0, sex=Sex.FEMALE)
    (joint,) = [factor for factor in young.belief if len(factor.loci) > 1]
    both = sum(c for pairs, c in joint.table if all("+" in p and p != ("+", "+") for p in pairs))
    assert both == Fraction(1, 8)  # not (1/4)^2


def test_harms_are_weighed_by_sire(catalogue):
    clutch = several(catalogue, "egg", ("spider", "1/2"), ("normal", "1/2"))
    assert [(note.harm, share) for note, _, share in clutch.welfare] == [("wobble", Fraction(1, 4))]
    assert clutch.harmed("wobble").per_hatchling == Fraction(1, 4)
    table = clutch.looks()
    place = next(place for place, row in enumerate(table.rows) if "spider" in row.label)
    assert [(note.harm, share) for note, _, share in clutch.harms_of_row(table, place)] == [("wobble", 1)]


def test_uncertain_sires_beyond_the_limit_are_averaged_and_named(catalogue):
    names = ("clown", "pied", "hypo", "axanthic", "ultramel", "albino")
    sire = read_animal(" ".join(f"66% het {n}" for n in names), catalogue, sex=Sex.MALE)
    dam = read_animal(" ".join(f"het {n}" for n in names), catalogue, sex=Sex.FEMALE)
    clutch = cross_of_several([(sire, "1/2"), (sire, "1/2")], dam, catalogue, each="egg")
    table = clutch.looks()
    assert table.averaged
    assert len(table.weights) <= 512
    assert clutch.kind(Pattern(shows=names)).possible == 1 - Fraction(1, 1) * (1 - Fraction(2, 3) ** 6) ** 2


@pytest.mark.parametrize(
    ("sires", "each", "words"),
    [
        ([], "egg", "0 possible sires"),
        ([("clown", "1/2")], "egg", "sum to 1/2"),
        ([("clown", 1)], "season", "'egg' or 'clutch'"),
        ([("clown", "1/7")] * 7, "egg", "7 possible sires"),
    ],
)
def test_sires_that_can_not_be_are_refused(catalogue, sires, each, words):
    with pytest.raises(PairingError, match=words):
        several(catalogue, each, *sires)


def test_a_sire_with_no_live_eggs_is_named(catalogue):
    dam = read_animal("homozygous spider", catalogue, sex=Sex.FEMALE)
    sires = [(read_animal(text, catalogue, sex=Sex.MALE), "1/2") for text in ("normal", "homozygous spider")]
    with pytest.raises(NothingHatches, match="sire 2"):
        cross_of_several(sires, dam, catalogue, each="egg")


def test_parents_all_of_whose_eggs_are_lost_have_no_hatchlings(catalogue):
    dam = read_animal("homozygous spider", catalogue, sex=Sex.FEMALE)
    half = read_animal("50% homozygous spider", catalogue, sex=Sex.MALE)
    clutch = cross_of_several([(half, "1/2"), (half, "1/2")], dam, catalogue, each="egg")
    # Each male gives live eggs with 1/2, and then half of them live: both are dead with 1/4.
    assert clutch.lost_share == Fraction(3, 4)
    kind = clutch.kind(Pattern(shows=("spider",)))
    assert (kind.per_hatchling, kind.possible) == (1, Fraction(3, 4))
    assert clutch.looks().shares.sum(axis=(1, 2)) == pytest.approx(1.0)


def test_no_son_of_a_daughters_only_look(catalogue):
    dam = read_animal("normal", catalogue, sex=Sex.FEMALE)
    sires = [(read_animal(text, catalogue, sex=Sex.MALE), "1/2") for text in ("banana (from dam)", "normal")]
    clutch = cross_of_several(sires, dam, catalogue, each="egg", recombination="0")
    table = clutch.looks()
    place = [row.label for row in table.rows].index("banana")
    with pytest.raises(PairingError, match="no male"):
        clutch.hatchling(table, place, sex=Sex.MALE)
    assert clutch.hatchling(table, place, sex=Sex.UNSEXED).traits(catalogue)[0].key == "banana"


def test_more_than_can_be_listed_is_refused(catalogue, monkeypatch):
    clutch = several(catalogue, "egg", ("het pied het hypo pastel", "1/2"), ("enchi", "1/2"))
    table = clutch.looks()
    monkeypatch.setattr(factors, "MOST_GENOTYPES", 2)
    with pytest.raises(PairingError, match="at most 2"):
        clutch.hatchling(table, 0, sex=Sex.MALE)
    monkeypatch.setattr(sire_table, "MOST_LOOKS", 2)
    with pytest.raises(TooManyLooks):
        clutch.looks(limit=None)


def test_a_look_that_is_not_there_is_refused(catalogue):
    clutch = several(catalogue, "egg", ("clown", 1))
    with pytest.raises(BadPattern, match="no look"):
        clutch.kind("pastel")
    with pytest.raises(ValueError, match="1 or more"):
        clutch.looks(limit=0)
    assert np.allclose(clutch.looks().weights, 1.0)
    assert pair("clown", "clown").kind("clown").per_hatchling == 1
