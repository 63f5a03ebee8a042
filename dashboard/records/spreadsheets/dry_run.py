"""What would an import do? Each row is good, refused with its reason, or there already."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from dashboard.records.imports import mark_new

from .cells import CellRefused, as_text
from .grid import Cell, FileRefused, Line, shield
from .guess import Guess, read_lines

Record = TypeVar("Record")


@dataclass(frozen=True)
class GoodRow(Generic[Record]):
    """One row that can be added: its line, and the record made of it."""

    line: int
    record: Record


@dataclass(frozen=True)
class RefusedRow:
    """One row that can't be added.

    Attributes
    ----------
    line
        Number of its line in the file.
    written, why
        The cell at fault as it was written, and the reason as a sentence.
    column
        Head of the column at fault.
    cells
        The whole row as it was written.
    nearest
        Names that may have been meant.
    """

    line: int
    written: str
    why: str
    column: str
    cells: tuple[str, ...]
    nearest: tuple[str, ...] = ()


@dataclass(frozen=True)
class DuplicateRow:
    """One row the book holds already: its line, and the row as it was written."""

    line: int
    written: str


@dataclass(frozen=True)
class DryRun(Generic[Record]):
    """What an import would do; nothing is stored yet. Good, refused and duplicate rows add up to all.

    Attributes
    ----------
    guess
        How the file was read.
    total
        Rows of the file, blank lines and heads left out.
    """

    guess: Guess
    total: int
    good: tuple[GoodRow[Record], ...]
    refused: tuple[RefusedRow, ...]
    duplicates: tuple[DuplicateRow, ...]

    @property
    def records(self) -> tuple[Record, ...]:
        """Records that would be added."""
        return tuple(row.record for row in self.good)

    @property
    def sentence(self) -> str:
        """Outcome in one sentence."""
        parts = [f"{len(self.good)} of {self.total} rows can be added"]
        if self.refused:
            parts.append(f"{len(self.refused)} {'was' if len(self.refused) == 1 else 'were'} refused")
        if self.duplicates:
            verb = "is" if len(self.duplicates) == 1 else "are"
            parts.append(f"{len(self.duplicates)} {verb} in the book already")
        return "; ".join(parts)


class RowRefused(Exception):
    """One row can't be added; carries the column, what was written, and why."""

    def __init__(self, column: str, written: str, why: str, nearest: tuple[str, ...] = ()) -> None:
        super().__init__(why)
        self.column = column
        self.written = written
        self.why = why
        self.nearest = nearest


Cells = Mapping[str, Cell]


def check_lines(
    data: bytes,
    guess: Guess,
    *,
    make: Callable[[Cells], Record],
    as_row: Callable[[Record], Mapping[Any, Any]],
    stored: Iterable[Mapping[Any, Any]],
    sameness: Callable[[Mapping[Any, Any]], Hashable],
) -> DryRun[Record]:
    """Try every line of a file: `make` turns its cells into a record or raises `RowRefused`.

    Raises
    ------
    FileRefused
        If a needed column is missing.
    """
    if guess.missing:
        raise FileRefused(
            f"No column for {' and '.join(guess.missing)}. The file has: {', '.join(guess.headers)}."
        )
    lines = read_lines(data, guess)
    made: list[GoodRow[Record]] = []
    refused: list[RefusedRow] = []
    for line in lines:
        try:
            made.append(GoodRow(line.number, make(_named(line, guess))))
        except RowRefused as fault:
            refused.append(_refused_row(line, guess, fault))
    marks = mark_new([as_row(row.record) for row in made], stored, sameness=sameness)
    good = tuple(row for row, is_new in zip(made, marks, strict=True) if is_new)
    known = {row.line for row, is_new in zip(made, marks, strict=True) if not is_new}
    duplicates = tuple(
        DuplicateRow(line.number, "; ".join(as_text(cell) for cell in line.cells))
        for line in lines
        if line.number in known
    )
    return DryRun(guess, len(lines), good, tuple(refused), duplicates)


def _named(line: Line, guess: Guess) -> dict[str, Cell]:
    """Cells of a line by the name of their column; a line that is too short has empty ones."""
    count = len(line.cells)
    if any(as_text(cell) for cell in line.cells[len(guess.headers) :]):
        extra = as_text(line.cells[len(guess.headers)])
        raise RowRefused(
            "", extra, f"The row has more cells than heads ({count} against {len(guess.headers)})."
        )
    return {
        name: line.cells[position] if position < count else "" for name, position in guess.columns.items()
    }


def _refused_row(line: Line, guess: Guess, fault: RowRefused) -> RefusedRow:
    position = guess.columns.get(fault.column)
    return RefusedRow(
        line=line.number,
        written=fault.written,
        why=fault.why,
        column=fault.column if position is None else guess.headers[position],
        cells=tuple(as_text(cell) for cell in line.cells),
        nearest=fault.nearest,
    )


Value = TypeVar("Value")


def read_cell(cells: Cells, name: str, read: Callable[[Cell], Value]) -> Value:
    """Value of one cell; a refusal names the column and what was written."""
    cell = cells.get(name, "")
    try:
        return read(cell)
    except CellRefused as fault:
        raise RowRefused(name, as_text(cell), str(fault)) from fault


def refused_as_csv(run: DryRun[Any]) -> bytes:
    """Refused rows as a CSV file with a last column "why": mend it and import it again."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=run.guess.separator or ",", lineterminator="\r\n")
    width = len(run.guess.headers)
    writer.writerow([*(shield(head) for head in run.guess.headers), "why"])
    for row in run.refused:
        padded: Sequence[str] = (*row.cells, *[""] * width)[:width]
        beyond = row.cells[width:]  # stay beyond the heads, so that such a row is refused until it is mended
        writer.writerow([shield(cell) for cell in (*padded, row.why, *beyond)])
    return out.getvalue().encode("utf-8-sig")
