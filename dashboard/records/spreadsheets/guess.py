"""How is a file written? Encoding, separator, heads, order of dates, decimal mark: guessed and changeable."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from .cells import DateOrder, DecimalMark, decimal_evidence, order_evidence
from .grid import (
    INVENTED,
    SEPARATORS,
    Cell,
    FileRefused,
    Line,
    check_size,
    decode,
    find_encoding,
    is_workbook,
    says_invented,
    sheet_lines,
    text_lines,
    workbook_sheets,
)
from .headers import FIELDS, TABLE_KINDS, TableKind, match_columns, missing_fields

_DAY_FIELDS = ("on", "hatched")
_AMOUNT_FIELDS = ("price", "paid")


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

    @property
    def unused(self) -> tuple[str, ...]:
        """Heads of columns that are not read."""
        used = set(self.columns.values())
        return tuple(head for i, head in enumerate(self.headers) if head.strip() and i not in used)

    @property
    def missing(self) -> tuple[str, ...]:
        """Needed columns the file does not have, by the word at their head."""
        return tuple(field.header for field in missing_fields(self.columns, self.kind))


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
        encoding, separator, sheet = "", "", sheets[0]
        lines = sheet_lines(data, sheet)
        invented = False
    else:
        sheets, sheet = (), ""
        encoding = find_encoding(data)
        text = decode(data, encoding)
        separator, lines = _find_separator(text, kind)
        invented = says_invented(text)
    if not lines:
        raise FileRefused("The file holds no rows.")
    found = kind or _find_kind(lines[0])
    columns = match_columns(lines[0].cells, found)
    return Guess(
        kind=found,
        encoding=encoding,
        separator=separator,
        sheet=sheet,
        sheets=sheets,
        headers=tuple(str(cell) for cell in lines[0].cells),
        header_line=lines[0].number,
        columns=columns,
        date_order=_agreed(_cells(lines, columns, _DAY_FIELDS), order_evidence, ""),
        decimal=_agreed(_cells(lines, columns, _AMOUNT_FIELDS), decimal_evidence, ""),
        invented=invented,
    )


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
        score = (known, len(lines[0].cells))
        if best is None or score > best[0]:
            best = (score, separator)
    if best is None:
        raise FileRefused("The file holds no rows that can be read.")
    return best[1], text_lines(text, best[1])


def _first_lines(text: str, wanted: int) -> str:
    """Comments and the first lines after them."""
    lines = text.splitlines(keepends=True)
    comments = next((i for i, line in enumerate(lines) if not line.startswith(INVENTED[0])), len(lines))
    return "".join(lines[: comments + wanted])


def _find_kind(header: Line) -> TableKind:
    """Table whose needed heads are all there and which knows most of them."""

    def rank(kind: TableKind) -> tuple[int, int]:
        columns = match_columns(header.cells, kind)
        return -len(missing_fields(columns, kind)), len(columns)

    return max(TABLE_KINDS, key=rank)


def _cells(lines: tuple[Line, ...], columns: Mapping[str, int], names: Iterable[str]) -> Iterable[Cell]:
    for name in names:
        position = columns.get(name)
        if position is not None:
            yield from (line.cells[position] for line in lines[1:] if position < len(line.cells))


_Mark = TypeVar("_Mark", bound=str)


def _agreed(cells: Iterable[Cell], evidence: Callable[[Cell], _Mark], nothing: _Mark) -> _Mark:
    """Give what all cells that prove anything prove alike, else nothing."""
    proved = {evidence(cell) for cell in cells} - {nothing}
    return proved.pop() if len(proved) == 1 else nothing


def needed_heads(kind: TableKind) -> tuple[str, ...]:
    """Heads a file of this kind must have."""
    return tuple(field.header for field in FIELDS[kind] if field.needed)
