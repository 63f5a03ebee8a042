"""How inbred would the young of a pairing be, through which ancestors, and of which pairings most?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from dashboard.jobs.knowledge import knowledge_of
from dashboard.jobs.recent import Recent, number_of
from dashboard.records import AnimalRecord, Book
from genetics import Kinship, Knowledge, Sex, SharedAncestor, kinship, shared_ancestors
from genetics.pedigrees.shared_ancestors import TooManyPaths

CLOSE: Final = 0.125
"""Coefficient from which a pairing is told as one of close relatives: half sibs give 1/8 (Wright)."""

_tables: Recent[Kinship] = Recent(6)
_pairs: Recent[PairRelation] = Recent(400)


@dataclass(frozen=True)
class PairRelation:
    """How two animals are related.

    Attributes
    ----------
    inbreeding
        Wright's coefficient of their young [0 to 1]; None if it can't be said.
    ancestors
        The ancestors they share with the paths through each, the one that adds most first.
    unlisted
        Whether there are too many paths to list; the coefficient is known all the same.
    unread
        Animals of the book whose text can't be read: what runs through them is left out.
    fault
        Why nothing can be said; empty if all is well.
    """

    inbreeding: float | None
    ancestors: tuple[SharedAncestor, ...] = ()
    unlisted: bool = False
    unread: tuple[str, ...] = ()
    fault: str = ""

    @property
    def close(self) -> bool:
        """Whether the young would be as inbred as those of half sibs, or more."""
        return self.inbreeding is not None and self.inbreeding >= CLOSE - 1e-12


@dataclass(frozen=True)
class RelatedPair:
    """A male and a female that could be paired, and Wright's coefficient of their young [0 to 1]."""

    sire: AnimalRecord
    dam: AnimalRecord
    inbreeding: float
    in_plan: bool


@dataclass(frozen=True, eq=False)
class CandidatePairs:
    """All pairings of the males and females that are here.

    Attributes
    ----------
    males, females
        The animals, those that can't be read left out.
    coefficients
        Wright's coefficient of the young, shape (males, females) [0 to 1].
    planned
        Pairs of ids that stand in the plan of the season.
    unread
        Names of animals whose text can't be read.
    fault
        Why nothing can be said; empty if all is well.
    """

    males: tuple[AnimalRecord, ...]
    females: tuple[AnimalRecord, ...]
    coefficients: NDArray[np.float64]
    planned: frozenset[tuple[int, int]]
    unread: tuple[str, ...]
    fault: str = ""

    @cached_property
    def close_in_plan(self) -> int:
        """Number of close ones that stand in the plan of the season."""
        rows = {animal.id: place for place, animal in enumerate(self.males)}
        columns = {animal.id: place for place, animal in enumerate(self.females)}
        places = ((rows.get(sire), columns.get(dam)) for sire, dam in self.planned)
        return sum(
            bool(self.coefficients[row, column] >= CLOSE - 1e-12)
            for row, column in places
            if row is not None and column is not None
        )

    @property
    def count(self) -> int:
        """Number of possible pairings."""
        return int(self.coefficients.size)

    @cached_property
    def related(self) -> int:
        """Number of those that share an ancestor in the book."""
        return int(np.count_nonzero(self.coefficients > 0.0))

    @cached_property
    def close(self) -> int:
        """Number of those whose young would be as inbred as those of half sibs, or more."""
        return int(np.count_nonzero(self.coefficients >= CLOSE - 1e-12))

    def closest(self, most: int | None = None) -> tuple[RelatedPair, ...]:
        """Pairings that share an ancestor, the closest first, then those in the plan, then by name.

        Parameters
        ----------
        most
            How many; None for all.
        """
        found = [self._pair(int(sire), int(dam)) for sire, dam in self._places(most)]
        found.sort(key=lambda pair: (-pair.inbreeding, not pair.in_plan, pair.sire.name, pair.dam.name))
        return tuple(found[:most])

    def _places(self, most: int | None) -> NDArray[np.int64]:
        """Places of the related pairs that may be among the first so many, ties at the end kept."""
        values = np.sort(self.coefficients[self.coefficients > 0.0])[::-1]
        least = values[most - 1] if most is not None and 0 < most < values.size else 0.0
        return np.argwhere((self.coefficients > 0.0) & (self.coefficients >= least))

    def _pair(self, sire: int, dam: int) -> RelatedPair:
        male, female = self.males[sire], self.females[dam]
        planned = (male.id, female.id) in self.planned
        return RelatedPair(male, female, float(self.coefficients[sire, dam]), planned)


