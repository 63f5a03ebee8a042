"""Which harms an animal's genes do, against a count of all its genotypes one by one."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics import HARMS, Sex, load_catalogue, make_animal, read_animal
from genetics.genes.harms import combined_harms_of, harms_of_animal
from tests.genetics.strategies import tables_of

HARMFUL = ("spider", "champagne", "woma", "sable", "spotnose", "desert", "cinnamon", "caramel albino")


def told(harms):
    return {(note.id, name): chance for note, name, chance in harms}


def test_two_wobble_genes_of_two_loci_say_so_keepers_reports(catalogue):
    pairs = {"spider": ("spider", "+"), "sable": ("sable", "sable"), "pied": ("pied", "+")}
    ((note, name),) = combined_harms_of(pairs, catalogue)
    assert (note.harm, name) == ("wobble", "spider with two copies of sable")
    assert "unproven" in note.source.text
    assert combined_harms_of({"spider": ("spider", "+"), "sable": ("sable", "+")}, catalogue) == ()
    assert combined_harms_of({}, catalogue) == ()


def test_the_worst_harm_of_genes_together_comes_first(catalogue):
    pairs = {"spider": ("+", "spider"), "champagne": ("champagne", "+")}
    assert [note.harm for note, _ in combined_harms_of(pairs, catalogue)] == ["not hatching", "wobble"]


def test_every_harm_together_names_no_prevalence_and_is_unproven(catalogue):
    assert len(catalogue.combined_harms) == 15 + 3
    for harm in catalogue.combined_harms:
        assert harm.note.applies_to == "genes together"
        assert "unproven" in harm.note.source.text
        assert not any(letter.isdigit() or letter == "%" for letter in harm.note.what)


def test_chances_of_an_uncertain_animal_by_hand(catalogue):
    animal = read_animal("spider 50% woma desert", catalogue)
    assert told(harms_of_animal(animal, catalogue)) == {
        ("spider wobble", "spider"): 1,
        ("woma wobble", "woma"): Fraction(1, 2),
        ("two genes with a wobble", "spider with woma"): Fraction(1, 2),
        ("desert females", "desert"): Fraction(1, 2),
    }


@pytest.mark.parametrize(("sex", "chance"), [(Sex.FEMALE, 1), (Sex.UNSEXED, Fraction(1, 2)), (Sex.MALE, 0)])
def test_a_harm_to_females_counts_by_sex(catalogue, sex, chance):
    harms = told(harms_of_animal(read_animal("desert", catalogue, sex=sex), catalogue))
    assert harms.get(("desert females", "desert"), 0) == chance


@st.composite
def harmful_animals(draw):
    catalogue = load_catalogue()
    sex = draw(st.sampled_from(list(Sex)))
    picked = draw(st.lists(st.sampled_from(HARMFUL), min_size=1, max_size=5, unique=True))
    loci = [catalogue.locus_of(name) for name in picked]
    factors = [((locus.id,), draw(tables_of(locus, sex))) for locus in loci]
    if len(factors) > 2 and draw(st.booleans()):  # two loci that depend on each other
        (first,), one = factors[0]
        (second,), two = factors[1]
        joint = {(a, b): Fraction(0) for (a,) in one for (b,) in two}
        for place, key in enumerate(joint):
            joint[key] = Fraction(place + 1, sum(range(1, len(joint) + 1)))
        factors = [((first, second), joint), *factors[2:]]
    return make_animal(sex, factors)


@settings(max_examples=80, deadline=None)
@given(harmful_animals())
def test_chances_are_those_of_all_genotypes_one_by_one(animal):
    catalogue = load_catalogue()
    slow = {}
    for choice in product(*(factor.table for factor in animal.belief)):
        chance = Fraction(1)
        pairs = {}
        for factor, (entry, share) in zip(animal.belief, choice, strict=True):
            chance *= share
            pairs |= dict(zip(factor.loci, entry, strict=True))
        met = [item for locus, pair in pairs.items() for item in catalogue.locus(locus).look(pair).notes]
        for note, name in [*met, *combined_harms_of(pairs, catalogue)]:
            counts = {Sex.FEMALE: 1, Sex.UNSEXED: Fraction(1, 2), Sex.MALE: 0}[animal.sex]
            part = counts if note.harm.startswith("females") else 1
            slow[(note.id, name)] = slow.get((note.id, name), 0) + chance * part
    fast = harms_of_animal(animal, catalogue)
    assert told(fast) == {key: chance for key, chance in slow.items() if chance}
    order = [HARMS.index(note.harm) for note, _, _ in fast]
    assert order == sorted(order)
