"""How is a book read and written? Each edit is one transaction, in a file and on a server alike."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from typing import Protocol

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError, IntegrityError

from dashboard.records.faults import NotRead, NotStored
from dashboard.records.store.addresses import Place, SharedAddress
from dashboard.records.store.edits import Edit, NothingChanged
from dashboard.records.store.info_rows import COUNTER, put_info, read_counter
from dashboard.records.store.sqlite_engine import SqliteDatabase

__all__ = ["Database", "Store", "now_text", "read_counter"]


class Database(Protocol):
    """What a book needs of the database beneath it."""

    @property
    def place(self) -> Place:
        """Where the book lies."""

    @property
    def engine(self) -> Engine:
        """The connections."""

    def for_reading(self, connection: Connection) -> Connection:
        """Prepare a connection so that all it reads is of one moment."""

    def for_writing(self, connection: Connection) -> Connection:
        """Prepare a connection for one edit."""

    def admit(self, connection: Connection) -> str:
        """Wait for the other writers, check that the book is still ours to write, give a ticket."""

    def was_stored(self, ticket: str) -> bool | None:
        """Say whether the transaction of a ticket was stored; None if that can't be known."""

    def reason(self, fault: DBAPIError) -> str:
        """Say in a few words what the database refused."""


def now_text() -> str:
    """Present time, ISO 8601 in UTC to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def _database_at(place: Place) -> Database:
    if isinstance(place, SharedAddress):
        from dashboard.records.store.postgres_engine import PostgresDatabase

        return PostgresDatabase(place)
    return SqliteDatabase(place)


class Store:
    """One open book: reading, and writing one edit at a time."""

    def __init__(self, place: Place) -> None:
        self._database = _database_at(place)

    @property
    def place(self) -> Place:
        """Where the book lies: its file, or its shared address."""
        return self._database.place

    @property
    def engine(self) -> Engine:
        """The connections of the book."""
        return self._database.engine

    def close(self) -> None:
        """Close every connection."""
        self.engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection inside one read transaction: all it reads is of one moment.

        Raises
        ------
        NotRead
            If the file or the server does not answer; the next try connects anew.
        """
        try:
            with self.engine.connect() as plain:
                yield self._database.for_reading(plain)
        except DBAPIError as fault:
            raise NotRead(f"{self._database.reason(fault)}, so the book can't be read now.") from fault

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection inside one write transaction, without the change log.

        Raises
        ------
        NotStored
            If the disk, the server, another writer or a rule of the tables refused; nothing was stored.
        """
        ticket, finished = "", False
        try:
            with self.engine.connect() as plain:
                connection = self._database.for_writing(plain)
                with connection.begin():
                    ticket = self._database.admit(connection)
                    yield connection
                    finished = True
        except IntegrityError as fault:
            said = str(fault.orig).strip().partition("\n")[0]
            raise NotStored(f"The book's own rules refused this ({said}). Nothing was saved.") from fault
        except DBAPIError as fault:
            if not (finished and self._stored_all_the_same(ticket, fault)):
                raise NotStored(f"{self._database.reason(fault)}. Nothing was saved.") from fault

    def _stored_all_the_same(self, ticket: str, fault: DBAPIError) -> bool:
        """Find out what became of an edit whose last answer got lost on the way."""
        stored = self._database.was_stored(ticket)
        if stored is None:
            raise NotStored(
                f"{self._database.reason(fault)} just as this was saved, and whether it was is not known. "
                "Look at the book before you enter it again."
            ) from fault
        return stored

    @contextmanager
    def editing(self, sentence: str) -> Iterator[Edit]:
        """Open one edit: counted, logged, and stored whole or not at all.

        An edit that raises `NothingChanged` ends quietly and leaves no trace.

        Raises
        ------
        NotStored, Conflict
            See `writing` and `Edit`.
        """
        with suppress(NothingChanged), self.writing() as connection:
            number = read_counter(connection) + 1
            put_info(connection, {COUNTER: str(number)})
            yield Edit(connection, number=number, at=now_text(), sentence=sentence)

    @property
    def data_version(self) -> int:
        """Number of the last edit, whichever window, program or person made it."""
        with self.reading() as connection:
            return read_counter(connection)
