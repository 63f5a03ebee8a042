"""Files in and out: CSV and XLSX."""

from __future__ import annotations

from .cells import CellRefused, DateOrder, DecimalMark
from .dry_run import DryRun, DuplicateRow, GoodRow, RefusedRow, refused_as_csv
from .exports import Sheet, as_csv, as_workbook, export_csv, export_workbook, exportable, sheet_of
from .grid import FileRefused
from .guess import Guess, needed_heads, sniff
from .headers import FIELDS, TABLE_KINDS, TableKind
from .herd import check_animals, check_pairings
from .market import check_prices, check_supply

__all__ = [
    "FIELDS",
    "TABLE_KINDS",
    "CellRefused",
    "DateOrder",
    "DecimalMark",
    "DryRun",
    "DuplicateRow",
    "FileRefused",
    "GoodRow",
    "Guess",
    "RefusedRow",
    "Sheet",
    "TableKind",
    "as_csv",
    "as_workbook",
    "check_animals",
    "check_pairings",
    "check_prices",
    "check_supply",
    "export_csv",
    "export_workbook",
    "exportable",
    "needed_heads",
    "refused_as_csv",
    "sheet_of",
    "sniff",
]
