"""What would an import do? Each row is good, refused with its reason, or there already."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from dashboard.records.log.imports import mark_new

from .cells import as_text
from .entries import Entry, RowRefused, entries_of
from .grid import FileRefused, shield
from .guess import Guess, read_lines
from .pacing import Pace, Progress

Record = TypeVar("Record")
Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
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
        Head of the column at fault; with a column per month, the head of that column.
    cells
        The whole line as it was written.
    nearest
        Names that may have been meant.
    place
        Position of its column, from 0, where a column stands for a month; None else.
    """

    line: int
    written: str
    why: str
    column: str
    cells: tuple[str, ...]
    nearest: tuple[str, ...] = ()
    place: int | None = None


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
        Rows of the file, blank lines and heads left out; with a column per month, its filled cells.
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
        rows = "cells" if self.guess.by_month else "rows"
        parts = [f"{len(self.good)} of {self.total} {rows} can be added"]
        if self.refused:
            parts.append(f"{len(self.refused)} {'was' if len(self.refused) == 1 else 'were'} refused")
        if self.duplicates:
            verb = "is" if len(self.duplicates) == 1 else "are"
            parts.append(f"{len(self.duplicates)} {verb} in the book already")
        return "; ".join(parts)


@dataclass(frozen=True)
class Rules(Generic[Record]):
    """How rows of one table are made, compared and sifted.

    Attributes
    ----------
    make
        Makes the record of an entry, or raises `RowRefused`.
    as_row
        Columns of a record, as they are compared.
    stored
        Rows of the book.
    sameness
        Gives what two rows must share to be the same.
    sift
        Looks at all records of the file together; gives the refusals of some by their place in the list.
    """

    make: Callable[[Entry], Record]
    as_row: Callable[[Record], Row]
    stored: Iterable[Row]
    sameness: Callable[[Row], Hashable]
    sift: Callable[[Sequence[Record]], Mapping[int, RowRefused]] = lambda records: {}  # noqa: ARG005


def check_lines(
    data: bytes, guess: Guess, rules: Rules[Record], *, on_progress: Progress | None = None
) -> DryRun[Record]:
    """Try every row of a file.

    Raises
    ------
    FileRefused
        If a needed column is missing.
    """
    if guess.missing:
        raise FileRefused(guess.missing_sentence)
    lines = read_lines(data, guess)
    pace = Pace(on_progress, len(lines))
    entries: list[Entry] = []
    records: list[Record] = []
    refused: list[tuple[Entry, RowRefused]] = []
    done, last = 0, None
    for entry in entries_of(lines, guess):
        if entry.line is not last:
            last, done = entry.line, done + 1
            pace.at(done)
        try:
            if entry.fault is not None:
                raise entry.fault
            records.append(rules.make(entry))
        except RowRefused as fault:
            refused.append((entry, fault))
        else:
            entries.append(entry)
    pace.at(len(lines))
    return _sorted_out(guess, entries, records, refused, rules)


def _sorted_out(
    guess: Guess,
    entries: Sequence[Entry],
    records: Sequence[Record],
    refused: list[tuple[Entry, RowRefused]],
    rules: Rules[Record],
) -> DryRun[Record]:
    """Tell the rows the book holds already from new ones, and look at the new ones together."""
    total = len(entries) + len(refused)
    marks = mark_new(map(rules.as_row, records), rules.stored, sameness=rules.sameness)
    duplicates = tuple(
        DuplicateRow(entry.line.number, "; ".join(as_text(cell) for cell in entry.line.cells))
        for entry, is_new in zip(entries, marks, strict=True)
        if not is_new
    )
    fresh = [(entry, record) for entry, record, is_new in zip(entries, records, marks, strict=True) if is_new]
    faults = rules.sift([record for _, record in fresh])
    refused += [(fresh[place][0], fault) for place, fault in faults.items()]
    if faults:
        refused.sort(key=lambda pair: (pair[0].line.number, pair[0].place or 0))
    return DryRun(
        guess,
        total,
        tuple(GoodRow(e.line.number, r) for i, (e, r) in enumerate(fresh) if i not in faults),
        tuple(_refused_row(entry, guess, fault) for entry, fault in refused),
        duplicates,
    )


def _refused_row(entry: Entry, guess: Guess, fault: RowRefused) -> RefusedRow:
    place = entry.place if entry.place is not None else guess.columns.get(fault.column)
    return RefusedRow(
        line=entry.line.number,
        written=fault.written,
        why=fault.why,
        column=fault.column if place is None else guess.headers[place],
        cells=tuple(as_text(cell) for cell in entry.line.cells),
        nearest=fault.nearest,
        place=entry.place,
    )


def refused_as_csv(run: DryRun[Any]) -> bytes:
    """Refused rows as a CSV file with a last column "why": mend it and import it again.

    With a column per month a line stands once, with its refused months only.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=run.guess.separator or ",", lineterminator="\r\n")
    width = len(run.guess.headers)
    writer.writerow([*(shield(head) for head in run.guess.headers), "why"])
    for cells, why in _lines_refused(run):
        padded: Sequence[str] = (*cells, *[""] * width)[:width]
        beyond = cells[width:]  # stay beyond the heads, so that such a row is refused until it is mended
        writer.writerow([shield(cell) for cell in (*padded, why, *beyond)])
    return out.getvalue().encode("utf-8-sig")


def _lines_refused(run: DryRun[Any]) -> Iterable[tuple[tuple[str, ...], str]]:
    if not run.guess.by_month:
        yield from ((row.cells, row.why) for row in run.refused)
        return
    months = {place for place, _ in run.guess.months}
    by_line: dict[int, list[RefusedRow]] = {}
    for row in run.refused:
        by_line.setdefault(row.line, []).append(row)
    for rows in by_line.values():
        kept = {row.place for row in rows}
        cells = tuple(
            cell if place in kept or place not in months else "" for place, cell in enumerate(rows[0].cells)
        )
        yield cells, " ".join(dict.fromkeys(f"{row.column}: {row.why}" for row in rows))
