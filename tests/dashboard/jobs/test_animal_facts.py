"""Weights in the order of their days with what changed; tests newest first."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.animal_facts import facts_answer
from dashboard.records.kinds import GENE_TESTS, WEIGHTS


@pytest.fixture
def animal(book):
    book.add_animal("Other", "pastel")
    return book.add_animal("Tansy", "het clown")


def weigh(book, animal, *pairs):
    for on, grams in pairs:
        book.add_row(WEIGHTS, {"animal_id": animal.id, "on": on, "grams": grams})


def test_each_weight_has_its_change_since_the_one_before(book, animal):
    assert facts_answer(book, animal.id).weights == ()
    weigh(book, animal, (date(2026, 9, 1), 1500), (date(2026, 1, 10), 1300), (date(2026, 8, 1), 1520))
    weigh(book, book.animals()[0], (date(2026, 9, 1), 99))
    steps = facts_answer(book, animal.id).weights
    assert [(step.record.grams, step.change) for step in steps] == [(1500, -20), (1520, 220), (1300, None)]


def test_the_change_is_against_a_season_ago_where_there_is_one(book, animal):
    weigh(book, animal, (date(2026, 9, 1), 1500))
    assert facts_answer(book, animal.id).change is None
    weigh(book, animal, (date(2026, 8, 1), 1450))
    assert facts_answer(book, animal.id).change == (50, date(2026, 8, 1))
    weigh(book, animal, (date(2026, 5, 1), 1600), (date(2025, 5, 1), 900))
    assert facts_answer(book, animal.id).change == (-100, date(2026, 5, 1))


def test_tests_stand_newest_first(book, animal):
    for on, gene in ((date(2026, 1, 1), "clown"), (date(2026, 3, 1), "pied"), (date(2026, 2, 1), "hypo")):
        row = {"animal_id": animal.id, "on": on, "gene": gene, "result": "one copy"}
        book.add_row(GENE_TESTS, row)
    assert [test.gene for test in facts_answer(book, animal.id).tests] == ["pied", "hypo", "clown"]
