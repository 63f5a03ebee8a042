"""What did one change do, field by field? Before and after, in the words of the forms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from dashboard.jobs.rows import shown_value
from dashboard.records import Book, Change, ChangedRow
from dashboard.records.fields import Field
from dashboard.records.herd.herd_index import HerdIndex
from dashboard.records.kinds import ROW_KINDS
from dashboard.records.log.changes import ROW_WORDS
from dashboard.records.schema import EDITABLE
from dashboard.records.spreadsheets.tables import FIELDS
from dashboard.records.store.edits import row_from_text
from econ.assumptions import ASSUMPTIONS

MOST_ROWS: Final = 30
_TABLES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "price_observations": "prices",
        "supply_counts": "supply",
        "animals": "animals",
        "pairings": "pairings",
        "assumptions": "figures",
        "pairing_assumptions": "figures of pairings",
        "own_genes": "own genes",
        **{kind.table.name: name for name, kind in ROW_KINDS.items()},
    }
)
_POINTERS: Final = (
    Field("sire_id", "sire", "animal", "Father."),
    Field("dam_id", "dam", "animal", "Mother."),
    Field("clutch_id", "clutch", "clutch", "Clutch it hatched from."),
)
_ANSWERS: Final = frozenset({"planned", "going"})


@dataclass(frozen=True)
class FieldDetail:
    """One field of a changed row: what it is called, and what it said before and after; empty for nothing."""

    name: str
    before: str
    after: str


@dataclass(frozen=True)
class RowDetail:
    """One row of a change.

    Attributes
    ----------
    what
        What it is: "weight of Basalt".
    was_there, is_there
        Whether there was such a row before, and whether there is one after.
    fields
        Those that differ.
    """

    what: str
    was_there: bool
    is_there: bool
    fields: tuple[FieldDetail, ...]


def change_details(book: Book, change: Change) -> tuple[RowDetail, ...]:
    """Rows of one change, at most thirty, each with the fields that differ."""
    herd, currency = book.herd(), book.currency
    return tuple(_detail(row, herd, currency) for row in change.rows[:MOST_ROWS])


def _detail(row: ChangedRow, herd: HerdIndex, currency: str) -> RowDetail:
    table = EDITABLE[row.table]
    before = {} if row.before is None else row_from_text(table, row.before)
    after = {} if row.after is None else row_from_text(table, row.after)
    fields = {field.name: field for field in (*FIELDS[_TABLES[row.table]], *_POINTERS)}
    found = []
    for field in fields.values():
        if field.kind == "currency" and not field.needed:
            continue  # it stands behind its sum
        old, new = (_shown(field, values, herd, currency) for values in (before, after))
        if old != new:
            found.append(FieldDetail(field.header, old, new))
    return RowDetail(
        what=_name(row, after or before, herd),
        was_there=row.before is not None,
        is_there=row.after is not None,
        fields=tuple(found),
    )


def _shown(field: Field, values: Mapping[str, Any], herd: HerdIndex, currency: str) -> str:
    value = values.get(field.name)
    if field.kind == "figure":
        return ASSUMPTIONS[str(value)].name if value in ASSUMPTIONS else str(value or "")
    if field.name in _ANSWERS and value is not None:
        return "yes" if value else "no"
    return shown_value(field, values, herd, currency=currency)


def _name(row: ChangedRow, values: Mapping[str, Any], herd: HerdIndex) -> str:
    one = ROW_WORDS[row.table][0]
    if row.table == "animals":
        return str(values.get("name", one))
    animal, pairing = values.get("animal_id"), values.get("pairing_id")
    if animal is not None and animal in herd.animals:
        return f"{one} of {herd.animal_name(animal)}"
    if pairing is not None and pairing in herd.pairings:
        return f"{one} of {herd.pairing_name(pairing)}"
    what = values.get("what") or values.get("name") or ""
    return f"{one} of {what}" if what else one
