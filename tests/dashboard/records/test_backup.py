from __future__ import annotations

import sqlite3
import threading
import time
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import insert

from dashboard.records import BackUpFailed, BookDamaged, Conflict, newest_sound, open_book, start_book
from dashboard.records.safety.backup import StartCopy, back_up, restore
from dashboard.records.safety.copies import back_up_folder, list_back_ups
from dashboard.records.schema import SCHEMA_VERSION, own_genes
from dashboard.records.store.book_file import inspect_file
from dashboard.records.store.file_tables import fill_file, first_rows
from genetics import Sex


def test_a_copy_holds_every_row_and_opens_as_a_book(book, herd, reader, price):
    book.add_observations([price(minor=m) for m in range(1, 50)], "x.csv")
    copy = book.back_up()
    with open_book(copy.path, reader=reader) as other:
        assert other.animals() == book.animals()
        assert other.price_observations() == book.price_observations()
        assert other.data_version == book.data_version
    assert book.back_ups() == (copy,)
    assert copy.why == "by hand"


def test_a_copy_that_lost_rows_is_not_kept(book, herd, monkeypatch, path):
    import dashboard.records.safety.backup as module

    honest = module._vacuum_into

    def lossy(source, target):
        honest(source, target)
        with sqlite3.connect(target) as raw:
            raw.execute("DELETE FROM animals WHERE id = 1")

    monkeypatch.setattr(module, "_vacuum_into", lossy)
    with pytest.raises(BackUpFailed, match="does not hold"):
        book.back_up()
    assert list(back_up_folder(path).iterdir()) == []


def test_ten_newest_and_one_a_day_for_thirty_days_stay(book, path):
    start = datetime(2026, 11, 20, 12, tzinfo=UTC)
    for day in range(40, 0, -1):
        for hour in (0, 5):
            back_up(path, why="by hand", now=start - timedelta(days=day, hours=-hour))
    for minute in range(12):
        back_up(path, why="before import", now=start + timedelta(minutes=minute))
    kept = list_back_ups(path)
    today = [copy for copy in kept if copy.at.date() == start.date()]
    older = [copy for copy in kept if copy.at.date() < start.date()]
    assert len(today) == 10
    assert {copy.at.hour for copy in older} == {17}  # the newest of each day
    assert len(older) == 29
    assert min(copy.at for copy in older).date() == (start - timedelta(days=29)).date()


def test_restore_brings_the_rows_back_and_keeps_what_was(book, herd, path, reader):
    basalt, tansy = herd
    copy = book.back_up()
    changed = book.change_animal(basalt.id, basalt.version, note="later")
    book.remove_animal(tansy.id, tansy.version)
    before = book.data_version
    kept = book.restore(copy.path)
    assert [(a.name, a.note) for a in book.animals()] == [("Basalt", ""), ("Tansy", "")]
    assert book.data_version > before
    with open_book(kept, reader=reader) as other:
        assert [(a.name, a.note) for a in other.animals()] == [("Basalt", "later")]
    with pytest.raises(Conflict):
        book.change_animal(basalt.id, changed.version, note="stale")


def test_another_window_notices_a_restore(book, herd, path, reader):
    with open_book(path, reader=reader) as other:
        assert len(other.animals()) == 2
        copy = book.back_up()
        book.add_animal("Larch", "normal")
        version = other.data_version
        book.restore(copy.path)
        assert other.data_version > version
        assert len(other.animals()) == 2
        other.add_animal("Quill", "normal", sex=Sex.MALE)
        assert [a.name for a in book.animals()] == ["Basalt", "Tansy", "Quill"]


def test_a_damaged_copy_is_refused_and_the_book_stays(book, herd, path):
    copy = book.back_up()
    copy.path.write_bytes(copy.path.read_bytes()[:5000])
    before = path.read_bytes()
    with pytest.raises(BookDamaged):
        book.restore(copy.path)
    assert path.read_bytes() == before


def test_a_damaged_book_is_kept_byte_by_byte_and_replaced_by_the_newest_sound_copy(path, reader):
    with open_book(path, reader=reader) as book:
        book.add_animal("Basalt", "pastel")
        good = book.back_up()
        bad = book.back_up()
    bad.path.write_bytes(b"")
    path.write_bytes(path.read_bytes()[:6000])
    path.with_name(path.name + "-journal").write_bytes(b"stale")
    broken = path.read_bytes()
    assert newest_sound(path) == good
    kept = restore(path, good.path)
    assert kept.read_bytes() == broken
    with open_book(path, reader=reader) as book:
        assert [a.name for a in book.animals()] == ["Basalt"]
    assert not path.with_name(path.name + "-journal").exists()


def test_twenty_copies_under_constant_writing_are_each_of_one_moment(quick_path):
    """Each edit writes two rows: a copy must hold both or neither, and as many as its number says."""
    path = quick_path
    open_book(path).close()
    stop = threading.Event()
    written = []

    def write():
        with open_book(path, reader=lambda text, sex: ()) as other:
            while not stop.is_set():
                with other._store.editing("two") as edit:
                    for half in "ab":
                        row = {"name": f"{edit.number}{half}", "definition": "{}", "version": edit.number}
                        edit.connection.execute(insert(own_genes), row)
                written.append(edit.number)
                time.sleep(0.005)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        copies = [back_up(path, why="by hand") for _ in range(20)]
    finally:
        stop.set()
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
    assert len(written) > 20


def test_a_start_backs_up_what_no_copy_holds_yet(book, path):
    assert book.back_up_on_start() == StartCopy(None, "")  # nothing was ever entered
    book.add_animal("Basalt", "pastel")
    first = book.back_up_on_start()
    assert (first.copy.why, first.problem) == ("on start", "")
    assert book.back_up_on_start() == StartCopy(None, "")
    book.add_animal("Larch", "normal")
    assert book.back_up_on_start().copy is not None
    assert len(book.back_ups()) == 2


def test_a_start_does_not_trust_a_damaged_copy(book):
    book.add_animal("Basalt", "pastel")
    copy = book.back_up()
    copy.path.write_bytes(copy.path.read_bytes()[:5000])
    assert book.back_up_on_start().copy is not None


def test_a_start_on_a_full_disk_opens_the_book_and_says_that_no_copy_was_made(book, path, monkeypatch):
    book.add_animal("Basalt", "pastel")

    def full(source, target):
        target.write_bytes(b"half")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("dashboard.records.safety.backup._vacuum_into", full)
    said = book.back_up_on_start()
    assert said.copy is None
    assert "No space left" in said.problem
    assert "Your book is open all the same" in said.problem
    assert list(back_up_folder(path).iterdir()) == []
    assert [animal.name for animal in book.animals()] == ["Basalt"]


def test_the_demo_is_not_backed_up_at_a_start(path, reader):
    start_book(path, currency="EUR", name="Demo", is_demo=True)
    with open_book(path, reader=reader) as book:
        book.add_animal("Basalt", "pastel")
        assert book.back_up_on_start() == StartCopy(None, "")
        assert book.back_ups() == ()


def test_an_older_copy_is_brought_up_when_it_is_restored(book, path, tmp_path):
    old = tmp_path / "old.sqlite"
    old.touch()
    values = {"name": "Old", "currency": "GBP", "is_demo": "no", "as_of": ""}
    fill_file(old, first_rows(values), version=1)
    book.add_animal("Basalt", "pastel")
    book.restore(old)
    assert (book.info.name, book.animals()) == ("Old", ())
    assert inspect_file(path).user_version == SCHEMA_VERSION
