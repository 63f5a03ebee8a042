"""The target's loci as small tables of numbers: genotypes, young of every pair, looks, what is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.gametes import autosomal_young
from genetics.clutches.sex_linkage import checked_recombination, sex_linked_young
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal
from genetics.genes.hiding import is_hidden_by
from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.traits import Sex
from genetics.routes.target import Target

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Recombination = Mapping[str, Fraction | float | str]

CARRIES_PART = 0.55
"""What a genotype is worth that has one of two alleles wanted; about the chance that a gamete bears it."""

CARRIES_NOTHING = 0.05
"""What a genotype is worth that has none: little, but more than nothing, since a mate can bring it.

Both figures steer simulated breeders only; they were set where triple projects miss fewest.
"""

MOST_GENOTYPES = 21
"""Most genotypes of one locus that are followed; six alleles of an autosomal complex."""


class TooManyGenotypes(ValueError):
    """More genotypes at the target's loci than can be followed."""


@dataclass(frozen=True, eq=False)
class LocusStates:
    """One locus of the target, its genotypes numbered.

    Attributes
    ----------
    locus
        The locus.
    pairs
        Genotypes; at a sex-linked locus ordered pairs, a male's (X, Y), a female's in the locus's
        own order.
    exact
        Chance of each young's genotype by sex (0 male, 1 female), sire and dam, before losses.
    look_of
        Number of the look of each genotype, shape (G,).
    looks
        Labels of the looks, in that numbering.
    survival
        Chance that an egg of a genotype is not lost to its genes, shape (G,).
    wanted
        Whether a genotype is accepted, shape (G,).
    groups
        Alleles the target needs; a group stands for "one of these", shape of `carries` (A, G).
    carries
        Whether a genotype has an allele of each group, shape (A, G).
    missing
        Fewest alleles a genotype lacks to be accepted, shape (G,).
    """

    locus: Locus
    pairs: tuple[Pair, ...]
    exact: Mapping[tuple[int, int, int], tuple[tuple[int, Fraction], ...]]
    look_of: Ints
    looks: tuple[str, ...]
    survival: Floats
    wanted: Bools
    groups: tuple[frozenset[str], ...]
    carries: Bools
    missing: Ints

    @cached_property
    def index(self) -> dict[Pair, int]:
        """Number of each genotype."""
        return {pair: number for number, pair in enumerate(self.pairs)}

    @cached_property
    def young(self) -> Floats:
        """Chance of each young's genotype by sex, sire and dam, shape (2, G, G, G)."""
        size = len(self.pairs)
        table = np.zeros((2, size, size, size))
        for (sex, sire, dam), row in self.exact.items():
            for state, chance in row:
                table[sex, sire, dam, state] = float(chance)
        return table

    @cached_property
    def worth(self) -> Floats:
        """Part of the way to the target a genotype has come [0 to 1], shape (G,)."""
        carrying = self.carries.any(axis=0) if self.groups else self.missing < 2
        part = np.where(carrying, CARRIES_PART, CARRIES_NOTHING)
        return np.where(self.missing == 0, 1.0, part)

    def number(self, pair: Pair, *, male: bool) -> int:
        """Number of a genotype of an animal of one sex."""
        if self.locus.sex_linked and male:
            return self.index[pair]
        return self.index[self.locus.ordered(*pair)]

    def belief(self, animal: Animal) -> tuple[tuple[int, Fraction], ...]:
        """Chance of each genotype of an animal at this locus, those that are possible."""
        found: dict[int, Fraction] = {}
        for factor in animal.belief:
            if self.locus.id in factor.loci:
                place = factor.loci.index(self.locus.id)
                for entry, chance in factor.table:
                    number = self.number(entry[place], male=animal.sex is Sex.MALE)
                    found[number] = found.get(number, Fraction(0)) + chance
        return tuple(sorted(found.items())) or ((self.index[(WILD, WILD)], Fraction(1)),)


def states_of(
    target: Target,
    animals: Iterable[Animal],
    catalogue: Catalogue,
    *,
    recombination: Recombination | None = None,
) -> tuple[LocusStates, ...]:
    """Tables of the target's loci, with the alleles the target and the animals have there.

    Parameters
    ----------
    target
        What is wanted.
    animals
        Animals a route starts from.
    catalogue
        The genes.
    recombination
        Recombination fraction in sires by sex-linked locus, where it is not the catalogue's own.

    Raises
    ------
    TooManyGenotypes
        If a locus has more than `MOST_GENOTYPES` genotypes among these alleles.
    BadRecombination
        If a recombination fraction is not between 0 and 1/2.
    """
    given = {name: checked_recombination(value) for name, value in (recombination or {}).items()}
    held = tuple(animals)
    made = []
    for locus_id, accepted in target.accepted:
        locus = catalogue.locus(locus_id)
        present = {allele for pair in accepted for allele in pair} | _alleles_at(locus_id, held) | {WILD}
        fraction = None
        if locus.recombination is not None:
            fraction = given.get(locus_id, locus.recombination)
        made.append(_states(locus, [a for a in locus.alleles if a in present], accepted, fraction))
    return tuple(made)


