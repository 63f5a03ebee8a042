"""How is a breeder's file read, and what would it add? The guess can be changed before anything is stored."""

from __future__ import annotations

import hashlib
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from dashboard.records import Book, ImportReceipt, NotStored
from dashboard.records.files.packages import PackageTrial
from dashboard.records.spreadsheets import (
    FIELDS,
    DateOrder,
    DecimalMark,
    DryRun,
    FileRefused,
    Guess,
    Progress,
    TableKind,
    sniff,
)
from dashboard.records.spreadsheets.grid import decode, text_lines
from dashboard.records.spreadsheets.guess import with_heads
from dashboard.records.spreadsheets.package_in import is_package
from dashboard.records.spreadsheets.workbooks import sheet_lines

FALLBACK_KINDS = ("asked", "sold")
FALLBACK_STAGES = ("hatchling", "grown", "proven breeder")


@dataclass(frozen=True)
class Wishes:
    """What the breeder says of a file in place of the guess; None keeps what was guessed.

    Attributes
    ----------
    kind
        Which table it is.
    separator, sheet
        Of a text file; of a workbook.
    date_order, decimal
        Order of dates that end with the year; decimal mark.
    columns
        (name of a field, position of its column from 0, or None for "not in this file") pairs.
    empty_kind, empty_stage
        What rows without a word for it count as.
    by_month
        Whether columns headed by months are read as such.
    """

    kind: TableKind | None = None
    separator: str | None = None
    sheet: str | None = None
    date_order: DateOrder | None = None
    decimal: DecimalMark | None = None
    columns: tuple[tuple[str, int | None], ...] = ()
    empty_kind: str | None = None
    empty_stage: str | None = None
    by_month: bool | None = None


@dataclass(frozen=True, eq=False)
class Trial:
    """A file as it is read, and what it would add.

    Attributes
    ----------
    guess
        How it is read; None if it can't be read at all.
    run
        What an import would do; None if the file as a whole is refused.
    fault
        Why the file is refused, as a sentence; empty if it is not.
    """

    guess: Guess | None
    run: DryRun[Any] | None
    fault: str = ""

    @property
    def unclear(self) -> bool:
        """Whether dates or numbers of the file can be read in two ways, so that rows are refused for it."""
        run, guess = self.run, self.guess
        if run is None or guess is None:
            return False
        words = [] if guess.date_order else ["which order"]
        words += [] if guess.decimal else ["which mark"]
        return any(word in row.why for row in run.refused for word in words)


def digest(data: bytes) -> Hashable:
    """Give what stands for a file's bytes where a result is kept."""
    return hashlib.sha256(data).hexdigest()


def try_file(
    book: Book, data: bytes, wishes: Wishes = Wishes(), *, on_progress: Progress | None = None
) -> Trial:
    """Read a file as the breeder wishes and try it against the book; nothing is stored.

    Parameters
    ----------
    book
        The records.
    data
        The file's bytes: CSV text or an XLSX workbook.
    wishes
        What the breeder says of it.
    on_progress
        Told how many lines are done, of how many; whatever it raises ends the trial.
    """
    try:
        guess = guess_of(data, wishes)
    except FileRefused as fault:
        return Trial(None, None, str(fault))
    try:
        return Trial(guess, book.try_file(data, guess, on_progress=on_progress))
    except FileRefused as fault:
        return Trial(guess, None, str(fault))


def try_text(
    book: Book, text: str, wishes: Wishes = Wishes(), *, on_progress: Progress | None = None
) -> Trial:
    """Try cells that were pasted from a spreadsheet, as `try_file` tries a file.

    Parameters
    ----------
    book
        The records.
    text
        Lines of cells parted by tabs (or as in a CSV file), heads in the first.
    wishes, on_progress
        As for `try_file`.
    """
    return try_file(book, text_as_file(text), wishes, on_progress=on_progress)


def text_as_file(text: str) -> bytes:
    """Pasted cells as the bytes of a text file."""
    return text.encode("utf-8", "replace")


@dataclass(frozen=True, eq=False)
class WholeTrial:
    """A package of a whole book as it would come in; None and a sentence if it can't."""

    trial: PackageTrial | None
    fault: str = ""


