"""How do the records leave the book? As CSV and XLSX that open safely and can be read back."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from dashboard.records.faults import NotStored
from econ.money import exact_amount

from .grid import Cell, shield
from .headers import FIELDS, TableKind

if TYPE_CHECKING:
    from dashboard.records.book import Book


@dataclass(frozen=True)
class Sheet:
    """Heads and rows of one table; numbers and days are kept as such."""

    name: str
    headers: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def sheet_of(book: Book, table: str) -> Sheet:
    """One table of a book by its name (see `exportable`).

    Raises
    ------
    NotStored
        If there is no such table.
    """
    maker = _SHEETS.get(table)
    if maker is not None:
        return maker(book)
    if table in _PLAIN:
        headers, rows = book.plain_rows(table)
        return Sheet(table, headers, tuple(tuple(_cell(value) for value in row) for row in rows))
    raise NotStored(f"There is no table “{table}”; there are {', '.join(exportable())}.")


def exportable() -> tuple[str, ...]:
    """Names of the tables that can be exported; the first four can be imported again."""
    return (*_SHEETS, *_PLAIN)


def as_csv(sheet: Sheet, *, separator: str = ",") -> bytes:
    """Sheet as CSV in UTF-8; text that a spreadsheet would run gets a leading apostrophe."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator, lineterminator="\r\n")
    writer.writerow([shield(head) for head in sheet.headers])
    for row in sheet.rows:
        writer.writerow([_text(cell) for cell in row])
    return out.getvalue().encode("utf-8-sig")


def as_workbook(sheets: Sequence[Sheet]) -> bytes:
    """Sheets as an XLSX workbook: text is text, numbers are numbers, days are days."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell

    book = Workbook(write_only=True)
    for sheet in sheets:
        page = book.create_sheet(sheet.name[:31])
        for row in (sheet.headers, *sheet.rows):
            cells = []
            for value in row:
                cell = WriteOnlyCell(page, value=value if not isinstance(value, str) else None)
                if isinstance(value, str):
                    cell.value = shield(value)
                    cell.data_type = "s"
                elif isinstance(value, date):
                    cell.number_format = "yyyy-mm-dd"
                cells.append(cell)
            page.append(cells)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def export_csv(book: Book, table: str, *, separator: str = ",") -> bytes:
    """One table of a book as CSV; raises `NotStored` if there is none of this name."""
    return as_csv(sheet_of(book, table), separator=separator)


def export_workbook(book: Book) -> bytes:
    """Every table of a book as one XLSX workbook."""
    return as_workbook([sheet_of(book, table) for table in exportable()])


def _text(cell: Cell) -> str:
    if isinstance(cell, str):
        return shield(cell)
    return format(cell, "f") if isinstance(cell, Decimal) else cell.isoformat()


def _cell(value: object) -> Cell:
    """Turn a stored value into a cell."""
    if value is None:
        return ""
    if isinstance(value, (date, str, Decimal)):
        return value
    return Decimal(repr(value)) if isinstance(value, (int, float)) else str(value)


def _heads(kind: TableKind) -> tuple[str, ...]:
    return tuple(field.header for field in FIELDS[kind])


def _prices(book: Book) -> Sheet:
    rows = tuple(
        (
            seen.on,
            seen.what,
            seen.sex.value,
            seen.stage,
            seen.kind,
            exact_amount(seen.price_minor, seen.currency),
            seen.currency,
            seen.channel,
            Decimal(seen.quantity),
        )
        for seen in book.price_observations()
    )
    return Sheet("prices", _heads("prices"), rows)


def _supply(book: Book) -> Sheet:
    rows = tuple((count.on, count.what, Decimal(count.offered)) for count in book.supply_counts())
    return Sheet("supply", _heads("supply"), rows)


def _animals(book: Book) -> Sheet:
    animals = book.animals()
    names: Mapping[int | None, str] = {None: "", **{animal.id: animal.name for animal in animals}}
    money = book.currency
    rows: Iterable[tuple[Cell, ...]] = (
        (
            animal.name,
            animal.sex.value,
            animal.text,
            animal.hatched or "",
            "" if animal.bought_minor is None else exact_amount(animal.bought_minor, money),
            "" if animal.bought_minor is None else money,
            animal.status,
            names[animal.sire_id],
            names[animal.dam_id],
            animal.note,
        )
        for animal in animals
    )
    return Sheet("animals", _heads("animals"), tuple(rows))


def _pairings(book: Book) -> Sheet:
    names = {animal.id: animal.name for animal in book.animals()}
    rows = tuple(
        (
            Decimal(pairing.season),
            names[pairing.sire_id],
            names[pairing.dam_id],
            "yes" if pairing.planned else "no",
            pairing.note,
        )
        for pairing in book.pairings()
    )
    return Sheet("pairings", _heads("pairings"), rows)


_SHEETS: Mapping[str, Callable[[Book], Sheet]] = {
    "prices": _prices,
    "supply": _supply,
    "animals": _animals,
    "pairings": _pairings,
}
_PLAIN = ("info", "assumptions", "pairing_assumptions", "own_genes", "forecasts", "imports", "changes")
