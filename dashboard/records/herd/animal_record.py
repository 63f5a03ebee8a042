"""What is kept of one animal? Its name, what it shows and carries, where it comes from, what became of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, Literal, TypedDict, get_args

from sqlalchemy import Connection

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.store.edits import read_row
from genetics.genes.traits import Sex

Status = Literal["growing", "breeding", "resting", "held back", "for sale", "sold", "died"]
STATUSES: tuple[str, ...] = get_args(Status)


@dataclass(frozen=True)
class AnimalRecord:
    """One animal of the book.

    Attributes
    ----------
    id, version
        Number of the row, and of the edit that wrote it.
    name, sex, text
        Name, sex, and what it shows and carries as the breeder wrote it.
    hatched, origin
        Day of hatching, if known, and where it comes from.
    bought_minor, bought_currency
        Price paid [smallest unit of the currency]; None if not known.
    note, status
        Free text; growing, breeding, resting, held back, for sale, sold or died.
    sire_id, dam_id, clutch_id
        Its parents and the clutch it hatched from in this book, if known.
    fed_since
        Day from which it feeds by itself; None if not known or not yet.
    asked_minor, asked_currency
        What is asked for it [smallest unit of the currency], if it is for sale.
    sold_minor, sold_currency, sold_on, sold_where
        What it was sold for, when, and where.
    """

    id: int
    version: int
    name: str
    sex: Sex
    text: str
    hatched: date | None = None
    origin: str = ""
    bought_minor: int | None = None
    bought_currency: str | None = None
    note: str = ""
    status: Status = "growing"
    sire_id: int | None = None
    dam_id: int | None = None
    clutch_id: int | None = None
    fed_since: date | None = None
    asked_minor: int | None = None
    asked_currency: str | None = None
    sold_minor: int | None = None
    sold_currency: str | None = None
    sold_on: date | None = None
    sold_where: str = ""


class OtherFields(TypedDict, total=False):
    """What may be said of a new animal beside its name, sex and text."""

    hatched: date | None
    origin: str
    bought_minor: int | None
    bought_currency: str | None
    note: str
    status: Status
    sire_id: int | None
    dam_id: int | None
    clutch_id: int | None
    fed_since: date | None
    asked_minor: int | None
    asked_currency: str | None
    sold_minor: int | None
    sold_currency: str | None
    sold_on: date | None
    sold_where: str


class AnimalFields(OtherFields, total=False):
    """What can be changed of an animal."""

    name: str
    sex: Sex
    text: str


EMPTY: Mapping[str, Any] = {
    field.name: field.default
    for field in fields(AnimalRecord)
    if field.name not in {"id", "version", "name", "sex", "text"}
}
"""What is taken for whatever is not said of a new animal."""


def animal_from_row(row: Mapping[Any, Any]) -> AnimalRecord:
    """Animal of a stored row."""
    values = {field.name: row[field.name] for field in fields(AnimalRecord)}
    return AnimalRecord(**{**values, "sex": Sex(values["sex"])})


def find_animal(connection: Connection, animal_id: int) -> AnimalRecord | None:
    """One animal inside an open transaction, or None."""
    row = read_row(connection, schema.animals, animal_id)
    return None if row is None else animal_from_row(row)


def needed_animal(connection: Connection, animal_id: int) -> AnimalRecord:
    """One animal inside an open transaction; raises `NotStored` if there is none of this number."""
    found = find_animal(connection, animal_id)
    if found is None:
        raise NotStored(f"No animal has the number {animal_id} in this book.")
    return found
