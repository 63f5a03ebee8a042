"""How do animals and pairings of a file enter the book? By name, all or none."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from functools import partial
from typing import Any

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.herd.animal_record import EMPTY, Status
from dashboard.records.herd.animals import AnimalRoom, animals_by_name, insert_animals
from dashboard.records.herd.pairings import insert_pairings
from dashboard.records.log.imports import ImportReceipt, ImportRoom
from dashboard.records.text_fields import name_key
from genetics.genes.traits import Sex


@dataclass(frozen=True)
class AnimalDraft:
    """One animal of a file; its parents by name, which may stand anywhere in the file or the book.

    Its clutch is named as in `HerdIndex.clutch_name`; the other fields are those of `AnimalRecord`.
    """

    name: str
    sex: Sex
    text: str
    hatched: date | None = None
    origin: str = ""
    bought_minor: int | None = None
    bought_currency: str | None = None
    note: str = ""
    status: Status = "growing"
    sire: str = ""
    dam: str = ""
    clutch: str = ""
    fed_since: date | None = None
    asked_minor: int | None = None
    asked_currency: str | None = None
    sold_minor: int | None = None
    sold_currency: str | None = None
    sold_on: date | None = None
    sold_where: str = ""


@dataclass(frozen=True)
class PairingDraft:
    """One pairing of a file; its animals by name."""

    season: int
    sire: str
    dam: str
    planned: bool = True
    introduced_on: date | None = None
    locked_on: date | None = None
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
            schema.pairings,
            rows,
            import_name,
            sameness=pairing_sameness,
            put=partial(insert_pairings, today=self.today()),
        )

    def _animal_row(self, draft: AnimalDraft) -> dict[str, Any]:
        names = {"sire": draft.sire, "dam": draft.dam, "clutch": draft.clutch}
        own = {name: value for name, value in asdict(draft).items() if name not in names}
        return self._checked_animal({**EMPTY, **own}) | names


def pairing_row(draft: PairingDraft, ids: Mapping[str, int]) -> dict[str, Any]:
    """Columns of one pairing, its animals looked up by name; raises `NotStored` if one is missing."""
    row: dict[str, Any] = {k: v for k, v in asdict(draft).items() if k not in {"sire", "dam"}}
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
