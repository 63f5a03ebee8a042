"""Which animals may be stored? Rules on one animal's own fields, and on how it fits the others."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from sqlalchemy import Connection, func, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.herd.animal_record import STATUSES, find_animal
from dashboard.records.reading import AnimalReader
from dashboard.records.store.edits import read_row
from dashboard.records.text_fields import (
    LONGEST_LOOK,
    LONGEST_NAME,
    checked_day,
    checked_sex,
    name_key,
    tidy,
    tidy_note,
)
from econ.money import CURRENCIES
from genetics.genes.traits import Sex

LONGEST_PLACE = 200
_PLACES = (
    (schema.pairings, "a pairing"),
    (schema.further_sires, "a pairing"),
    (schema.animals, "a young animal"),
)
LONGEST_KEY = 160


def own_fields(
    values: Mapping[str, Any], *, today: date, currency: str, reader: AnimalReader
) -> dict[str, Any]:
    """Row of an animal whose own fields are allowed; its text has been read.

    Parameters
    ----------
    values
        All fields of `AnimalRecord` but its number and version.
    today, currency
        Day the book counts as today, and its money, for sums that name none.
    reader
        Reads what the animal shows and carries.

    Raises
    ------
    NotStored
        If a field is not allowed, or the text can't be read (`Unreadable`).
    """
    name = tidy(str(values["name"]), what="The name", longest=LONGEST_NAME)
    if len(name_key(name)) > LONGEST_KEY:
        raise NotStored("The name has letters that are written out too long. Use plainer ones.")
    text = tidy(str(values["text"]), what="What the animal is", longest=LONGEST_LOOK)
    sex = checked_sex(values["sex"])
    reader(text, sex)
    if values["status"] not in STATUSES:
        raise NotStored(f"The status is “{values['status']}”; allowed: {', '.join(STATUSES)}.")
    days = {
        column: _day(values[column], today, f"The day {name} {words}")
        for column, words in (("hatched", "hatched"), ("fed_since", "began to feed"), ("sold_on", "was sold"))
    }
    hatched = days["hatched"]
    for column, words in (("fed_since", "began to feed"), ("sold_on", "was sold")):
        day = days[column]
        if hatched and day and day < hatched:
            raise NotStored(
                f"{name} {words} on {day.isoformat()}, before it hatched ({hatched.isoformat()})."
            )
    return {
        "name": name,
        "name_key": name_key(name),
        "sex": sex.value,
        "text": text,
        **days,
        "origin": tidy(str(values["origin"]), what="The origin", longest=LONGEST_PLACE, needed=False),
        **_money(values, "bought", currency, f"The price paid for {name}"),
        **_money(values, "asked", currency, f"The price asked for {name}"),
        **_money(values, "sold", currency, f"The price {name} was sold for"),
        "sold_where": tidy(
            str(values["sold_where"]), what="Where it was sold", longest=LONGEST_PLACE, needed=False
        ),
        "note": tidy_note(str(values["note"])),
        "status": values["status"],
        "sire_id": values["sire_id"],
        "dam_id": values["dam_id"],
        "clutch_id": values["clutch_id"],
    }


def _day(day: date | None, today: date, what: str) -> date | None:
    return None if day is None else checked_day(day, today=today, what=what)


def _money(values: Mapping[str, Any], name: str, currency: str, what: str) -> dict[str, Any]:
    """Sum of money and its currency, both or neither."""
    minor = values[f"{name}_minor"]
    if minor is None:
        return {f"{name}_minor": None, f"{name}_currency": None}
    if minor < 0:
        raise NotStored(f"{what} is below zero.")
    code = str(values[f"{name}_currency"] or currency).strip().upper()
    if code not in CURRENCIES:
        raise NotStored(f"The currency is “{code}”; allowed: an ISO 4217 code such as EUR, USD or GBP.")
    return {f"{name}_minor": minor, f"{name}_currency": code}


def with_clutch(connection: Connection, row: Mapping[str, Any]) -> dict[str, Any]:
    """Row of an animal with the parents and the day of hatching that its clutch tells.

    With several possible sires the sire stays as it was said.

    Raises
    ------
    NotStored
        If the clutch is not there, or the animal names another dam or a sire that was not with her.
    """
    filled = dict(row)
    if row["clutch_id"] is None:
        return filled
    clutch = read_row(connection, schema.clutches, row["clutch_id"])
    if clutch is None:
        raise NotStored(f"The clutch of {row['name']} is not in this book.")
    pairing = read_row(connection, schema.pairings, clutch["pairing_id"])
    assert pairing is not None  # noqa: S101 - a rule of the tables
    further = select(schema.further_sires.c.sire_id).where(schema.further_sires.c.pairing_id == pairing["id"])
    sires = {pairing["sire_id"], *connection.execute(further).scalars()}
    if filled["dam_id"] not in {None, pairing["dam_id"]}:
        raise NotStored(f"{row['name']} is of a clutch of another dam than the one it names.")
    if filled["sire_id"] is not None and filled["sire_id"] not in sires:
        raise NotStored(f"The sire of {row['name']} was not with the dam of its clutch.")
    filled["dam_id"] = pairing["dam_id"]
    if len(sires) == 1:
        filled["sire_id"] = pairing["sire_id"]
    if filled["hatched"] is None:
        filled["hatched"] = clutch["hatched_on"]
    return filled


def check_against_book(connection: Connection, row: Mapping[str, Any], *, own_id: int | None) -> None:
    """Refuse a name that is taken, parents that can't be, and a sex its pairings don't allow."""
    table = schema.animals
    taken = connection.execute(
        select(table.c.id, table.c.name).where(table.c.name_key == row["name_key"])
    ).one_or_none()
    if taken is not None and taken.id != own_id:
        raise NotStored(f"There is already an animal called {taken.name}. Give this one another name.")
    check_parents(connection, row, own_id=own_id)
    if own_id is not None:
        _check_use(connection, own_id, row)


def check_parents(connection: Connection, row: Mapping[str, Any], *, own_id: int | None) -> None:
    """Refuse parents of the wrong sex, hatched too late, missing, or descended from the animal itself."""
    for column, sex, word in (("sire_id", Sex.MALE, "sire"), ("dam_id", Sex.FEMALE, "dam")):
        parent_id = row[column]
        if parent_id is None:
            continue
        parent = find_animal(connection, parent_id)
        if parent is None:
            raise NotStored(f"The {word} of {row['name']} is not in this book.")
        if parent.sex is not sex:
            raise NotStored(f"{parent.name} is {parent.sex}, so it can't be the {word} of {row['name']}.")
        if row["hatched"] and parent.hatched and parent.hatched >= row["hatched"]:
            raise NotStored(
                f"{parent.name} hatched on {parent.hatched.isoformat()}, not before {row['name']} "
                f"({row['hatched'].isoformat()})."
            )
        if own_id is not None and _descends(connection, parent_id, own_id):
            raise NotStored(f"{row['name']} would be its own ancestor through {parent.name}.")


def _descends(connection: Connection, animal_id: int, ancestor_id: int) -> bool:
    waiting, seen = [animal_id], set[int]()
    while waiting:
        current = waiting.pop()
        if current == ancestor_id:
            return True
        if current in seen:
            continue
        seen.add(current)
        found = find_animal(connection, current)
        if found is not None:
            waiting += [parent for parent in (found.sire_id, found.dam_id) if parent is not None]
    return False


def _check_use(connection: Connection, animal_id: int, row: Mapping[str, Any]) -> None:
    for column, sex, word in (("sire_id", "male", "sire"), ("dam_id", "female", "dam")):
        if row["sex"] == sex:
            continue
        for table, where in _PLACES:
            if column not in table.c:
                continue
            count = connection.execute(
                select(func.count()).select_from(table).where(table.c[column] == animal_id)
            ).scalar_one()
            if count:
                raise NotStored(f"{row['name']} is the {word} of {where} in this book, so it must be {sex}.")
