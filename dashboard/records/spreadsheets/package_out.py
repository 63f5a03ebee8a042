"""How does a whole book leave as one Data Package: a zip of CSVs and a description of every column?"""

from __future__ import annotations

import hashlib
import io
import json
import re
import unicodedata
import zipfile
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from dashboard.records.faults import NotStored
from dashboard.records.fields import Field
from dashboard.records.kinds import ROW_KINDS

from .exports import as_csv, exportable, sheet_of
from .log_tables import OUT_KEYS, OUT_ONLY
from .tables import FIELDS, TITLES

if TYPE_CHECKING:
    from dashboard.records.book import Book

DESCRIPTOR = "datapackage.json"
MOST_TRIES = 5
_TYPES = {
    "day": "date", "whole": "integer", "number": "number", "share": "number", "rate": "number",
    "money": "number", "answer": "boolean", "data": "object",
}  # fmt: skip
_SEXES = ("male", "female", "unsexed")
_COLUMNS = {"name_key": "name"}  # a name as it is compared goes out as it is written
_KEYS = {
    "animals": ("name",),
    "pairings": ("season", "sire", "dam"),
    "figures": ("assumption",),
    "figures of pairings": ("pairing_id", "assumption"),
    "own genes": ("name",),
    **{
        name: tuple({"name_key": "name"}.get(key, key) for key in kind.key)
        for name, kind in ROW_KINDS.items()
    },
    **OUT_KEYS,
}
_SHIELD = (
    "Text that begins with =, +, -, @, a tab or a line break (blanks before it or not) has one apostrophe "
    "before it, so that no spreadsheet runs it; take it off. Numbers never have one."
)


def export_package(book: Book) -> bytes:
    """Whole book as a Data Package (datapackage.org): a zip of one CSV a table and `datapackage.json`.

    All tables are of one moment.

    Raises
    ------
    NotStored
        If others write so often that no such moment is found.
    """
    for _ in range(MOST_TRIES):
        before = book.data_version
        tables = {table: as_csv(sheet_of(book, table)) for table in exportable()}
        info = book.info
        if book.data_version == before:
            descriptor = {
                "profile": "tabular-data-package",
                "name": _slug(info.name),
                "title": info.name,
                "description": _description(info.currency, is_demo=info.is_demo),
                "created": datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z"),
                "resources": [_resource(table, data) for table, data in tables.items()],
            }
            return _zipped(descriptor, tables)
    raise NotStored("The book was changed while it was taken out. Try again.")


def resource_name(table: str) -> str:
    """Name of a table in a package: small letters and hyphens."""
    return table.replace(" ", "-")


def file_name(table: str) -> str:
    """Name of the file that holds a table in a package."""
    return f"{resource_name(table)}.csv"


def _zipped(descriptor: dict[str, Any], tables: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(DESCRIPTOR, json.dumps(descriptor, ensure_ascii=False, indent=2))
        for table, data in tables.items():
            archive.writestr(file_name(table), data)
    return out.getvalue()


def _slug(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name.casefold()).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "book"


def _description(currency: str, *, is_demo: bool) -> str:
    invented = "INVENTED: everything in this book was made up. " if is_demo else ""
    return (
        f"{invented}Records of a breeder of ball pythons. The book counts in {currency}; each sum has "
        f"its own currency beside it. {_SHIELD}"
    )


def _resource(table: str, data: bytes) -> dict[str, Any]:
    return {
        "profile": "tabular-data-resource",
        "name": resource_name(table),
        "title": TITLES[table],
        "description": _SHIELD,
        "path": file_name(table),
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": len(data),
        "hash": f"sha256:{hashlib.sha256(data).hexdigest()}",
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"', "doubleQuote": True},
        "schema": _schema(table),
    }


def _schema(table: str) -> dict[str, Any]:
    fields = FIELDS.get(table) or OUT_ONLY[table]
    heads = {field.name: field.header for field in fields}
    key = _KEYS.get(table, ())
    schema: dict[str, Any] = {
        "fields": [_described(field, heads, alone=key == (field.name,)) for field in fields],
        "missingValues": [""],
    }
    if key:
        schema["primaryKey"] = [heads[name] for name in key]
    foreign = [
        {
            "fields": [field.header],
            "reference": {"resource": "" if table == "animals" else "animals", "fields": ["name"]},
        }
        for field in fields
        if field.kind == "animal"
    ]
    if foreign:
        schema["foreignKeys"] = foreign
    return schema


def _described(field: Field, heads: dict[str, str], *, alone: bool) -> dict[str, Any]:
    """Describe one column: type, unit, meaning and what is allowed."""
    unit = f" Unit: {field.unit}." if field.unit else ""
    if field.kind == "money":
        unit = f" Unit: the currency in the column “{heads[field.currency]}”."
    described: dict[str, Any] = {
        "name": field.header,
        "type": _TYPES.get(field.kind, "string"),
        "format": "default",
        "title": field.header,
        "description": field.meaning + unit,
    }
    if field.kind == "answer":
        described |= {"trueValues": ["yes"], "falseValues": ["no"]}
    constraints: dict[str, Any] = {}
    if field.needed:
        constraints["required"] = True
    if alone:
        constraints["unique"] = True
    if field.choices or field.kind == "sex":
        constraints["enum"] = list(field.choices or _SEXES)
    for end, name in ((field.least, "minimum"), (field.most, "maximum")):
        if end is not None:
            constraints[name] = int(end) if field.kind == "whole" else end
    if constraints:
        described["constraints"] = constraints
    return described
