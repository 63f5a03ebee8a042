from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

import pytest

from dashboard.records import (
    BOOK_VARIABLE,
    BookDamaged,
    BookTooNew,
    NotStored,
    default_book_path,
    default_demo_path,
    open_book,
)
from dashboard.records.kinds import EXCHANGE_RATES
from dashboard.records.schema import APPLICATION_ID, SCHEMA_VERSION


def test_a_new_book_is_marked_and_empty(path, book):
    with sqlite3.connect(path) as raw:
        assert raw.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
        assert raw.execute("PRAGMA user_version").fetchone()[0] == SCHEMA_VERSION
    assert (book.animals(), book.pairings(), book.price_observations()) == ((), (), ())
    assert (book.info.currency, book.info.is_demo, book.info.as_of) == ("EUR", False, None)
    assert [file.name for file in path.parent.iterdir()] == [path.name]


def _damage(path: Path, kind: str) -> None:
    data = bytearray(path.read_bytes())
    if kind == "empty":
        data = bytearray()
    elif kind == "text":
        data = bytearray(b"date,what,price\n2026-01-01,pastel,45\n" * 200)
    elif kind == "cut in half":
        data = data[: len(data) // 2]
    elif kind == "head gone":
        data[:100] = bytes(100)
    elif kind == "page zeroed":
        data[4096:8192] = bytes(4096)
    elif kind == "page garbled":
        data[8192:8292] = bytes(range(100))
    path.write_bytes(bytes(data))


@pytest.mark.parametrize("kind", ["empty", "text", "cut in half", "head gone", "page zeroed", "page garbled"])
def test_a_damaged_file_is_named_and_not_touched(path, reader, kind, price):
    with open_book(path, reader=reader) as book:
        book.add_observations([price(minor=m) for m in range(1, 400)], "x.csv")
    _damage(path, kind)
    before = path.read_bytes()
    with pytest.raises(BookDamaged) as refused:
        open_book(path, reader=reader)
    assert refused.value.path == path
    assert str(path) in str(refused.value)
    assert path.read_bytes() == before
    assert [file.name for file in path.parent.iterdir()] == [path.name]


def test_a_database_of_another_program_is_not_touched(path):
    with sqlite3.connect(path) as raw:
        raw.execute("CREATE TABLE other (x)")
    before = path.read_bytes()
    with pytest.raises(BookDamaged, match="another program"):
        open_book(path)
    assert path.read_bytes() == before


def test_a_newer_book_is_refused_with_a_sentence(path, reader):
    open_book(path, reader=reader).close()
    with sqlite3.connect(path) as raw:
        raw.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    before = path.read_bytes()
    with pytest.raises(BookTooNew, match="newer Hatchmargin"):
        open_book(path, reader=reader)
    assert path.read_bytes() == before


def test_a_row_that_points_to_nothing_is_damage(path, reader):
    open_book(path, reader=reader).close()
    with sqlite3.connect(path) as raw:
        raw.execute(
            "INSERT INTO pairings (version, season, sire_id, dam_id, planned, note) "
            "VALUES (1, 2027, 8, 9, 1, '')"
        )
    with pytest.raises(BookDamaged, match="points"):
        open_book(path, reader=reader)


def test_a_hot_journal_of_a_killed_program_is_taken_back(tmp_path, path, reader, price):
    """A copy of file and journal in the midst of a transaction opens at the last whole edit."""
    with open_book(path, reader=reader) as book:
        book.add_observations([price(minor=m) for m in range(1, 400)], "x.csv")
        stored = book.price_observations()
        raw = sqlite3.connect(path, isolation_level=None)
        raw.execute("PRAGMA cache_size = 1")  # spills, so that pages and journal reach the disk
        raw.execute("BEGIN IMMEDIATE")
        raw.execute(
            "UPDATE price_observations SET price_minor = price_minor + 1, what = what || 'xxxxxxxxxxxx'"
        )
        raw.execute("DELETE FROM price_observations WHERE id > 20")
        frozen = tmp_path / "frozen.sqlite"
        journal = path.with_name(path.name + "-journal")
        assert journal.stat().st_size > 512
        frozen.with_name(frozen.name + "-journal").write_bytes(journal.read_bytes())
        frozen.write_bytes(path.read_bytes())
        raw.execute("ROLLBACK")
        raw.close()
    with open_book(frozen, reader=reader) as book:
        assert book.price_observations() == stored


def test_the_places_of_the_books(monkeypatch, tmp_path):
    monkeypatch.setenv(BOOK_VARIABLE, str(tmp_path / "mine.sqlite"))
    assert default_book_path() == tmp_path / "mine.sqlite"
    assert default_demo_path().parent == tmp_path
    assert default_demo_path() != default_book_path()
    monkeypatch.delenv(BOOK_VARIABLE)
    assert default_book_path().is_absolute()
    assert Path.cwd() not in default_book_path().parents


def test_a_place_that_can_not_be_written_is_said(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(NotStored, match="No book can be made"):
        open_book(tmp_path / "file" / "book.sqlite")


@pytest.mark.parametrize("what", ["a rate", "a figure of one pairing"])
def test_the_money_stays_once_anything_is_counted_in_it(book, herd, what):
    """A rate says what a unit is worth in this money, a figure of a pairing may be a sum in it."""
    basalt, tansy = herd
    pairing = book.add_pairing(2027, basalt.id, tansy.id)
    assert book.can_change_currency
    if what == "a rate":
        book.add_row(EXCHANGE_RATES, {"on": date(2026, 1, 5), "currency": "USD", "rate": "0.9"})
    else:
        book.set_pairing_assumption(pairing.id, "sale.first_month", 3)
    assert not book.can_change_currency
    with pytest.raises(NotStored, match="stored"):
        book.set_currency("GBP")
    assert book.currency == "EUR"


def test_currency_is_chosen_once_sums_are_stored(book):
    book.set_currency("gbp")
    assert book.currency == "GBP"
    with pytest.raises(NotStored, match="ISO 4217"):
        book.set_currency("EUX")
    book.add_animal("Larch", "normal", bought_minor=100)
    with pytest.raises(NotStored, match="stored"):
        book.set_currency("EUR")
    book.set_name("Room two")
    assert (book.info.name, book.info.currency) == ("Room two", "GBP")
