"""What was done to the book, and how is it taken back? A list of edits, newest first."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any

from sqlalchemy import Connection, Select, Table, delete, func, insert, select, update

from dashboard.records import schema
from dashboard.records.faults import Conflict, NotStored
from dashboard.records.log.imports import mark_undone
from dashboard.records.parts import BookPart
from dashboard.records.store.edits import Edit, read_row, row_from_text, same_content

ROW_WORDS = {
    "animals": ("animal", "animals"),
    "pairings": ("pairing", "pairings"),
    "further_sires": ("further sire of a pairing", "further sires of pairings"),
    "clutches": ("clutch", "clutches"),
    "weights": ("weight", "weights"),
    "gene_tests": ("gene test", "gene tests"),
    "price_observations": ("price", "prices"),
    "supply_counts": ("supply count", "supply counts"),
    "pipeline_notes": ("note of expected young", "notes of expected young"),
    "exchange_rates": ("exchange rate", "exchange rates"),
    "shows": ("show", "shows"),
    "spending": ("sum spent", "sums spent"),
    "assumptions": ("own cost figure", "own cost figures"),
    "pairing_assumptions": ("own figure of a pairing", "own figures of pairings"),
    "own_genes": ("own gene", "own genes"),
}
"""What one row and several rows of a table are called."""


@dataclass(frozen=True)
class ChangedRow:
    """One row of an edit: before and after as JSON; None where there was or is no row."""

    table: str
    row_id: int
    before: str | None
    after: str | None


@dataclass(frozen=True)
class Change:
    """One edit of the past, newest first in the list.

    Attributes
    ----------
    edit
        Number of the edit; give it to `undo`.
    at, sentence
        Time (ISO 8601, UTC) and what was done.
    rows
        The rows it touched; empty for an import.
    import_id
        Number of the import, if it was one.
    undone_at
        When it was taken back, or None.
    undoes
        Number of the edit it took back, or None.
    """

    edit: int
    at: str
    sentence: str
    rows: tuple[ChangedRow, ...]
    import_id: int | None
    undone_at: str | None
    undoes: int | None = None


class ChangeRoom(BookPart):
    """The list of changes of a book, and undo."""

    def changes(self, *, newest: int = 50) -> tuple[Change, ...]:
        """List the newest edits, those that were undone included."""
        table = schema.changes
        with self._store.reading() as connection:
            edits = select(table.c.edit).distinct().order_by(table.c.edit.desc()).limit(newest)
            numbers = connection.execute(edits).scalars().all()
            if not numbers:
                return ()
            query = select(table).where(table.c.edit >= numbers[-1])
            rows = connection.execute(query.order_by(table.c.edit.desc(), table.c.id)).mappings().all()
        return tuple(_change(list(group)) for _, group in groupby(rows, key=lambda row: row["edit"]))

    def undo_last(self) -> Change:
        """Take back the newest edit that was not taken back yet, an import included.

        Raises
        ------
        NotStored
            If there is nothing to take back, or other rows need what would go.
        Conflict
            If a row no longer says what the edit left there.
        """
        table = schema.changes
        with self._store.editing("Undo") as edit:
            newest = edit.connection.execute(
                select(func.max(table.c.edit)).where(table.c.undone_at.is_(None), table.c.undoes.is_(None))
            ).scalar_one()
            if newest is None:
                raise NotStored("There is nothing to undo.")
            with self._still_true(edit.connection):
                return _take_back(edit, int(newest))

    def undo(self, edit_number: int) -> Change:
        """Take back one edit, if nothing has changed its rows since; raises as `undo_last`.

        What took an edit back can be taken back as well; then that edit holds again.
        """
        with self._store.editing("Undo") as edit, self._still_true(edit.connection):
            return _take_back(edit, edit_number)

    def undo_import(self, import_id: int) -> int:
        """Remove the rows of one import, however long ago; gives how many were removed.

        Raises
        ------
        NotStored
            If there is no such import, it was undone before, or other rows need its rows.
        """
        with self._store.editing("Undo an import") as edit, self._still_true(edit.connection):
            return _take_back_import(edit, import_id)

    def _still_true(self, connection: Connection) -> AbstractContextManager[None]:
        """Refuse an undo after which rows contradict each other; the whole book knows its rules."""
        raise NotImplementedError(connection)


def _change(rows: Sequence[Any]) -> Change:
    first = rows[0]
    touched = tuple(
        ChangedRow(row["table_name"], row["row_id"], row["before"], row["after"])
        for row in rows
        if row["import_id"] is None
    )
    return Change(
        edit=first["edit"],
        at=first["at"],
        sentence=first["sentence"],
        rows=touched,
        import_id=first["import_id"],
        undone_at=first["undone_at"],
        undoes=first["undoes"],
    )


def _take_back(edit: Edit, number: int) -> Change:
    table = schema.changes
    rows = (
        edit.connection.execute(select(table).where(table.c.edit == number).order_by(table.c.id))
        .mappings()
        .all()
    )
    if not rows:
        raise NotStored(f"No edit has the number {number} in this book.")
    if rows[0]["undone_at"] is not None:
        raise NotStored("This edit was already taken back.")
    change = _change(rows)
    if change.import_id is not None:
        if change.undoes is not None:
            raise NotStored("The rows of a file that were taken out come back by bringing the file in again.")
        _take_back_import(edit, change.import_id)
        return change
    undo = replace(edit, sentence=_undo_sentence(change), undoes=number)
    for row in reversed(change.rows):
        _put_back(undo, row, change.sentence)
    edit.connection.execute(update(table).where(table.c.edit == number).values(undone_at=edit.at))
    if change.undoes is not None:
        again = update(table).where(table.c.edit == change.undoes)
        edit.connection.execute(again.values(undone_at=None))
    return change


def _undo_sentence(change: Change) -> str:
    return (
        f"Took back: {change.sentence}"
        if change.undoes is None
        else change.sentence.replace("Took back: ", "Did again: ", 1)
    )


def _put_back(edit: Edit, row: ChangedRow, sentence: str) -> None:
    """Give one row its old content under a new version."""
    table = schema.EDITABLE[row.table]
    stored = read_row(edit.connection, table, row.row_id)
    expected = row.after
    agrees = expected is None if stored is None else expected is not None and same_content(stored, expected)
    if not agrees:
        _refuse_undo(stored, row, table, sentence)
    if row.before is None:
        edit.connection.execute(delete(table).where(table.c.id == row.row_id))
        edit.log(table, row.row_id, before=stored, after=None)
        return
    values = row_from_text(table, row.before) | {"version": edit.number}
    if stored is None:
        edit.connection.execute(insert(table).values(**values))
    else:
        edit.connection.execute(update(table).where(table.c.id == row.row_id).values(**values))
    edit.log(table, row.row_id, before=stored, after=values)


def _refuse_undo(stored: dict[str, Any] | None, row: ChangedRow, table: Table, sentence: str) -> None:
    if stored is None or row.after is None:
        raise NotStored(f"“{sentence}” can't be taken back: its row was added or removed since.")
    ours = row_from_text(table, row.after)
    differing = [name for name in ours if stored.get(name) != ours[name]]
    raise Conflict(
        f"What “{sentence}” left",
        yours={name: ours[name] for name in differing},
        stored={name: stored[name] for name in differing},
        stored_version=int(stored["version"]),
    )


def _take_back_import(edit: Edit, import_id: int) -> int:
    found = read_row(edit.connection, schema.imports, import_id)
    if found is None:
        raise NotStored(f"No import has the number {import_id} in this book.")
    if found["undone_at"] is not None:
        raise NotStored("This import was already taken back.")
    came = {
        table.name: set(
            edit.connection.execute(select(table.c.id).where(table.c.import_id == import_id)).scalars()
        )
        for table in schema.EDITABLE.values()
    }
    for name, ids in came.items():
        if ids:
            _check_nothing_needs(edit.connection, schema.EDITABLE[name], ids, found)
    animals = schema.animals
    if came["animals"]:  # a young animal points to its clutch, a clutch to its parents
        edit.connection.execute(
            update(animals).where(animals.c.import_id == import_id).values(clutch_id=None)
        )
    for name in reversed(came):
        if came[name]:
            table = schema.EDITABLE[name]
            edit.connection.execute(delete(table).where(table.c.import_id == import_id))
            _close_later_edits(edit, table, came[name])
    _close_removals(edit, import_id)
    mark_undone(edit.connection, import_id, edit.at)
    log = schema.changes
    entry = select(log.c.edit, log.c.table_name).where(log.c.import_id == import_id)
    number, name = edit.connection.execute(entry).one()
    edit.connection.execute(update(log).where(log.c.import_id == import_id).values(undone_at=edit.at))
    undo = replace(edit, sentence=f"Took out the rows of {found['name']}", undoes=int(number))
    undo.log_import(schema.EDITABLE[name], import_id)
    return sum(len(ids) for ids in came.values())


def check_unneeded(
    connection: Connection,
    table: Table,
    ids: set[int],
    *,
    what: str,
    going: Callable[[Table], Select[Any] | None] = lambda table: None,  # noqa: ARG005 - nothing else goes
) -> None:
    """Refuse to remove rows that others point to.

    Parameters
    ----------
    connection
        Inside the open transaction.
    table, ids
        Rows that are to go.
    what
        Their name at the start of a sentence ("This clutch").
    going
        For a table, a query for the numbers of its rows that go as well, so that they don't count.

    Raises
    ------
    NotStored
        If a row that stays needs one of them; says how many of which.
    """
    for other in schema.EDITABLE.values():
        columns = [column for column in other.columns if column.references(table.c.id)]
        if not columns:
            continue
        also = going(other)
        leaving = set() if also is None else set(connection.execute(also).scalars())
        rows = connection.execute(select(other.c.id, *columns))
        needed = [row for row in rows if row[0] not in leaving and ids.intersection(row[1:])]
        if needed:
            one, many = ROW_WORDS[other.name]
            words = f"{one} needs" if len(needed) == 1 else f"{many} need"
            it = "it" if len(ids) == 1 else "them"
            raise NotStored(f"{what} can't go: {len(needed)} {words} {it}. Remove or change that first.")


def _check_nothing_needs(connection: Connection, table: Table, ids: set[int], record: dict[str, Any]) -> None:
    """Refuse to remove imported rows that rows entered otherwise point to."""

    def going(other: Table) -> Select[Any]:
        return select(other.c.id).where(other.c.import_id == record["id"])

    check_unneeded(connection, table, ids, what=f"Rows of “{record['name']}”", going=going)


def _close_removals(edit: Edit, import_id: int) -> None:
    """Rows of an import that were removed before it was taken back don't come back without it either."""
    log = schema.changes
    query = select(log.c.edit, log.c.before).where(
        log.c.after.is_(None), log.c.undone_at.is_(None), log.c.before.contains(f'"import_id": {import_id}')
    )
    found = edit.connection.execute(query).all()
    gone = {row.edit for row in found if json.loads(row.before).get("import_id") == import_id}
    if gone:
        edit.connection.execute(update(log).where(log.c.edit.in_(gone)).values(undone_at=edit.at))


def _close_later_edits(edit: Edit, table: Table, ids: set[int]) -> None:
    """Edits of rows that went with their import can't be taken back any more: mark them so."""
    log = schema.changes
    query = select(log.c.edit, log.c.row_id).where(
        log.c.table_name == table.name, log.c.import_id.is_(None), log.c.undone_at.is_(None)
    )
    gone = {row.edit for row in edit.connection.execute(query) if row.row_id in ids}
    if gone:
        edit.connection.execute(update(log).where(log.c.edit.in_(gone)).values(undone_at=edit.at))
