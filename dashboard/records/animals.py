"""Which animals does the breeder have? Stored as written, after the catalogue could read them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, Literal, TypedDict, Unpack, get_args

from sqlalchemy import Connection, func, or_, select

from genetics.genes.traits import Sex

from . import schema
from .edits import Edit, read_row
from .faults import NotStored
from .parts import BookPart
from .text_fields import LONGEST_LOOK, LONGEST_NAME, checked_day, checked_sex, name_key, tidy, tidy_note

Status = Literal["kept", "held back", "for sale", "sold", "died"]
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
    hatched, bought_minor
        Day of hatching, and price paid [smallest unit of the book's currency]; None if not known.
    note, status
        Free text; kept, held back, for sale, sold or died.
    sire_id, dam_id
        Its parents in this book, if known.
    """

    id: int
    version: int
    name: str
    sex: Sex
    text: str
    hatched: date | None = None
    bought_minor: int | None = None
    note: str = ""
    status: Status = "kept"
    sire_id: int | None = None
    dam_id: int | None = None


class OtherFields(TypedDict, total=False):
    """What may be said of a new animal beside its name, sex and text."""

    hatched: date | None
    bought_minor: int | None
    note: str
    status: Status
    sire_id: int | None
    dam_id: int | None


class AnimalFields(OtherFields, total=False):
    """What can be changed of an animal."""

    name: str
    sex: Sex
    text: str


class AnimalRoom(BookPart):
    """The animals of a book."""

    def animals(self) -> tuple[AnimalRecord, ...]:
        """All animals, in the order they were entered."""
        with self._store.reading() as connection:
            rows = connection.execute(select(schema.animals).order_by(schema.animals.c.id)).mappings()
            return tuple(_record(row) for row in rows)

    def animal(self, animal_id: int) -> AnimalRecord:
        """One animal; raises `NotStored` if the book has none of this id."""
        with self._store.reading() as connection:
            return _needed(connection, animal_id)

    def add_animal(
        self, name: str, text: str, *, sex: Sex = Sex.UNSEXED, **more: Unpack[OtherFields]
    ) -> AnimalRecord:
        """Store a new animal.

        Raises
        ------
        NotStored
            If a value is not allowed, the name is taken, or the text can't be read (`Unreadable`).
        """
        values = {**_EMPTY, **more, "name": name, "text": text, "sex": sex}
        row = self._checked_animal(values)
        with self._store.editing(f"Entered {row['name']}") as edit:
            _check_against_book(edit.connection, row, own_id=None)
            animal_id = edit.insert(schema.animals, row)
            return _needed(edit.connection, animal_id)

    def change_animal(self, animal_id: int, version: int, **changed: Unpack[AnimalFields]) -> AnimalRecord:
        """Change some fields of an animal that still has this version.

        Raises
        ------
        Conflict
            If it was changed elsewhere since.
        NotStored
            As for `add_animal`, or if its pairings would no longer be possible.
        """
        before = self.animal(animal_id)
        known = {field.name: getattr(before, field.name) for field in fields(before)}
        row = self._checked_animal({**known, **changed})
        wanted = {name: row[name] for name in (*changed, "name_key") if name in row}
        with self._store.editing(f"Changed {before.name}") as edit:
            _check_against_book(edit.connection, row, own_id=animal_id)
            edit.update(schema.animals, animal_id, version, wanted, what=f"Animal {before.name}")
            return _needed(edit.connection, animal_id)

    def remove_animal(self, animal_id: int, version: int) -> None:
        """Remove an animal that no pairing and no young needs.

        Raises
        ------
        Conflict
            If it was changed elsewhere since.
        NotStored
            If a pairing or a young animal of the book names it.
        """
        before = self.animal(animal_id)
        with self._store.editing(f"Removed {before.name}") as edit:
            _check_unused(edit.connection, before)
            edit.delete(schema.animals, animal_id, version, what=f"Animal {before.name}")

    def _checked_animal(self, values: Mapping[str, Any]) -> dict[str, Any]:
        """Row of an animal whose own fields are allowed; the text has been read."""
        name = tidy(str(values["name"]), what="The name", longest=LONGEST_NAME)
        text = tidy(str(values["text"]), what="What the animal is", longest=LONGEST_LOOK)
        sex = checked_sex(values["sex"])
        self.reader(text, sex)
        hatched = values["hatched"]
        if hatched is not None:
            checked_day(hatched, today=self.today(), what=f"The day {name} hatched")
        paid = values["bought_minor"]
        if paid is not None and paid < 0:
            raise NotStored(f"The price paid for {name} is below zero.")
        if values["status"] not in STATUSES:
            raise NotStored(f"The status is “{values['status']}”; allowed: {', '.join(STATUSES)}.")
        return {
            "name": name,
            "name_key": name_key(name),
            "sex": sex.value,
            "text": text,
            "hatched": hatched,
            "bought_minor": paid,
            "note": tidy_note(str(values["note"])),
            "status": values["status"],
            "sire_id": values["sire_id"],
            "dam_id": values["dam_id"],
        }


