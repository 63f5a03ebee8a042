"""Which animals does the breeder have? Stored as written, after the catalogue could read them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields
from typing import Any, Unpack

from sqlalchemy import Connection, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.herd.animal_record import (
    EMPTY,
    STATUSES,
    AnimalFields,
    AnimalRecord,
    OtherFields,
    Status,
    animal_from_row,
    find_animal,
    needed_animal,
)
from dashboard.records.herd.animal_rules import check_against_book, check_parents, own_fields, with_clutch
from dashboard.records.herd.herd_index import herd_index, place_key
from dashboard.records.herd.standing import standing
from dashboard.records.log.changes import check_unneeded
from dashboard.records.parts import BookPart
from dashboard.records.store.edits import Edit
from dashboard.records.text_fields import name_key
from genetics.genes.traits import Sex

__all__ = [
    "STATUSES",
    "AnimalFields",
    "AnimalRecord",
    "AnimalRoom",
    "OtherFields",
    "Status",
    "animals_by_name",
    "find_animal",
    "insert_animals",
]


class AnimalRoom(BookPart):
    """The animals of a book."""

    def animals(self) -> tuple[AnimalRecord, ...]:
        """All animals, in the order they were entered."""
        with self._store.reading() as connection:
            rows = connection.execute(select(schema.animals).order_by(schema.animals.c.id)).mappings()
            return tuple(animal_from_row(row) for row in rows)

    def animal(self, animal_id: int) -> AnimalRecord:
        """One animal; raises `NotStored` if the book has none of this id."""
        with self._store.reading() as connection:
            return needed_animal(connection, animal_id)

    def add_animal(
        self, name: str, text: str, *, sex: Sex = Sex.UNSEXED, **more: Unpack[OtherFields]
    ) -> AnimalRecord:
        """Store a new animal.

        Raises
        ------
        NotStored
            If a value is not allowed, the name is taken, or the text can't be read (`Unreadable`).
        """
        values = {**EMPTY, **more, "name": name, "text": text, "sex": sex}
        row = self._checked_animal(values)
        with self._store.editing(f"Entered {row['name']}") as edit:
            row = with_clutch(edit.connection, row)
            check_against_book(edit.connection, row, own_id=None)
            animal_id = edit.insert(schema.animals, row)
            return needed_animal(edit.connection, animal_id)

    def change_animal(self, animal_id: int, version: int, **changed: Unpack[AnimalFields]) -> AnimalRecord:
        """Change some fields of an animal that still has this version.

        Raises
        ------
        Conflict
            If it was changed elsewhere since.
        NotStored
            As for `add_animal`, or if its pairings, young, weights or tests would no longer be possible.
        """
        before = self.animal(animal_id)
        known = {field.name: getattr(before, field.name) for field in fields(before)}
        row = self._checked_animal({**known, **changed})
        with self._store.editing(f"Changed {before.name}") as edit:
            row = with_clutch(edit.connection, row)
            wanted = {name: row[name] for name in row if name in changed or row[name] != known.get(name)}
            check_against_book(edit.connection, row, own_id=animal_id)
            with standing(edit.connection):
                edit.update(schema.animals, animal_id, version, wanted, what=f"Animal {before.name}")
            return needed_animal(edit.connection, animal_id)

    def remove_animal(self, animal_id: int, version: int) -> None:
        """Remove an animal that no pairing and no young needs, with its weights and tests.

        Raises
        ------
        Conflict
            If it was changed elsewhere since.
        NotStored
            If a pairing, a young animal or a sum spent names it.
        """
        before = self.animal(animal_id)
        with self._store.editing(f"Removed {before.name}") as edit:
            for table in (schema.weights, schema.gene_tests):
                own = edit.connection.execute(select(table).where(table.c.animal_id == animal_id))
                for row in own.mappings().all():
                    edit.delete(table, row["id"], row["version"], what=f"A fact about {before.name}")
            check_unneeded(edit.connection, schema.animals, {animal_id}, what=before.name)
            edit.delete(schema.animals, animal_id, version, what=f"Animal {before.name}")

    def _checked_animal(self, values: Mapping[str, Any]) -> dict[str, Any]:
        """Row of an animal whose own fields are allowed; the text has been read."""
        return own_fields(values, today=self.today(), currency=self.currency, reader=self.reader)


def animals_by_name(connection: Connection) -> dict[str, AnimalRecord]:
    """Animals of the book by the name as it is compared."""
    rows: Sequence[Any] = connection.execute(select(schema.animals)).mappings().all()
    return {row["name_key"]: animal_from_row(row) for row in rows}


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
        there[row["name_key"]] = animal_from_row({**row, "id": 0, "version": 0})
    plain = [
        {k: v for k, v in row.items() if k not in {"sire", "dam", "clutch"}}
        | {"version": edit.number, "import_id": import_id, "sire_id": None, "dam_id": None, "clutch_id": None}
        for row in rows
    ]
    edit.connection.execute(table.insert(), plain)
    known = animals_by_name(edit.connection)
    clutches = herd_index(edit.connection).clutch_ids()
    for row in rows:
        tied: dict[str, Any] = {f"{word}_id": _parent(known, row, word) for word in ("sire", "dam")}
        tied["clutch_id"] = _clutch(clutches, row)
        if not any(tied.values()):
            continue
        own = known[row["name_key"]]
        full = with_clutch(edit.connection, {**row, **tied})
        check_parents(edit.connection, full, own_id=own.id)
        kept = {name: full[name] for name in (*tied, "hatched")}
        edit.connection.execute(table.update().where(table.c.id == own.id).values(**kept))


def _clutch(known: Mapping[str, int], row: Mapping[str, Any]) -> int | None:
    name = row.get("clutch") or ""
    if not name:
        return None
    found = known.get(place_key(name))
    if found is None:
        raise NotStored(f"The clutch of {row['name']}, {name}, is not in the book.")
    return found


def _parent(known: Mapping[str, AnimalRecord], row: Mapping[str, Any], word: str) -> int | None:
    name = row.get(word) or ""
    if not name:
        return None
    found = known.get(name_key(name))
    if found is None:
        raise NotStored(f"The {word} of {row['name']}, {name}, is neither in the file nor in the book.")
    return found.id