def _alleles_at(locus_id: str, animals: Sequence[Animal]) -> set[str]:
    """Alleles any of the animals may have at a locus."""
    found: set[str] = set()
    for animal in animals:
        for factor in animal.belief:
            if locus_id in factor.loci:
                place = factor.loci.index(locus_id)
                found.update(allele for entry, _ in factor.table for allele in entry[place])
    return found


def _states(
    locus: Locus, alleles: Sequence[str], accepted: frozenset[Pair], fraction: Fraction | None
) -> LocusStates:
    """Tables of one locus."""
    canonical = [(one, alleles[j]) for i, one in enumerate(alleles) for j in range(i, len(alleles))]
    pairs = [(one, other) for one in alleles for other in alleles] if fraction is not None else canonical
    if len(pairs) > MOST_GENOTYPES:
        raise TooManyGenotypes(
            f"{locus.name} has {len(pairs)} genotypes among these animals; allowed: {MOST_GENOTYPES}"
        )
    looks: dict[str, int] = {}
    seen = [locus.look(pair) for pair in pairs]
    look_of = np.array([looks.setdefault(look.appearance, len(looks)) for look in seen])
    groups = _groups(accepted)
    return LocusStates(
        locus=locus,
        pairs=tuple(pairs),
        exact=_young_tables(locus, pairs, canonical, fraction),
        look_of=look_of,
        looks=tuple(looks),
        survival=np.array([float(look.survival) for look in seen]),
        wanted=np.array([pair in accepted for pair in pairs]),
        groups=groups,
        carries=np.array([[bool(group.intersection(pair)) for pair in pairs] for group in groups]).reshape(
            len(groups), len(pairs)
        ),
        missing=np.array([min(_lacks(pair, wanted) for wanted in accepted) for pair in pairs]),
    )


def _groups(accepted: frozenset[Pair]) -> tuple[frozenset[str], ...]:
    """Alleles that every accepted pair has, one group each; else all of them as one group."""
    shared = frozenset.intersection(*(frozenset(pair) for pair in accepted)) - {WILD}
    if shared:
        return tuple(frozenset({allele}) for allele in sorted(shared))
    union = frozenset(allele for pair in accepted for allele in pair) - {WILD}
    needless = any(pair == (WILD, WILD) for pair in accepted)
    return () if needless or not union else (union,)


def _lacks(pair: Pair, wanted: Pair) -> int:
    """Alleles of a wanted pair that a pair does not have; a male's chromosomes count."""
    if pair == wanted:
        return 0
    left = list(pair)
    lacking = 0
    for allele in wanted:
        if allele in left:
            left.remove(allele)
        else:
            lacking += 1
    return max(lacking, 1)


def _young_tables(
    locus: Locus, pairs: Sequence[Pair], canonical: Sequence[Pair], fraction: Fraction | None
) -> dict[tuple[int, int, int], tuple[tuple[int, Fraction], ...]]:
    """Young of every sire and dam, by sex; a dam's pair is in the locus's own order."""
    index = {pair: number for number, pair in enumerate(pairs)}
    found: dict[tuple[int, int, int], tuple[tuple[int, Fraction], ...]] = {}
    for sire in pairs:
        for dam in canonical:
            key = (index[sire], index[dam])
            if fraction is None:
                row = tuple((index[pair], chance) for pair, chance in autosomal_young(locus, sire, dam))
                found[(0, *key)] = found[(1, *key)] = row
                continue
            young = sex_linked_young(locus, sire, dam, fraction)
            for number, sex in enumerate((Sex.MALE, Sex.FEMALE)):
                found[(number, *key)] = tuple(
                    (index[pair], 2 * chance) for who, pair, chance in young if who is sex
                )
    return found


@lru_cache(maxsize=256)
def covers(states: tuple[LocusStates, ...]) -> tuple[tuple[frozenset[int], ...], ...]:
    """Genotypes of each locus (row) under which each other locus (column) can't be seen.

    A genotype that hides some looks of a locus is taken to hide the whole locus.
    """
    looks = [[each.locus.look(pair) for pair in each.pairs] for each in states]
    return tuple(
        tuple(
            frozenset(
                number
                for number, look in enumerate(own)
                if row != column and any(is_hidden_by(hidden, look) for hidden in other)
            )
            for column, other in enumerate(looks)
        )
        for row, own in enumerate(looks)
    )
