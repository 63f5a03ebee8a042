"""What does a book's file hold, asked directly: rows of each table, and the last edit?"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from dashboard.records.schema import metadata

LAST_EDIT = "last edit"


@contextmanager
def open_file(path: Path, *, mode: str = "rw") -> Iterator[sqlite3.Connection]:
    """Give a plain connection to a file that is there; transactions are begun by hand."""
    connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode={mode}", uri=True, timeout=5.0)
    connection.isolation_level = None
    try:
        yield connection
    finally:
        connection.close()


def contents(book: Path) -> dict[str, int]:
    """Count the rows of each table, and read the number of the last edit, at one moment."""
    with open_file(book) as connection:
        connection.execute("BEGIN")
        there = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        names = [name for name in metadata.tables if name in there]
        counts = {
            name: int(connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0])  # noqa: S608 - own names
            for name in names
        }
        return counts | {LAST_EDIT: _read_counter(connection)}


def last_edit(book: Path) -> int:
    """Read the number of the last edit of a book that is not open here."""
    with open_file(book) as connection:
        return _read_counter(connection)


def raise_counter(copy: Path, *, above: int) -> None:
    """Count edits on from the present book, so that no window takes old rows for its own."""
    with open_file(copy) as connection:
        number = max(_read_counter(connection), above) + 1
        connection.execute("PRAGMA synchronous = EXTRA")
        connection.execute("UPDATE info SET value = ? WHERE key = 'data_version'", (str(number),))


def _read_counter(connection: sqlite3.Connection) -> int:
    return int(connection.execute("SELECT value FROM info WHERE key = 'data_version'").fetchone()[0])
