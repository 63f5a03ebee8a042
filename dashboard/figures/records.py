"""Ledgers of the book's own rows: one table with its columns, and changes that can be opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.figures.markup import (
    Column,
    action,
    cell,
    esc,
    heading,
    link,
    name_cell,
    number_cell,
    row,
    strong,
    sub,
    table,
)

_DEEDS_WIDTH = 16


@dataclass(frozen=True)
class RecordLine:
    """One row of a table as words: its cells in the order of the heads, a second line, and what can be done.

    `actions` are (words, target) pairs; `pale` shows it as set aside.
    """

    cells: tuple[str, ...]
    under: str = ""
    actions: tuple[tuple[str, str], ...] = ()
    pale: bool = False


def records_table(title: str, reading: str, *, heads: Sequence[str], rows: Sequence[RecordLine]) -> str:
    """Write rows of one table; the first cell names the row, the last holds what can be done to it."""
    wide = 1.5
    share = (100 - _DEEDS_WIDTH) / (len(heads) - 1 + wide)
    columns = (
        Column(heads[0], wide * share),
        *(Column(head, share) for head in heads[1:]),
        Column("Change", _DEEDS_WIDTH),
    )
    body = [_record_row(line, heads) for line in rows]
    return heading(title, reading) + table(title, columns, rows=body)


def _record_row(line: RecordLine, heads: Sequence[str]) -> str:
    first, *rest = line.cells
    deeds = " &#160; ".join(action(words, target) for words, target in line.actions)
    cells = [name_cell(strong(first) + sub(line.under))]
    cells += [
        cell(esc(words), label=head, phone=3 if words else 0)
        for words, head in zip(rest, heads[1:], strict=True)
    ]
    return row((*cells, cell(deeds)), "left-out" if line.pale else "")


@dataclass(frozen=True)
class ContentLine:
    """One table of the book: what it holds, how many rows, the newest, and where it is changed."""

    name: str
    link: str
    count: str
    newest: str


def contents_table(title: str, reading: str, *, rows: Sequence[ContentLine]) -> str:
    """Write which tables a book has, each a link to its rows."""
    columns = (Column("What", 46), Column("Newest", 36), Column("Rows", 18, "number"))
    body = [
        row(
            (
                name_cell(link(line.name, line.link), phone=4),
                cell(esc(line.newest), phone=0),
                number_cell(line.count),
            )
        )
        for line in rows
    ]
    return heading(title, reading, spaced=True) + table(title, columns, rows=body)


@dataclass(frozen=True)
class ChangeLine:
    """One change: its sentence, when, what can be done, and its fields before and after once opened."""

    sentence: str
    under: str
    at: str
    details: tuple[str, ...] = ()
    actions: tuple[tuple[str, str], ...] = ()
    pale: bool = False


def changes_table(title: str, reading: str, *, rows: Sequence[ChangeLine]) -> str:
    """Write changes, newest first; an opened one lists what it did, field by field."""
    columns = (Column("What", 56), Column("When, UTC", 22), Column("Change", 22))
    return heading(title, reading, spaced=True) + table(title, columns, rows=[_change_row(r) for r in rows])


def _change_row(line: ChangeLine) -> str:
    details = "".join(sub(words) for words in line.details)
    deeds = " &#160; ".join(action(words, target) for words, target in line.actions)
    cells = (
        name_cell(strong(line.sentence) + sub(line.under) + details),
        cell(esc(line.at), phone=3),
        cell(deeds, phone=3),
    )
    return row(cells, "left-out" if line.pale else "")
