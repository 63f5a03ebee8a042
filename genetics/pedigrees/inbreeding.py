"""How inbred an animal, or the young of any pairing, would be: Wright's coefficient.

Kinship by the tabular method, parents before young, ancestors' own inbreeding included. It equals the
sum over common ancestors of 0.5^n (1 + F_A) (Wright's path formula): full sibs and parent x child give
1/4, half sibs 1/8, first cousins 1/16. A founder is taken to be unrelated and not inbred. Where a sire
is uncertain the coefficient is the expectation over the possible sires; all eggs of a clutch that one
of them sired share him.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from genetics.genes.traits import Sex
from genetics.pedigrees.pedigree import Collection, PedigreeError, PossibleSire

SireChances = Mapping[str, Mapping[str, float]]


@dataclass(frozen=True, eq=False)
class Kinship:
    """Kinship of all animals of a collection.

    Attributes
    ----------
    animals
        Names, in the order of the collection.
    table
        Chance that an allele of one and an allele of the other are copies of one ancestral allele,
        shape (animals, animals), symmetric [0 to 1].
    sexes
        Sex of each animal.
    """

    animals: tuple[str, ...]
    table: NDArray[np.float64]
    sexes: tuple[Sex, ...]

    @cached_property
    def _places(self) -> dict[str, int]:
        return {name: place for place, name in enumerate(self.animals)}

    def _place(self, animal: str) -> int:
        if animal not in self._places:
            raise PedigreeError(f"{animal} is not in the collection")
        return self._places[animal]

    def of_animal(self, animal: str) -> float:
        """Inbreeding coefficient of an animal [0 to 1].

        Raises
        ------
        PedigreeError
            If it is not in the collection.
        """
        place = self._place(animal)
        return 2.0 * float(self.table[place, place]) - 1.0

    def of_young(self, sire: str, dam: str) -> float:
        """Inbreeding coefficient that the young of two animals would have [0 to 1].

        Raises
        ------
        PedigreeError
            If one is not in the collection.
        """
        return float(self.table[self._place(sire), self._place(dam)])

    def pairings(self) -> tuple[tuple[str, ...], tuple[str, ...], NDArray[np.float64]]:
        """Coefficient of the young of every possible pairing.

        Returns
        -------
        tuple
            Males, females (an unsexed animal stands in both), and the coefficients, shape (males,
            females) [0 to 1].
        """
        males = [place for place, sex in enumerate(self.sexes) if sex is not Sex.FEMALE]
        females = [place for place, sex in enumerate(self.sexes) if sex is not Sex.MALE]
        names = tuple(tuple(self.animals[place] for place in group) for group in (males, females))
        return names[0], names[1], self.table[np.ix_(males, females)].copy()


def kinship(collection: Collection, *, sire_chances: SireChances | None = None) -> Kinship:
    """Kinship of all animals of a collection.

    Parameters
    ----------
    collection
        Animals and clutches.
    sire_chances
        Chance of each possible sire by clutch (or by animal, where each egg has its own), as
        `Knowledge.sires` gives it; those of the records where it is not given.
    """
    size = len(collection.order) + len(collection.litters) + len(collection.animals)
    filling = _Filling(collection, sire_chances or {}, np.zeros((size, size)))
    for name in sorted(collection.order, key=collection.order.__getitem__):
        record = collection.by_id.get(name)
        if record is None or record.litter is None:
            filling.place_of[name] = filling.add(np.zeros(filling.filled), 0.5)
            continue
        sire, dam = filling.sire(name, record.litter), filling.place_of[collection.dams[record.litter]]
        table, known = filling.table, filling.filled
        row = 0.5 * (table[sire, :known] + table[dam, :known])
        filling.place_of[name] = filling.add(row, 0.5 * (1.0 + float(table[sire, dam])))
    names = tuple(animal.id for animal in collection.animals)
    places = [filling.place_of[name] for name in names]
    sexes = tuple(collection.sexes[name] for name in names)
    return Kinship(names, filling.table[np.ix_(places, places)], sexes)


@dataclass(eq=False)
class _Filling:
    """Kinship table that grows row by row, with rows that stand in for uncertain sires."""

    collection: Collection
    sire_chances: SireChances
    table: NDArray[np.float64]
    filled: int = 0
    place_of: dict[str, int] = field(default_factory=dict)
    stand_ins: dict[tuple[str, str], int] = field(default_factory=dict)

    def add(self, row: NDArray[np.float64], own: float) -> int:
        """Take the next row; its place."""
        place = self.filled
        self.table[place, :place] = row
        self.table[:place, place] = row
        self.table[place, place] = own
        self.filled += 1
        return place

    def sire(self, name: str, litter_id: str) -> int:
        """Place of an animal's sire; of several possible ones a row that stands in for them, made once.

        It has the expected kinship with every animal, and with itself the expected kinship of two
        gametes of whichever male it is.
        """
        litter = self.collection.litter_by_id[litter_id]
        key = ("egg", name) if litter.per_egg else ("clutch", litter.id)
        chances = _chances(self.collection.sires[litter.id], self.sire_chances.get(key[1]))
        if len(chances) == 1:
            return self.place_of[next(iter(chances))]
        if key not in self.stand_ins:
            males = [self.place_of[male] for male in chances]
            weights = np.array(list(chances.values()))
            row = weights @ self.table[males, : self.filled]
            self.stand_ins[key] = self.add(row, float(weights @ self.table[males, males]))
        return self.stand_ins[key]


def _chances(sires: Sequence[PossibleSire], given: Mapping[str, float] | None) -> dict[str, float]:
    """Chance of each possible sire, those of none left out."""
    if given is None:
        return {str(sire.id): float(sire.chance) for sire in sires}
    return {name: chance for name, chance in given.items() if chance > 0.0}
