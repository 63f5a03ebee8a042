"""How is a book's file opened and written? Each edit is one transaction; settings are read back."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, select, update
from sqlalchemy.exc import DisconnectionError, IntegrityError, OperationalError

from . import schema
from .edits import Edit
from .faults import BookError, NotStored

_SETTINGS = {"journal_mode": "delete", "synchronous": 3, "foreign_keys": 1, "busy_timeout": 5000}
_ASK = {"synchronous": "EXTRA", "foreign_keys": "ON"}
_REASONS = {
    "SQLITE_FULL": "The disk is full",
    "SQLITE_BUSY": "Another window or program is writing to the book",
    "SQLITE_LOCKED": "Another window or program is writing to the book",
    "SQLITE_READONLY": "The book's file may not be written",
    "SQLITE_IOERR": "The disk refused to write",
    "SQLITE_CANTOPEN": "The book's folder may not be written",
}


def now_text() -> str:
    """Present time, ISO 8601 in UTC to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def make_engine(path: Path) -> Engine:
    """Engine of one SQLite file, with every connection set as the book needs it."""
    engine = create_engine(f"sqlite:///{path}", pool_size=3, max_overflow=10)

    @event.listens_for(engine, "connect")
    def _connected(raw: sqlite3.Connection, record: Any) -> None:
        raw.isolation_level = None  # transactions are begun below, never by the driver
        record.info["file"] = _identity(path)
        apply_settings(raw)

    @event.listens_for(engine, "checkout")
    def _checked_out(raw: object, record: Any, proxy: object) -> None:  # noqa: ARG001 - the hook's shape
        if record.info.get("file") != _identity(path):
            raise DisconnectionError("the file was replaced")

    @event.listens_for(engine, "begin")
    def _begun(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

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


class Store:
    """One open book file: reading, and writing one edit at a time."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.engine = make_engine(path)

    def close(self) -> None:
        """Close every connection."""
        self.engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection inside one read transaction: all it reads is of one moment."""
        with self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection inside one write transaction, without the change log.

        Raises
        ------
        NotStored
            If the disk, another window or a rule of the tables refused; nothing was stored.
        """
        try:
            with self.engine.connect() as plain:
                connection = plain.execution_options(writes=True)
                with connection.begin():
                    if connection.info.get("file") != _identity(self.path):
                        raise NotStored("The book was restored just now. Look at it and try again.")
                    yield connection
        except OperationalError as fault:
            raise NotStored(_plain_reason(fault)) from fault
        except IntegrityError as fault:
            raise NotStored(
                f"The book's own rules refused this ({fault.orig}). Nothing was saved."
            ) from fault

    @contextmanager
    def editing(self, sentence: str) -> Iterator[Edit]:
        """Open one edit: counted, logged, and stored whole or not at all.

        Raises
        ------
        NotStored, Conflict
            See `writing` and `Edit`.
        """
        with self.writing() as connection:
            number = read_counter(connection) + 1
            connection.execute(
                update(schema.info).where(schema.info.c.key == "data_version").values(value=str(number))
            )
            yield Edit(connection, number=number, at=now_text(), sentence=sentence)

    @property
    def data_version(self) -> int:
        """Number of the last edit, whichever window or program made it."""
        with self.reading() as connection:
            return read_counter(connection)


def read_counter(connection: Connection) -> int:
    """Read the number of the last edit as this transaction sees it."""
    value = connection.execute(
        select(schema.info.c.value).where(schema.info.c.key == "data_version")
    ).scalar_one()
    return int(value)


def _plain_reason(fault: OperationalError) -> str:
    name = str(getattr(fault.orig, "sqlite_errorname", ""))
    for start, reason in _REASONS.items():
        if name.startswith(start):
            return f"{reason}. Nothing was saved."
    return f"The book could not be written ({fault.orig}). Nothing was saved."
