"""The target's loci as arrays for simulated routes: drawing young, and learning from their looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from genetics.routes.states import LocusStates, covers

Floats = NDArray[np.float32]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

IMPOSSIBLE = np.float32(-1e30)
"""Stands for the logarithm of a chance of nought; a count of nought times it is nought."""


@dataclass(frozen=True, eq=False)
class LocusTables:
    """One locus as arrays.

    A sighting is what the breeder sees of a hatchling at the locus: its look, by sex if the locus is
    sex-linked; the last sightings (one, or one a sex) stand for "can't be seen".

    Attributes
    ----------
    states
        The locus.
    drawn
        Cumulative chance of the young's genotype by sex, sire and dam, shape (2, G, G, G).
    likely
        Log chance of a sighting by sire and dam, among hatchlings, shape (C, G * G).
    told
        Chance of a hatchling's genotype given its parents and sighting, shape (G * G, C * G).
    jointly
        Chance of genotype and sighting given the parents, shape (G * G, C * G).
    merit
        Expected worth of an egg by sire and dam, lost ones counted as nothing, shape (G, G).
    linked
        Whether it is sex-linked.
    """

    states: LocusStates
    drawn: Floats
    likely: Floats
    told: Floats
    jointly: Floats
    merit: Floats
    linked: bool

    @property
    def size(self) -> int:
        """Genotypes."""
        return len(self.states.pairs)

    @property
    def looks(self) -> int:
        """Looks."""
        return len(self.states.looks)

    @property
    def sightings(self) -> int:
        """Sightings, "can't be seen" included."""
        return int(self.likely.shape[0])

    @cached_property
    def of_sire(self) -> Floats:
        """Matrix that sums a joint table over the dam, shape (G * G, G)."""
        return np.repeat(np.eye(self.size, dtype=np.float32), self.size, axis=0)

    @cached_property
    def of_dam(self) -> Floats:
        """Matrix that sums a joint table over the sire, shape (G * G, G)."""
        return np.tile(np.eye(self.size, dtype=np.float32), (self.size, 1))

    @cached_property
    def whole(self) -> Floats:
        """Matrix that sums a joint table over both, shape (G * G, 1)."""
        return np.ones((self.size * self.size, 1), dtype=np.float32)

    @cached_property
    def worth(self) -> Floats:
        """Worth of each genotype, shape (G,)."""
        return self.states.worth.astype(np.float32)

    @cached_property
    def wanted(self) -> Floats:
        """Whether a genotype is accepted, as 0 or 1, shape (G,)."""
        return self.states.wanted.astype(np.float32)

    @cached_property
    def carries(self) -> Floats:
        """Whether a genotype has each needed allele, as 0 or 1, shape (A, G)."""
        return self.states.carries.astype(np.float32)

    def seen(self, genotypes: Ints, males: Bools) -> Ints:
        """Sighting of hatchlings that nothing covers."""
        look = self.states.look_of[genotypes]
        return look + np.where(males, 0, self.looks) if self.linked else look

    def unseen(self, males: Bools) -> Ints:
        """Sighting "can't be seen" by sex."""
        if self.linked:
            return 2 * self.looks + np.where(males, 0, 1)
        return np.full(males.shape, self.looks)

    @cached_property
    def look_seen(self) -> Ints:
        """Look of each sighting; the number of looks stands for "can't be seen", shape (C,)."""
        plain = np.arange(self.looks)
        return np.concatenate([plain, plain, [self.looks] * 2] if self.linked else [plain, [self.looks]])


@dataclass(frozen=True, eq=False)
class Tables:
    """All loci of a target as arrays.

    Attributes
    ----------
    loci
        The loci.
    covering
        For each pair of loci (row covers column), whether a genotype of the first covers the second;
        None if none does, shape (G,) each.
    lethal
        Whether any genotype is lost to its genes.
    """

    loci: tuple[LocusTables, ...]
    covering: tuple[tuple[int, int, Bools], ...]
    lethal: bool


def tables_of(states: Sequence[LocusStates], *, male_share: float) -> Tables:
    """Arrays of the target's loci.

    Parameters
    ----------
    states
        The loci.
    male_share
        Share of sons [0 to 1].
    """
    known = tuple(states)
    covering = []
    for row, line in enumerate(covers(known)):
        for column, genotypes in enumerate(line):
            if genotypes:
                flags = np.zeros(len(known[row].pairs), dtype=bool)
                flags[list(genotypes)] = True
                covering.append((row, column, flags))
    loci = tuple(_locus(each, male_share) for each in known)
    return Tables(loci, tuple(covering), any(bool((each.survival < 1.0).any()) for each in known))


def _locus(states: LocusStates, male_share: float) -> LocusTables:
    """Arrays of one locus."""
    young = states.young
    size = len(states.pairs)
    linked = states.locus.sex_linked
    alive = young * states.survival
    whole = alive.sum(axis=-1, keepdims=True)
    hatched = np.divide(alive, whole, out=np.zeros_like(alive), where=whole > 0.0)
    masks = [states.look_of == look for look in range(len(states.looks))]
    rows: list[NDArray[np.float64]] = []
    for sex in (0, 1) if linked else (0,):
        rows.extend(np.where(mask, hatched[sex], 0.0) for mask in masks)
    rows.extend(hatched[sex] for sex in ((0, 1) if linked else (0,)))
    joint = np.stack(rows).reshape(len(rows), size * size, size)
    chance = joint.sum(axis=-1)
    told = np.divide(joint, chance[..., None], out=np.zeros_like(joint), where=chance[..., None] > 0.0)
    with np.errstate(divide="ignore"):
        likely = np.maximum(np.log(chance), float(IMPOSSIBLE))
    unseen = 2 if linked else 1
    likely[-unseen:] = 0.0
    shares = np.array([male_share, 1.0 - male_share])
    merit = np.einsum("s,sijg,g->ij", shares, alive, states.worth)
    return LocusTables(
        states=states,
        drawn=np.cumsum(young, axis=-1).astype(np.float32),
        likely=likely.astype(np.float32),
        told=_flat(told),
        jointly=_flat(joint),
        merit=merit.astype(np.float32),
        linked=linked,
    )


def _flat(table: NDArray[np.float64]) -> Floats:
    """Table (C, G * G, G) as one matrix (G * G, C * G)."""
    sightings, pairs, size = table.shape
    return np.ascontiguousarray(table.transpose(1, 0, 2)).reshape(pairs, sightings * size).astype(np.float32)
