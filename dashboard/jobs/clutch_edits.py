"""What can be said of a pairing, its clutch and a hatchling? Their boxes, and how they are stored."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Final

from dashboard.jobs.boxes import CHOSEN, box_text, read_boxes
from dashboard.jobs.hatchling_lines import LineFault, read_lines
from dashboard.jobs.rows import at_its_box
from dashboard.records import STATUSES, AnimalRecord, Book, PairingRecord
from dashboard.records.fields import CURRENCY_WORDS, Field, note_field
from dashboard.records.kinds import CLUTCHES, WEIGHTS, ClutchRecord
from genetics import Sex

PAIRING_FIELDS: Final = (
    Field("introduced_on", "put together", "day", "Day they were put together."),
    Field("locked_on", "seen locked", "day", "Day they were first seen locked."),
    note_field(),
)
CLUTCH_FIELDS: Final = tuple(field for field in CLUTCHES.fields if field.name != "pairing_id")
SOLD_FIELDS: Final = (
    Field("sold_minor", "sold for", "money", "What it was sold for.", currency="sold_currency"),
    Field("sold_currency", "money", "currency", "Money of that price.", words=CURRENCY_WORDS),
    Field("sold_on", "sold on", "day", "Day it was sold."),
    Field("sold_where", "where", "text", "Where it was sold.", empty=""),
)
ASKED_FIELDS: Final = (
    Field("asked_minor", "asked", "money", "What is asked for it.", currency="asked_currency"),
    Field("asked_currency", "in", "currency", "Money of that price.", words=CURRENCY_WORDS),
)
HATCHLING_FIELDS: Final = (
    Field("name", "name", "text", "What it is called.", needed=True),
    Field("text", "look as seen", "look", "What it shows and carries.", needed=True),
    Field("sex", "sex", "sex", "Its sex."),
    Field("fed_since", "feeds since", "day", "Day from which it feeds by itself."),
    Field("status", "status", "choice", "Where it stands.", needed=True, choices=STATUSES),
    *ASKED_FIELDS,
    *SOLD_FIELDS,
    note_field(),
)
WEIGHT_FIELDS: Final = tuple(field for field in WEIGHTS.fields if field.name != "animal_id")

FORMS: Final[Mapping[str, tuple[Field, ...]]] = {
    "sold": SOLD_FIELDS,
    "for sale": ASKED_FIELDS,
    "weighed": WEIGHT_FIELDS,
    "everything": HATCHLING_FIELDS,
}
"""What can be said of a hatchling in boxes, by the word for it."""


def start_of_record(
    fields: tuple[Field, ...], record: object, *, currency: str, today: date | None = None
) -> dict[str, object]:
    """What the boxes of a form hold for a record; a day that is to be said next starts with today."""
    start: dict[str, object] = {}
    for field in fields:
        value = getattr(record, field.name, None)
        if isinstance(value, Sex):
            value = value.value
        if field.kind in CHOSEN:
            start[field.name] = value if value is not None else currency if field.kind == "currency" else ""
            continue
        code = str(getattr(record, field.currency, None) or currency) if field.currency else currency
        start[field.name] = box_text(field, value, code)
        if value is None and field.kind == "day" and today is not None:
            start[field.name] = today.isoformat()
    return start


def change_pairing(book: Book, seen: PairingRecord, typed: Mapping[str, object]) -> PairingRecord | None:
    """Store dates of a pairing; None if nothing differs.

    Raises
    ------
    NotRead, NotStored, Conflict
        As `rows.change_typed`.
    """
    changed = _changed(seen, read_boxes(PAIRING_FIELDS, typed, currency=book.currency))
    return book.change_pairing(seen.id, seen.version, **changed) if changed else None


def add_clutch(book: Book, pairing_id: int, typed: Mapping[str, object]) -> ClutchRecord:
    """Store a clutch of a pairing; raises as `rows.add_typed`."""
    values = read_boxes(CLUTCH_FIELDS, typed, currency=book.currency)
    return book.add_row(CLUTCHES, {**values, "pairing_id": pairing_id})


def change_clutch(book: Book, seen: ClutchRecord, typed: Mapping[str, object]) -> ClutchRecord | None:
    """Store what differs in a clutch; None if nothing does; raises as `change_pairing`."""
    changed = _changed(seen, read_boxes(CLUTCH_FIELDS, typed, currency=book.currency))
    return book.change_row(CLUTCHES, seen.id, seen.version, changed) if changed else None


def remove_clutch(book: Book, seen: ClutchRecord) -> None:
    """Remove a clutch without hatchlings; raises `Conflict`, and `NotStored` where some are entered."""
    book.remove_row(CLUTCHES, seen.id, seen.version)


def change_hatchling(
    book: Book, seen: AnimalRecord, form: str, *, typed: Mapping[str, object]
) -> AnimalRecord | None:
    """Store what was said of a hatchling in one of the forms; None if nothing differs.

    "sold" and "for sale" set the status too; "weighed" stores a weight and gives the animal as it is.
    Raises as `change_pairing`.
    """
    values = read_boxes(FORMS[form], typed, currency=book.currency)
    if form == "weighed":
        book.add_row(WEIGHTS, {**values, "animal_id": seen.id})
        return seen
    if form in {"sold", "for sale"}:
        values["status"] = form
    for name in ("asked", "sold"):
        if values.get(f"{name}_minor") is None:
            values.pop(f"{name}_currency", None)
    return store_hatchling(book, seen, _changed(seen, values))


def store_hatchling(book: Book, seen: AnimalRecord, changed: Mapping[str, Any]) -> AnimalRecord | None:
    """Store some fields of a hatchling; None if there are none; raises as `change_pairing`."""
    if not changed:
        return None
    return at_its_box(
        HATCHLING_FIELDS,
        lambda: book.change_animal(seen.id, seen.version, **changed),
    )


def deeds_for(animal: AnimalRecord) -> tuple[tuple[str, str], ...]:
    """What is likely to be said of a hatchling next: words and the deed they stand for."""
    if animal.status in {"sold", "died"}:
        return ()
    if animal.sex is Sex.UNSEXED:
        return (("male", "male"), ("female", "female"))
    if animal.fed_since is None:
        return (("feeds", "feeds"), ("died", "died"))
    if animal.status == "for sale":
        return (("sold", "sold"), ("hold back", "hold"))
    if animal.status == "held back":
        return (("for sale", "offer"),)
    return (("for sale", "offer"), ("hold back", "hold"))


def quick_change(deed: str, *, today: date) -> dict[str, Any]:
    """Fields that a deed of one click sets; empty for one that needs a form."""
    known: dict[str, dict[str, Any]] = {
        "male": {"sex": Sex.MALE},
        "female": {"sex": Sex.FEMALE},
        "feeds": {"fed_since": today},
        "hold": {"status": "held back"},
        "died": {"status": "died"},
    }
    return known.get(deed, {})


def enter_lines(
    book: Book, clutch_id: int, text: str
) -> tuple[tuple[AnimalRecord, ...], tuple[LineFault, ...]]:
    """Store the hatchlings of some lines in one edit; with a refused line none is stored.

    Raises
    ------
    NotStored
        If the clutch is not there, or no line says anything.
    """
    lines = read_lines(text, book.reader)
    if lines.faults:
        return (), lines.faults
    return book.add_hatchlings(clutch_id, lines.drafts), ()


def _changed(seen: object, values: Mapping[str, Any]) -> dict[str, Any]:
    """Values that differ from those of the record as it was seen."""
    return {name: value for name, value in values.items() if value != getattr(seen, name)}
