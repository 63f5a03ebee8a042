"""Forebears stand in their places, young by mate; inbreeding as the path formula has it."""

from __future__ import annotations

import pytest

from dashboard.jobs.pedigree import pedigree_answer
from dashboard.records import NotStored
from genetics import Sex


@pytest.fixture
def add(book):
    ids = {}

    def one(name, sex, sire=None, dam=None):
        known = {"sire_id": ids.get(sire), "dam_id": ids.get(dam)}
        ids[name] = book.add_animal(name, "normal", sex=Sex(sex), **known).id
        return ids[name]

    return one


def names(answer):
    return {place: None if found is None else found.name for place, found in answer.places.items()}


def test_a_parent_that_is_not_known_leaves_its_place_empty_and_none_behind_it(book, add):
    add("Old", "male")
    add("Sire", "male", "Old")
    start = add("Start", "female", "Sire")
    answer = pedigree_answer(book, start)
    # Ahnentafel numbers, a genealogists' standard: the parents of n are 2n and 2n + 1
    assert names(answer) == {2: "Sire", 3: None, 4: "Old", 5: None, 8: None, 9: None}
    assert answer.known == 2
    assert (answer.shared, answer.inbreeding, answer.mates) == ((), None, ())


def test_three_generations_are_shown_and_no_more(book, add):
    add("G0", "male")
    for number in range(1, 5):
        add(f"G{number}", "male", f"G{number - 1}")
    answer = pedigree_answer(book, add("Start", "female", "G4"))
    assert names(answer)[8] == "G2"
    assert max(answer.places) == 9


def test_an_animal_that_is_missing_is_refused(book):
    with pytest.raises(NotStored):
        pedigree_answer(book, 77)


def test_young_are_listed_by_mate_and_a_mate_that_is_not_known_comes_last(book, add):
    sire = add("Sire", "male")
    add("Tansy", "female")
    add("Marl", "female")
    for name, dam in (("b", "Tansy"), ("a", "Tansy"), ("c", "Marl"), ("d", None)):
        add(name, "unsexed", "Sire", dam)
    answer = pedigree_answer(book, sire)
    found = [(m.mate.name if m.mate else None, [y.name for y in m.young]) for m in answer.mates]
    assert found == [("Marl", ["c"]), ("Tansy", ["a", "b"]), (None, ["d"])]
    assert answer.young == 4


# Wright S (1922) Coefficients of inbreeding and relationship: F is the sum over common ancestors of
# (1/2)^(n1 + n2 + 1) (1 + F_A). Worked by hand from the formula: full sibs 2 x (1/2)^3, half sibs (1/2)^3,
# parent and child (1/2)^2, first cousins 2 x (1/2)^5.
@pytest.mark.parametrize(
    ("sire", "dam", "shared", "coefficient"),
    [
        ("Son", "Daughter", {"Old", "Oldie"}, 1 / 4),
        ("Son", "Half", {"Old"}, 1 / 8),
        ("Old", "Daughter", {"Old"}, 1 / 4),
        ("Cousin", "Kid", {"Old", "Oldie"}, 1 / 16),
        ("Son", "Stranger", set(), None),
    ],
)
def test_inbreeding_agrees_with_the_path_formula(book, add, sire, dam, shared, coefficient):
    for name, sex in (("Old", "male"), ("Oldie", "female"), ("Other", "female"), ("Stranger", "female")):
        add(name, sex)
    add("Mate", "male")
    add("Son", "male", "Old", "Oldie")
    add("Daughter", "female", "Old", "Oldie")
    add("Half", "female", "Old", "Other")
    add("Cousin", "male", "Son", "Stranger")
    add("Kid", "female", "Mate", "Daughter")
    answer = pedigree_answer(book, add("Start", "unsexed", sire, dam))
    assert {animal.name for animal in answer.shared} == shared
    assert answer.inbreeding == (None if coefficient is None else pytest.approx(coefficient))
