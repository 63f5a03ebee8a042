"""Can the parents that a file names be the parents? Looked up in the file and in the book."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from dashboard.records.herd.animals import AnimalRecord
from dashboard.records.herd.herd_imports import AnimalDraft
from dashboard.records.herd.herd_index import HerdIndex, place_key
from dashboard.records.text_fields import name_key
from genetics.genes.traits import Sex

from .entries import RowRefused


@dataclass(frozen=True)
class _Relative:
    """What is asked of a parent, whether it stands in the file or in the book."""

    name: str
    sex: Sex
    hatched: date | None
    parents: tuple[str, ...]


def unfit_parents(
    drafts: Sequence[AnimalDraft],
    there: Mapping[str, AnimalRecord],
    names: HerdIndex,
    further_sires: Mapping[int, frozenset[int]],
) -> dict[int, RowRefused]:
    """Refusals of animals whose parents or clutch are missing or impossible, by their place in the list.

    An animal whose parent was refused is refused as well.

    Parameters
    ----------
    drafts
        New animals of the file.
    there
        Animals of the book by their name as it is compared.
    names
        Animals, pairings and clutches of the book.
    further_sires
        Further sires by the number of their pairing.
    """
    known = {key: _of_book(animal, names) for key, animal in there.items()}
    known |= {name_key(draft.name): _of_file(draft) for draft in drafts}
    clutches = names.clutch_ids()
    faults: dict[int, RowRefused] = {}
    waiting = True
    while waiting:
        waiting = False
        for place, draft in enumerate(drafts):
            if place in faults:
                continue
            fault = _unfit(draft, known) or _unfit_clutch(draft, clutches, names, further_sires)
            if fault is not None:
                faults[place] = fault
                known.pop(name_key(draft.name), None)
                waiting = True
    return faults


def _of_book(animal: AnimalRecord, names: HerdIndex) -> _Relative:
    parents = tuple(
        name_key(names.animal_name(number))
        for number in (animal.sire_id, animal.dam_id)
        if number is not None
    )
    return _Relative(animal.name, animal.sex, animal.hatched, parents)


def _of_file(draft: AnimalDraft) -> _Relative:
    parents = tuple(name_key(name) for name in (draft.sire, draft.dam) if name)
    return _Relative(draft.name, draft.sex, draft.hatched, parents)


def _unfit(draft: AnimalDraft, known: Mapping[str, _Relative]) -> RowRefused | None:
    for word, name, sex in (("sire", draft.sire, Sex.MALE), ("dam", draft.dam, Sex.FEMALE)):
        if not name:
            continue
        parent = known.get(name_key(name))
        if parent is None:
            nearest = difflib.get_close_matches(name, [r.name for r in known.values()], n=3)
            why = f"The {word}, {name}, is neither among the good rows of the file nor in the book."
            return RowRefused(word, name, why, tuple(nearest))
        if parent.sex is not sex:
            return RowRefused(word, name, f"{parent.name} is {parent.sex}; the {word} must be {sex}.")
        if draft.hatched and parent.hatched and parent.hatched >= draft.hatched:
            why = f"{parent.name} hatched on {parent.hatched.isoformat()}, not before {draft.name}."
            return RowRefused(word, name, why)
        if _descends(name_key(name), name_key(draft.name), known):
            return RowRefused(word, name, f"{draft.name} would be its own ancestor.")
    return None


def _descends(start: str, ancestor: str, known: Mapping[str, _Relative]) -> bool:
    waiting, seen = [start], set[str]()
    while waiting:
        current = waiting.pop()
        if current == ancestor:
            return True
        if current not in seen and current in known:
            seen.add(current)
            waiting += known[current].parents
    return False


def _unfit_clutch(
    draft: AnimalDraft,
    clutches: Mapping[str, int],
    names: HerdIndex,
    further_sires: Mapping[int, frozenset[int]],
) -> RowRefused | None:
    if not draft.clutch:
        return None
    number = clutches.get(place_key(draft.clutch))
    if number is None:
        why = f"No clutch of this book is called {draft.clutch}. Enter the pairing and its clutch first."
        nearest = difflib.get_close_matches(draft.clutch, [names.clutch_name(n) for n in names.clutches], n=3)
        return RowRefused("clutch", draft.clutch, why, tuple(nearest))
    pairing = names.pairings[names.clutches[number].pairing_id]
    sires = {pairing.sire_id, *further_sires.get(pairing.id, frozenset())}
    allowed = {
        "sire": {name_key(names.animal_name(sire)) for sire in sires},
        "dam": {name_key(names.animal_name(pairing.dam_id))},
    }
    for word, name in (("sire", draft.sire), ("dam", draft.dam)):
        if name and name_key(name) not in allowed[word]:
            return RowRefused(word, name, f"{name} is not the {word} of the clutch {draft.clutch}.")
    return None
