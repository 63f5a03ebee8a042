"""What the sums know otherwise than written, and what they leave aside: said only where it is so."""

from __future__ import annotations

import pytest

from dashboard.jobs.pairing import pairing_answer
from dashboard.jobs.parents_known import parents_known
from genetics import Sex

from .small_book import small_book


@pytest.fixture
def small(tmp_path):
    made = small_book(tmp_path / "small.sqlite")
    with made.book:
        yield made


@pytest.fixture
def known(small, catalogue):
    def found(sire, dam):
        answer = pairing_answer(small.book, sire.id, dam.id, catalogue=catalogue)
        return parents_known(small.book, answer.valued.couple, catalogue=catalogue)

    return found


def test_two_normal_young_make_a_possible_het_less_likely(small, known):
    """Bayes by hand: odds of 2, halved by each normal young of a visual mate: 2/4, a third."""
    book, basalt = small.book, small.animals["Basalt"]
    fern = book.add_animal("Fern", "66% het clown", sex=Sex.FEMALE)
    assert known(basalt, fern).otherwise == ()
    for number in (1, 2):
        book.add_animal(f"Fern {number}", "normal", sire_id=basalt.id, dam_id=fern.id)
    (parent,) = known(basalt, fern).otherwise
    assert (parent.animal.name, parent.known) == ("Fern", "33% het clown")


def test_what_is_only_spelled_otherwise_is_not_worth_a_line(small, known):
    book, basalt = small.book, small.animals["Basalt"]
    dam = book.add_animal("Moss", "66 % pos het clown", sex=Sex.FEMALE)
    assert [parent.known for parent in known(basalt, dam).otherwise] == []
    gene = book.add_animal("Rush", "het clown pastel", sex=Sex.FEMALE)
    assert known(basalt, gene).otherwise == ()


def test_sibs_of_an_open_parent_hang_together(small, known):
    """Both may have clown from the one possible het sire, so one that has it speaks for the other."""
    book = small.book
    sire = book.add_animal("Slate", "66% het clown", sex=Sex.MALE)
    dam = book.add_animal("Fern", "normal", sex=Sex.FEMALE)
    one = book.add_animal("Slate 1", "33% het clown", sex=Sex.MALE, sire_id=sire.id, dam_id=dam.id)
    other = book.add_animal("Slate 2", "33% het clown", sex=Sex.FEMALE, sire_id=sire.id, dam_id=dam.id)
    found = known(one, other)
    assert (found.depends, found.depends_at) == ("yes", ("clown complex",))
    assert known(small.animals["Basalt"], other).depends == "no"


def test_certain_parents_leave_nothing_to_say(small, known):
    found = known(small.animals["Cobble"], small.animals["Sedge"])
    assert (found.otherwise, found.depends, found.depends_at, found.hiding_left_out) == ((), "no", (), ())
