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


def test_own_genes_are_kept_as_plain_data(book):
    definition = {"mode": "recessive", "hides": ""}
    book.set_own_gene("Pebble", definition)
    assert book.own_genes() == {"pebble": definition}
    book.set_own_gene("pebble", None)
    assert book.own_genes() == {}
    with pytest.raises(NotStored):
        book.set_own_gene("pebble", None)
    with pytest.raises(NotStored):
        book.set_own_gene("pebble", {"share": float("nan")})
