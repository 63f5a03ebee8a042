from __future__ import annotations

import pytest

from dashboard.records import NotStored
from econ.assumptions import ASSUMPTIONS, Assumptions

FIGURE = "sale.first_month"


def test_a_figure_is_kept_changed_emptied_and_given_back(book):
    book.set_assumption(FIGURE, 3)
    book.set_assumption(FIGURE, 4)
    assert book.assumptions() == {FIGURE: 4.0}
    book.empty_assumption(FIGURE)
    assert book.assumptions() == {FIGURE: None}
    assert Assumptions(book.assumptions()).is_missing(FIGURE)
    book.set_assumption(FIGURE, None)
    assert book.assumptions() == {}


def test_the_history_of_a_figure_is_kept(book):
    for value in (3, 4):
        book.set_assumption(FIGURE, value)
    book.undo_last()
    book.set_assumption("sale.last_month", 20)
    history = book.assumption_history(FIGURE)
    assert [(h.before, h.after, h.undone) for h in history] == [(None, 3.0, False), (3.0, 4.0, True)]


def test_an_unknown_or_impossible_figure_is_refused(book):
    with pytest.raises(NotStored) as refused:
        book.set_assumption("sale.first_mont", 3)
    assert FIGURE in refused.value.nearest
    with pytest.raises(NotStored):
        book.set_assumption(FIGURE, ASSUMPTIONS[FIGURE].maximum + 1)
    assert book.assumptions() == {}


def test_two_figures_that_contradict_are_refused(book):
    book.set_assumption("sale.last_month", 10)
    with pytest.raises(NotStored, match="first before the last"):
        book.set_assumption(FIGURE, 11)
    assert book.assumptions() == {"sale.last_month": 10.0}


def test_several_figures_are_one_edit_and_one_undo_takes_all_back(book):
    book.set_assumption(FIGURE, 3)
    before = book.data_version
    book.set_assumptions({FIGURE: 4, "sale.last_month": 20})
    assert book.assumptions() == {FIGURE: 4.0, "sale.last_month": 20.0}
    assert book.data_version == before + 1
    book.undo_last()
    assert book.assumptions() == {FIGURE: 3.0}


def test_figures_that_agree_only_together_are_stored_together(book):
    book.set_assumptions({FIGURE: 3, "sale.last_month": 10})
    book.set_assumptions({FIGURE: 11, "sale.last_month": 20})
    assert book.assumptions() == {FIGURE: 11.0, "sale.last_month": 20.0}


@pytest.mark.parametrize("second", [{"sale.last_month": 3}, {"sale.last_mont": 20}])
def test_where_one_of_several_figures_is_refused_none_is_stored(book, second):
    with pytest.raises(NotStored):
        book.set_assumptions({FIGURE: 4, **second})
    assert book.assumptions() == {}
    with pytest.raises(NotStored, match="one or more"):
        book.set_assumptions({})
