"""Relations in words: compared with what everybody knows, and never more than the book holds."""

from __future__ import annotations

import numpy as np
import pytest

from dashboard import relation_words as said
from dashboard.jobs.relations import CandidatePairs, PairRelation
from genetics.pedigrees.shared_ancestors import RelationPath, SharedAncestor


def ancestor(name, *animals, adds=0.125, inbreeding=0.0):
    return SharedAncestor(name, inbreeding, adds, (RelationPath(animals, 1.0, adds),))


@pytest.mark.parametrize(
    ("coefficient", "words"),
    [
        (1 / 4, "full sibs, or parent and young"),
        (1 / 8, "half sibs"),
        (1 / 16, "first cousins"),
        (1 / 64, "second cousins"),
        (0.3, "closer than full sibs, or parent and young"),
        (0.2, "closer than half sibs"),
        (1 / 32, "closer than second cousins"),
        (1 / 256, "less close than second cousins"),
        (0.0, "no ancestor in common"),
    ],
)
def test_a_coefficient_is_compared_with_wright_s_table(coefficient, words):
    assert said.like(coefficient) == words


@pytest.mark.parametrize(
    ("coefficient", "words"),
    [(0.25, "25"), (0.125, "12.5"), (1 / 16, "6.25"), (1 / 64, "1.56"), (1 / 2**15, "under 0.01")],
)
def test_a_coefficient_in_percent(coefficient, words):
    assert said.share(coefficient) == f"{words}\u202f%"


def test_parent_and_young_are_named_and_need_no_comparison():
    found = PairRelation(0.25, (ancestor("Basalt", "Basalt", "Clover", adds=0.25),))
    assert said.relation(found, "Basalt", "Clover") == ("", "Basalt is a parent of Clover.")
    assert said.note_sentence(found, "Basalt", "Clover") == (
        "The young would be 25\u202f% inbred. Basalt is a parent of Clover."
    )


def test_a_grandparent_and_a_forebear():
    old = ancestor("Basalt", "Basalt", "Marl", "Clover")
    assert said.through((old,), "Basalt", "Clover") == "Basalt is a grandparent of Clover."
    older = ancestor("Basalt", "Basalt", "Marl", "Onyx", "Clover")
    assert said.through((older,), "Clover", "Basalt") == "Basalt is a forebear of Clover."


def test_sibs_share_their_parents():
    both = (ancestor("Basalt", "A", "Basalt", "B"), ancestor("Tansy", "A", "Tansy", "B"))
    found = PairRelation(0.25, both)
    assert said.note_sentence(found, "A", "B") == (
        "The young would be 25\u202f% inbred. The parents are as close as full sibs, or parent and young. "
        "They share Basalt and Tansy."
    )
    many = tuple(ancestor(name, "A", name, "B") for name in ("C", "D", "E", "F"))
    assert said.through(many, "A", "B") == "They share C, D, E and one more."


def test_titles():
    assert said.title(PairRelation(0.0), "A", "B") == "A and B have no ancestor in common in this book"
    assert said.title(PairRelation(None, fault="x"), "A", "B").startswith("It can’t be said")
    assert said.title(PairRelation(0.125), "A", "B") == "Young of A × B would be 12.5\u202f% inbred"


def test_paths_and_ancestors_are_counted():
    both = (ancestor("Basalt", "A", "Basalt", "B"), ancestor("Tansy", "A", "Tansy", "B"))
    assert said.paths_title(PairRelation(0.25, both), 2) == "Two paths through two shared ancestors"
    assert said.paths_title(PairRelation(0.125, both[:1]), 1) == "One path through one shared ancestor"


def test_the_caution_names_its_source_and_claims_no_more():
    assert "Biological Conservation 75(2):113-118, 1996" in said.CAUTION
    assert "for ball pythons this program knows no such measurement" in said.CAUTION
    assert said.CAUTION.endswith("Ask a veterinarian who knows reptiles.")


def test_what_is_left_out_is_named():
    assert said.left_out(()) == ""
    assert said.left_out(("A",)) == "A can’t be read, so what runs through it is left out."
    assert said.left_out(("A", "B", "C", "D")).startswith("A, B, C and others can’t be read")


def candidates(table):
    return CandidatePairs((), (), np.array(table), frozenset(), ())


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ([[]], "There are no two animals to pair"),
        ([[0.0, 0.0]], "None of 2 possible pairings has an ancestor in common in this book"),
        ([[0.0, 0.0625]], "No close relatives; 1 of 2 possible pairings shares an ancestor"),
        ([[0.25, 0.0]], "1 of 2 possible pairings is of close relatives"),
        ([[0.25, 0.125, 0.0]], "2 of 3 possible pairings are of close relatives"),
    ],
)
def test_candidates_in_a_sentence(table, words):
    assert said.candidates_title(candidates(table)) == words
