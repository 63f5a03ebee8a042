"""The figures of a book and what they add up to; one edit is one step and never silent."""

from __future__ import annotations

import pytest

from dashboard.jobs.costs import change_figure, costs_answer
from dashboard.records import Conflict, NotStored, open_book
from econ.assumptions import ASSUMPTIONS, Assumptions
from econ.costs import hatchling_cost_by_month

LAYS = "clutch.laying_chance"


def figure_of(book, id_):
    found = [f for _, figures in costs_answer(book).groups for f in figures if f.entry.id == id_]
    assert len(found) == 1
    return found[0]


def test_every_figure_of_the_registry_is_there_once_in_its_group(book):
    answer = costs_answer(book)
    assert [f.entry.id for _, figures in answer.groups for f in figures] == list(ASSUMPTIONS)
    assert all({f.entry.group for f in figures} == {name} for name, figures in answer.groups)
    assert (answer.own, answer.total, answer.fault) == (0, len(ASSUMPTIONS), "")


def test_ten_figures_stand_first(book):
    assert sum(f.entry.first for _, figures in costs_answer(book).groups for f in figures) == 10


def test_sums_are_those_of_the_cost_library_and_grow_with_time(book):
    six, twelve = costs_answer(book).hatchling
    months = hatchling_cost_by_month(12, assumptions=Assumptions()).total
    assert (six, twelve) == pytest.approx((months[6], months[12]), abs=1e-9)
    assert 0 < six < twelve


def test_a_dearer_pup_makes_a_dearer_hatchling(book):
    before = costs_answer(book).hatchling
    change_figure(book, "feeding.pup_price", 1.4, seen=ASSUMPTIONS["feeding.pup_price"].value)
    assert costs_answer(book).hatchling[0] > before[0]


def test_an_own_figure_is_marked_and_goes_back_to_the_default(book):
    default = ASSUMPTIONS[LAYS].value
    change_figure(book, LAYS, 0.6, seen=default)
    shown = figure_of(book, LAYS)
    assert (shown.value, shown.own, shown.source.text) == (0.6, True, "the breeder's own figure")
    change_figure(book, LAYS, None, seen=0.6)
    shown = figure_of(book, LAYS)
    assert (shown.value, shown.own, shown.source) == (default, False, ASSUMPTIONS[LAYS].source)


def test_one_edit_is_one_step(book):
    version = book.data_version
    change_figure(book, LAYS, 0.6, seen=ASSUMPTIONS[LAYS].value)
    assert book.data_version == version + 1
    assert len(book.changes()) == 1
    book.undo_last()
    assert not figure_of(book, LAYS).own


@pytest.mark.parametrize("value", [-0.01, 1.01])
def test_a_figure_outside_what_is_allowed_is_refused(book, value):
    with pytest.raises(NotStored, match="allowed: 0 to 1"):
        change_figure(book, LAYS, value, seen=ASSUMPTIONS[LAYS].value)
    assert book.changes() == ()


def test_a_figure_that_contradicts_another_is_refused(book):
    first = ASSUMPTIONS["sale.first_month"].value
    with pytest.raises(NotStored, match="the first before the last"):
        change_figure(book, "sale.first_month", ASSUMPTIONS["sale.last_month"].value, seen=first)
    assert book.changes() == ()


def test_a_figure_another_window_changed_is_not_overwritten(book):
    default = ASSUMPTIONS[LAYS].value
    with open_book(book.place) as other:
        change_figure(other, LAYS, 0.8, seen=default)
    with pytest.raises(Conflict) as met:
        change_figure(book, LAYS, 0.6, seen=default)
    assert (met.value.yours, met.value.stored) == ({"value": 0.6}, {"value": 0.8})
    assert figure_of(book, LAYS).value == 0.8


def test_an_emptied_figure_is_missed_not_replaced(book):
    book.empty_assumption("feeding.pup_price")
    answer = costs_answer(book)
    assert answer.hatchling is None
    assert "Rat pup" in answer.fault
