"""What does a Data Package of a book hold? Only files that are known by name are read, each up to a size."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from econ.money import CURRENCIES

from .grid import MOST_BYTES, FileRefused, decode, text_lines
from .guess import Guess, with_heads
from .log_tables import FORECASTS
from .package_out import DESCRIPTOR, file_name
from .tables import TABLE_KINDS, TableKind
from .workbooks import MOST_PARTS, MOST_UNZIPPED

_ENCODING = "utf-8-sig"
_INFO, _FORECASTS = "info", "forecasts"


@dataclass(frozen=True)
class PackageFile:
    """A package as it was read; its rows are not tried yet.

    Attributes
    ----------
    name, currency
        Name and money of the book it was taken from.
    invented
        Whether that was a demo book.
    tables
        CSV of each of the breeder's tables it holds.
    forecasts
        CSV of the forecasts that were shown; empty if it has none.
    """

    name: str
    currency: str
    invented: bool
    tables: Mapping[TableKind, bytes]
    forecasts: bytes


def read_package(data: bytes) -> PackageFile:
    """Read a package that `export_package` wrote; a spreadsheet may have changed its CSVs since.

    Raises
    ------
    FileRefused
        If it is none, too large when opened, or does not say its currency.
    """
    if len(data) > MOST_BYTES:
        raise FileRefused(f"The package has over {MOST_BYTES // 2**20} MB.")
    held = _files(data, (DESCRIPTOR, *(file_name(table) for table in (*TABLE_KINDS, _INFO, _FORECASTS))))
    _check_descriptor(held.get(DESCRIPTOR))
    info = _info(held.get(file_name(_INFO), b""))
    currency = info.get("currency", "")
    if currency not in CURRENCIES:
        raise FileRefused("The package does not say the currency of its book (info.csv).")
    return PackageFile(
        name=info.get("name", ""),
        currency=currency,
        invented=info.get("is_demo") == "yes",
        tables={table: held[file_name(table)] for table in TABLE_KINDS if file_name(table) in held},
        forecasts=held.get(file_name(_FORECASTS), b""),
    )


def _files(data: bytes, wanted: Sequence[str]) -> dict[str, bytes]:
    """Read those files of an archive that are wanted and there; no other name in it is used."""
    too_large = False
    held: dict[str, bytes] = {}
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            too_large = len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNZIPPED
            names = {part.filename for part in parts}
            if not too_large:
                held = {name: archive.read(name) for name in wanted if name in names}
    except Exception as fault:  # a broken archive fails in many ways, all mean the same
        words = " ".join(str(fault).split())[:200]
        raise FileRefused(f"This is no package of a book, or it is damaged ({words}).") from fault
    if too_large:
        raise FileRefused(f"The package holds over {MOST_UNZIPPED // 2**20} MB when opened.")
    return held


def is_package(data: bytes) -> bool:
    """Whether the bytes are a zip with a description of a package, and no workbook."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return DESCRIPTOR in archive.namelist()
    except Exception:  # noqa: BLE001 - whatever is wrong with it, it is no package
        return False


def package_guess(kind: TableKind, data: bytes) -> Guess | None:
    """Give how a table of a package is written, or None if it holds heads only or nothing.

    Raises
    ------
    FileRefused
        If it can't be read.
    """
    separator = _separator(data)
    lines = text_lines(decode(data, _ENCODING), separator)
    if len(lines) < 2:  # heads alone
        return None
    guess = with_heads(Guess(kind, _ENCODING, separator, "", (), (), 0, {}), lines)
    decimal = guess.decimal if separator == ";" else "."
    return Guess(**{**vars(guess), "decimal": decimal, "months": (), "by_month": False})


def forecast_rows(data: bytes) -> list[dict[str, str]]:
    """Rows of the forecasts by the names of their columns, as text."""
    names = {field.header: field.name for field in FORECASTS}
    reader = csv.DictReader(io.StringIO(decode(data, _ENCODING), newline=""), delimiter=_separator(data))
    return [{names[head]: text for head, text in row.items() if head in names} for row in reader]


def _separator(data: bytes) -> str:
    """Comma, or the semicolon a spreadsheet may have put in its place."""
    head = data.partition(b"\n")[0]
    return ";" if head.count(b";") > head.count(b",") else ","


def _check_descriptor(data: bytes | None) -> None:
    if data is None:
        raise FileRefused(f"This is no package of a book: it has no {DESCRIPTOR}.")
    try:
        described = json.loads(data)
    except (ValueError, RecursionError) as fault:
        raise FileRefused(f"{DESCRIPTOR} of the package can't be read.") from fault
    if not isinstance(described, dict) or not isinstance(described.get("resources"), list):
        raise FileRefused(f"{DESCRIPTOR} of the package names no tables.")


def _info(data: bytes) -> dict[str, str]:
    text = decode(data, _ENCODING)
    rows = text_lines(text, _separator(data))
    return {str(line.cells[0]): str(line.cells[1]).strip() for line in rows if len(line.cells) > 1}
