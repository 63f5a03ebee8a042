"""How is a book's file opened? Every connection is set as the book needs it, and read back."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any, Final

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError, DisconnectionError

from dashboard.records.faults import BookError, NotStored
from dashboard.records.store.limits import refuse_what_is_too_long

_SETTINGS = {"journal_mode": "delete", "synchronous": 3, "foreign_keys": 1, "busy_timeout": 5000}
_ASK = {"synchronous": "EXTRA", "foreign_keys": "ON"}
_REASONS: Final = {
    "SQLITE_FULL": "The disk is full",
    "SQLITE_BUSY": "Another window or program is writing to the book",
    "SQLITE_LOCKED": "Another window or program is writing to the book",
    "SQLITE_READONLY": "The book's file may not be written",
    "SQLITE_IOERR": "The disk refused to read or write",
    "SQLITE_CANTOPEN": "The book's folder may not be written",
    "SQLITE_CORRUPT": "The book's file is damaged",
    "SQLITE_NOTADB": "The book's file is damaged",
}


def make_engine(path: Path) -> Engine:
    """Engine of one SQLite file that is there, with every connection set as the book needs it."""
    place = path.absolute()

    def connect() -> sqlite3.Connection:
        # "rw": a file that was moved away must not come back as an empty one
        return sqlite3.connect(f"{place.as_uri()}?mode=rw", uri=True, check_same_thread=False)

    engine = create_engine(
        URL.create("sqlite", database=str(place)), creator=connect, pool_size=3, max_overflow=10
    )

    @event.listens_for(engine, "connect")
    def _connected(raw: sqlite3.Connection, record: Any) -> None:
        raw.isolation_level = None  # transactions are begun below, never by the driver
        record.info["file"] = _identity(place)
        apply_settings(raw)

    @event.listens_for(engine, "checkout")
    def _checked_out(raw: object, record: Any, proxy: object) -> None:  # noqa: ARG001 - the hook's shape
        if record.info.get("file") != _identity(place):
            raise DisconnectionError("the file was replaced")

    @event.listens_for(engine, "begin")
    def _begun(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    refuse_what_is_too_long(engine)
    return engine


def apply_settings(raw: sqlite3.Connection) -> None:
    """Set journal, synchronous, foreign keys and patience, and read each one back.

    Raises
    ------
    BookError
        If the database engine did not take one.
    """
    cursor = raw.cursor()
    for name, wanted in _SETTINGS.items():
        cursor.execute(f"PRAGMA {name} = {_ASK.get(name, wanted)}").fetchall()
        found = cursor.execute(f"PRAGMA {name}").fetchone()[0]
        if found != wanted:
            raise BookError(f"The database did not take the setting {name} = {wanted}; it says {found}.")
    cursor.close()


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_dev, status.st_ino


class SqliteDatabase:
    """One book file, for one `Store`."""

    def __init__(self, path: Path) -> None:
        self.place = path
        self.engine = make_engine(path)

    def for_reading(self, connection: Connection) -> Connection:
        """Give the connection as it is: every transaction of a file sees one moment."""
        return connection

    def for_writing(self, connection: Connection) -> Connection:
        """Have the transaction take the file's write lock at its beginning."""
        return connection.execution_options(writes=True)

    def admit(self, connection: Connection) -> str:
        """Refuse to write to a file that another one has replaced; raises `NotStored`."""
        if connection.info.get("file") != _identity(self.place):
            raise NotStored("The book was restored just now. Look at it and try again.")
        return ""

    def was_stored(self, ticket: str) -> bool | None:  # noqa: ARG002 - a file tells at once
        """Say whether a transaction whose end was not heard of was stored: a refused one never is."""
        return False

    def reason(self, fault: DBAPIError) -> str:
        """Say in a few words why the file refused."""
        name = str(getattr(fault.orig, "sqlite_errorname", ""))
        if name == "SQLITE_CANTOPEN" and not self.place.exists():
            return f"The book is no longer at {self.place}: it was moved, renamed or unplugged"
        for start, reason in _REASONS.items():
            if name.startswith(start):
                return reason
        return f"The book's file did not answer as it should ({fault.orig})"
