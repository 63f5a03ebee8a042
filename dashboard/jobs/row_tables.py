"""Which tables of the book are entered row by row, and how does each read and write its rows?"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Final

from dashboard.jobs.boxes import BoxFault, NotRead
from dashboard.records import Book, NotStored
from dashboard.records.fields import Field
from dashboard.records.kinds import ROW_KINDS, RowKind
from dashboard.records.spreadsheets.tables import PRICES, SUPPLY
from econ.prices.observations import (
    Fault,
    PriceObservation,
    SupplyCount,
    read_count,
    read_observation,
)
from genetics import Sex


@dataclass(frozen=True)
class Entry:
    """One stored row: its number, the edit that wrote it, and what it says by field."""

    id: int
    version: int
    values: Mapping[str, Any]


@dataclass(frozen=True)
class RowTable:
    """One table that is entered by hand.

    Attributes
    ----------
    name
        Name in links.
    one, many
        What one row and several are called.
    fields
        Its boxes in order.
    day
        Field by which rows are sorted; empty for a table without days.
    key
        Fields of which no two rows have the same.
    entries, add, change, remove
        How rows are read and written. `change` takes the row as it was seen.
    """

    name: str
    one: str
    many: str
    fields: tuple[Field, ...]
    day: str
    key: tuple[str, ...]
    entries: Callable[[Book], tuple[Entry, ...]]
    add: Callable[[Book, Mapping[str, Any]], Entry]
    change: Callable[[Book, Entry, Mapping[str, Any]], Entry]
    remove: Callable[[Book, int, int], None]

    def field(self, name: str) -> Field:
        """Field of a name."""
        return next(field for field in self.fields if field.name == name)


def _plain_table(kind: RowKind[Any]) -> RowTable:
    """Editor of a plain table, from its one declaration."""

    def entry(record: Any) -> Entry:
        values = {field.name: getattr(record, field.name) for field in kind.fields}
        return Entry(record.id, record.version, values)

    days = [field.name for field in kind.fields if field.kind == "day"]
    return RowTable(
        name=kind.name,
        one=kind.one,
        many=kind.many,
        fields=kind.fields,
        day=days[0] if days else "",
        key=kind.key,
        entries=lambda book: tuple(entry(record) for record in book.rows(kind)),
        add=lambda book, values: entry(book.add_row(kind, values)),
        change=lambda book, seen, values: entry(book.change_row(kind, seen.id, seen.version, values)),
        remove=lambda book, row_id, version: book.remove_row(kind, row_id, version),
    )


_PRICE_FIELDS = tuple(replace(field, needed=True) if field.kind == "choice" else field for field in PRICES)
"""Columns of a price; in a form its stage and kind are always chosen."""


def _refuse(faults: list[Fault], fields: tuple[Field, ...]) -> NotRead:
    """Faults of a record, each beside its box; those of the traits beside what it is."""
    names = {field.name: field.header for field in fields}
    found: dict[str, BoxFault] = {}
    for fault in faults:
        name = {"traits": "what"}.get(fault.column, fault.column)
        found[name] = BoxFault(f"The {names.get(name, name)} {fault.why}; allowed: {fault.allowed}.")
    return NotRead(found)


def _observation(book: Book, values: Mapping[str, Any], row_id: int | None = None) -> PriceObservation:
    sex = Sex(values.get("sex") or Sex.UNSEXED)
    traits = book.reader(values["what"], sex)
    loose = {**values, "sex": sex, "traits": traits, "currency": values.get("currency") or book.currency}
    record, faults = read_observation({**loose, "id": row_id}, today=book.today())
    if record is None:
        raise _refuse(faults, _PRICE_FIELDS)
    return record


def _price_entry(record: PriceObservation, version: int) -> Entry:
    values = {field.name: getattr(record, field.name) for field in _PRICE_FIELDS}
    return Entry(record.id or 0, version, {**values, "sex": record.sex.value})


def _prices(book: Book) -> tuple[Entry, ...]:
    versions = book.price_versions()
    return tuple(
        _price_entry(record, versions[record.id])
        for record in book.price_observations()
        if record.id in versions
    )


def _add_price(book: Book, values: Mapping[str, Any]) -> Entry:
    stored = book.add_observation(_observation(book, values))
    return _price_entry(stored, book.data_version)


def _change_price(book: Book, seen: Entry, values: Mapping[str, Any]) -> Entry:
    wanted = _observation(book, {**seen.values, **values}, seen.id)
    return _price_entry(book.change_observation(wanted, seen.version), book.data_version)


def _count(book: Book, values: Mapping[str, Any], row_id: int | None = None) -> SupplyCount:
    traits = book.reader(values["what"], Sex.UNSEXED)
    record, faults = read_count({**values, "traits": traits, "id": row_id}, today=book.today())
    if record is None:
        raise _refuse(faults, SUPPLY)
    return record


def _count_entry(record: SupplyCount, version: int) -> Entry:
    return Entry(record.id or 0, version, {field.name: getattr(record, field.name) for field in SUPPLY})


def _counts(book: Book) -> tuple[Entry, ...]:
    versions = book.supply_versions()
    return tuple(
        _count_entry(record, versions[record.id]) for record in book.supply_counts() if record.id in versions
    )


def _add_count(book: Book, values: Mapping[str, Any]) -> Entry:
    return _count_entry(book.add_supply_count(_count(book, values)), book.data_version)


def _change_count(book: Book, seen: Entry, values: Mapping[str, Any]) -> Entry:
    wanted = _count(book, {**seen.values, **values}, seen.id)
    return _count_entry(book.change_supply_count(wanted, seen.version), book.data_version)


_PRICES = RowTable(
    name="prices",
    one="price",
    many="prices",
    fields=_PRICE_FIELDS,
    day="on",
    key=(),
    entries=_prices,
    add=_add_price,
    change=_change_price,
    remove=lambda book, row_id, version: book.remove_observation(row_id, version),
)
_SUPPLY = RowTable(
    name="supply",
    one="supply count",
    many="supply counts",
    fields=SUPPLY,
    day="on",
    key=(),
    entries=_counts,
    add=_add_count,
    change=_change_count,
    remove=lambda book, row_id, version: book.remove_supply_count(row_id, version),
)
_ORDER: Final = (
    "pipeline", "exchange rates", "clutches", "further sires", "weights", "gene tests", "shows", "spending",
)  # fmt: skip

ROW_TABLES: Final[Mapping[str, RowTable]] = MappingProxyType(
    {table.name: table for table in (_PRICES, _SUPPLY, *(_plain_table(ROW_KINDS[name]) for name in _ORDER))}
)
"""Tables with an editor by name, in the order in which the page lists them."""


def table_named(name: str) -> RowTable:
    """Table of a name; raises `NotStored` with the names there are."""
    if name not in ROW_TABLES:
        raise NotStored(f"No table is called “{name}”; there are: {', '.join(ROW_TABLES)}.")
    return ROW_TABLES[name]
