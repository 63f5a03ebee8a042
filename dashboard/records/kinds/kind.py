"""What does a plain table of records need to say of itself? Its columns, its record, its rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Generic, TypeVar

from sqlalchemy import Table

from dashboard.records.faults import NotStored
from dashboard.records.fields import Field
from dashboard.records.herd.herd_index import HerdIndex
from dashboard.records.reading import AnimalReader
from dashboard.records.text_fields import LONGEST_NAME, checked_day, tidy, tidy_note
from econ.money import CURRENCIES

Record = TypeVar("Record")


@dataclass(frozen=True)
class Around:
    """What a rule may look at beside the row itself.

    Attributes
    ----------
    today, currency
        Day the book counts as today, and its money (ISO 4217).
    reader
        Reads animals written as the trade writes them.
    herd
        Animals, pairings and clutches of the book.
    """

    today: date
    currency: str
    reader: AnimalReader
    herd: HerdIndex


@dataclass(frozen=True)
class RowKind(Generic[Record]):
    """One plain table of the book.

    Attributes
    ----------
    name
        Name in files and links.
    table, record
        Table of the book, and the frozen record of a row; the record's fields are columns.
    one, many
        What one row and several are called.
    fields
        Columns as files and forms know them.
    key
        Columns of which no two rows have the same.
    check
        Gives the row as it is stored; raises `NotStored` with a sentence.
    """

    name: str
    table: Table
    record: type[Record]
    one: str
    many: str
    fields: tuple[Field, ...]
    key: tuple[str, ...]
    check: Callable[[Mapping[str, Any], Around], dict[str, Any]]

    @property
    def columns(self) -> tuple[str, ...]:
        """Columns a breeder fills."""
        kept = {"id", "version", "import_id"}
        return tuple(column.name for column in self.table.columns if column.name not in kept)


def day_of(values: Mapping[str, Any], name: str, around: Around, *, what: str, ahead: bool = False) -> date:
    """Day that is there and, unless it may lie ahead, not after today."""
    day = values.get(name)
    if not isinstance(day, date):
        raise NotStored(f"{what} is missing. Write 2025-04-30.")
    return day if ahead else checked_day(day, today=around.today, what=what)


def some_day_of(values: Mapping[str, Any], name: str, around: Around, *, what: str) -> date | None:
    """Day that may be missing and is not after today."""
    return None if values.get(name) is None else day_of(values, name, around, what=what)


def text_of(
    values: Mapping[str, Any], name: str, *, what: str, longest: int = LONGEST_NAME, needed: bool = True
) -> str:
    """One line of text."""
    return tidy(str(values.get(name) or ""), what=what, longest=longest, needed=needed)


def note_of(values: Mapping[str, Any]) -> str:
    """Free text."""
    return tidy_note(str(values.get("note") or ""))


def money_of(values: Mapping[str, Any], name: str, *, what: str, needed: bool = False) -> int | None:
    """Whole smallest units, not below zero."""
    minor = values.get(name)
    if minor is None:
        if needed:
            raise NotStored(f"{what} is missing.")
        return None
    if not isinstance(minor, int) or minor < 0:
        raise NotStored(f"{what} is below zero or no whole number of smallest units.")
    return minor


def currency_of(values: Mapping[str, Any], name: str, around: Around) -> str:
    """ISO 4217 code; the book's if none is said."""
    code = str(values.get(name) or around.currency).strip().upper()
    if code not in CURRENCIES:
        raise NotStored(f"The currency is “{code}”; allowed: an ISO 4217 code such as EUR, USD or GBP.")
    return code


def whole_of(values: Mapping[str, Any], name: str, *, what: str, least: int, most: int) -> int:
    """Whole number between two ends."""
    number = values.get(name)
    if not isinstance(number, int) or isinstance(number, bool) or not least <= number <= most:
        said = "missing" if number is None else str(number)
        raise NotStored(f"{what} is {said}; allowed: a whole number from {least} to {most}.")
    return number


def some_whole_of(values: Mapping[str, Any], name: str, *, what: str, least: int, most: int) -> int | None:
    """Whole number that may be missing."""
    return None if values.get(name) is None else whole_of(values, name, what=what, least=least, most=most)


def share_of(values: Mapping[str, Any], name: str, *, what: str, above_zero: bool) -> float | None:
    """Share from 0 to 1 that may be missing."""
    share = values.get(name)
    if share is None:
        return None
    number = float(share)
    if not 0 <= number <= 1 or (above_zero and number == 0):
        raise NotStored(
            f"{what} is {number:g}; allowed: {'above 0' if above_zero else '0'} up to 1, or a percentage."
        )
    return number


def choice_of(values: Mapping[str, Any], name: str, allowed: tuple[str, ...], *, what: str) -> str:
    """One of some words."""
    word = str(values.get(name) or "")
    if word not in allowed:
        raise NotStored(f"{what} is “{word}”; allowed: {', '.join(allowed)}.")
    return word


def animal_of(values: Mapping[str, Any], name: str, around: Around, *, what: str) -> int:
    """Number of an animal of the book."""
    found = around.herd.animals.get(values.get(name) or 0)
    if found is None:
        raise NotStored(f"{what} is not among the animals of this book.")
    return found.id
