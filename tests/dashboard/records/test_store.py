from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
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
print("ready", flush=True)
for number in range(100000):
    book.add_animal(f"{sys.argv[2]} {number}", "normal")
    print(number, flush=True)
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
    import dashboard.records.store as store

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


def test_a_full_disk_keeps_what_was_and_says_so(book, price):
    book.add_animal("Larch", "normal")
    with book._store.reading() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages + 1}")
        # the pool hands out this connection again, with its limit
    with pytest.raises(NotStored, match="disk is full"):
        book.add_observations([price(minor=m) for m in range(1, 3000)], "big.csv")
    assert len(book.animals()) == 1
    assert book.price_observations() == ()
    assert book.data_version == 1


def test_a_killed_writer_loses_nothing_it_reported(path):
    draw = random.Random(7)
    reported: set[str] = set()
    open_book(path, reader=lambda text, sex: ()).close()
    for turn in range(4):
        seen = _write_until_killed(path, f"turn{turn}", draw.uniform(0.15, 0.5))
        reported |= {f"turn{turn} {number}" for number in seen}
        with open_book(path, reader=lambda text, sex: ()) as book:
            stored = {animal.name for animal in book.animals()}
            assert reported <= stored
            assert len(stored - reported) <= turn + 1  # at most one stored but not yet reported a turn
            assert book.data_version == len(stored)
    assert len(reported) > 20


def _write_until_killed(path, name, seconds):
    process = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), name],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert process.stdout.readline().strip() == "ready"
    time.sleep(seconds)
    process.send_signal(signal.SIGKILL)
    out, _ = process.communicate()
    lines = out.splitlines()
    whole = lines if out.endswith("\n") else lines[:-1]
    return [int(line) for line in whole]


def test_two_writers_at_once_keep_every_edit(path):
    open_book(path, reader=lambda text, sex: ()).close()
    writer = WRITER.replace("range(100000)", "range(25)")
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", writer, str(path), name],
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
