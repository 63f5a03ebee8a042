from __future__ import annotations

from datetime import date

import pytest

from dashboard.records import NotStored
from genetics import Sex


def test_a_pairing_is_given_back_and_listed_by_season(book, herd):
    basalt, tansy = herd
    stored = book.add_pairing(2027, basalt.id, tansy.id, note="first try")
    later = book.add_pairing(2028, basalt.id, tansy.id, planned=False)
    assert book.pairing(stored.id) == stored
    assert (stored.planned, stored.note) == (True, "first try")
    assert book.pairings() == (stored, later)
    assert book.pairings(2028) == (later,)


def test_two_males_two_females_and_an_unsexed_animal_are_refused(book, herd):
    basalt, tansy = herd
    flint = book.add_animal("Flint", "banana", sex=Sex.MALE)
    onyx = book.add_animal("Onyx", "lesser", sex=Sex.FEMALE)
    moss = book.add_animal("Moss", "normal")
    with pytest.raises(NotStored, match="both male"):
        book.add_pairing(2027, basalt.id, flint.id)
    with pytest.raises(NotStored, match="both female"):
        book.add_pairing(2027, onyx.id, tansy.id)
    with pytest.raises(NotStored, match="Moss is unsexed"):
        book.add_pairing(2027, moss.id, tansy.id)
    with pytest.raises(NotStored, match="must be male"):
        book.add_pairing(2027, tansy.id, basalt.id)
    with pytest.raises(NotStored, match="itself"):
        book.add_pairing(2027, basalt.id, basalt.id)
    with pytest.raises(NotStored, match="not in the book"):
        book.add_pairing(2027, basalt.id, 999)
    assert book.pairings() == ()


def test_season_age_and_presence_are_checked(book, herd):
    basalt, tansy = herd
    for season in (27, 20270):
        with pytest.raises(NotStored, match="season"):
            book.add_pairing(season, basalt.id, tansy.id)
    with pytest.raises(NotStored, match="too late for eggs in 2023"):
        book.add_pairing(2023, basalt.id, tansy.id)
    book.change_animal(basalt.id, basalt.version, status="sold")
    with pytest.raises(NotStored, match="was sold"):
        book.add_pairing(2027, basalt.id, tansy.id)
    assert book.add_pairing(2027, basalt.id, tansy.id, planned=False).id
    with pytest.raises(NotStored, match="already entered"):
        book.add_pairing(2027, basalt.id, tansy.id, planned=False)


def test_figures_of_one_pairing_are_kept_apart_and_go_with_it(book, herd):
    basalt, tansy = herd
    one = book.add_pairing(2027, basalt.id, tansy.id)
    other = book.add_pairing(2028, basalt.id, tansy.id)
    book.set_pairing_assumption(one.id, "sale.first_month", 3)
    assert book.pairing_assumptions(one.id) == {"sale.first_month": 3.0}
    assert book.pairing_assumptions(other.id) == {}
    assert book.assumptions() == {}
    book.set_pairing_assumption(one.id, "sale.first_month", 4)
    assert book.pairing_assumptions(one.id) == {"sale.first_month": 4.0}
    with pytest.raises(NotStored):
        book.set_pairing_assumption(one.id, "sale.first_moon", 4)
    with pytest.raises(NotStored):
        book.set_pairing_assumption(one.id, "sale.first_month", -5)
    book.remove_pairing(one.id, one.version)
    assert book.pairing_assumptions(one.id) == {}
    book.undo_last()
    assert book.pairing_assumptions(one.id) == {"sale.first_month": 4.0}
    book.set_pairing_assumption(one.id, "sale.first_month", None)
    assert book.pairing_assumptions(one.id) == {}


def test_a_change_of_one_field_leaves_the_others(book, herd):
    basalt, tansy = herd
    stored = book.add_pairing(2027, basalt.id, tansy.id, note="kept")
    changed = book.change_pairing(stored.id, stored.version, planned=False)
    assert (changed.planned, changed.note, changed.season) == (False, "kept", 2027)
    assert changed.version > stored.version


def test_a_day_of_hatching_is_no_bar_to_the_next_year(book, herd):
    _, tansy = herd
    young = book.add_animal("Reed", "normal", sex=Sex.MALE, hatched=date(2026, 7, 1))
    assert book.add_pairing(2027, young.id, tansy.id).id
