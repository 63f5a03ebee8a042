"""Which rows of a file are good animals or pairings? Tried, not stored."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from datetime import date
from typing import Any

from dashboard.records.faults import NotStored
from dashboard.records.herd.animal_record import EMPTY
from dashboard.records.herd.animal_rules import own_fields
from dashboard.records.herd.animals import AnimalRecord
from dashboard.records.herd.herd_imports import AnimalDraft, PairingDraft
from dashboard.records.herd.herd_index import HerdIndex
from dashboard.records.herd.pairings import PairingRecord, check_couple, pairing_fields
from dashboard.records.reading import AnimalReader
from dashboard.records.text_fields import name_key
from genetics.genes.traits import Sex

from .cells import as_text
from .columns_at_fault import checked, otherwise, same_again
from .dry_run import DryRun, Rules, check_lines
from .entries import Entry, RowRefused
from .guess import Guess
from .kinship import unfit_parents
from .pacing import Progress
from .tables import ANIMALS, PAIRINGS
from .values import Reading, RowReader

_DRAFTED = tuple(part.name for part in fields(AnimalDraft))


@dataclass(frozen=True)
class Herd:
    """What files of animals and pairings are held against.

    Attributes
    ----------
    animals, pairings
        All there are in the book.
    index
        The same with the clutches, by name.
    further_sires
        Further sires by the number of their pairing.
    """

    animals: Sequence[AnimalRecord]
    index: HerdIndex
    pairings: Sequence[PairingRecord] = ()
    further_sires: Mapping[int, frozenset[int]] = field(default_factory=dict)

    def by_key(self) -> dict[str, AnimalRecord]:
        """Animals by their name as it is compared."""
        return {name_key(animal.name): animal for animal in self.animals}


def check_animals(
    data: bytes,
    guess: Guess,
    *,
    today: date,
    currency: str,
    reader: AnimalReader,
    herd: Herd,
    on_progress: Progress | None = None,
) -> DryRun[AnimalDraft]:
    """Try a file of animals without storing anything.

    Raises
    ------
    FileRefused
        If a needed column is missing or the file can't be read as the guess says.
    """
    rows = RowReader(ANIMALS, Reading(guess.date_order, guess.decimal, currency))
    there, names = herd.by_key(), herd.index
    seen: dict[str, tuple[int, AnimalDraft]] = {}

    def check(values: Mapping[str, Any]) -> dict[str, Any]:
        return own_fields({**EMPTY, **values}, today=today, currency=currency, reader=reader)

    def make(entry: Entry) -> AnimalDraft:
        values = rows.read(entry)
        row = {**values, **checked(check, values, entry, ANIMALS)}
        draft = AnimalDraft(**{name: row[name] for name in _DRAFTED if name != "sex"}, sex=Sex(row["sex"]))
        key = str(row["name_key"])
        if key in seen:
            line, other = seen[key]
            why = same_again(line) if other == draft else f"Line {line} has another animal of this name."
            raise RowRefused("name", draft.name, why)
        stored = there.get(key)
        if stored is not None:
            _refuse_other(entry, _told(draft), _told_of(stored, names), f"an animal {stored.name}", ANIMALS)
        seen[key] = (entry.line.number, draft)
        return draft

    rules = Rules(
        make=make,
        as_row=lambda draft: {"name": name_key(draft.name)},
        stored=[{"name": key} for key in there],
        sameness=lambda row: row["name"],
        sift=lambda drafts: unfit_parents(drafts, there, names, herd.further_sires),
    )
    return check_lines(data, guess, rules, on_progress=on_progress)


def check_pairings(
    data: bytes,
    guess: Guess,
    *,
    today: date,
    herd: Herd,
    whole: bool = False,
    on_progress: Progress | None = None,
) -> DryRun[PairingDraft]:
    """Try a file of pairings without storing anything; raises as `check_animals`.

    An animal that is gone can't stand in the plan of this or a later season, except in a `whole` book.
    """
    rows = RowReader(PAIRINGS, Reading(guess.date_order, guess.decimal, ""))
    known, names = herd.by_key(), herd.index
    there = {(p.season, p.sire_id, p.dam_id): p for p in herd.pairings}
    seen: dict[tuple[int, int, int], tuple[int, PairingDraft]] = {}

    def make(entry: Entry) -> PairingDraft:
        values = rows.read(entry)
        sire, dam = (_animal(entry, word, values[word], known) for word in ("sire", "dam"))

        def check(said: Mapping[str, Any]) -> dict[str, Any]:
            own = {name: value for name, value in said.items() if name not in {"sire", "dam"}}
            return pairing_fields(**own, sire_id=sire.id, dam_id=dam.id, today=today)

        row = checked(check, values, entry, PAIRINGS)
        ahead = row["season"] >= today.year and not whole
        try:
            check_couple(sire, dam, season=row["season"], planned=bool(row["planned"]) and ahead)
        except NotStored as fault:
            raise RowRefused("sire", f"{sire.name} × {dam.name}", fault.reason) from fault
        own = {name: row[name] for name in ("season", "introduced_on", "locked_on", "note")}
        draft = PairingDraft(**own, sire=sire.name, dam=dam.name, planned=bool(row["planned"]))
        key = (draft.season, sire.id, dam.id)
        if key in seen:
            line, other = seen[key]
            why = same_again(line) if other == draft else f"Line {line} has the same pairing."
            raise RowRefused("season", as_text(entry.cells["season"]), why)
        if key in there:
            stored = there[key]
            told = {name: getattr(stored, name) for name in ("planned", "introduced_on", "locked_on", "note")}
            name = names.pairing_name(stored.id)
            _refuse_other(entry, vars(draft), told, f"the pairing {name}", PAIRINGS)
        seen[key] = (entry.line.number, draft)
        return draft

    ids = {key: animal.id for key, animal in known.items()}
    rules = Rules(
        make=make,
        as_row=lambda draft: {"key": (draft.season, ids[name_key(draft.sire)], ids[name_key(draft.dam)])},
        stored=[{"key": key} for key in there],
        sameness=lambda row: row["key"],
    )
    return check_lines(data, guess, rules, on_progress=on_progress)


def _animal(entry: Entry, word: str, name: str, known: Mapping[str, AnimalRecord]) -> AnimalRecord:
    found = known.get(name_key(name))
    if found is None:
        nearest = difflib.get_close_matches(name, [animal.name for animal in known.values()], n=3)
        why = f"No animal of this book is called {name}. Enter the animals first."
        raise RowRefused(word, as_text(entry.cells[word]), why, tuple(nearest))
    return found


def _told(draft: AnimalDraft) -> dict[str, Any]:
    """Give what a file says of an animal, names as they are compared."""
    told = {name: getattr(draft, name) for name in _DRAFTED}
    return told | {word: name_key(told[word]) for word in ("sire", "dam")}


def _told_of(stored: AnimalRecord, names: HerdIndex) -> dict[str, Any]:
    """Give what the book says of an animal, as `_told` gives it."""
    told = {name: getattr(stored, name, "") for name in _DRAFTED}
    for word, number in (("sire", stored.sire_id), ("dam", stored.dam_id)):
        told[word] = "" if number is None else name_key(names.animal_name(number))
    told["clutch"] = "" if stored.clutch_id is None else names.clutch_name(stored.clutch_id)
    return told


def _refuse_other(
    entry: Entry, told: Mapping[str, Any], stored: Mapping[str, Any], what: str, columns: Sequence[Any]
) -> None:
    """Refuse a row that says something else than the book where it says anything."""
    for column in columns:
        name = column.name
        if name not in stored or not as_text(entry.cells.get(name, "")):
            continue
        ours, theirs = (told[name], stored[name])
        if isinstance(ours, str) and isinstance(theirs, str):
            ours, theirs = name_key(ours), name_key(theirs)
        if ours != theirs:
            why = otherwise(what, column.header, stored[name])
            raise RowRefused(name, as_text(entry.cells[name]), why)
