"""How does a shared database get a book's tables, and is what it holds a book at all?"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, select, text
from sqlalchemy.exc import DBAPIError

from dashboard.records import schema
from dashboard.records.faults import BookForeign, BookOutOfReach, BookTooNew, NotStored
from dashboard.records.store.addresses import SharedAddress
from dashboard.records.store.file_tables import first_rows
from dashboard.records.store.postgres_engine import lock_writers_out, make_shared_engine, plain_reason
from dashboard.records.store.versions import UPGRADES, make_tables, run_upgrades

OLDEST_SERVER = 13
MARK = "application"
MARK_VALUE = f"{schema.APPLICATION_ID:#x}"


@dataclass(frozen=True)
class SharedState:
    """What a database said of itself: the number of its tables' upgrade; None if it is empty."""

    address: SharedAddress
    version: int | None


@contextmanager
def reaching(address: SharedAddress) -> Iterator[Engine]:
    """Give an engine for a short while; what the server refuses comes as a sentence.

    Raises
    ------
    AddressRefused, BookOutOfReach
        If no password is set, or the server can't be reached, lets nobody in, or refuses.
    """
    engine = make_shared_engine(address)
    try:
        yield engine
    except DBAPIError as fault:
        if not hasattr(fault.orig, "sqlstate"):  # not the server's: a file on this computer refused
            raise NotStored(f"A file on this computer could not be written ({fault.orig}).") from fault
        raise BookOutOfReach(f"{plain_reason(fault)} ({address}). Nothing was changed.") from fault
    finally:
        engine.dispose()


def inspect_shared(address: SharedAddress, *, known_version: int = schema.SCHEMA_VERSION) -> SharedState:
    """Look at a shared database without writing to it.

    Raises
    ------
    AddressRefused, BookOutOfReach
        See `reaching`.
    BookForeign
        If it holds tables that are not a book's.
    BookTooNew
        If a newer program wrote it.
    """
    with reaching(address) as engine, engine.connect() as connection:
        return SharedState(address, read_version(connection, address, known_version=known_version))


def read_version(
    connection: Connection, address: SharedAddress, *, known_version: int = schema.SCHEMA_VERSION
) -> int | None:
    """Read the number of a shared book's tables, None if there are none; raises as `inspect_shared`."""
    server = int(connection.exec_driver_sql("SHOW server_version_num").scalar_one()) // 10_000
    if server < OLDEST_SERVER:
        raise BookOutOfReach(
            f"The server is PostgreSQL {server}; a shared book needs {OLDEST_SERVER} or newer."
        )
    names = set(inspect(connection).get_table_names())
    if not names:
        return None
    if not {"info", "changes", "alembic_version"} <= names:
        raise BookForeign(
            f"The database {address.database} holds tables of another program, not a book. "
            "It was left as it is."
        )
    mark = connection.execute(
        select(schema.info.c.value).where(schema.info.c.key == MARK)
    ).scalar_one_or_none()
    if mark != MARK_VALUE:
        raise BookForeign(f"The database {address.database} is not marked as a book. It was left as it is.")
    found = int(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())
    if found > known_version:
        raise BookTooNew(str(address), found=found, known=known_version)
    return found


def create_shared(address: SharedAddress, values: Mapping[str, str]) -> bool:
    """Make a book's tables in an empty database; says whether they are ours or somebody was faster.

    Raises
    ------
    AddressRefused, BookOutOfReach, BookForeign, BookTooNew
        See `inspect_shared`; nothing was changed.
    """
    with reaching(address) as engine, engine.begin() as connection:
        connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": schema.APPLICATION_ID})
        if read_version(connection, address) is not None:
            return False
        make_tables(connection)
        first_rows({**values, MARK: MARK_VALUE})(connection)
        return True


def bring_up_shared(
    address: SharedAddress,
    put_aside: Callable[[], object],
    *,
    version: int = schema.SCHEMA_VERSION,
    upgrades: Path = UPGRADES,
) -> bool:
    """Bring an older shared book up to `version`, one transaction a step; False if it was done already.

    `put_aside` makes the checked copy; nobody can write between the copy and the first step.

    Raises
    ------
    AddressRefused, BookOutOfReach, BookForeign, BookTooNew, BackUpFailed
        See `inspect_shared` and `backup.back_up`; the book is as it was before the step that failed.
    NotStored
        If somebody else is upgrading it just now.
    """
    with reaching(address) as engine, engine.connect() as guard:
        ours = text("SELECT pg_try_advisory_lock(:key)")
        if not guard.execute(ours, {"key": schema.APPLICATION_ID}).scalar_one():
            raise NotStored("Somebody else is just upgrading the shared book. Try again in a minute.")
        found = read_version(guard, address, known_version=version)
        guard.commit()
        if found is None or found >= version:
            return False
        with engine.connect() as connection:
            for step in range(found + 1, version + 1):
                with connection.begin():
                    connection.execute(text("SET LOCAL idle_in_transaction_session_timeout = 0"))
                    lock_writers_out(connection)
                    if step == found + 1:
                        put_aside()
                    run_upgrades(connection, to=step, upgrades=upgrades)
        return True
