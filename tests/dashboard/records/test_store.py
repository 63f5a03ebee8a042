from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from dashboard.records import NotStored, open_book
from genetics import Sex

ROOT = Path(__file__).parents[3]
WRITER = """
import sys
from pathlib import Path
from dashboard.records import open_book
book = open_book(Path(sys.argv[1]), reader=lambda text, sex: ())
for number in range(25):
    book.add_animal(f"{sys.argv[2]} {number}", "normal")
"""


def test_settings_of_every_connection(book):
    with book._store.reading() as connection:
        found = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    assert found == {"journal_mode": "delete", "synchronous": 3, "foreign_keys": 1, "busy_timeout": 5000}


def test_reading_sees_one_moment(book, path):
    other = sqlite3.connect(path, timeout=0, isolation_level=None)
    with book._store.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM animals").scalar() == 0
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("UPDATE info SET value = '7' WHERE key = 'data_version'")
    other.execute("UPDATE info SET value = '7' WHERE key = 'data_version'")
    other.close()
    assert book.data_version == 7


def test_a_book_that_somebody_else_writes_to_says_so(book, path):
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    book._store.engine.dispose()
    import dashboard.records.store.sqlite_engine as store

    store._SETTINGS["busy_timeout"] = 50
    try:
        with pytest.raises(NotStored, match="Another window"):
            book.add_animal("Larch", "normal")
    finally:
        store._SETTINGS["busy_timeout"] = 5000
        book._store.engine.dispose()
        other.close()
    assert book.animals() == ()
    assert book.add_animal("Larch", "normal").id


def test_two_writers_at_once_keep_every_edit(quick_path):
    path = quick_path
    open_book(path, reader=lambda text, sex: ()).close()
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path), name],
            stdout=subprocess.DEVNULL,
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        for name in ("one", "two")
    ]
    assert [process.wait(timeout=60) for process in processes] == [0, 0]
    with open_book(path, reader=lambda text, sex: ()) as book:
        animals = book.animals()
        assert len(animals) == 50
        assert sorted(animal.version for animal in animals) == list(range(1, 51))


def test_sexes_that_the_tables_do_not_know_are_refused_by_the_tables(book):
    with pytest.raises(NotStored), book._store.writing() as connection:
        connection.exec_driver_sql(
            "INSERT INTO animals (version, name, name_key, sex, text, note, status) "
            "VALUES (1, 'a', 'a', 'both', '', '', 'kept')"
        )
    assert book.animals() == ()
    assert book.add_animal("Larch", "normal", sex=Sex.MALE).id == 1
