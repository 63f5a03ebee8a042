"""Clutches against the pencil square, and what must hold for every pairing."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from genetics import (
    NothingHatches,
    PairingError,
    Sex,
    TooManyLooks,
    cross,
    load_catalogue,
    make_animal,
    read_animal,
    write_animal,
)
from genetics.clutches.expansion import MOST_LOOKS
from genetics.clutches.parents import MOST_CASES
from genetics.genes.hiding import sight
from tests.genetics.cases import by_label, pair
from tests.genetics.strategies import animals
from tests.oracles import square

SLOW = settings(max_examples=60, deadline=None)


def clutch_of(sire, dam):
    catalogue = load_catalogue()
    try:
        return cross(sire[1], dam[1], catalogue)
    except NothingHatches:
        assume(False)
        raise


@SLOW
@given(animals(sex=Sex.MALE, most=5), animals(sex=Sex.FEMALE, most=5))
def test_chances_sum_to_exactly_one(sire, dam):
    clutch = clutch_of(sire, dam)
    table = clutch.looks(limit=7)
    shown = sum(row.per_hatchling for row in table.rows)
    assert shown + table.rest_share == 1
    assert all(row.male + row.female == row.per_hatchling for row in table.rows)
    assert all(row.per_egg <= row.per_hatchling for row in table.rows)
    assert table.weights.sum() == pytest.approx(1, abs=1e-12)
    assert table.shares.sum(axis=(1, 2)) == pytest.approx(1, abs=1e-12)
    assert len(table.weights) <= MOST_CASES
    assert table.weights @ table.lost == pytest.approx(float(clutch.lost_share), abs=1e-12)


@SLOW
@given(animals(sex=Sex.MALE, most=4), animals(sex=Sex.FEMALE, most=4))
def test_rows_are_the_average_over_the_parents(sire, dam):
    table = clutch_of(sire, dam).looks(limit=20)
    mean = np.tensordot(table.weights, table.shares, axes=1)
    for place, row in enumerate(table.rows):
        assert mean[place, 0] == pytest.approx(float(row.male), abs=1e-12)
        assert mean[place, 1] == pytest.approx(float(row.female), abs=1e-12)


@SLOW
@given(animals(sex=Sex.MALE, most=4, autosomal=True), animals(sex=Sex.FEMALE, most=4, autosomal=True))
def test_swapping_the_parents_changes_nothing_on_autosomes(sire, dam):
    catalogue = load_catalogue()
    there = clutch_of(sire, dam)
    back = cross(
        make_animal(Sex.MALE, _factors(dam[1])), make_animal(Sex.FEMALE, _factors(sire[1])), catalogue
    )
    assert there.looks().rows == back.looks().rows
    assert there.lost_share == back.lost_share
    assert there.welfare == back.welfare


def _factors(animal):
    return [(factor.loci, dict(factor.table)) for factor in animal.belief]


@SLOW
@given(st.data())
def test_every_genotype_as_in_the_pencil_square(data):
    catalogue = load_catalogue()
    loci = data.draw(
        st.lists(
            st.sampled_from([locus for locus in catalogue.loci if not locus.sex_linked]),
            min_size=1,
            max_size=4,
            unique_by=lambda locus: locus.id,
        )
    )
    pairs = [[data.draw(st.sampled_from(list(locus.looks))) for locus in loci] for _ in "ab"]
    made = [
        make_animal(sex, [((locus.id,), {(p,): Fraction(1)}) for locus, p in zip(loci, chosen, strict=True)])
        for sex, chosen in zip((Sex.MALE, Sex.FEMALE), pairs, strict=True)
    ]
    try:
        clutch = cross(*made, catalogue)
    except NothingHatches:
        assume(False)
    lost, seen, names = Fraction(0), {}, [locus.id for locus in loci]
    for young, chance in square(*pairs).items():
        looks = [locus.look(p) for locus, p in zip(loci, young, strict=True)]
        alive = chance
        for look in looks:
            alive *= look.survival
        lost += chance - alive
        covered = any(look.hides == "all" for look in looks)
        key = "covered" if covered else sight(dict(zip(names, young, strict=True)), catalogue)
        seen[key] = seen.get(key, Fraction(0)) + alive
    assert clutch.lost_share == lost
    expected = sorted(share for share in seen.values() if share)
    assert sorted(row.per_egg for row in clutch.looks(limit=None).rows) == expected


def test_ties_are_ordered_by_label_and_the_rest_is_one_line():
    table = pair("pastel enchi leopard", "het clown").looks(limit=3)
    labels = [row.label for row in table.rows]
    assert labels == sorted(labels)
    assert (table.rest_count, table.rest_share) == (5, Fraction(5, 8))
    assert table.shares.shape == (1, 4, 2)
    assert table.shares[0, 3].sum() == pytest.approx(5 / 8)


def test_label_names_what_shows_before_what_is_carried():
    labels = [row.label for row in pair("pastel enchi het clown", "het clown").looks().rows]
    assert "pastel enchi 66% het clown" in labels
    rows = {row.label: row for row in pair("pastel enchi clown", "normal").looks().rows}
    assert rows["pastel enchi het clown"].certainty == "het clown certain"


def test_certainty_of_a_label():
    rows = {row.label: row.certainty for row in pair("pinstripe het clown", "pinstripe").looks().rows}
    assert (
        rows["pinstripe 50% het clown"] == ("50% possible het clown; 33% possible two copies of pinstripe")
        or rows["pinstripe 50% het clown"] == "33% possible two copies of pinstripe; 50% possible het clown"
    )
    assert {row.certainty for row in pair("pastel", "pastel").looks().rows} == {"shows it", "normal"}


def test_no_visual_in_six_eggs_of_possible_hets_is_a_mixture():
    clutch = pair("66% het clown", "66% het clown")
    table = clutch.looks()
    clown = [row.label for row in table.rows].index("clown")
    # Both are het with 4/9, and then six hatchlings miss with (3/4)^6 (derived).
    miss = 5 / 9 + 4 / 9 * 0.75**6
    assert clutch.at_least_one(clown, 6) == pytest.approx(1 - miss, abs=1e-12)
    assert 1 - miss != pytest.approx(1 - (1 - 1 / 9) ** 6, abs=0.05)
    visual = clutch.at_least_one(lambda row: "clown" in row.label.split() and "het" not in row.label, 6)
    assert visual == pytest.approx(1 - miss, abs=1e-12)


def test_parents_that_make_no_visible_difference_are_one_case():
    assert len(pair("66% het clown", "normal").looks().weights) == 1
    assert len(pair("66% het clown", "het clown").looks().weights) == 2


def test_label_of_a_possible_het_counts_what_the_eye_excludes():
    rows = by_label(pair("66% het pied", "het pied").looks())
    # The sire is het with 2/3: visual 1/6; carriers among the others 3/5.
    assert rows == {"60% het pied": Fraction(5, 6), "pied": Fraction(1, 6)}


def test_too_many_uncertain_loci_are_averaged_and_named():
    hets = "66% het clown 66% het pied 66% het hypo 66% het axanthic 66% het ultramel 66% het albino"
    table = pair(
        hets + " 50% het desert ghost 50% het monarch",
        hets.replace("66", "50") + " 66% het desert ghost 66% het monarch 66% het puzzle het sunset",
    ).looks()
    assert len(table.weights) <= MOST_CASES
    sure = pair(hets.replace("66", "100"), hets + " 66% het monarch").looks()
    assert sure.averaged == ()
    many = " ".join(
        f"66% het {name}"
        for name in (
            "clown",
            "pied",
            "hypo",
            "axanthic",
            "ultramel",
            "albino",
            "monarch",
            "puzzle",
            "sunset",
            "monsoon",
            "rainbow",
        )
    )
    certain = many.replace("66% ", "")
    table = pair(many, certain).looks()
    assert len(table.weights) == MOST_CASES
    assert len(table.averaged) == 2
    assert table.shares.sum(axis=(1, 2)) == pytest.approx(1, abs=1e-12)


def test_fifteen_loci_are_listed_without_multiplying_out():
    names = [
        "pastel",
        "enchi",
        "orange dream",
        "leopard",
        "mojave",
        "black pastel",
        "yellow belly",
        "sable",
        "mahogany",
        "spotnose",
        "clown",
        "pied",
        "hypo",
        "axanthic",
        "banana",
    ]
    sire = " ".join(names[:10] + [f"het {name}" for name in names[10:14]]) + " banana"
    dam = " ".join(names[:10]).replace("mojave", "phantom") + " " + " ".join(f"het {n}" for n in names[10:14])
    clutch = pair(sire, dam)
    table = clutch.looks(limit=50)
    assert table.rest_count > MOST_LOOKS
    assert len(table.rows) == 50
    shares = [row.per_hatchling for row in table.rows]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) + table.rest_share == 1
    with pytest.raises(TooManyLooks):
        clutch.looks(limit=None)
    with pytest.raises(TooManyLooks):
        clutch.expand()


def test_the_likeliest_are_the_likeliest_of_all():
    clutch = pair("pastel enchi mojave het clown 66% het pied banana", "pastel lesser het clown het pied")
    every = clutch.looks(limit=None)
    some = clutch.looks(limit=9)
    assert [row.per_hatchling for row in some.rows] == [row.per_hatchling for row in every.rows[:9]]
    assert every.rest_share == 0
    assert every.rest_count == 0


def test_expansion_has_the_shares_and_labels_of_the_table():
    clutch = pair("pastel spider het clown 66% het pied", "spider clown het pied")
    found = clutch.expand()
    listed = dict(zip(found.labels, found.shares, strict=True))
    table = by_label(clutch.looks(limit=None))
    assert listed.keys() == table.keys()
    assert listed == pytest.approx({label: float(share) for label, share in table.items()}, abs=1e-15)


def test_mean_over_units_is_the_mean_over_all_looks():
    clutch = pair("pastel het clown", "enchi het clown")
    found = clutch.expand()
    parts = [np.linspace(1.0, 3.0, len(unit.classes)) for unit in clutch.units]
    full = np.ones(1)
    for part in parts:
        full = np.multiply.outer(full, part).ravel()
    assert found.mean(parts) == pytest.approx(float(found.shares @ full), abs=1e-12)


def test_lethal_compounds_and_lost_eggs_are_not_handed_to_the_others():
    clutch = pair("spider champagne", "spider champagne")
    assert clutch.lost_share == 1 - Fraction(3, 4) ** 2
    rows = {row.label: row for row in clutch.looks().rows}
    assert rows["spider champagne"].per_egg == Fraction(1, 4)
    assert rows["spider champagne"].per_hatchling == Fraction(4, 9)
    assert sum(row.per_egg for row in rows.values()) == 1 - clutch.lost_share


def test_uncertain_parents_lose_eggs_by_case():
    table = pair("33% homozygous spider", "spider").looks()
    assert sorted(zip(table.lost, table.weights, strict=True)) == [
        pytest.approx((0.25, 2 / 3)),
        pytest.approx((0.5, 1 / 3)),
    ]


def test_a_pairing_all_of_whose_eggs_are_lost_is_refused():
    with pytest.raises(NothingHatches, match="every egg"):
        pair("homozygous spider", "homozygous spider")
    table = pair("50% homozygous spider", "homozygous spider").looks()
    assert table.shares.sum(axis=(1, 2)) == pytest.approx(1)
    assert sorted(table.lost) == [0.5, 1.0]


@pytest.mark.parametrize(
    ("sexes", "words"),
    [
        ((Sex.MALE, Sex.MALE), "both animals are males"),
        ((Sex.FEMALE, Sex.FEMALE), "both animals are females"),
        ((Sex.FEMALE, Sex.MALE), "the sire is a female"),
        ((Sex.FEMALE, Sex.UNSEXED), "the sire is a female"),
        ((Sex.UNSEXED, Sex.MALE), "the dam is a male"),
    ],
)
def test_only_a_male_and_a_female_are_paired(catalogue, sexes, words):
    sire, dam = (read_animal("pastel", catalogue, sex=sex) for sex in sexes)
    with pytest.raises(PairingError, match=words):
        cross(sire, dam, catalogue)


def test_double_het_or_nothing_is_not_two_independent_chances(catalogue):
    half = Fraction(1, 2)
    tied = {(("clown", "+"), ("pied", "+")): half, (("+", "+"), ("+", "+")): half}
    sire = make_animal(Sex.MALE, [(("clown complex", "pied"), tied)])
    dam = read_animal("clown pied", catalogue, sex=Sex.FEMALE)
    tied_rows = by_label(cross(sire, dam, catalogue).looks())
    assert tied_rows["clown pied"] == Fraction(1, 8)
    free = read_animal("50% het clown 50% het pied", catalogue, sex=Sex.MALE)
    assert by_label(cross(free, dam, catalogue).looks())["clown pied"] == Fraction(1, 16)


def test_a_gene_that_hides_all_makes_one_class_with_hidden_visuals():
    clutch = pair("mojave het clown", "lesser het clown")
    table = clutch.looks()
    row = next(row for row in table.rows if row.label.startswith("mojave lesser"))
    assert row.per_hatchling == Fraction(1, 4)
    chances = {trait.key: trait.chance for trait in row.traits}
    # Three in four carry clown, hidden visuals included; not the 2/3 of a normal-looking sibling.
    assert chances["clown"] + chances["het clown"] == pytest.approx(3 / 4)
    assert "hidden clown" in row.label
    animal = clutch.hatchling(table, table.rows.index(row), sex=Sex.FEMALE)
    assert {factor.loci for factor in animal.belief} == {("blue-eyed leucistic complex",), ("clown complex",)}


def test_many_look_alikes_go_by_the_name_of_their_group():
    rows = by_label(pair("lesser mojave", "lesser butter").looks())
    assert rows == {"blue-eyed leucistic": Fraction(1)}
    (row,) = pair("lesser mojave", "lesser butter").looks().rows
    assert len(row.look_alikes) == 4


def test_two_genes_that_hide_all_share_one_class():
    clutch = pair("fire mojave", "fire mojave")
    table = clutch.looks()
    white = table.rows[0]
    assert white.per_hatchling == 1 - Fraction(9, 16)
    assert white.look_alikes == ("super fire", "super mojave")
    chances = {trait.key: trait.chance for trait in white.traits}
    assert chances["super fire"] == pytest.approx(4 / 7)
    animal = clutch.hatchling(table, 0, sex=Sex.MALE)
    (joint,) = animal.belief
    assert sum(chance for _, chance in joint.table) == 1
    assert dict(joint.table)[(("mojave", "mojave"), ("fire", "fire"))] == Fraction(1, 7) or dict(joint.table)[
        (("fire", "fire"), ("mojave", "mojave"))
    ] == Fraction(1, 7)


def test_a_hatchling_is_an_animal_that_can_be_paired(catalogue):
    clutch = pair("pastel het clown", "het clown")
    table = clutch.looks()
    row = [look.label for look in table.rows].index("pastel 66% het clown")
    kept = clutch.hatchling(table, row, sex=Sex.FEMALE)
    assert write_animal(kept, catalogue) == "pastel 66% het clown"
    young = cross(read_animal("clown", catalogue, sex=Sex.MALE), kept, catalogue)
    assert by_label(young.looks())["clown"] == Fraction(1, 6)


def test_no_daughter_of_a_sons_only_look():
    clutch = pair("banana (from sire)", "normal", r="0")
    table = clutch.looks()
    row = [look.label for look in table.rows].index("banana")
    with pytest.raises(PairingError, match="no female"):
        clutch.hatchling(table, row, sex=Sex.FEMALE)


@pytest.mark.parametrize("limit", [0, -3])
def test_a_limit_below_one_is_refused(limit):
    with pytest.raises(ValueError, match="1 or more"):
        pair("pastel", "normal").looks(limit=limit)


def test_at_least_one_refuses_what_is_not_there():
    clutch = pair("pastel", "normal")
    with pytest.raises(IndexError):
        clutch.at_least_one(9, 6)
    with pytest.raises(ValueError, match="0 or more"):
        clutch.at_least_one(0, -1)
    assert clutch.at_least_one(0, 0) == 0.0
