"""Which rows does a file hold, and by which names go their cells? A column per month gives a row per cell."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from .cells import as_text
from .grid import Cell, FormulaOnly, Line
from .guess import Guess
from .tables import BY_MONTH

_ODD = ("=", "#", "{")  # how formulas and errors begin
_ERROR_WORD = re.compile(r"#(?:REF!|N/A|VALUE!|DIV/0!|NAME\?|NUM!|NULL!|SPILL!|CALC!)")


class RowRefused(Exception):
    """One row can't be added; carries the column, what was written, and why."""

    def __init__(self, column: str, written: str, why: str, nearest: tuple[str, ...] = ()) -> None:
        super().__init__(why)
        self.column = column
        self.written = written
        self.why = why
        self.nearest = nearest


class Entry(NamedTuple):
    """One row to be tried.

    Attributes
    ----------
    line
        The line of the file it stands on.
    cells
        Its cells by the names of their fields.
    place
        Position of its column, from 0, where a column stands for a month; None else.
    fault
        Why it can't be tried at all, if it can't.
    """

    line: Line
    cells: Mapping[str, Cell]
    place: int | None = None
    fault: RowRefused | None = None


def entries_of(lines: tuple[Line, ...], guess: Guess) -> Iterator[Entry]:
    """Rows of the lines below the heads: one a line, or one a filled cell where columns stand for months."""
    plain = [(name, place) for name, place in guess.columns.items() if not guess.by_month or name != "on"]
    heads = len(guess.headers)
    for line in lines:
        fault = _fault(line, heads, plain)
        count = len(line.cells)
        cells = {name: line.cells[place] if place < count else "" for name, place in plain}
        if not guess.by_month:
            yield Entry(line, cells, None, fault)
            continue
        for place, month in guess.months:
            cell = line.cells[place] if place < count else ""
            if as_text(cell):
                own = {**cells, "on": month, BY_MONTH[guess.kind]: cell}
                wrong = fault or _odd_cell(BY_MONTH[guess.kind], cell)
                yield Entry(line, own, place, wrong)


def _fault(line: Line, heads: int, columns: list[tuple[str, int]]) -> RowRefused | None:
    """Say why a line can't be tried at all: cells beyond the heads, formulas, errors of a spreadsheet."""
    count = len(line.cells)
    if count > heads and any(as_text(cell) for cell in line.cells[heads:]):
        extra = next(as_text(cell) for cell in line.cells[heads:] if as_text(cell))
        return RowRefused("", extra, f"The row has more cells than heads ({count} against {heads}).")
    if not [1 for cell in line.cells if isinstance(cell, str) and cell[:1] in _ODD]:
        return None
    for name, place in columns:
        if place < count:
            fault = _odd_cell(name, line.cells[place])
            if fault is not None:
                return fault
    return None


def _odd_cell(name: str, cell: Cell) -> RowRefused | None:
    if isinstance(cell, FormulaOnly):
        return RowRefused(
            name,
            str(cell),
            "The cell holds a formula without its result, and no formula is run here. Open the file in a "
            "spreadsheet, save it, and bring it in again.",
        )
    if isinstance(cell, str) and cell.startswith("#") and _ERROR_WORD.fullmatch(cell.strip()):
        return RowRefused(name, cell, "The cell holds an error of the spreadsheet, not a value.")
    return None