def pair_relation(book: Book, sire: AnimalRecord, dam: AnimalRecord) -> PairRelation:
    """How two animals of a book are related, over all recorded ancestors and the likely sires.

    Parents that are not recorded are taken to be unrelated.
    """
    found = knowledge_of(book)
    if found.knowledge is None:
        return PairRelation(None, fault=found.fault)
    unread = [animal.name for animal in (sire, dam) if animal.name in found.unread]
    if unread:
        return PairRelation(None, unread=found.unread, fault=f"{unread[0]} can’t be read.")
    knowledge = found.knowledge
    key = (number_of(knowledge), sire.name, dam.name, found.unread)
    return _pairs.get(key, lambda: _related(knowledge, sire.name, dam.name, found.unread))


def _related(knowledge: Knowledge, sire: str, dam: str, unread: tuple[str, ...]) -> PairRelation:
    collection, table = knowledge.collection, _table(knowledge)
    coefficient = table.of_young(sire, dam)
    if coefficient <= 0.0:
        return PairRelation(0.0, unread=unread)
    try:
        chances = _sire_chances(knowledge)
        ancestors = shared_ancestors(collection, sire, dam, table=table, sire_chances=chances)
    except TooManyPaths:
        return PairRelation(coefficient, unlisted=True, unread=unread)
    return PairRelation(coefficient, ancestors, unread=unread)


def candidate_pairs(book: Book, season: int) -> CandidatePairs:
    """Inbreeding of the young of every male with every female that is here; those sold or dead are left out.

    Parameters
    ----------
    book
        The records.
    season
        Year of the plan whose pairings are marked.
    """
    found = knowledge_of(book)
    pairings = (pairing for pairing in book.pairings() if pairing.season == season and pairing.planned)
    planned = frozenset((pairing.sire_id, pairing.dam_id) for pairing in pairings)
    if found.knowledge is None:
        return CandidatePairs((), (), np.zeros((0, 0)), planned, found.unread, found.fault)
    here = [
        animal
        for animal in book.animals()
        if animal.status not in {"sold", "died"} and animal.name not in found.unread
    ]
    males = tuple(animal for animal in here if animal.sex is Sex.MALE)
    females = tuple(animal for animal in here if animal.sex is Sex.FEMALE)
    table = _table(found.knowledge)
    place = {name: number for number, name in enumerate(table.animals)}
    rows, columns = ([place[animal.name] for animal in group] for group in (males, females))
    coefficients = table.table[np.ix_(rows, columns)] if rows and columns else np.zeros((0, 0))
    return CandidatePairs(males, females, coefficients, planned, found.unread)


def _table(knowledge: Knowledge) -> Kinship:
    def make() -> Kinship:
        return kinship(knowledge.collection, sire_chances=_sire_chances(knowledge))

    return _tables.get(number_of(knowledge), make)


def _sire_chances(knowledge: Knowledge) -> Mapping[str, Mapping[str, float]]:
    """Chance of each possible sire, given all records, where it is open who was the sire."""
    collection = knowledge.collection
    names: list[str] = []
    for litter in collection.litters:
        if len(litter.sires) > 1:
            names += collection.young_of[litter.id] if litter.per_egg else (litter.id,)
    return {name: knowledge.sires(name) for name in names}
