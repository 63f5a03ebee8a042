"""The list of animals holds those that fit all that is looked for, and no other."""

from __future__ import annotations

import pytest

from dashboard.jobs.animals import animals_answer
from dashboard.jobs.herd_filter import Wanted, first_group, wanted_rows
from genetics import Sex


@pytest.fixture
def answer(book, catalogue):
    sire = book.add_animal("Basalt", "pastel clown", sex=Sex.MALE, status="breeding", note="eager")
    dam = book.add_animal("Tansy", "enchi het clown", sex=Sex.FEMALE, status="resting", origin="a show")
    book.add_animal("Clover", "66% het pied clown", sex=Sex.FEMALE, sire_id=sire.id, dam_id=dam.id)
    book.add_animal("Aster", "pied", sex=Sex.FEMALE, status="sold")
    return animals_answer(book, catalogue=catalogue)


@pytest.mark.parametrize(
    ("wanted", "names"),
    [
        (Wanted(), "Basalt Clover Tansy Aster"),
        (Wanted(group="breeders"), "Basalt Clover Tansy"),
        (Wanted(group="gone"), "Aster"),
        (Wanted(group="young"), ""),
        (Wanted(sex=Sex.MALE), "Basalt"),
        (Wanted(status="resting"), "Tansy"),
        (Wanted(words="clown"), "Basalt Clover Tansy"),
        (Wanted(words="CLOWN eager"), "Basalt"),
        (Wanted(words="show"), "Tansy"),
        (Wanted(young="with young"), "Basalt Tansy"),
        (Wanted(young="without young"), "Clover Aster"),
        (Wanted(group="breeders", sex=Sex.FEMALE, words="pied"), "Clover"),
        (Wanted(attention=frozenset()), ""),
    ],
)
def test_all_that_is_looked_for_must_fit(answer, wanted, names):
    assert [row.animal.name for row in wanted_rows(answer.rows, wanted)] == names.split()


def test_animals_that_need_attention_are_those_named(answer):
    tansy = next(row.animal.id for row in answer.rows if row.animal.name == "Tansy")
    found = wanted_rows(answer.rows, Wanted(attention=frozenset({tansy})))
    assert [row.animal.name for row in found] == ["Tansy"]


def test_the_first_group_is_one_that_holds_an_animal(book, catalogue, answer):
    assert first_group(answer) == "breeders"
    for animal in book.animals():
        book.change_animal(animal.id, animal.version, status="died")
    assert first_group(animals_answer(book, catalogue=catalogue)) == "gone"
