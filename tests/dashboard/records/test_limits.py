"""What is too long for a column is refused by our own sentence, on every database alike."""

from __future__ import annotations

import pytest
from sqlalchemy import insert, update

from dashboard.records import NotStored
from dashboard.records.schema import animals


@pytest.fixture
def row(book, reader):
    """An animal as its room writes it, for the columns this version of the tables has."""
    made = book.add_animal("Larch", "normal")
    with book._store.reading() as connection:
        found = connection.execute(animals.select()).mappings().one()
    book.remove_animal(made.id, made.version)
    return {key: value for key, value in found.items() if key != "id"}


def _add(book, values):
    with book._store.writing() as connection:
        connection.execute(insert(animals), values)


def test_the_longest_text_is_kept_and_one_letter_more_refused(book, row):
    _add(book, {**row, "name": "é" * 80})
    with pytest.raises(NotStored, match="name has 81 characters; at most 80"):
        _add(book, {**row, "name_key": "other", "name": "é" * 81})
    assert [animal.name for animal in book.animals()] == ["é" * 80]


def test_one_long_text_among_many_rows_refuses_them_all(book, row):
    rows = [{**row, "name_key": f"larch {number}"} for number in range(5)]
    rows[3]["text"] = "x" * 1001
    with pytest.raises(NotStored, match="text has 1001"):
        _add(book, rows)
    assert book.animals() == ()


def test_a_change_is_held_to_the_same_lengths(book, row):
    _add(book, row)
    with pytest.raises(NotStored, match="status has 13"), book._store.writing() as connection:
        connection.execute(update(animals).values(status="x" * 13))


@pytest.mark.parametrize("number", [2**31, -(2**31)])
def test_a_number_that_one_database_could_not_keep_is_refused_on_all(book, row, number):
    with pytest.raises(NotStored, match="version is"):
        _add(book, {**row, "version": number})
    _add(book, {**row, "version": 2**31 - 1})
    assert book.animals()[0].version == 2**31 - 1


def test_the_largest_sum_comes_back_as_it_was(book):
    made = book.add_animal("Larch", "normal", bought_minor=2**31 - 1)
    assert book.animal(made.id).bought_minor == 2**31 - 1
