"""How does a book, new or old, get the tables of this program? By numbered upgrades."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, insert, text

from . import schema
from .backup import BackUp, back_up
from .faults import BookDamaged, NotStored
from .store import make_engine

if TYPE_CHECKING:
    from alembic.config import Config

UPGRADES = Path(__file__).parent / "upgrades"
_NUMBER_TABLE = (
    "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, "
    "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
)


def revision_name(version: int) -> str:
    """Name of an upgrade: 1 -> "0001"."""
    return f"{version:04d}"


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
        _fill(fresh, values)
        _give_name(fresh, path)
    except FileExistsError as fault:
        raise NotStored(f"There is already a file at {path}. It was left as it is.") from fault
    except OSError as fault:
        raise NotStored(f"No book can be made at {path} ({fault}).") from fault
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)


def _fill(fresh: Path, values: Mapping[str, str]) -> None:
    engine = make_engine(fresh)
    try:
        with engine.connect() as plain:
            connection = plain.execution_options(writes=True)
            with connection.begin():
                schema.metadata.create_all(connection)
                connection.exec_driver_sql(_NUMBER_TABLE)
                connection.execute(
                    text("INSERT INTO alembic_version VALUES (:name)"),
                    {"name": revision_name(schema.SCHEMA_VERSION)},
                )
                rows = {"data_version": "0", **values}
                connection.execute(insert(schema.info), [{"key": k, "value": v} for k, v in rows.items()])
                mark_file(connection, schema.SCHEMA_VERSION)
    finally:
        engine.dispose()


def _give_name(fresh: Path, path: Path) -> None:
    """Link the finished file to its name, which must be free; a rename would replace a file."""
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


def upgrade_book(path: Path, *, version: int = schema.SCHEMA_VERSION, upgrades: Path = UPGRADES) -> BackUp:
    """Bring an older book up to `version` in one transaction; gives the copy put aside first.

    Raises
    ------
    BackUpFailed
        If no checked copy could be made; the book is untouched.
    BookDamaged
        If a row would point to nothing afterwards; the book is untouched.
    """
    from alembic import command

    copy = back_up(path, why="before upgrade")
    engine = make_engine(path)
    try:
        with engine.connect() as plain:
            connection = plain.execution_options(writes=True)
            raw: Any = connection.connection.driver_connection
            raw.execute("PRAGMA foreign_keys = OFF")  # tables are rebuilt; checked below instead
            with connection.begin():
                command.upgrade(_config(connection, upgrades), revision_name(version))
                if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
                    raise BookDamaged(path, "could not be upgraded (a row points to nothing)")
                mark_file(connection, version)
            connection.invalidate()
    finally:
        engine.dispose()
    return copy


def build_by_upgrades(connection: Connection, *, upgrades: Path = UPGRADES) -> None:
    """Make all tables of an empty database by running every upgrade from the first on."""
    from alembic import command

    command.upgrade(_config(connection, upgrades), "head")


def _config(connection: Connection, upgrades: Path) -> Config:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(upgrades).replace("%", "%%"))
    config.set_main_option("path_separator", "newline")
    config.attributes["connection"] = connection
    return config
