"""How do animals and pairings of a file enter the book? By name, all or none."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from genetics.genes.traits import Sex

from . import schema
from .animals import AnimalRoom, Status, animals_by_name, insert_animals
from .faults import NotStored
from .imports import ImportReceipt, ImportRoom
from .pairings import insert_pairings
from .text_fields import name_key


@dataclass(frozen=True)
class AnimalDraft:
    """One animal of a file; its parents by name, which may stand anywhere in the file or the book."""

    name: str
    sex: Sex
    text: str
    hatched: date | None = None
    bought_minor: int | None = None
    note: str = ""
    status: Status = "kept"
    sire: str = ""
    dam: str = ""


@dataclass(frozen=True)
class PairingDraft:
    """One pairing of a file; its animals by name."""

    season: int
    sire: str
    dam: str
    planned: bool = True
    note: str = ""


class HerdImportRoom(AnimalRoom, ImportRoom):
    """Animals and pairings that come from a file."""

    def add_animals(self, drafts: Sequence[AnimalDraft], import_name: str) -> ImportReceipt:
        """Store the animals of one file in one step; those the book holds already are left out.

        Raises
        ------
        NotStored
            If one is not allowed, or its parents are not known; then none is stored.
        """
        rows = [self._animal_row(draft) for draft in drafts]
        return self._import_rows(
            schema.animals, rows, import_name, sameness=animal_sameness, put=insert_animals
        )

    def add_pairings(self, drafts: Sequence[PairingDraft], import_name: str) -> ImportReceipt:
        """Store the pairings of one file in one step; raises as `add_animals`."""
        with self._store.reading() as connection:
            known = animals_by_name(connection)
        rows = [pairing_row(draft, {key: animal.id for key, animal in known.items()}) for draft in drafts]
        return self._import_rows(
            schema.pairings, rows, import_name, sameness=pairing_sameness, put=insert_pairings
        )

    def _animal_row(self, draft: AnimalDraft) -> dict[str, Any]:
        values = {
            "name": draft.name,
            "sex": draft.sex,
            "text": draft.text,
            "hatched": draft.hatched,
            "bought_minor": draft.bought_minor,
            "note": draft.note,
            "status": draft.status,
            "sire_id": None,
            "dam_id": None,
        }
        return self._checked_animal(values) | {"sire": draft.sire, "dam": draft.dam}


def pairing_row(draft: PairingDraft, ids: Mapping[str, int]) -> dict[str, Any]:
    """Columns of one pairing, its animals looked up by name; raises `NotStored` if one is missing."""
    row: dict[str, Any] = {"season": draft.season, "planned": draft.planned, "note": draft.note}
    for word, name in (("sire", draft.sire), ("dam", draft.dam)):
        found = ids.get(name_key(name))
        if found is None:
            raise NotStored(f"The {word}, {name}, is not among the animals of this book.")
        row[f"{word}_id"] = found
    return row


def animal_sameness(row: Mapping[Any, Any]) -> Hashable:
    """Give what two rows must share to be the same animal: name, sex, text and day of hatching.

    An animal of the same name that differs in these is another one, and its name is refused.
    """
    return (row["name_key"], row["sex"], name_key(row["text"]), row["hatched"])


def pairing_sameness(row: Mapping[Any, Any]) -> Hashable:
    """Give what two rows must share to be the same pairing: season, sire and dam."""
    return (row["season"], row["sire_id"], row["dam_id"])
