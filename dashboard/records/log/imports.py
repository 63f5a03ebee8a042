"""How does a checked file enter the book: all of it in one transaction, nothing twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Table, insert, select, update

from dashboard.records import schema
from dashboard.records.parts import BookPart
from dashboard.records.store.edits import Edit, NothingChanged
from dashboard.records.store.store import read_counter
from dashboard.records.text_fields import tidy

Sameness = Callable[[Mapping[Any, Any]], Hashable]
"""Gives what two rows must share to be the same."""


@dataclass(frozen=True)
class ImportReceipt:
    """What an import added.

    Attributes
    ----------
    import_id
        Number under which it can be undone; None if nothing was new, so nothing was stored.
    added, duplicates
        Rows stored, and rows left out because the book held them already.
    """

    import_id: int | None
    added: int
    duplicates: int


@dataclass(frozen=True)
class ImportRecord:
    """One import of the past."""

    id: int
    at: str
    name: str
    kind: str
    added: int
    duplicates: int
    undone_at: str | None


class ImportRoom(BookPart):
    """The imports of a book."""

    def imports(self) -> tuple[ImportRecord, ...]:
        """All imports, newest first, with those that were undone."""
        table = schema.imports
        with self._store.reading() as connection:
            rows = connection.execute(select(table).order_by(table.c.id.desc())).mappings()
            return tuple(ImportRecord(**row) for row in rows)

    def _import_rows(
        self,
        table: Table,
        rows: Sequence[Mapping[str, Any]],
        import_name: str,
        *,
        sameness: Sameness,
        put: Put | None = None,
        on_progress: Callable[[int, int], None] | None = None,
    ) -> ImportReceipt:
        """Store the rows the book does not hold yet, in one edit with a number of its own.

        What `on_progress` raises ends the edit; nothing is stored then.
        """
        name = tidy(import_name, what="The name of the import", longest=LONGEST_IMPORT_NAME)
        with self._store.reading() as connection:
            seen = read_counter(connection)
            new = new_rows(connection, table, rows, sameness=sameness)
        if not new:
            return ImportReceipt(None, added=0, duplicates=len(rows))
        receipt = ImportReceipt(None, added=0, duplicates=len(rows))
        with self._store.editing(f"Imported {name}") as edit:
            if edit.number != seen + 1:  # another window wrote in between
                new = new_rows(edit.connection, table, rows, sameness=sameness)
            if not new:
                raise NothingChanged
            duplicates = len(rows) - len(new)
            import_id = open_import(edit, table.name, name, added=len(new), duplicates=duplicates)
            (put or put_in(table, on_progress))(edit, new, import_id)
            edit.log_import(table, import_id)
            receipt = ImportReceipt(import_id, added=len(new), duplicates=duplicates)
        return receipt  # noqa: RET504 - an edit that changes nothing ends the block early


LONGEST_IMPORT_NAME = 200
ROWS_AT_ONCE = 2_000
Put = Callable[[Edit, Sequence[Mapping[str, Any]], int], None]
"""Stores rows of one import inside its edit."""


def open_import(edit: Edit, kind: str, name: str, *, added: int, duplicates: int = 0) -> int:
    """Enter an import in the list of imports; gives its number."""
    result = edit.connection.execute(
        insert(schema.imports).values(at=edit.at, name=name, kind=kind, added=added, duplicates=duplicates)
    )
    key = result.inserted_primary_key
    assert key is not None  # noqa: S101 - one row was inserted one line above
    return int(key[0])


def put_in(table: Table, on_progress: Callable[[int, int], None] | None = None) -> Put:
    """Give what stores whole rows of a table as they are, some thousand at a time."""

    def put(edit: Edit, rows: Sequence[Mapping[str, Any]], import_id: int) -> None:
        marks = {"version": edit.number, "import_id": import_id}
        for start in range(0, len(rows), ROWS_AT_ONCE):
            if on_progress is not None:
                on_progress(start, len(rows))
            edit.connection.execute(
                insert(table), [{**row, **marks} for row in rows[start : start + ROWS_AT_ONCE]]
            )

    return put


def new_rows(
    connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]], *, sameness: Sameness
) -> list[Mapping[str, Any]]:
    """Rows that the book does not hold yet.

    Equal rows are counted, not merged: a file that says the same price three times adds three, and
    adds nothing when it is imported again.
    """
    stored = connection.execute(select(table)).mappings()
    return [
        row for row, is_new in zip(rows, mark_new(rows, stored, sameness=sameness), strict=True) if is_new
    ]


def mark_new(
    rows: Iterable[Mapping[str, Any]], stored: Iterable[Mapping[Any, Any]], *, sameness: Sameness
) -> list[bool]:
    """For each row whether it is new beside what is stored; each stored row stands for one row only."""
    left: Counter[Hashable] = Counter(sameness(row) for row in stored)
    marks = []
    for row in rows:
        key = sameness(row)
        marks.append(left[key] == 0)
        if left[key]:
            left[key] -= 1
    return marks


def mark_undone(connection: Connection, import_id: int, at: str) -> None:
    """Note that an import was taken back."""
    table = schema.imports
    connection.execute(update(table).where(table.c.id == import_id).values(undone_at=at))
