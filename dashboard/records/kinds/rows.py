"""How are the rows of a plain table read, entered, changed, removed and brought in? All by one way."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import fields
from typing import Any, TypeVar

from sqlalchemy import Connection, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.herd.herd_index import HerdIndex, herd_index
from dashboard.records.herd.standing import standing
from dashboard.records.herd.ties import young_follow
from dashboard.records.kinds.kind import Around, RowKind
from dashboard.records.log.changes import check_unneeded
from dashboard.records.log.imports import ImportReceipt, ImportRoom
from dashboard.records.store.edits import Edit, read_row
from dashboard.records.text_fields import name_key

Record = TypeVar("Record")


class RowRoom(ImportRoom):
    """The plain tables of a book."""

    def herd(self) -> HerdIndex:
        """Animals, pairings and clutches by number and name."""
        with self._store.reading() as connection:
            return herd_index(connection)

    def around(self) -> Around:
        """Give what the rules of the plain tables look at."""
        with self._store.reading() as connection:
            return self._around(connection)

    def _around(self, connection: Connection) -> Around:
        return Around(self.today(), self.currency, self.reader, herd_index(connection))

    def rows(self, kind: RowKind[Record]) -> tuple[Record, ...]:
        """All rows of a table, in the order they were entered."""
        with self._store.reading() as connection:
            found = connection.execute(select(kind.table).order_by(kind.table.c.id)).mappings()
            return tuple(record_of(kind, row) for row in found)

    def row(self, kind: RowKind[Record], row_id: int) -> Record:
        """One row; raises `NotStored` if the book has none of this number."""
        with self._store.reading() as connection:
            return record_of(kind, _needed(connection, kind, row_id))

    def add_row(self, kind: RowKind[Record], values: Mapping[str, Any]) -> Record:
        """Store a new row.

        Parameters
        ----------
        kind
            Which table.
        values
            Its columns by name; those that are left out are empty.

        Raises
        ------
        NotStored
            If a value is not allowed, or a row of the same key is there.
        """
        with self._store.editing(f"Entered a {kind.one}") as edit:
            row = kind.check(values, self._around(edit.connection))
            _check_key(edit.connection, kind, row, own_id=None)
            with _true_to_the_young(edit, kind):
                row_id = edit.insert(kind.table, row)
            return record_of(kind, _needed(edit.connection, kind, row_id))

    def change_row(
        self, kind: RowKind[Record], row_id: int, version: int, values: Mapping[str, Any]
    ) -> Record:
        """Change some columns of a row that still has this version; young follow their clutch.

        Raises
        ------
        Conflict
            If it was changed elsewhere since.
        NotStored
            As for `add_row`.
        """
        with self._store.editing(f"Changed a {kind.one}") as edit:
            before = _needed(edit.connection, kind, row_id)
            row = kind.check({**before, **values}, self._around(edit.connection))
            _check_key(edit.connection, kind, row, own_id=row_id)
            wanted = {name: row[name] for name in row if name in values or row[name] != before[name]}
            with _true_to_the_young(edit, kind):
                edit.update(kind.table, row_id, version, wanted, what=f"This {kind.one}")
            return record_of(kind, _needed(edit.connection, kind, row_id))

    def remove_row(self, kind: RowKind[Any], row_id: int, version: int) -> None:
        """Remove a row; raises as `change_row`, and `NotStored` if other rows need it."""
        with self._store.editing(f"Removed a {kind.one}") as edit:
            check_unneeded(edit.connection, kind.table, {row_id}, what=f"This {kind.one}")
            with _true_to_the_young(edit, kind):
                edit.delete(kind.table, row_id, version, what=f"This {kind.one}")

    def add_rows(
        self, kind: RowKind[Any], rows: Sequence[Mapping[str, Any]], import_name: str
    ) -> ImportReceipt:
        """Store the rows of one file in one step; those the book holds already are left out.

        Raises
        ------
        NotStored
            If one of them is not allowed; then none is stored.
        """
        around = self.around()
        checked = [kind.check(row, around) for row in rows]
        return self._import_rows(
            kind.table, checked, import_name, sameness=lambda row: row_sameness(kind, row)
        )


@contextmanager
def _true_to_the_young(edit: Edit, kind: RowKind[Any]) -> Iterator[None]:
    """Let young follow a change of what tells who their parents are; refuse what can't be."""
    if kind.table not in (schema.clutches, schema.further_sires):
        yield
        return
    with standing(edit.connection), young_follow(edit):
        yield


def record_of(kind: RowKind[Record], row: Mapping[Any, Any]) -> Record:
    """Record of a stored row."""
    return kind.record(**{field.name: row[field.name] for field in fields(kind.record)})  # type: ignore[arg-type]


def row_sameness(kind: RowKind[Any], row: Mapping[Any, Any]) -> Hashable:
    """Give what two rows must share to be the same: every column a breeder fills."""
    return tuple(name_key(row[name]) if isinstance(row[name], str) else row[name] for name in kind.columns)


def _needed(connection: Connection, kind: RowKind[Any], row_id: int) -> dict[str, Any]:
    found = read_row(connection, kind.table, row_id)
    if found is None:
        raise NotStored(f"No {kind.one} has the number {row_id} in this book.")
    return found


def _check_key(
    connection: Connection, kind: RowKind[Any], row: Mapping[str, Any], *, own_id: int | None
) -> None:
    """Refuse a second row of the same key."""
    if not kind.key:
        return
    query = select(kind.table.c.id)
    for name in kind.key:
        query = query.where(kind.table.c[name] == row[name])
    found = connection.execute(query).scalar_one_or_none()
    if found is not None and found != own_id:
        raise NotStored(f"The book has a {kind.one} for this already. Change that one.")
