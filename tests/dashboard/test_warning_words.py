"""Every known harm reads as a sentence with its number of a hundred, and as one short mark."""

from __future__ import annotations

from typing import get_args

import pytest

from dashboard.jobs.animals import AnimalHarm
from dashboard.jobs.valuation import Harm
from dashboard.warning_words import animal_marks, harm_mark, harm_sentence, note_mark
from genetics import HARMS, load_catalogue
from genetics.genes.loci import Harm as Kind

NOTES = {note.harm: note for gene in load_catalogue().genes for note in gene.health}


@pytest.mark.parametrize(
    ("kind", "sentence"),
    [
        ("wobble", "Of 100 young 50 may wobble."),
        ("not hatching", "Of 100 fertile eggs 50 can’t hatch."),
        ("kinked spine or misshapen head", "Of 100 young 50 may have a kinked spine or a misshapen head."),
        ("females that can't lay safely", "Of 100 young 50 may be daughters that can’t lay safely."),
    ],
)
def test_a_harm_says_how_many_of_a_hundred_it_meets(kind, sentence):
    assert harm_sentence([Harm(NOTES[kind], "x", 0.5)]) == sentence


def test_a_small_share_is_never_said_to_be_none():
    assert harm_sentence([Harm(NOTES["wobble"], "x", 0.001)]) == "Of 100 young fewer than 1 may wobble."


def test_a_harm_to_the_dam_is_not_said_of_her_young():
    harm = Harm(NOTES["females that can't lay safely"], "x", 1.0, to_dam=True)
    assert harm_sentence([harm]) == "The dam may not lay safely."
    assert harm_mark([harm]) == ("welfare", ": the dam may not lay safely")


def test_every_kind_of_harm_has_its_words():
    assert set(get_args(Kind)) == set(HARMS) == set(NOTES)
    for kind, note in NOTES.items():
        assert harm_sentence([Harm(note, "x", 0.5)])
        assert harm_mark([Harm(note, "x", 0.5)])[1] != note_mark([note])[1], kind


def test_the_mark_of_an_animal_is_its_own_worst_harm_else_that_of_its_young():
    mild, bad = (AnimalHarm("x", NOTES[kind], itself=True) for kind in ("wobble", "not hatching"))
    assert animal_marks([mild, bad]) == (("welfare", ": eggs that don’t hatch"),)
    young = AnimalHarm("x", NOTES["not hatching"], itself=False)
    assert animal_marks([young]) == (("welfare", ": mind two copies"),)
    assert animal_marks([young, mild]) == (("welfare", ": wobble"),)
    assert animal_marks([]) == ()
