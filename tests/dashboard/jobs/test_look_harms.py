from __future__ import annotations

import pytest

from dashboard.jobs.look_harms import look_notes
from dashboard.jobs.valuation import hatch_looks
from genetics import Sex, Trait


@pytest.mark.parametrize(
    ("traits", "harms"),
    [
        ([Trait("spider", "visual")], {"wobble"}),
        ([Trait("pastel", "super"), Trait("spider", "visual")], {"wobble"}),
        ([Trait("pastel", "visual"), Trait("clown", "het")], set()),
        ([Trait("caramel albino", "het")], set()),
        ([], set()),
    ],
)
def test_a_look_has_the_harms_of_what_it_shows(catalogue, traits, harms):
    assert {note.harm for note in look_notes(traits, catalogue)} == harms


def test_two_copies_of_a_recessive_have_the_harm_that_one_has_not(catalogue):
    notes = look_notes([Trait("caramel albino", "visual")], catalogue)
    assert "kinked spine or misshapen head" in {note.harm for note in notes}


def test_in_a_clutch_only_the_looks_with_the_gene_are_marked(book, catalogue):
    sire = book.add_animal("Cobble", "spider", sex=Sex.MALE)
    dam = book.add_animal("Marl", "pastel", sex=Sex.FEMALE)
    looks, _ = hatch_looks(sire, dam, catalogue=catalogue)
    marked = {row.label: bool(look_notes(row.traits, catalogue)) for row in looks.rows}
    assert marked == {label: "spider" in label for label in marked}
    assert set(marked.values()) == {True, False}
