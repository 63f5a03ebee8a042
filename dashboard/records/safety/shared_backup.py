"""How is a shared book put aside as a file, and how does a file take a shared book's place?"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from sqlalchemy import Connection, delete, text

from dashboard.records import schema
from dashboard.records.faults import BackUpFailed, BookForeign, NotStored
from dashboard.records.safety.file_contents import LAST_EDIT, contents
from dashboard.records.safety.row_copies import (
    copy_rows,
    count_rows,
    raise_numbers,
    read_numbers,
    remove_rows,
    tables_of,
)
from dashboard.records.store.addresses import SharedAddress
from dashboard.records.store.book_file import inspect_file
from dashboard.records.store.file_tables import bring_up_file, fill_file
from dashboard.records.store.info_rows import COUNTER, put_info, read_info
from dashboard.records.store.postgres_engine import lock_writers_out
from dashboard.records.store.shared_tables import MARK, MARK_VALUE, reaching, read_version
from dashboard.records.store.sqlite_engine import make_engine
from dashboard.records.store.versions import UPGRADES


def write_copy(address: SharedAddress, target: Path, *, upgrades: Path = UPGRADES) -> None:
    """Write all rows of a shared book, as they are at one moment, into a new book file, and check it.

    A book that an older program wrote gets a file of the same older version.

    Raises
    ------
    BookError
        If the server can't be reached or the copy does not hold what the book holds.
    """
    target.touch(exist_ok=False)
    with reaching(address) as engine, engine.connect() as plain:
        source = plain.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
        version = read_version(source, address, known_version=2**31 - 1)
        if version is None:
            raise BookForeign(f"The database {address.database} is empty.")

        def fill(connection: Connection) -> None:
            ours = version == schema.SCHEMA_VERSION
            tables = tuple(schema.metadata.tables.values()) if ours else tables_of(connection)
            copied = copy_rows(source, connection, tables)
            if not copied == count_rows(source, tables) == count_rows(connection, tables):
                raise BackUpFailed("the copy does not hold what the book holds")
            raise_numbers(connection, read_numbers(source, tables))

        fill_file(target, fill, version=version, upgrades=upgrades)
        inspect_file(target, known_version=2**31 - 1)
        counter = int(read_info(source)[COUNTER])
    if contents(target)[LAST_EDIT] != counter:
        raise BackUpFailed("the copy is of another moment than it should be")


def replace_rows(address: SharedAddress, copy: Path) -> None:
    """Put all rows of a checked book file in place of a shared book's, in one transaction.

    Edits are counted on, so that no window takes old rows for its own.

    Raises
    ------
    NotStored
        If somebody else is writing; the book is as it was.
    BookError
        If the server can't be reached, or the file can't be brought up to this program's tables.
    """
    with tempfile.TemporaryDirectory(prefix="hatchmargin-") as folder:
        present = Path(folder) / "copy.sqlite"
        shutil.copyfile(copy, present)
        bring_up_file(present)
        source_engine = make_engine(present)
        try:
            with reaching(address) as engine, engine.begin() as target, source_engine.connect() as source:
                target.execute(text("SET LOCAL idle_in_transaction_session_timeout = 0"))
                lock_writers_out(target)
                if read_version(target, address) != schema.SCHEMA_VERSION:
                    raise NotStored("The shared book has other tables than this program. Start it again.")
                _replace(source, target)
        finally:
            source_engine.dispose()


def _replace(source: Connection, target: Connection) -> None:
    tables = tuple(table for table in schema.metadata.tables.values() if table is not schema.info)
    numbers = read_numbers(target, tables)
    remove_rows(target, tables)
    copied = copy_rows(source, target, tables)
    if copied != count_rows(target, tables):
        raise NotStored("Not every row came over. The book is as it was.")
    for name, number in read_numbers(source, tables).items():
        numbers[name] = max(number, numbers.get(name, 0))
    raise_numbers(target, numbers)
    _replace_info(target, read_info(source))


def _replace_info(target: Connection, values: dict[str, str]) -> None:
    """Write what the book says of itself; the row that writers wait for is never removed."""
    present = read_info(target)
    counted = max(int(present[COUNTER]), int(values[COUNTER])) + 1
    put_info(target, {**values, COUNTER: str(counted), MARK: MARK_VALUE})
    gone = set(present) - set(values) - {MARK}
    if gone:
        target.execute(delete(schema.info).where(schema.info.c.key.in_(gone)))