_EMPTY: dict[str, Any] = {
    "hatched": None,
    "bought_minor": None,
    "note": "",
    "status": "kept",
    "sire_id": None,
    "dam_id": None,
}


def _record(row: Mapping[Any, Any]) -> AnimalRecord:
    values = {field.name: row[field.name] for field in fields(AnimalRecord)}
    return AnimalRecord(**{**values, "sex": Sex(values["sex"])})


def find_animal(connection: Connection, animal_id: int) -> AnimalRecord | None:
    """One animal inside an open transaction, or None."""
    row = read_row(connection, schema.animals, animal_id)
    return None if row is None else _record(row)


def _needed(connection: Connection, animal_id: int) -> AnimalRecord:
    found = find_animal(connection, animal_id)
    if found is None:
        raise NotStored(f"No animal has the number {animal_id} in this book.")
    return found


def _check_against_book(connection: Connection, row: Mapping[str, Any], *, own_id: int | None) -> None:
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
        for table, where in ((schema.pairings, "a pairing"), (schema.animals, "a young animal")):
            count = connection.execute(
                select(func.count()).select_from(table).where(table.c[column] == animal_id)
            ).scalar_one()
            if count:
                raise NotStored(f"{row['name']} is the {word} of {where} in this book, so it must be {sex}.")


def _check_unused(connection: Connection, animal: AnimalRecord) -> None:
    for table, one, many in (
        (schema.pairings, "pairing needs", "pairings need"),
        (schema.animals, "young animal names", "young animals name"),
    ):
        used = or_(table.c.sire_id == animal.id, table.c.dam_id == animal.id)
        count = connection.execute(select(func.count()).select_from(table).where(used)).scalar_one()
        if count:
            raise NotStored(
                f"{count} {one if count == 1 else many} {animal.name}. Remove or change that first."
            )


def animals_by_name(connection: Connection) -> dict[str, AnimalRecord]:
    """Animals of the book by the name as it is compared."""
    rows: Sequence[Any] = connection.execute(select(schema.animals)).mappings().all()
    return {row["name_key"]: _record(row) for row in rows}


def insert_animals(edit: Edit, rows: Sequence[Mapping[str, Any]], import_id: int) -> None:
    """Store checked animals of one import; parents are given by name and may stand further down.

    Raises
    ------
    NotStored
        If a parent is missing or impossible; the whole import is then taken back.
    """
    table = schema.animals
    there = animals_by_name(edit.connection)
    for row in rows:
        if row["name_key"] in there:
            raise NotStored(f"There is already another animal called {row['name']}. Nothing was saved.")
        there[row["name_key"]] = _record({**row, "id": 0, "version": 0, "sire_id": None, "dam_id": None})
    plain = [
        {k: v for k, v in row.items() if k not in {"sire", "dam"}}
        | {"version": edit.number, "import_id": import_id, "sire_id": None, "dam_id": None}
        for row in rows
    ]
    edit.connection.execute(table.insert(), plain)
    known = animals_by_name(edit.connection)
    for row in rows:
        parents = {f"{word}_id": _parent(known, row, word) for word in ("sire", "dam")}
        if not any(parents.values()):
            continue
        own = known[row["name_key"]]
        check_parents(edit.connection, {**row, **parents}, own_id=own.id)
        edit.connection.execute(table.update().where(table.c.id == own.id).values(**parents))


def _parent(known: Mapping[str, AnimalRecord], row: Mapping[str, Any], word: str) -> int | None:
    name = row.get(word) or ""
    if not name:
        return None
    found = known.get(name_key(name))
    if found is None:
        raise NotStored(f"The {word} of {row['name']}, {name}, is neither in the file nor in the book.")
    return found.id
