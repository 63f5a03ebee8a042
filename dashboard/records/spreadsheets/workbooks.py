"""Which lines of cells does a workbook hold? No formula, macro or link in it is ever followed."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime, time
from decimal import Decimal
from functools import lru_cache
from typing import Any

from .grid import (
    COMMENT,
    INVENTED,
    MOST_COLUMNS,
    MOST_LINES,
    Cell,
    FileRefused,
    FormulaOnly,
    Line,
    check_shape,
    unshield,
)

MOST_UNZIPPED = 200 * 2**20
MOST_SHARED_TEXT = 60 * 2**20
MOST_PARTS = 2_000
_PROLOG = 64 * 2**10
_FORMULA = re.compile(rb"<(?:\w+:)?f[ />]")


def workbook_sheets(data: bytes) -> tuple[str, ...]:
    """Names of the sheets of a workbook; raises `FileRefused` if it can't be opened."""
    with _opened(data) as book:
        return tuple(book.sheetnames)


@lru_cache(maxsize=1)  # a file is read once for the guess and once for the trial
def sheet_lines(data: bytes, sheet: str) -> tuple[Line, ...]:
    """Lines of one sheet that hold anything; comments at the top are left out.

    Raises
    ------
    FileRefused
        If the workbook can't be opened, has no such sheet, or is too large.
    """
    formulas = _formulas(data, sheet)
    lines: list[Line] = []
    with _opened(data) as book:
        for number, values in _rows(_page(book, sheet), values_only=True):
            there = formulas.get(number, {})
            width = max(_width(values), 1 + max(there, default=-1))
            cells = tuple(_cell(value, there.get(i)) for i, value in enumerate(values[:width]))
            first = cells[0] if cells else ""
            if not lines and isinstance(first, str) and first.startswith(COMMENT):
                continue
            line = Line(number, cells)
            if not line.is_blank:
                lines.append(line)
                check_shape(lines)
    return tuple(lines)


def sheet_says_invented(data: bytes, sheet: str) -> bool:
    """Whether a comment above the heads of a sheet says that its rows are invented."""
    with _opened(data) as book:
        for _, values in _rows(_page(book, sheet), values_only=True):
            first = values[0]
            if first is None:
                continue
            if not isinstance(first, str) or not first.startswith(COMMENT):
                return False
            if first.startswith(INVENTED):
                return True
    return False


def _page(book: Any, sheet: str) -> Any:
    if sheet not in book.sheetnames:
        raise FileRefused(f"The workbook has no sheet “{sheet}”; it has {', '.join(book.sheetnames)}.")
    return book[sheet]


def _rows(page: Any, *, values_only: bool) -> Iterator[tuple[int, Sequence[Any]]]:
    """All rows with their numbers; what stands beyond the last column allowed is cut."""
    page.reset_dimensions()  # a workbook may say less than it holds
    rows = page.iter_rows(max_col=MOST_COLUMNS + 1, values_only=values_only)
    for number, row in enumerate(rows, start=1):
        if number > 2 * MOST_LINES:
            raise FileRefused(f"The sheet goes on beyond line {2 * MOST_LINES}. Split it.")
        yield number, row


def _width(values: Sequence[Any]) -> int:
    """Number of cells up to the last that holds anything."""
    if values == _BLANK:
        return 0
    width = len(values)
    while width and values[width - 1] is None:
        width -= 1
    return width


_BLANK = (None,) * (MOST_COLUMNS + 1)


def _formulas(data: bytes, sheet: str) -> dict[int, dict[int, str]]:
    """Formulas by line (from 1) and column (from 0); read only where the sheet has any."""
    with _opened(data, formulas=True) as book:
        page = _page(book, sheet)
        if not _has_formulas(data, page):
            return {}
        return {
            number: {
                place: str(getattr(cell.value, "text", None) or cell.value)
                for place, cell in enumerate(row)
                if cell.data_type == "f"
            }
            for number, row in _rows(page, values_only=False)
        }


def _has_formulas(data: bytes, page: Any) -> bool:
    path = str(page._worksheet_path).lstrip("/")  # noqa: SLF001 - the library has no public name for it
    with zipfile.ZipFile(io.BytesIO(data)) as archive, archive.open(path) as part:
        tail = b""
        while block := part.read(2**20):
            if _FORMULA.search(tail + block):
                return True
            tail = block[-40:]
    return False


@contextmanager
def _opened(data: bytes, *, formulas: bool = False) -> Iterator[Any]:
    """Open a workbook for reading; whatever is wrong inside it becomes one refusal."""
    from openpyxl import load_workbook

    check_archive(data)
    try:
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=not formulas, keep_links=False)
    except Exception as fault:  # a broken workbook fails in many ways, all mean the same
        raise _broken(fault) from fault
    if not book.worksheets:
        book.close()
        raise FileRefused("The workbook holds no sheet of cells.")
    try:
        yield book
    except FileRefused:
        raise
    except Exception as fault:  # as above; parts are read while the rows are
        raise _broken(fault) from fault
    finally:
        book.close()


def _broken(fault: Exception) -> FileRefused:
    words = " ".join(str(fault).split())[:200]
    return FileRefused(f"The workbook can't be opened ({words}). Save it again as XLSX or CSV.")


def check_archive(data: bytes) -> None:
    """Refuse an archive that would grow too large when opened, or holds what no workbook may.

    The sizes an archive states are limits for whoever reads it: a part that holds more than it says is
    cut off there, and then fails its checksum. Archives inside the archive are never opened.

    Raises
    ------
    FileRefused
        If it is no archive, too large when opened, or one of its texts declares entities.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            why = _too_much(archive.infolist()) or next(
                (why for part in archive.infolist() if (why := _odd_text(archive, part))), ""
            )
    except Exception as fault:  # a broken archive fails in many ways, all mean the same
        raise _broken(fault) from fault
    if why:
        raise FileRefused(why)


def _too_much(parts: Sequence[zipfile.ZipInfo]) -> str:
    """Say what is too large, if anything is."""
    if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNZIPPED:
        return f"The workbook holds over {MOST_UNZIPPED // 2**20} MB when opened. Split it."
    shared = [part.file_size for part in parts if part.filename.endswith("sharedStrings.xml")]
    return "The workbook holds too much text. Split it." if sum(shared) > MOST_SHARED_TEXT else ""


def _odd_text(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> str:
    """Say so if a text declares entities: parts of a workbook never do (ECMA-376, part 2)."""
    if not part.filename.lower().endswith((".xml", ".rels", ".vml")):
        return ""
    with archive.open(part) as text:
        start = text.read(_PROLOG).replace(b"\x00", b"")  # also finds them in UTF-16
    if b"<!DOCTYPE" in start.upper() or b"<!ENTITY" in start.upper():
        return "The workbook declares entities, which no workbook needs. It is not opened."
    if start and not re.search(rb"<[A-Za-z_]", start):
        return "The workbook can't be opened (a part has no content). Save it again as XLSX or CSV."
    return ""


def _cell(value: object, formula: str | None) -> Cell:
    """Cell of a workbook as text, an exact number, or a day; a formula without a result as such."""
    if value is None:
        return "" if formula is None else FormulaOnly(formula)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date):
        return value
    if isinstance(value, (int, float)):
        return Decimal(repr(value)) if value == value and abs(value) < 1e15 else str(value)
    return unshield(str(value))
