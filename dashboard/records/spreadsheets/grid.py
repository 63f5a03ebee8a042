"""Which lines of cells does a text file hold? It is decoded and split, and its sizes are capped."""

from __future__ import annotations

import csv
import io
import re
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from dashboard.records.faults import BookError

MOST_BYTES = 20 * 2**20
MOST_LINES = 100_000
MOST_COLUMNS = 200
LONGEST_CELL = 5_000
SEPARATORS = (",", ";", "\t", "|")
COMMENT = "#"
INVENTED = "# INVENTED"

Cell = str | Decimal | date
"""One cell: text as written, or a number or day that a workbook stored as such."""


class FormulaOnly(str):
    """A formula of a workbook whose result was never stored; nothing here runs it."""

    __slots__ = ()


# a leading apostrophe keeps a spreadsheet from running such a text; it is no part of the text
_SHIELDED = re.compile(r"'+ *[=+\-@\t\r＝＋－＠]")


class FileRefused(BookError):
    """A file as a whole can't be read; its text says why."""


class Line(NamedTuple):
    """One line of a file: its number as an editor counts, from 1, and its cells."""

    number: int
    cells: tuple[Cell, ...]

    @property
    def is_blank(self) -> bool:
        """Whether no cell holds anything."""
        return not any(isinstance(cell, (Decimal, date)) or cell.strip() for cell in self.cells)


def is_workbook(data: bytes) -> bool:
    """Whether the bytes are an XLSX workbook (a zip archive) rather than text."""
    return data[:4] == b"PK\x03\x04"


def check_size(data: bytes) -> None:
    """Refuse an empty file and one over the cap; raises `FileRefused`."""
    if not data.strip():
        raise FileRefused("The file is empty.")
    if len(data) > MOST_BYTES:
        raise FileRefused(
            f"The file has {len(data) / 2**20:.0f} MB; at most {MOST_BYTES // 2**20} MB are read."
        )


def find_encoding(data: bytes) -> str:
    """Find the encoding of a text file: what its first bytes say, else UTF-8, else Western European.

    Raises
    ------
    FileRefused
        If it is no text file.
    """
    for mark, encoding in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if data.startswith(mark):
            return encoding
    if b"\x00" in data:
        raise FileRefused("This is no text file and no XLSX workbook. Save it as CSV or XLSX.")
    for encoding in ("utf-8", "cp1252"):
        try:
            data.decode(encoding)
        except UnicodeDecodeError:
            continue
        return encoding
    return "latin-1"


def decode(data: bytes, encoding: str) -> str:
    """Text of a file; raises `FileRefused` if it is not in this encoding."""
    try:
        return data.decode(encoding)
    except (UnicodeError, LookupError) as fault:
        raise FileRefused(f"The file can't be read as {encoding}. Choose another encoding.") from fault


def text_lines(text: str, separator: str, *, capped: bool = True) -> tuple[Line, ...]:
    """Lines of a text file; a quoted cell may run over several, blank lines and comments are left out.

    Comments are lines before the first other line that begin with #. Without `capped` sizes are not
    checked.

    Raises
    ------
    FileRefused
        If it has too many lines or columns, or a quotation mark that is never closed.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=False)
    lines: list[Line] = []
    start = 1
    try:
        for cells in reader:
            number, start = start, reader.line_num + 1
            if not any(cells) or not "".join(cells).strip():
                continue
            if not lines and cells[0].lstrip().startswith(COMMENT):
                continue
            lines.append(Line(number, tuple([unshield(cell) for cell in cells])))
            if capped and _is_too_much(cells, len(lines)):
                check_shape(lines)
    except csv.Error as fault:
        raise FileRefused(f"Line {start} can't be read: a quotation mark is not closed ({fault}).") from fault
    return tuple(lines)


def says_invented(text: str) -> bool:
    """Whether the comments at the top say that the rows are invented."""
    for line in io.StringIO(text):
        if not line.lstrip('" ').startswith(COMMENT):
            return False
        if line.lstrip('" ').startswith(INVENTED):
            return True
    return False


def unshield(text: str) -> str:
    """Text without the apostrophe that an export put before it."""
    return text[1:] if text[:1] == "'" and _SHIELDED.match(text) else text


def shield(text: str) -> str:
    """Text that no spreadsheet takes for a formula; `unshield` takes it back."""
    return f"'{text}" if re.match(r"'* *[=+\-@\t\r＝＋－＠]", text) else text


def check_shape(lines: list[Line]) -> None:
    """Refuse too many lines, columns or letters, as soon as the newest line shows it."""
    line = lines[-1]
    if len(lines) > MOST_LINES + 1:
        raise FileRefused(f"The file has over {MOST_LINES} rows. Split it.")
    if len(line.cells) > MOST_COLUMNS:
        raise FileRefused(f"Line {line.number} has over {MOST_COLUMNS} columns. Is the separator right?")
    if max(map(_letters, line.cells)) > LONGEST_CELL:
        raise FileRefused(
            f"Line {line.number} has a cell of over {LONGEST_CELL} letters. Is a quote unclosed?"
        )


def _letters(cell: Cell) -> int:
    return len(cell) if isinstance(cell, str) else 0


def _is_too_much(cells: list[str], lines: int) -> bool:
    return len(cells) > MOST_COLUMNS or lines > MOST_LINES or len(max(cells, key=len)) > LONGEST_CELL
