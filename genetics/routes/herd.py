"""The animals of many simulated runs at once: what they truly are and what the breeder believes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genetics.routes.biology import Biology
from genetics.routes.founders import Founder
from genetics.routes.tables import Bools, Floats, Ints, LocusTables, Tables

FIRST, DEATHS, REARING, CLUTCH = 0, 1, 2, 3
"""What a stream of random numbers is for; a clutch takes CLUTCH and its number in the season."""


@dataclass(frozen=True)
class Draws:
    """Random numbers that belong to a run, season and purpose, whatever else happens.

    Two simulations with the same seed draw the same numbers for the same run, season and purpose, so
    that a difference between them has a small error.

    Attributes
    ----------
    seed
        The seed.
    part
        Number of the block of runs.
    runs
        Runs in the block.
    """

    seed: int
    part: int
    runs: int

    def uniform(self, season: int, purpose: int, width: int) -> Floats:
        """Numbers from 0 to 1, shape (width, runs); more width leaves the first ones as they are."""
        stream = np.random.SeedSequence(self.seed, spawn_key=(self.part, season, purpose))
        numbers: Floats = np.random.default_rng(stream).random((width, self.runs), dtype=np.float32)
        return numbers


@dataclass(eq=False)
class Herd:
    """Animals of a block of runs, one row a run, one column a place; changed season by season.

    Attributes
    ----------
    ids
        Number of each run in its block, shape (N,).
    alive, male, counted
        Whether the place is taken, by a male, and by an animal that is not (or no more) waited for as
        the target, shape (N, P).
    ready
        First season in which it can have young, shape (N, P).
    genotype
        Number of the true genotype at each locus, shape (N, P) each.
    belief
        What the breeder believes at each locus, shape (N, P, G) each.
    name, mate
        Number of each animal in its run, and of the sire a dam was last paired with (-1: none),
        shape (N, P).
    bond
        Joint belief of a dam and that sire after their last clutch, shape (N, P, G * G) each: two
        uncertain parents of one clutch become dependent.
    """

    ids: Ints
    alive: Bools
    male: Bools
    counted: Bools
    ready: Ints
    genotype: list[Ints]
    belief: list[Floats]
    name: Ints
    mate: Ints
    bond: list[Floats]

    def only(self, rows: Bools) -> None:
        """Go on with some of the runs."""
        if rows.all():
            return
        for name in ("ids", "alive", "male", "counted", "ready", "name", "mate"):
            setattr(self, name, getattr(self, name)[rows])
        self.genotype = [part[rows] for part in self.genotype]
        self.belief = [part[rows] for part in self.belief]
        self.bond = [part[rows] for part in self.bond]

    def grown(self, season: int) -> Bools:
        """Animals that can have young in a season."""
        return self.alive & (self.ready <= season)

    def expected(self, values: Sequence[Floats]) -> Floats:
        """Product over the loci of an expected value of each animal's genotype, shape (N, P)."""
        total = np.ones(self.alive.shape, dtype=np.float32)
        for part, value in zip(self.belief, values, strict=True):
            total *= part @ value
        return total

    def truly(self, tables: Tables) -> Bools:
        """Animals that truly meet the target, known or not."""
        found = self.alive.copy()
        for locus, genotype in zip(tables.loci, self.genotype, strict=True):
            found &= locus.states.wanted[genotype]
        return found


def first_herd(founders: Sequence[Founder], tables: Tables, draws: Draws, *, places: int) -> Herd:
    """Founders of every run, their uncertain genes drawn.

    Founders are never counted as meeting the target: it is to hatch. Genes of one animal that depend
    on each other are drawn together; the breeder's belief is kept locus by locus.
    """
    shape = (draws.runs, places)
    alive = np.zeros(shape, dtype=bool)
    male = np.zeros(shape, dtype=bool)
    ready = np.zeros(shape, dtype=np.int64)
    genotype = [np.zeros(shape, dtype=np.int64) for _ in tables.loci]
    belief = [np.zeros((*shape, locus.size), dtype=np.float32) for locus in tables.loci]
    alive[:, : len(founders)] = True
    for place, founder in enumerate(founders):
        male[:, place] = founder.male
        ready[:, place] = 1 + founder.ready_in
        true = _drawn(founder, tables.loci, draws, place)
        for number, locus in enumerate(tables.loci):
            genotype[number][:, place] = true[number]
            if founder.tested:
                belief[number][np.arange(draws.runs), place, true[number]] = 1.0
            else:
                for state, chance in locus.states.belief(founder.animal):
                    belief[number][:, place, state] = float(chance)
    return Herd(
        ids=np.arange(draws.runs),
        alive=alive,
        male=male,
        counted=alive.copy(),
        ready=ready,
        genotype=genotype,
        belief=belief,
        name=np.tile(np.arange(places), (draws.runs, 1)),
        mate=np.full(shape, -1),
        bond=[np.zeros((*shape, locus.size**2), dtype=np.float32) for locus in tables.loci],
    )


def _drawn(founder: Founder, loci: Sequence[LocusTables], draws: Draws, place: int) -> list[Ints]:
    """True genotype of a founder at each locus in every run."""
    known = [locus.states.belief(founder.animal) for locus in loci]
    true = [np.full(draws.runs, rows[0][0], dtype=np.int64) for rows in known]
    where = {locus.states.locus.id: number for number, locus in enumerate(loci)}
    numbers = draws.uniform(0, CLUTCH + place, max(1, len(founder.animal.belief)))
    for column, factor in enumerate(founder.animal.belief):
        inside = [(slot, where[name]) for slot, name in enumerate(factor.loci) if name in where]
        if not inside:
            continue
        limits = np.cumsum([float(chance) for _, chance in factor.table])
        pick = np.minimum(np.searchsorted(limits, numbers[column], side="right"), limits.size - 1)
        for slot, number in inside:
            states = [loci[number].states.number(e[slot], male=founder.male) for e, _ in factor.table]
            true[number] = np.array(states, dtype=np.int64)[pick]
    return true


def let_die(herd: Herd, draws: Draws, biology: Biology, *, season: int) -> None:
    """Take away grown animals that die before a season."""
    if season > 1 and biology.adult_deaths > 0.0:
        chance = draws.uniform(season, DEATHS, herd.alive.shape[1])[:, herd.ids].T
        herd.alive &= ~((chance < biology.adult_deaths) & (herd.ready < season))
