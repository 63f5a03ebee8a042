"""Which rows of a file are good rows of a plain table? Tried by the table's own rules, not stored."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from dashboard.records.faults import NotStored
from dashboard.records.fields import Field
from dashboard.records.kinds import RowKind
from dashboard.records.kinds.kind import Around
from dashboard.records.kinds.rows import row_sameness
from dashboard.records.text_fields import name_key
from econ.money import exact_amount

from .cells import as_text
from .columns_at_fault import Check, checked, otherwise, same_again
from .dry_run import DryRun, Rules, check_lines
from .entries import Entry, RowRefused
from .guess import Guess
from .pacing import Progress
from .values import Reading, RowReader

Row = Mapping[str, Any]


@dataclass(frozen=True)
class KeyedTable:
    """What is needed to try rows of a table of which no two have the same key.

    Attributes
    ----------
    one
        What one row is called.
    fields, key
        Its columns, and those of which no two rows have the same.
    check
        Gives the row as it is stored; raises `NotStored`.
    sift
        Looks at all new rows together, as `Rules.sift`.
    """

    one: str
    fields: tuple[Field, ...]
    key: tuple[str, ...]
    check: Check
    sift: Callable[[Sequence[Row]], Mapping[int, RowRefused]] = lambda rows: {}  # noqa: ARG005


def check_rows(
    data: bytes,
    guess: Guess,
    kind: RowKind[Any],
    *,
    around: Around,
    stored: Sequence[Row],
    on_progress: Progress | None = None,
) -> DryRun[Row]:
    """Try a file of one of the plain tables without storing anything.

    Parameters
    ----------
    data, guess
        The file, and how it is read.
    kind
        Which table.
    around
        What the rules look at beside the row.
    stored
        Rows of the book.
    on_progress
        Told how far it is.

    Raises
    ------
    FileRefused
        If a needed column is missing or the file can't be read as the guess says.
    """
    reading = Reading(guess.date_order, guess.decimal, around.currency, around.herd)
    if kind.key:
        table = KeyedTable(kind.one, kind.fields, kind.key, lambda values: _fitting(kind, values, around))
        return check_keyed(data, guess, table, reading=reading, stored=stored, on_progress=on_progress)
    rows = RowReader(kind.fields, reading)

    def make(entry: Entry) -> Row:
        row: Row = checked(
            lambda values: _fitting(kind, values, around), rows.read(entry), entry, kind.fields
        )
        return row

    rules = Rules(make=make, as_row=dict, stored=stored, sameness=lambda row: row_sameness(kind, row))
    return check_lines(data, guess, rules, on_progress=on_progress)


def _fitting(kind: RowKind[Any], values: Row, around: Around) -> dict[str, Any]:
    """Row as its rules give it, if every text fits its column; raises `NotStored`."""
    row = kind.check(values, around)
    for name, value in row.items():
        longest = getattr(kind.table.c[name].type, "length", None)
        if isinstance(value, str) and longest is not None and len(value) > longest:
            raise NotStored("It has letters that are written out too long. Use plainer ones.")
    return row


def check_keyed(
    data: bytes,
    guess: Guess,
    table: KeyedTable,
    *,
    reading: Reading,
    stored: Sequence[Row],
    on_progress: Progress | None = None,
) -> DryRun[Row]:
    """Try a file of a table of which no two rows have the same key; raises as `check_rows`."""
    rows = RowReader(table.fields, reading)
    there = {_key(table, row): row for row in stored}
    seen: dict[Hashable, tuple[int, Row]] = {}

    def make(entry: Entry) -> Row:
        row: Row = checked(table.check, rows.read(entry), entry, table.fields)
        key = _key(table, row)
        first = next(field for field in table.fields if as_text(entry.cells.get(field.name, "")))
        if key in seen:
            line, other = seen[key]
            why = same_again(line) if dict(other) == dict(row) else f"Line {line} has a {table.one} for this."
            raise RowRefused(first.name, as_text(entry.cells[first.name]), why)
        if key in there:
            _refuse_other(entry, row, there[key], table)
        seen[key] = (entry.line.number, row)
        return row

    rules = Rules(
        make=make,
        as_row=lambda row: {"key": _key(table, row)},
        stored=[{"key": key} for key in there],
        sameness=lambda row: row["key"],
        sift=table.sift,
    )
    return check_lines(data, guess, rules, on_progress=on_progress)


def _key(table: KeyedTable, row: Row) -> Hashable:
    return tuple(_plain(row[name]) for name in table.key)


def _plain(value: object) -> object:
    return name_key(value) if isinstance(value, str) else value


def _refuse_other(entry: Entry, row: Row, stored: Row, table: KeyedTable) -> None:
    """Refuse a row of a known key that says something else than the book where it says anything."""
    for field in table.fields:
        written = as_text(entry.cells.get(field.name, ""))
        if written and _plain(row[field.name]) != _plain(stored[field.name]):
            why = otherwise(f"a {table.one} for this", field.header, _shown(field, stored))
            raise RowRefused(field.name, written, why)


def _shown(field: Field, row: Row) -> object:
    value = row[field.name]
    if field.kind == "money" and value is not None:
        return f"{exact_amount(value, row[field.currency])} {row[field.currency]}"
    if field.kind == "answer":
        return "yes" if value else "no"
    return value.isoformat() if isinstance(value, date) else value
