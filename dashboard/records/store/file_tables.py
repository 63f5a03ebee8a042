"""How does a book's file get its tables: a new one, and one that an older program wrote?"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, insert
from sqlalchemy.exc import DBAPIError

from dashboard.records import schema
from dashboard.records.faults import BookDamaged, NotStored
from dashboard.records.store.info_rows import COUNTER
from dashboard.records.store.sqlite_engine import make_engine
from dashboard.records.store.versions import UPGRADES, make_tables, run_upgrades


def create_book(path: Path, values: Mapping[str, str]) -> None:
    """Write a new book with all tables; it appears under its name only when it is complete.

    `values` are the first rows of the table info.

    Raises
    ------
    NotStored
        If the folder can't be written, or a file of this name appeared meanwhile.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".new", dir=path.parent)
        os.close(handle)
    except OSError as fault:
        raise NotStored(f"No book can be made at {path} ({fault}).") from fault
    fresh = Path(name)
    try:
        fill_file(fresh, first_rows(values))
        give_name(fresh, path)
    except FileExistsError as fault:
        raise NotStored(f"There is already a file at {path}. It was left as it is.") from fault
    except (OSError, DBAPIError) as fault:
        said = fault.orig if isinstance(fault, DBAPIError) else fault
        raise NotStored(f"No book can be made at {path} ({said}).") from fault
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)


def first_rows(values: Mapping[str, str]) -> Callable[[Connection], None]:
    """Give a function that writes the first rows of a new book: what it says of itself."""
    rows = {COUNTER: "0", **values}

    def write(connection: Connection) -> None:
        connection.execute(insert(schema.info), [{"key": k, "value": v} for k, v in rows.items()])

    return write


def fill_file(
    path: Path,
    fill: Callable[[Connection], None],
    *,
    version: int = schema.SCHEMA_VERSION,
    upgrades: Path = UPGRADES,
) -> None:
    """Give an empty file the tables of one version, and its rows, in one transaction.

    Raises
    ------
    BookDamaged
        If a row would point to nothing; the file is then still empty.
    """
    with _writing(path) as connection, connection.begin():
        if version == schema.SCHEMA_VERSION:
            make_tables(connection)
        else:
            run_upgrades(connection, to=version, upgrades=upgrades)
        fill(connection)
        _check_rows(connection, path, "would hold a row that points to nothing")
        mark_file(connection, version)


def bring_up_file(path: Path, *, version: int = schema.SCHEMA_VERSION, upgrades: Path = UPGRADES) -> None:
    """Bring an older file up to `version`, one transaction for each step on the way.

    Raises
    ------
    BookDamaged
        If a row would point to nothing afterwards; the file is then as it was before that step.
    """
    with _writing(path) as connection:
        with connection.begin():
            found = int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
        for step in range(found + 1, version + 1):
            with connection.begin():
                run_upgrades(connection, to=step, upgrades=upgrades)
                _check_rows(connection, path, "could not be upgraded (a row points to nothing)")
                mark_file(connection, step)


@contextmanager
def _writing(path: Path) -> Iterator[Connection]:
    """Give a connection that may rebuild tables: rows are checked at the end, not one by one."""
    engine = make_engine(path)
    try:
        with engine.connect() as plain:
            connection = plain.execution_options(writes=True)
            raw: Any = connection.connection.driver_connection
            raw.execute("PRAGMA foreign_keys = OFF")
            yield connection
            connection.invalidate()
    finally:
        engine.dispose()


def _check_rows(connection: Connection, path: Path, why: str) -> None:
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        raise BookDamaged(path, why)


def give_name(fresh: Path, path: Path) -> None:
    """Link a finished file to its name, which must be free; a rename would replace a file.

    Raises
    ------
    FileExistsError
        If the name is taken.
    """
    try:
        path.hardlink_to(fresh)
    except FileExistsError:
        raise
    except OSError:  # a disk without links, such as a memory stick
        if path.exists():
            raise FileExistsError(str(path)) from None
        fresh.rename(path)


def mark_file(connection: Connection, version: int) -> None:
    """Write into the file's header that it is a book, and how far its tables are."""
    connection.exec_driver_sql(f"PRAGMA application_id = {schema.APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version = {version:d}")
