"""How do the records leave the book? As CSV and XLSX that open safely and can be read back."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from dashboard.records.faults import NotStored
from dashboard.records.fields import Field
from dashboard.records.herd.herd_index import HerdIndex
from dashboard.records.kinds import ROW_KINDS
from econ.money import exact_amount

from .grid import Cell, shield
from .log_tables import OUT_ONLY
from .tables import FIELDS, TABLE_KINDS

if TYPE_CHECKING:
    from dashboard.records.book import Book

_FIGURE_TABLES = {
    "figures": "assumptions",
    "figures of pairings": "pairing_assumptions",
    "own genes": "own_genes",
}


@dataclass(frozen=True)
class Sheet:
    """Heads and rows of one table; numbers and days are kept as such."""

    name: str
    headers: tuple[str, ...]
    rows: tuple[tuple[Cell | float | None, ...], ...]


def sheet_of(book: Book, table: str) -> Sheet:
    """One table of a book by its name (see `exportable`).

    Raises
    ------
    NotStored
        If there is no such table.
    """
    fields = FIELDS.get(table) or OUT_ONLY.get(table)
    if fields is None:
        raise NotStored(f"There is no table “{table}”; there are {', '.join(exportable())}.")
    herd = book.herd()
    rows = tuple(tuple(_cell(field, row, herd) for field in fields) for row in _rows(book, table, herd))
    return Sheet(table, tuple(field.header for field in fields), rows)


def exportable() -> tuple[str, ...]:
    """Names of the tables that can be taken out; all but the last four can be brought in one by one."""
    return (*TABLE_KINDS, *OUT_ONLY)


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


def _text(cell: Cell | float | None) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return shield(cell)
    if isinstance(cell, (int, float)):
        cell = Decimal(repr(cell))
    return format(cell, "f") if isinstance(cell, Decimal) else cell.isoformat()


def _rows(book: Book, table: str, herd: HerdIndex) -> Iterable[Mapping[str, Any]]:
    """Rows of a table by the names of its fields."""
    if table == "prices":
        return (vars(seen) for seen in book.price_observations())
    if table == "supply":
        return (vars(count) for count in book.supply_counts())
    if table == "animals":
        return (_with_names(animal, herd, clutch=animal.clutch_id) for animal in book.animals())
    if table == "pairings":
        return (_with_names(pairing, herd) for pairing in book.pairings())
    if table in ROW_KINDS:
        return (vars(record) for record in book.rows(ROW_KINDS[table]))
    return book.named_rows(_FIGURE_TABLES.get(table, table))


def _with_names(record: Any, herd: HerdIndex, *, clutch: int | None = None) -> dict[str, Any]:
    """Fields of a record, its parents and its clutch by name."""
    names = {
        word: "" if number is None else herd.animal_name(number)
        for word, number in (("sire", record.sire_id), ("dam", record.dam_id))
    }
    return {**vars(record), **names, "clutch": "" if clutch is None else herd.clutch_name(clutch)}


def _cell(field: Field, row: Mapping[str, Any], herd: HerdIndex) -> Cell:
    """Cell of one field, so written that the reader of its kind reads the same value."""
    value = row[field.name]
    if value is None:
        return ""
    if field.kind == "money":
        return exact_amount(value, row[field.currency])
    if field.kind == "answer":
        return "yes" if value else "no"
    if field.kind == "rate":
        return Decimal(value)
    if field.kind in {"animal", "pairing", "clutch"} and isinstance(value, int):
        find = {"animal": herd.animal_name, "pairing": herd.pairing_name, "clutch": herd.clutch_name}
        return find[field.kind](value)
    if isinstance(value, (date, Decimal)):
        return value
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return Decimal(repr(value))
    return str(value)
