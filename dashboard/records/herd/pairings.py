"""Which pairings does the breeder plan, and what is known better for one of them? One row each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypedDict, Unpack

from sqlalchemy import Connection, and_, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.figures.assumptions import checked_figures
from dashboard.records.herd.animal_record import AnimalRecord, find_animal
from dashboard.records.herd.standing import standing
from dashboard.records.herd.ties import young_follow
from dashboard.records.log.changes import check_unneeded
from dashboard.records.parts import BookPart
from dashboard.records.store.edits import Edit, NothingChanged, read_row
from dashboard.records.text_fields import checked_day, tidy_note
from genetics.genes.traits import Sex

FIRST_SEASON, LAST_SEASON = 1980, 2100
_GONE = {"sold": "was sold", "died": "has died"}


@dataclass(frozen=True)
class PairingRecord:
    """One pairing of the book.

    Attributes
    ----------
    id, version
        Number of the row, and of the edit that wrote it.
    season
        Year in which the eggs come.
    sire_id, dam_id
        The two animals.
    planned
        Whether it stands in the season's plan; False for a candidate that was left out.
    introduced_on, locked_on
        Day they were put together, and day they were first seen locked; None if not known.
    note
        Free text.
    """

    id: int
    version: int
    season: int
    sire_id: int
    dam_id: int
    planned: bool = True
    introduced_on: date | None = None
    locked_on: date | None = None
    note: str = ""


class PairingFields(TypedDict, total=False):
    """What can be changed of a pairing."""

    season: int
    sire_id: int
    dam_id: int
    planned: bool
    introduced_on: date | None
    locked_on: date | None
    note: str


class PairingRoom(BookPart):
    """The pairings of a book."""

    def pairings(self, season: int | None = None) -> tuple[PairingRecord, ...]:
        """All pairings, or those of one season, in the order they were entered."""
        table = schema.pairings
        query = select(table).order_by(table.c.id)
        if season is not None:
            query = query.where(table.c.season == season)
        with self._store.reading() as connection:
            return tuple(_record(row) for row in connection.execute(query).mappings())

    def pairing(self, pairing_id: int) -> PairingRecord:
        """One pairing; raises `NotStored` if the book has none of this id."""
        with self._store.reading() as connection:
            return _needed(connection, pairing_id)

    def add_pairing(
        self, season: int, sire_id: int, dam_id: int, *, planned: bool = True, note: str = ""
    ) -> PairingRecord:
        """Store a pairing of a male and a female of the book.

        Raises
        ------
        NotStored
            If the sexes don't fit, an animal is gone, or the pairing is already there.
        """
        row = self._row(season=season, sire_id=sire_id, dam_id=dam_id, planned=planned, note=note)
        with self._store.editing(f"Entered a pairing for season {season}") as edit:
            check_pairing(edit.connection, row, own_id=None)
            pairing_id = edit.insert(schema.pairings, row)
            return _needed(edit.connection, pairing_id)

    def change_pairing(
        self, pairing_id: int, version: int, **changed: Unpack[PairingFields]
    ) -> PairingRecord:
        """Change some fields of a pairing that still has this version; its young follow other parents.

        Raises
        ------
        Conflict
            If it was changed elsewhere since.
        NotStored
            As for `add_pairing`.
        """
        with self._store.editing("Changed a pairing") as edit:
            before = _needed(edit.connection, pairing_id)
            known: dict[str, Any] = {name: getattr(before, name) for name in PairingFields.__annotations__}
            row = self._row(**{**known, **changed})
            check_pairing(edit.connection, row, own_id=pairing_id)
            wanted = {name: row[name] for name in changed}
            with standing(edit.connection), young_follow(edit):
                edit.update(schema.pairings, pairing_id, version, wanted, what="This pairing")
            return _needed(edit.connection, pairing_id)

    def remove_pairing(self, pairing_id: int, version: int) -> None:
        """Remove a pairing with its figures and further sires; raises as `change_pairing`.

        Raises `NotStored` if a clutch of it is in the book.
        """
        with self._store.editing("Removed a pairing") as edit:
            for table in (schema.pairing_assumptions, schema.further_sires):
                own = edit.connection.execute(select(table).where(table.c.pairing_id == pairing_id))
                for row in own.mappings().all():
                    edit.delete(table, row["id"], row["version"], what="A part of this pairing")
            check_unneeded(edit.connection, schema.pairings, {pairing_id}, what="This pairing")
            edit.delete(schema.pairings, pairing_id, version, what="This pairing")

    def _row(self, **values: Any) -> dict[str, Any]:
        return pairing_fields(**values, today=self.today())

    def pairing_assumptions(self, pairing_id: int) -> dict[str, float]:
        """Figures entered for this pairing only, by id; they stand before the book's own."""
        table = schema.pairing_assumptions
        query = select(table.c.assumption, table.c.value).where(table.c.pairing_id == pairing_id)
        with self._store.reading() as connection:
            return {row.assumption: row.value for row in connection.execute(query.order_by(table.c.id))}

    def clear_pairing_assumptions(self, pairing_id: int) -> None:
        """Go back to the book's figures for one pairing, in one edit.

        Raises
        ------
        NotStored
            If there is no such pairing.
        """
        table = schema.pairing_assumptions
        with self._store.editing("Went back to the book's figures for one pairing") as edit:
            _needed(edit.connection, pairing_id)
            own = edit.connection.execute(select(table).where(table.c.pairing_id == pairing_id))
            rows = own.mappings().all()
            for row in rows:
                edit.delete(table, row["id"], row["version"], what="A figure of this pairing")
            if not rows:
                raise NothingChanged

    def set_pairing_assumption(self, pairing_id: int, assumption: str, value: float | None) -> None:
        """Store what the breeder knows better for one pairing; None goes back to the book's figure.

        Raises
        ------
        NotStored
            If there is no such pairing or figure, or the value is not allowed.
        """
        table = schema.pairing_assumptions
        with self._store.editing(f"Set {assumption} for one pairing") as edit:
            _needed(edit.connection, pairing_id)
            rows = edit.connection.execute(select(table).where(table.c.pairing_id == pairing_id))
            own = {row["assumption"]: row for row in rows.mappings()}
            figures: dict[str, float | None] = {name: row["value"] for name, row in own.items()}
            checked = checked_figures(edit.connection, figures, assumption, value)
            found = own.get(assumption)
            if value is None:
                if found is None:
                    raise NothingChanged
                edit.delete(table, found["id"], found["version"], what="This figure")
            elif found is None:
                edit.insert(table, {"pairing_id": pairing_id, "assumption": assumption, "value": checked})
            else:
                edit.update(table, found["id"], found["version"], {"value": checked}, what="This figure")


