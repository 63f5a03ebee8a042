"""How is a file written? Encoding, separator, heads, order of dates, decimal mark: guessed and changeable."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TypeVar

from .cells import DateOrder, DecimalMark, as_text, decimal_evidence, order_evidence
from .grid import (
    COMMENT,
    SEPARATORS,
    Cell,
    FileRefused,
    Line,
    check_size,
    decode,
    find_encoding,
    is_workbook,
    says_invented,
    text_lines,
)
from .headers import kind_of_heads, match_columns, missing_fields, plain_header, twice_named
from .months import month_columns, short_years
from .tables import BY_MONTH, FIELDS, TABLE_KINDS, TableKind
from .workbooks import sheet_lines, sheet_says_invented, workbook_sheets

_AMOUNTS = {"money", "whole", "number", "share", "rate"}


@dataclass(frozen=True)
class Guess:
    """How a file is taken to be written; change a part with `dataclasses.replace` and check again.

    Attributes
    ----------
    kind
        Which table it is.
    encoding, separator
        Of a text file; both empty for a workbook.
    sheet, sheets
        Sheet that is read, and all there are; empty for a text file.
    headers, header_line
        Heads of the columns as written, and the number of their line.
    columns
        Position of each column that is known, from 0.
    date_order
        Order of dates that end with the year; empty: not proved, such dates are refused.
    decimal
        Decimal mark; empty: not proved, numbers such as 1.234 are refused.
    empty_kind, empty_stage
        What rows without a word for it count as.
    invented
        Whether the file says that its rows are invented.
    months
        Position and first day of each column whose head is a month, if the table may have such columns.
    by_month
        Whether they are read so: each filled cell is a row, dated the first of its month.
    """

    kind: TableKind
    encoding: str
    separator: str
    sheet: str
    sheets: tuple[str, ...]
    headers: tuple[str, ...]
    header_line: int
    columns: Mapping[str, int]
    date_order: DateOrder = ""
    decimal: DecimalMark = ""
    empty_kind: str = "asked"
    empty_stage: str = "hatchling"
    invented: bool = False
    months: tuple[tuple[int, date], ...] = ()
    by_month: bool = False

    @property
    def unused(self) -> tuple[str, ...]:
        """Heads of columns that are not read."""
        used = set(self.columns.values()) | ({place for place, _ in self.months} if self.by_month else set())
        return tuple(head for i, head in enumerate(self.headers) if head.strip() and i not in used)

    @property
    def missing(self) -> tuple[str, ...]:
        """Needed columns the file does not have, by the word at their head."""
        said = {"on", BY_MONTH[self.kind]} if self.by_month else set()
        return tuple(f.header for f in missing_fields(self.columns, self.kind) if f.name not in said)

    @property
    def twice(self) -> tuple[str, ...]:
        """Heads that stand over several columns, of which only the first is read."""
        return twice_named(self.headers, self.columns)

    @property
    def missing_sentence(self) -> str:
        """What is missing, and what the file has instead."""
        words = f"No column for {' and '.join(self.missing)}. The file has: {', '.join(self.headers)}."
        short = short_years(self.headers) if self.kind in BY_MONTH else ()
        if short:
            words += f" A head such as “{short[0]}” does not say its whole year; write 2025-01."
        return words


def sniff(data: bytes, kind: TableKind | None = None) -> Guess:
    """Guess how a file is written; `kind` says which table it is, else the heads decide.

    Raises
    ------
    FileRefused
        If it is empty, too large, no CSV or XLSX, or holds no line of heads.
    """
    check_size(data)
    if is_workbook(data):
        sheets = workbook_sheets(data)
        encoding, separator = "", ""
        sheet, lines = _find_sheet(data, sheets, kind)
        invented = sheet_says_invented(data, sheet)
    else:
        sheets, sheet = (), ""
        encoding = find_encoding(data)
        text = decode(data, encoding)
        separator, lines = _find_separator(text, kind)
        invented = says_invented(text)
    if not lines:
        raise FileRefused("The file holds no rows.")
    blank: Mapping[str, int] = {}
    first = Guess(kind or _find_kind(lines[0].cells), encoding, separator, sheet, sheets, (), 0, blank)
    return with_heads(replace(first, invented=invented), lines)


def _find_sheet(data: bytes, sheets: tuple[str, ...], kind: TableKind | None) -> tuple[str, tuple[Line, ...]]:
    """Sheet that is called like the table, else the first that holds anything."""
    named = [sheet for sheet in sheets if kind and plain_header(sheet) == kind]
    for sheet in (*named, *sheets):
        lines = sheet_lines(data, sheet)
        if lines:
            return sheet, lines
    return sheets[0], ()


def with_heads(guess: Guess, lines: tuple[Line, ...]) -> Guess:
    """Guess with heads, columns, months and marks as the lines show them; the first line holds the heads."""
    head = lines[0].cells
    columns = match_columns(head, guess.kind)
    months = _months(head, guess.kind, columns)
    if months:
        columns = {name: place for name, place in columns.items() if place not in dict(months)}
    kinds = {field.name: field.kind for field in FIELDS[guess.kind]}
    days = [place for name, place in columns.items() if kinds[name] == "day"]
    amounts = [place for name, place in columns.items() if kinds[name] in _AMOUNTS]
    amounts += [place for place, _ in months]
    return replace(
        guess,
        headers=tuple(as_text(cell) for cell in head),
        header_line=lines[0].number,
        columns=columns,
        date_order=_agreed(_cells(lines, days), order_evidence, ""),
        decimal=_agreed(_cells(lines, amounts), decimal_evidence, ""),
        months=months,
        by_month=bool(months),
    )


def _months(
    head: Sequence[Cell], kind: TableKind, columns: Mapping[str, int]
) -> tuple[tuple[int, date], ...]:
    """Columns that stand for months, if the table may have them and does not say the day otherwise."""
    if kind not in BY_MONTH:
        return ()
    found = month_columns(head)
    if any(columns.get(name, -1) not in found and name in columns for name in ("on", BY_MONTH[kind])):
        return ()
    return tuple(sorted(found.items()))


def read_lines(data: bytes, guess: Guess) -> tuple[Line, ...]:
    """Lines below the heads, read as the guess says; raises `FileRefused`."""
    check_size(data)
    if is_workbook(data):
        lines = sheet_lines(data, guess.sheet)
    else:
        lines = text_lines(decode(data, guess.encoding), guess.separator)
    return tuple(line for line in lines if line.number > guess.header_line)


def _find_separator(text: str, kind: TableKind | None) -> tuple[str, tuple[Line, ...]]:
    """Separator under which most heads are known; more columns decide between equals."""
    best: tuple[tuple[int, int], str] | None = None
    head = _first_lines(text, 30)
    for separator in SEPARATORS:
        try:
            lines = text_lines(head, separator, capped=False)
        except FileRefused:
            continue
        if not lines:
            continue
        kinds = (kind,) if kind else TABLE_KINDS
        known = max(len(match_columns(lines[0].cells, each)) for each in kinds)
        known += len(month_columns(lines[0].cells))
        score = (known, len(lines[0].cells))
        if best is None or score > best[0]:
            best = (score, separator)
    if best is None:
        raise FileRefused("The file holds no rows that can be read.")
    return best[1], text_lines(text, best[1])


def _first_lines(text: str, wanted: int) -> str:
    """Comments and the first lines after them."""
    taken: list[str] = []
    for line in io.StringIO(text, newline=""):
        if not line.startswith(COMMENT):
            wanted -= 1
        taken.append(line)
        if wanted == 0:
            break
    return "".join(taken)


def _find_kind(head: Sequence[Cell]) -> TableKind:
    """Table that fits the heads; with a column per month, the one that fits the heads beside them."""
    months = month_columns(head)
    if not months:
        return kind_of_heads(head)
    rest = [cell for place, cell in enumerate(head) if place not in months]
    if match_columns(rest, "prices").get("on") is not None:
        return kind_of_heads(head)

    def rank(kind: TableKind) -> tuple[int, int, int]:
        columns = match_columns(rest, kind)
        lacking = [f for f in missing_fields(columns, kind) if f.name not in {"on", BY_MONTH[kind]}]
        heads = {plain_header(cell) for cell in rest}
        exact = sum(field.header in heads for field in FIELDS[kind])
        return -len(lacking), exact, len(columns)

    return max(BY_MONTH, key=rank)


def _cells(lines: tuple[Line, ...], places: Iterable[int]) -> Iterable[Cell]:
    for place in places:
        yield from [line.cells[place] for line in lines[1:] if place < len(line.cells)]


_Mark = TypeVar("_Mark", bound=str)


def _agreed(cells: Iterable[Cell], evidence: Callable[[Cell], _Mark], nothing: _Mark) -> _Mark:
    """Give what all cells that prove anything prove alike, else nothing."""
    proved = {evidence(cell) for cell in set(cells)} - {nothing}
    return proved.pop() if len(proved) == 1 else nothing


def needed_heads(kind: TableKind) -> tuple[str, ...]:
    """Heads a file of this kind must have."""
    return tuple(field.header for field in FIELDS[kind] if field.needed)
