"""What hatched from a clutch? Each hatchling is an animal of the book, entered together with its siblings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.herd.animal_record import EMPTY, AnimalRecord, Status, animal_from_row, needed_animal
from dashboard.records.herd.animal_rules import check_against_book, with_clutch
from dashboard.records.herd.animals import AnimalRoom
from dashboard.records.herd.herd_index import herd_index
from dashboard.records.text_fields import name_key
from genetics.genes.traits import Sex

MOST_AT_ONCE = 25


@dataclass(frozen=True)
class HatchlingDraft:
    """One hatchling as it is entered: its look as seen, its sex, and a name if it has one already."""

    text: str
    sex: Sex = Sex.UNSEXED
    name: str = ""
    status: Status = "growing"
    note: str = ""


class HatchlingRoom(AnimalRoom):
    """The hatchlings of a book's clutches."""

    def hatchlings(self, clutch_id: int) -> tuple[AnimalRecord, ...]:
        """Young of one clutch, in the order they were entered."""
        table = schema.animals
        query = select(table).where(table.c.clutch_id == clutch_id).order_by(table.c.id)
        with self._store.reading() as connection:
            return tuple(animal_from_row(row) for row in connection.execute(query).mappings())

    def add_hatchlings(self, clutch_id: int, drafts: Sequence[HatchlingDraft]) -> tuple[AnimalRecord, ...]:
        """Store several hatchlings of one clutch in one edit; those without a name are numbered.

        The number is named after the dam and the season: "Tansy 2027-3". Parents and day of hatching
        are those of the clutch.

        Raises
        ------
        NotStored
            If there is no such clutch, no hatchling or more than 25 are given, or one is not allowed;
            then none is stored.
        """
        if not 1 <= len(drafts) <= MOST_AT_ONCE:
            raise NotStored(f"{len(drafts)} hatchlings were given; allowed: 1 to {MOST_AT_ONCE} at once.")
        words = "a hatchling" if len(drafts) == 1 else f"{len(drafts)} hatchlings"
        with self._store.editing(f"Entered {words}") as edit:
            unnamed = sum(not draft.name for draft in drafts)
            names = _free_names(edit.connection, clutch_id, unnamed) if unnamed else iter(())
            stored = []
            for draft in drafts:
                own = {"name": draft.name or next(names), "text": draft.text, "sex": draft.sex}
                said = {"status": draft.status, "note": draft.note, "clutch_id": clutch_id}
                row = with_clutch(edit.connection, self._checked_animal({**EMPTY, **own, **said}))
                check_against_book(edit.connection, row, own_id=None)
                stored.append(edit.insert(schema.animals, row))
            return tuple(needed_animal(edit.connection, animal_id) for animal_id in stored)


def _free_names(connection: Connection, clutch_id: int, count: int) -> Iterator[str]:
    """Names after the dam, the season and the next numbers that are free."""
    herd = herd_index(connection)
    clutch = herd.clutches.get(clutch_id)
    if clutch is None:
        raise NotStored("This clutch is not in the book.")
    pairing = herd.pairings[clutch.pairing_id]
    dam = herd.animal_name(pairing.dam_id)[:60]
    letter = "" if clutch.number == 1 else "abcdefghi"[clutch.number - 1]
    taken = herd.animal_ids()
    free = (
        name
        for number in range(1, len(taken) + count + 2)
        if name_key(name := f"{dam} {pairing.season}{letter}-{number}") not in taken
    )
    return iter(free)
