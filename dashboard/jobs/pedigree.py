"""Who are an animal's forebears and its young, as far as the book knows them?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from dashboard.records import AnimalRecord, Book
from genetics.pedigrees.inbreeding import kinship
from genetics.pedigrees.pedigree import Collection, Litter, PedigreeAnimal, PossibleSire

GENERATIONS: Final = 3
"""Parents, grandparents and great-grandparents."""


@dataclass(frozen=True)
class MateYoung:
    """Young of an animal with one mate; the mate is None where the other parent is not known."""

    mate: AnimalRecord | None
    young: tuple[AnimalRecord, ...]


@dataclass(frozen=True)
class PedigreeAnswer:
    """An animal with its forebears and its young.

    Attributes
    ----------
    animal
        The animal itself.
    places
        Forebears by place: 2 is the sire and 3 the dam of the animal; 2n and 2n + 1 are sire and dam of
        the one in place n, up to 15. None stands where a known animal's parent is not known.
    shared
        Animals that stand both on the sire's and on the dam's side, however far back, nearest first.
    mates
        Young by mate, the mates by name.
    inbreeding
        Wright's coefficient of the animal [0 to 1]; None where its parents share no forebear.
    """

    animal: AnimalRecord
    places: Mapping[int, AnimalRecord | None]
    shared: tuple[AnimalRecord, ...]
    mates: tuple[MateYoung, ...]
    inbreeding: float | None

    @property
    def known(self) -> int:
        """How many places of the picture are filled."""
        return sum(found is not None for found in self.places.values())

    @property
    def young(self) -> int:
        """How many young the book holds."""
        return sum(len(mate.young) for mate in self.mates)


def pedigree_answer(book: Book, animal_id: int) -> PedigreeAnswer:
    """Forebears and young of one animal of a book.

    Raises
    ------
    NotStored
        If the book has no such animal.
    """
    animal = book.animal(animal_id)
    herd = {other.id: other for other in book.animals()}
    return PedigreeAnswer(
        animal=animal,
        places=_places(animal, herd),
        shared=_shared(animal, herd),
        mates=_mates(animal, herd),
        inbreeding=_inbreeding(animal, herd),
    )


def _places(animal: AnimalRecord, herd: Mapping[int, AnimalRecord]) -> dict[int, AnimalRecord | None]:
    """Places of the picture whose child is known, each generation after the one before."""
    found: dict[int, AnimalRecord | None] = {1: animal}
    for place in range(2, 2 ** (GENERATIONS + 1)):
        child = found.get(place // 2)
        if child is not None:
            parent = child.dam_id if place % 2 else child.sire_id
            found[place] = None if parent is None else herd.get(parent)
    del found[1]
    return found


def _shared(animal: AnimalRecord, herd: Mapping[int, AnimalRecord]) -> tuple[AnimalRecord, ...]:
    if animal.sire_id is None or animal.dam_id is None:
        return ()
    sides = [_line(parent, herd) for parent in (animal.sire_id, animal.dam_id)]
    both = [id_ for id_ in sides[0] if id_ in sides[1]]
    both.sort(key=lambda id_: (sides[0][id_] + sides[1][id_], herd[id_].name.casefold()))
    return tuple(herd[id_] for id_ in both)


def _line(start: int, herd: Mapping[int, AnimalRecord]) -> dict[int, int]:
    """An animal and all its forebears with the fewest generations back to each."""
    steps: dict[int, int] = {}
    waiting = [(start, 0)]
    for id_, step in waiting:
        if id_ in steps or id_ not in herd:
            continue
        steps[id_] = step
        parents = (herd[id_].sire_id, herd[id_].dam_id)
        waiting += [(parent, step + 1) for parent in parents if parent is not None]
    return steps


def _inbreeding(animal: AnimalRecord, herd: Mapping[int, AnimalRecord]) -> float | None:
    """Wright's coefficient over all known forebears; None where the parents share none.

    Animals of the same two parents are full sibs; a parent that is not known is another one each time.
    """
    if not _shared(animal, herd):
        return None
    kept = [herd[id_] for id_ in _line(animal.id, herd)]
    litters: dict[str, Litter] = {}
    for one in kept:
        if one.sire_id is not None or one.dam_id is not None:
            sire = PossibleSire(None if one.sire_id is None else str(one.sire_id))
            dam = None if one.dam_id is None else str(one.dam_id)
            litters[_litter(one)] = Litter(_litter(one), dam=dam, sires=(sire,))
    animals = tuple(PedigreeAnimal(str(one.id), one.sex, _litter(one) or None) for one in kept)
    return kinship(Collection(animals, tuple(litters.values()))).of_animal(str(animal.id))


def _litter(animal: AnimalRecord) -> str:
    """Name of the couple an animal comes from; empty for an animal without known parents."""
    if animal.sire_id is None and animal.dam_id is None:
        return ""
    if animal.sire_id is None or animal.dam_id is None:
        return f"{animal.sire_id} x {animal.dam_id} of {animal.id}"
    return f"{animal.sire_id} x {animal.dam_id}"


def _mates(animal: AnimalRecord, herd: Mapping[int, AnimalRecord]) -> tuple[MateYoung, ...]:
    by_mate: dict[int | None, list[AnimalRecord]] = {}
    for other in herd.values():
        if animal.id in (other.sire_id, other.dam_id):
            mate = other.dam_id if other.sire_id == animal.id else other.sire_id
            by_mate.setdefault(mate, []).append(other)
    found = [
        MateYoung(None if mate is None else herd.get(mate), tuple(sorted(young, key=_by_age)))
        for mate, young in by_mate.items()
    ]
    return tuple(sorted(found, key=lambda one: (one.mate is None, "" if one.mate is None else one.mate.name)))


def _by_age(animal: AnimalRecord) -> tuple[date, str]:
    return animal.hatched or date.max, animal.name.casefold()
