"""Knowing again after an edit gives the same as knowing anew, whatever was edited."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics import Sex, load_catalogue
from genetics.pedigrees.edits import edit_between
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.knowledge import know
from genetics.pedigrees.pedigree import Collection, PedigreeAnimal, PossibleSire, Seen, TestResult
from tests.genetics.pedigrees.big_herds import BigHerd

LOCI = ["pied", "pastel", "clown complex", "banana"]
CATALOGUE = load_catalogue()


def _edited(herd: Collection, truth: dict, draw) -> Collection:
    """One random edit that the drawn herd would bear out, or nearly."""
    kind = draw.choice(["look", "test", "young", "taken out", "sire", "claim", "name only"])
    bred = [animal for animal in herd.animals if animal.litter is not None]
    animal = draw.choice(bred)
    if kind == "young":
        new = PedigreeAnimal("new", draw.choice((Sex.MALE, Sex.FEMALE)), animal.litter, None, Seen())
        return replace(herd, animals=(*herd.animals, new))
    if kind == "taken out":
        leaves = [a for a in bred if not herd.children[a.id]]
        return replace(herd, animals=tuple(a for a in herd.animals if a is not draw.choice(leaves)))
    if kind == "sire":
        litter = draw.choice(herd.litters)
        males = [a.id for a in herd.animals if a.litter is None and a.sex is Sex.MALE]
        new = replace(litter, sires=(PossibleSire(draw.choice(males)),))
        return replace(herd, litters=tuple(new if x is litter else x for x in herd.litters))
    if kind == "look":
        changed = replace(animal, seen=None if animal.seen else Seen())
    elif kind == "test":
        changed = replace(animal, tests=(TestResult("pied", "carries", F(9, 10), F(9, 10)),))
    elif kind == "claim":
        animal = draw.choice([a for a in herd.animals if a.litter is None])
        changed = replace(animal, claim=None)
    else:
        changed = replace(animal)
    return replace(herd, animals=tuple(changed if a.id == animal.id else a for a in herd.animals))


@settings(max_examples=12, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10**6))
def test_a_chain_of_random_edits(seed):
    drawn = BigHerd(CATALOGUE, LOCI, seed=seed, animals=18, founders=6, clutch=3, share=0.5)
    herd, told = drawn.collection, None
    for _ in range(4):
        told = know(herd, CATALOGUE, previous=told)
        fresh = know(herd, CATALOGUE)
        assert [c.words for c in told.conflicts] == [c.words for c in fresh.conflicts]
        for animal in herd.animals:
            for locus in fresh.evidence.loci:
                want = fresh.chances(animal.id, locus)
                got = told.chances(animal.id, locus)
                assert set(got) == set(want)
                assert all(got[pair] == pytest.approx(want[pair], abs=1e-11) for pair in want)
        try:
            herd = _edited(herd, drawn.truth, drawn.draw)
        except ValueError:
            continue  # that edit would make an animal its own ancestor


def test_what_an_edit_touches():
    herd = BigHerd(CATALOGUE, LOCI, seed=3, animals=22, founders=6, clutch=3, share=0.5).collection
    told = know(herd, CATALOGUE)
    tested = herd.animals[-1]
    test = TestResult("pied", "carries", F(9, 10), F(9, 10))
    changed = replace(herd, animals=(*herd.animals[:-1], replace(tested, tests=(*tested.tests, test))))
    edit = edit_between(told.evidence, Evidence(changed, CATALOGUE))
    assert edit.animals == {tested.id}
    touched = {found.loci for found in told.answers if edit.touches(found.network, found.loci)}
    assert touched == {("pied",)}
    again = know(changed, CATALOGUE, previous=told)
    old = {found.loci: found.network for found in told.answers}
    assert [found.loci for found in again.answers if found.network is not old[found.loci]] == [("pied",)]


def test_another_question_does_not_take_over_the_answer():
    herd = BigHerd(CATALOGUE, LOCI, seed=3, animals=22, founders=6, clutch=3, share=0.5).collection
    told = know(herd, CATALOGUE)
    other = know(herd, CATALOGUE, background=0.1, previous=told)
    assert not set(map(id, other.kept.now.values())) & set(map(id, told.kept.now.values()))


def test_a_new_clutch_and_a_new_sex_touch_what_hangs_on_them():
    herd = BigHerd(CATALOGUE, LOCI, seed=3, animals=22, founders=6, clutch=3, share=0.5).collection
    told = know(herd, CATALOGUE)
    litter = replace(herd.litters[0], id="added")
    young = PedigreeAnimal("new", Sex.MALE, "added", None, Seen())
    more = replace(herd, animals=(*herd.animals, young), litters=(*herd.litters, litter))
    for changed in (more, replace(more, animals=(*herd.animals, replace(young, sex=Sex.FEMALE)))):
        told = know(changed, CATALOGUE, previous=told)
        fresh = know(changed, CATALOGUE)
        assert told.animal("new") == fresh.animal("new")
    less = know(herd, CATALOGUE, previous=told)
    assert less.animal(herd.animals[0].id) == know(herd, CATALOGUE).animal(herd.animals[0].id)
