"""Young keep to their clutch: what it says of parents and day is carried to them, and taken back with it."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.records import HatchlingDraft
from dashboard.records.kinds import CLUTCHES, FURTHER_SIRES
from genetics import Sex


@pytest.fixture
def laid(book, herd):
    """A pairing, its clutch without a day of hatching, and two young."""
    basalt, tansy = herd
    pairing = book.add_pairing(2026, basalt.id, tansy.id)
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id})
    book.add_hatchlings(clutch.id, [HatchlingDraft("normal"), HatchlingDraft("normal")])
    return pairing, clutch


def _young(book):
    return [(y.sire_id, y.dam_id, y.hatched) for y in book.animals() if y.clutch_id is not None]


def _taken_back(book, before):
    book.undo_last()
    assert book.plain_rows("animals")[1] == _without_version(before, book.plain_rows("animals")[1])


def _without_version(rows, now):
    """Rows of before with the versions of now: an undo writes a new version."""
    return [(row[0], other[1], *row[2:]) for row, other in zip(rows, now, strict=True)]


def test_the_day_of_hatching_follows_unless_one_was_said_for_the_animal(book, herd, laid):
    _, clutch = laid
    first, second = book.hatchlings(clutch.id)
    book.change_animal(second.id, second.version, hatched=date(2026, 8, 3))
    before = book.plain_rows("animals")[1]
    clutch = book.change_row(CLUTCHES, clutch.id, clutch.version, {"hatched_on": date(2026, 8, 1)})
    days = [day for _, _, day in _young(book)]
    assert days == [date(2026, 8, 1), date(2026, 8, 3)]
    _taken_back(book, before)
    assert book.animal(first.id).hatched is None


def test_young_get_the_parents_of_a_pairing_that_is_put_right(book, herd, laid):
    _, tansy = herd
    pairing, _ = laid
    flint = book.add_animal("Flint", "normal", sex=Sex.MALE)
    before = book.plain_rows("animals")[1]
    book.change_pairing(pairing.id, pairing.version, sire_id=flint.id)
    assert _young(book) == [(flint.id, tansy.id, None)] * 2
    _taken_back(book, before)


def test_young_go_with_a_clutch_to_another_pairing(book, laid):
    _, clutch = laid
    flint = book.add_animal("Flint", "normal", sex=Sex.MALE)
    marl = book.add_animal("Marl", "normal", sex=Sex.FEMALE)
    other = book.add_pairing(2026, flint.id, marl.id)
    book.change_row(CLUTCHES, clutch.id, clutch.version, {"pairing_id": other.id})
    assert _young(book) == [(flint.id, marl.id, None)] * 2


def test_a_second_male_makes_a_sire_nobody_said_open_again(book, herd, laid):
    basalt, tansy = herd
    pairing, clutch = laid
    flint = book.add_animal("Flint", "normal", sex=Sex.MALE)
    further = book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": flint.id})
    assert _young(book) == [(None, tansy.id, None)] * 2
    one = book.hatchlings(clutch.id)[0]
    book.change_animal(one.id, one.version, sire_id=flint.id)
    alder = book.add_animal("Alder", "normal", sex=Sex.MALE)
    book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": alder.id})
    assert [sire for sire, _, _ in _young(book)] == [flint.id, None]  # said, and still possible
    book.remove_row(FURTHER_SIRES, further.id, further.version)
    assert [sire for sire, _, _ in _young(book)] == [None, None]  # what was said can't be any more
    last = book.rows(FURTHER_SIRES)[0]
    book.remove_row(FURTHER_SIRES, last.id, last.version)
    assert [sire for sire, _, _ in _young(book)] == [basalt.id] * 2
