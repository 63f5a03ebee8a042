"""Back-ups of a shared book are ordinary book files; restoring puts every row back in one step."""

from __future__ import annotations

import sqlite3
import threading
import time
from datetime import date

import pytest
from sqlalchemy import create_engine

import dashboard.records.safety.shared_backup as module
from dashboard.records import BackUpFailed, BookDamaged, Conflict, NotStored, open_book, start_book
from dashboard.records.safety.copies import back_up_folder, list_back_ups
from dashboard.records.schema import metadata
from dashboard.records.store.versions import build_by_upgrades
from genetics import Sex
from tests.dashboard.records.test_upgrade import shape

pytestmark = pytest.mark.server


def rows_of(book):
    """Every row of every table, what the book says of itself aside."""
    return {name: book.plain_rows(name) for name in metadata.tables if name != "info"}


@pytest.fixture
def filled(book, herd, price, reader):
    """A book with young that stand before their parents, imports, undone edits and gone rows."""
    basalt, tansy = herd
    young = book.add_animal("Flint", "clown", sex=Sex.MALE, hatched=date(2025, 8, 1))
    old = book.add_animal("Umber", "normal", sex=Sex.MALE, hatched=date(2015, 8, 1))
    book.change_animal(young.id, young.version, sire_id=basalt.id, dam_id=tansy.id, note="Ä, “x”\nzwei")
    book.change_animal(basalt.id, basalt.version, sire_id=old.id)  # its sire has the higher number
    pairing = book.add_pairing(2027, basalt.id, tansy.id)
    book.set_pairing_assumption(pairing.id, "sale.first_month", 3)
    book.add_observations([price(minor=m) for m in range(1, 2500)], "x.csv")
    book.set_name("Room two")
    book.add_animal("Quill", "normal")
    book.undo_last()
    gone = book.add_animal("Larch", "normal")
    book.remove_animal(gone.id, gone.version)
    return book


def test_a_copy_holds_every_row_and_opens_as_a_book(filled, reader):
    copy = filled.back_up()
    with open_book(copy.path, reader=reader) as other:
        assert rows_of(other) == rows_of(filled)
        assert other.data_version == filled.data_version
        assert other.info.name == filled.info.name
        assert other.animals() == filled.animals()
        assert other.add_animal("New", "normal").id == filled.add_animal("New", "normal").id  # none twice
    assert filled.back_ups() == (copy,)


def test_a_copy_has_the_same_tables_as_a_book_that_was_always_a_file(filled, tmp_path):
    copy = filled.back_up()
    start_book(tmp_path / "new.sqlite", currency="EUR", name="New")
    with sqlite3.connect(copy.path) as one, sqlite3.connect(tmp_path / "new.sqlite") as other:
        assert shape(one) == shape(other)
        keys = [row[3] for row in other.execute("PRAGMA foreign_key_list(animals)")]
    engine = create_engine("sqlite://")
    with engine.connect() as connection:
        build_by_upgrades(connection)
        assert shape(connection.connection.driver_connection) == shape(sqlite3.connect(copy.path))
    assert {"sire_id", "dam_id", "clutch_id"} <= set(keys)


def test_a_copy_that_lost_rows_is_not_kept(filled, monkeypatch):
    honest = module.copy_rows

    def lossy(source, target, tables):
        counts = honest(source, target, tables)
        target.exec_driver_sql("DELETE FROM price_observations WHERE id = 7")
        return counts

    monkeypatch.setattr(module, "copy_rows", lossy)
    with pytest.raises(BackUpFailed, match="does not hold"):
        filled.back_up()
    assert list(back_up_folder(filled.place).iterdir()) == []


def test_a_full_disk_here_is_not_said_to_be_the_server(filled, monkeypatch):
    def full(connection, numbers):
        connection.exec_driver_sql("PRAGMA max_page_count = 1")
        connection.exec_driver_sql("CREATE TABLE more AS SELECT * FROM price_observations")

    monkeypatch.setattr(module, "raise_numbers", full)
    with pytest.raises(BackUpFailed, match=r"on this computer.*disk is full"):
        filled.back_up()
    assert list(back_up_folder(filled.place).iterdir()) == []


