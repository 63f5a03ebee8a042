"""Files in and out: CSV, XLSX and Data Packages."""

from __future__ import annotations

from .cells import CellRefused, DateOrder, DecimalMark
from .dry_run import DryRun, DuplicateRow, GoodRow, RefusedRow, refused_as_csv
from .exports import Sheet, as_csv, as_workbook, export_csv, export_workbook, exportable, sheet_of
from .grid import FileRefused
from .guess import Guess, needed_heads, sniff
from .herd import Herd, check_animals, check_pairings
from .market import check_prices, check_supply
from .own_figures import check_figures, check_pairing_figures
from .own_genes import check_own_genes
from .pacing import Progress
from .package_in import PackageFile, read_package
from .package_out import export_package
from .plain import check_rows
from .tables import FIELDS, TABLE_KINDS, TITLES, TableKind

__all__ = [
    "FIELDS",
    "TABLE_KINDS",
    "TITLES",
    "CellRefused",
    "DateOrder",
    "DecimalMark",
    "DryRun",
    "DuplicateRow",
    "FileRefused",
    "GoodRow",
    "Guess",
    "Herd",
    "PackageFile",
    "Progress",
    "RefusedRow",
    "Sheet",
    "TableKind",
    "as_csv",
    "as_workbook",
    "check_animals",
    "check_figures",
    "check_own_genes",
    "check_pairing_figures",
    "check_pairings",
    "check_prices",
    "check_rows",
    "check_supply",
    "export_csv",
    "export_package",
    "export_workbook",
    "exportable",
    "needed_heads",
    "read_package",
    "refused_as_csv",
    "sheet_of",
    "sniff",
]
