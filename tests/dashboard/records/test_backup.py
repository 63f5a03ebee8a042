from __future__ import annotations

import sqlite3
from datetime import UTC, datetime, timedelta

import pytest

from dashboard.records import BackUpFailed, BookDamaged, Conflict, newest_sound, open_book
from dashboard.records.backup import back_up, back_up_folder, list_back_ups, restore
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
    import dashboard.records.backup as module

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