def test_restore_brings_every_row_back_and_keeps_what_was(filled, reader):
    copy, before, number = filled.back_up(), rows_of(filled), filled.data_version
    umber = next(a for a in filled.animals() if a.name == "Umber")
    changed = filled.change_animal(umber.id, umber.version, note="later")
    made = filled.add_animal("Quill", "normal")
    kept = filled.restore(copy.path)
    assert rows_of(filled) == before
    assert filled.data_version > number + 2
    with open_book(kept, reader=reader) as other:
        assert "Quill" in {a.name for a in other.animals()}
    with pytest.raises(Conflict):
        filled.change_animal(umber.id, changed.version, note="stale")
    assert filled.add_animal("Newer", "normal").id > made.id  # a number is never given twice
    filled.undo_last()
    assert {copy.why for copy in list_back_ups(filled.place)} == {"by hand", "before restore"}


def test_a_book_from_a_file_becomes_the_shared_one(filled, tmp_path, reader, price):
    """Somebody who kept their book in a file takes it along."""
    with open_book(tmp_path / "mine.sqlite", reader=reader, currency="GBP", name="Mine") as mine:
        mine.add_animal("Basalt", "pastel", sex=Sex.MALE)
        wanted, number = rows_of(mine), mine.data_version
    filled.restore(tmp_path / "mine.sqlite")
    assert rows_of(filled) == wanted
    assert (filled.info.name, filled.currency) == ("Mine", "GBP")
    assert filled.data_version > number
    assert filled.add_animal("Next", "normal").version == filled.data_version


def test_a_damaged_copy_is_refused_and_the_book_stays(filled):
    copy, before = filled.back_up(), rows_of(filled)
    copy.path.write_bytes(copy.path.read_bytes()[:5000])
    with pytest.raises(BookDamaged):
        filled.restore(copy.path)
    assert rows_of(filled) == before


def test_a_restore_that_breaks_in_the_midst_leaves_the_book_as_it_was(filled, monkeypatch):
    copy = filled.back_up()
    filled.add_animal("Quill", "normal")
    before, number = rows_of(filled), filled.data_version

    def broken(connection, numbers):
        raise NotStored("stop")

    monkeypatch.setattr(module, "raise_numbers", broken)
    with pytest.raises(NotStored, match="stop"):
        module.replace_rows(filled.place, copy.path)
    assert rows_of(filled) == before
    assert filled.data_version == number


def test_another_person_notices_a_restore_and_goes_on(book, herd, path, reader):
    with open_book(path, reader=reader) as other:
        copy = book.back_up()
        other.add_animal("Larch", "normal")
        version = other.data_version
        book.restore(copy.path)
        assert other.data_version > version
        assert [a.name for a in other.animals()] == ["Basalt", "Tansy"]
        assert other.add_animal("Quill", "normal").version == version + 2


def test_twenty_copies_under_constant_writing_are_each_of_one_moment(path, reader):
    """Each edit enters two animals: a copy must hold both or neither, and as many as its number says."""
    stop = threading.Event()
    written = []

    def write():
        with open_book(path, reader=reader) as book:
            while not stop.is_set():
                with book._store.editing("two") as edit:
                    for half in "ab":
                        edit.connection.exec_driver_sql(
                            "INSERT INTO own_genes (version, name, definition) VALUES (%s, %s, '{}')",
                            (edit.number, f"{edit.number}{half}"),
                        )
                written.append(edit.number)
                time.sleep(0.01)

    writers = [threading.Thread(target=write) for _ in range(2)]
    for writer in writers:
        writer.start()
    try:
        with open_book(path, reader=reader) as book:
            copies = [book.back_up() for _ in range(20)]
    finally:
        stop.set()
        for writer in writers:
            writer.join()
    held = []
    for copy in copies[-10:]:  # the ten newest are kept
        with sqlite3.connect(copy.path) as raw:
            genes = raw.execute("SELECT count(*) FROM own_genes").fetchone()[0]
            number = int(raw.execute("SELECT value FROM info WHERE key = 'data_version'").fetchone()[0])
        assert genes == 2 * number
        held.append(number)
    assert held == sorted(held)
    assert held[-1] > held[0]
    assert len(written) > 40


def test_a_start_backs_up_what_no_copy_holds_yet(book, herd, monkeypatch, tmp_path):
    first = book.back_up_on_start()
    assert first.copy.why == "on start"
    assert book.back_up_on_start().copy is None
    book.add_animal("Larch", "normal")
    (tmp_path / "in the way").write_text("x")
    monkeypatch.setenv("HATCHMARGIN_HOME", str(tmp_path / "in the way"))
    failed = book.back_up_on_start()
    assert failed.copy is None
    assert "Your book is open all the same" in failed.problem