def holds_whole_book(data: bytes) -> bool:
    """Whether a file is a package of tables rather than one table."""
    return is_package(data)


def try_package(book: Book, data: bytes, *, on_progress: Progress | None = None) -> WholeTrial:
    """Try a package of a whole book; nothing is stored. Arguments as for `try_file`."""
    try:
        return WholeTrial(book.try_package(data, on_progress=on_progress))
    except (FileRefused, NotStored) as fault:
        return WholeTrial(None, str(fault))


def guess_of(data: bytes, wishes: Wishes) -> Guess:
    """Guess how a file is written, with the breeder's wishes in place of what was guessed.

    Raises
    ------
    FileRefused
        If it can't be read at all.
    """
    guess = sniff(data, wishes.kind)
    other_separator = wishes.separator not in (None, guess.separator)
    other_sheet = wishes.sheet not in (None, guess.sheet)
    if other_separator or other_sheet:
        guess = _split_anew(data, guess, wishes)
    changed: dict[str, Any] = {
        name: getattr(wishes, name)
        for name in ("date_order", "decimal", "empty_kind", "empty_stage", "by_month")
        if getattr(wishes, name) is not None
    }
    if not guess.months:
        changed.pop("by_month", None)
    return replace(guess, columns=_columns(guess, wishes.columns), **changed)


def _split_anew(data: bytes, guess: Guess, wishes: Wishes) -> Guess:
    """Read the heads again with another separator or from another sheet."""
    sheet = guess.sheet if wishes.sheet is None else wishes.sheet
    separator = guess.separator if wishes.separator is None else wishes.separator
    lines = sheet_lines(data, sheet) if guess.sheets else text_lines(decode(data, guess.encoding), separator)
    if not lines:
        raise FileRefused(f"The sheet “{sheet}” holds no rows." if sheet else "The file holds no rows.")
    return with_heads(replace(guess, separator=separator, sheet=sheet), lines)


def _columns(guess: Guess, wished: Sequence[tuple[str, int | None]]) -> Mapping[str, int]:
    """Position of each column; what the breeder says goes before what was guessed."""
    columns = dict(guess.columns)
    for name, position in wished:
        columns.pop(name, None)
        if position is not None and 0 <= position < len(guess.headers):
            columns[name] = position
    return columns


def field_heads(kind: TableKind) -> tuple[tuple[str, str, bool], ...]:
    """Name, head and need of every field a table can have."""
    return tuple((field.name, field.header, field.needed) for field in FIELDS[kind])


def likely_kind(data: bytes, kinds: Sequence[TableKind]) -> TableKind:
    """Which of some tables a file most likely holds; the first of them if its heads fit none.

    Raises
    ------
    FileRefused
        If it can't be read at all.
    """
    found = sniff(data).kind
    return found if found in kinds else kinds[0]


def add_good_rows(
    book: Book, trial: Trial, name: str, *, on_progress: Progress | None = None
) -> ImportReceipt:
    """Add the good rows of a tried file in one step, after a copy of the book was put aside.

    Whatever `on_progress` raises ends it, and nothing is stored.

    Raises
    ------
    FileRefused
        If the file as a whole was refused.
    BackUpFailed, NotStored
        If no copy could be made, or the book no longer allows a row; nothing was stored.
    """
    if trial.run is None:
        raise FileRefused(trial.fault)
    return book.add_file(trial.run, name, on_progress=on_progress)


def with_wishes(wishes: Wishes, changed: Mapping[str, Any], columns: Mapping[str, int | None]) -> Wishes:
    """Wishes with what the breeder changed just now.

    Another separator or sheet makes other columns, so what was said of columns, dates and numbers is
    forgotten then.

    Parameters
    ----------
    wishes
        What was said before.
    changed
        Values by the names of the fields of `Wishes`.
    columns
        Positions of fields by their names; None for "not in this file".
    """
    if "separator" in changed or "sheet" in changed:
        kept = {name: changed[name] for name in ("separator", "sheet") if name in changed}
        return replace(wishes, columns=(), date_order=None, decimal=None, by_month=None, **kept)
    said = {**dict(wishes.columns), **columns}
    return replace(wishes, columns=tuple(said.items()), **changed)