def pairing_fields(
    *,
    season: int,
    sire_id: int,
    dam_id: int,
    today: date,
    planned: bool = True,
    introduced_on: date | None = None,
    locked_on: date | None = None,
    note: str = "",
) -> dict[str, Any]:
    """Row of a pairing whose own fields are allowed; raises `NotStored`."""
    if not FIRST_SEASON <= season <= LAST_SEASON:
        raise NotStored(f"The season is {season}; allowed: the year of the eggs, such as 2027.")
    for day, what in ((introduced_on, "The day they were put together"), (locked_on, "The day they locked")):
        if day is not None:
            checked_day(day, today=today, what=what)
            if not season - 1 <= day.year <= season:
                raise NotStored(f"{what} is {day.isoformat()}, but the eggs are of {season}.")
    if introduced_on and locked_on and locked_on < introduced_on:
        raise NotStored(
            f"They locked on {locked_on.isoformat()}, before they were put together "
            f"({introduced_on.isoformat()})."
        )
    return {
        "season": int(season),
        "sire_id": sire_id,
        "dam_id": dam_id,
        "planned": int(planned),
        "introduced_on": introduced_on,
        "locked_on": locked_on,
        "note": tidy_note(note),
    }


def _record(row: Mapping[Any, Any]) -> PairingRecord:
    return PairingRecord(
        id=row["id"],
        version=row["version"],
        season=row["season"],
        sire_id=row["sire_id"],
        dam_id=row["dam_id"],
        planned=bool(row["planned"]),
        introduced_on=row["introduced_on"],
        locked_on=row["locked_on"],
        note=row["note"],
    )


def _needed(connection: Connection, pairing_id: int) -> PairingRecord:
    found = read_row(connection, schema.pairings, pairing_id)
    if found is None:
        raise NotStored(f"No pairing has the number {pairing_id} in this book.")
    return _record(found)


def check_pairing(connection: Connection, row: Mapping[str, Any], *, own_id: int | None) -> None:
    """Refuse a pairing that can't lay: wrong sexes, an animal that is gone, the same pairing twice."""
    sire, dam = (find_animal(connection, row[column]) for column in ("sire_id", "dam_id"))
    if sire is None or dam is None:
        raise NotStored(f"The {'sire' if sire is None else 'dam'} of this pairing is not in the book.")
    check_couple(sire, dam, season=row["season"], planned=bool(row["planned"]))
    table = schema.pairings
    same = and_(table.c.season == row["season"], table.c.sire_id == sire.id, table.c.dam_id == dam.id)
    found = connection.execute(select(table.c.id).where(same)).scalar_one_or_none()
    if found is not None and found != own_id:
        raise NotStored(f"{sire.name} × {dam.name} is already entered for season {row['season']}.")


def check_couple(sire: AnimalRecord, dam: AnimalRecord, *, season: int, planned: bool) -> None:
    """Refuse two animals that can't be paired in a season.

    Raises
    ------
    NotStored
        With one sentence that says why.
    """
    if sire.id == dam.id:
        raise NotStored(f"{sire.name} can't be paired with itself.")
    if sire.sex is dam.sex and sire.sex is not Sex.UNSEXED:
        raise NotStored(
            f"{sire.name} and {dam.name} are both {sire.sex}; a pairing needs a male and a female."
        )
    for animal, wanted, word in ((sire, Sex.MALE, "sire"), (dam, Sex.FEMALE, "dam")):
        if animal.sex is not wanted:
            raise NotStored(f"{animal.name} is {animal.sex}; the {word} of a pairing must be {wanted}.")
        if planned and animal.status in _GONE:
            raise NotStored(f"{animal.name} {_GONE[animal.status]}, so it can't stand in a plan.")
        if animal.hatched is not None and animal.hatched >= date(season, 1, 1):
            raise NotStored(
                f"{animal.name} hatched on {animal.hatched.isoformat()}, too late for eggs in {season}."
            )


def insert_pairings(edit: Edit, rows: Sequence[Mapping[str, Any]], import_id: int, *, today: date) -> None:
    """Store pairings of one import, each checked against the book; raises `NotStored`."""
    for row in rows:
        values = pairing_fields(**{name: row[name] for name in PairingFields.__annotations__}, today=today)
        check_pairing(edit.connection, values, own_id=None)
        edit.connection.execute(
            schema.pairings.insert().values(**values, version=edit.number, import_id=import_id)
        )
