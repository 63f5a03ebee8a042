"""What hatches in a season of a simulated route, and what the breeder learns from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from genetics.routes.biology import Biology
from genetics.routes.herd import CLUTCH, Draws, Herd
from genetics.routes.matching import Pairs
from genetics.routes.tables import Bools, Floats, Ints, LocusTables, Tables

_TAIL = 1e-9
_CERTAIN = 0.999
_CERTAIN_PAIR = 1.0 - 1e-6


@dataclass(eq=False)
class Young:
    """Young of a season in all runs, one after the other: Y hatchlings of N runs.

    Attributes
    ----------
    run
        Row of the run each hatchling belongs to, shape (Y,).
    column
        Its number within the run, shape (Y,).
    male
        Whether it is a male, shape (Y,).
    genotype
        Number of the true genotype at each locus, shape (Y,) each.
    sighting
        What the breeder sees at each locus, shape (Y,) each.
    spot
        Row of `told` for each hatchling at each locus, shape (Y,) each.
    told
        Chance of each genotype for every clutch and sighting, as the breeder sees it, shape (M, G)
        each.
    tested
        Young whose genes are known from a test, shape (Y,).
    clutches, lost
        Clutches with young, and eggs lost to their genes, by run, shape (N,).
    """

    run: Ints
    column: Ints
    male: Bools
    genotype: list[Ints]
    sighting: list[Ints]
    spot: list[Ints]
    told: list[Floats]
    tested: Bools
    clutches: Ints
    lost: Ints

    @cached_property
    def widest(self) -> int:
        """Most young of a run."""
        return int(self.column.max(initial=-1)) + 1

    def spread(self, values: NDArray[Any], fill: float) -> NDArray[Any]:
        """Values of the hatchlings as a table, one row a run, shape (N, widest)."""
        table = np.full((self.clutches.size, self.widest), fill, dtype=values.dtype)
        table[self.run, self.column] = values
        return table

    def expected(self, values: Sequence[Floats]) -> Floats:
        """Product over the loci of an expected value of each hatchling's genotype, shape (Y,)."""
        total = np.ones(self.run.size, dtype=np.float32)
        for number, value in enumerate(values):
            total *= self.expected_at(number, value)
        return total

    def expected_at(self, number: int, value: Floats) -> Floats:
        """Expected value of the genotype at one locus, shape (Y,)."""
        part: Floats = (self.told[number] @ value)[self.spot[number]]
        if self.tested.any():
            part = np.where(self.tested, value[self.genotype[number]], part)
        return part

    def believed(self, number: int, which: Ints) -> Floats:
        """Chance of each genotype of some hatchlings at one locus, shape (len(which), G)."""
        told: Floats = self.told[number][self.spot[number][which]]
        tested = self.tested[which]
        if tested.any():
            certain = np.eye(told.shape[1], dtype=np.float32)[self.genotype[number][which]]
            told = np.where(tested[:, None], certain, told)
        return told

    def uncertain(self) -> Bools:
        """Young whose genotype is not known for certain, shape (Y,)."""
        found = np.zeros(self.run.size, dtype=bool)
        for number, told in enumerate(self.told):
            found |= told.max(axis=1)[self.spot[number]] < _CERTAIN
        return found & ~self.tested


def brood_size(biology: Biology) -> Floats:
    """Cumulative chance of each number of young of a paired female, cut where the rest is negligible."""
    limits = np.cumsum(biology.young_pmf)
    last = int(np.argmax(limits >= limits[-1] - _TAIL))
    cut: Floats = np.asarray(limits[: last + 1], dtype=np.float32).copy()
    cut[-1] = 2.0
    return cut


def hatch(
    herd: Herd,
    pairs: Pairs,
    tables: Tables,
    draws: Draws,
    biology: Biology,
    *,
    season: int,
    updating: bool,
) -> Young:
    """Lay, hatch and look at the young of every pairing; what is known of the parents changes.

    The clutches of a season are looked at one after the other, so that a sire's later clutches are
    judged with what the earlier ones have told of him.

    Parameters
    ----------
    herd
        The animals; what is believed of the parents is updated in place.
    pairs
        The season's pairings.
    tables, draws, biology
        Loci, random numbers, life history.
    season
        The season.
    updating
        Whether young change what is known of their parents.
    """
    limits = brood_size(biology)
    most = limits.size - 1
    runs, clutches = pairs.there.shape
    lost = np.zeros(runs, dtype=np.int64)
    laid = np.zeros(runs, dtype=np.int64)
    parts: list[_Brood] = []
    for clutch in range(clutches):
        rows = np.flatnonzero(pairs.there[:, clutch])
        parents = (rows, pairs.sire[rows, clutch], pairs.dam[rows, clutch])
        width = 1 + most * (1 + len(tables.loci) + tables.lethal)
        numbers = draws.uniform(season, CLUTCH + clutch, width)[:, herd.ids[rows]]
        brood, dead = _brood(herd, parents, tables, numbers, limits, biology)
        lost[rows] += np.bincount(dead, minlength=rows.size)
        laid[rows] += np.bincount(brood.nest, minlength=rows.size) > 0
        for number, locus in enumerate(tables.loci):
            counts = np.bincount(
                brood.nest * locus.sightings + brood.sighting[number], minlength=rows.size * locus.sightings
            ).reshape(rows.size, locus.sightings)
            brood.told.append(_learn(herd, number, locus, parents, counts, updating=updating))
        if updating:
            herd.mate[rows, parents[2]] = herd.name[rows, parents[1]]
        parts.append(replace(brood, run=rows[brood.nest]))
    return _gathered(parts, tables, laid, lost)


@dataclass(frozen=True, eq=False)
class _Brood:
    """The n-th clutch of every run: fields as in `Young`; `nest` is the row of the clutch."""

    nest: Ints
    run: Ints
    male: Bools
    genotype: list[Ints]
    sighting: list[Ints]
    told: list[Floats]


def _brood(
    herd: Herd,
    parents: tuple[Ints, Ints, Ints],
    tables: Tables,
    numbers: Floats,
    limits: Floats,
    biology: Biology,
) -> tuple[_Brood, Ints]:
    """Lay and hatch one clutch in every run; give the young, and the nest of every egg lost to its genes."""
    rows, sire, dam = parents
    most = limits.size - 1
    count = np.searchsorted(limits, numbers[0], side="right")
    table = numbers[1:].reshape(-1, most, rows.size)
    nest, place = np.nonzero(np.arange(most) < count[:, None])
    male = table[0, place, nest] < biology.male_share
    sex = np.where(male, 0, 1)
    drawn = []
    for number, (locus, part) in enumerate(zip(tables.loci, herd.genotype, strict=True)):
        steps = locus.drawn[sex, part[rows, sire][nest], part[rows, dam][nest]]
        chance = table[1 + number, place, nest]
        state = np.zeros(nest.size, dtype=np.int64)
        for step in range(locus.size - 1):
            state += chance >= steps[:, step]
        drawn.append(state)
    dead = np.zeros(0, dtype=np.int64)
    if tables.lethal:
        alive = table[-1, place, nest] < _survival(tables, drawn)
        dead = nest[~alive]
        nest, male, drawn = nest[alive], male[alive], [state[alive] for state in drawn]
    return _Brood(nest, nest, male, drawn, _sighted(tables, drawn, male), []), dead


def _gathered(parts: Sequence[_Brood], tables: Tables, laid: Ints, lost: Ints) -> Young:
    """Put the clutches of a season together, numbered within each run."""
    run = _joined([part.run for part in parts])
    order = np.argsort(run, kind="stable")
    first = np.searchsorted(run[order], np.arange(laid.size))
    column = np.empty(run.size, dtype=np.int64)
    column[order] = np.arange(run.size) - first[run[order]]
    spots, tables_told = [], []
    for number, locus in enumerate(tables.loci):
        shift = np.cumsum([0, *(part.told[number].shape[0] for part in parts)])
        spots.append(
            _joined(
                [
                    start + part.nest * locus.sightings + part.sighting[number]
                    for start, part in zip(shift, parts, strict=False)
                ]
            )
        )
        empty = np.zeros((0, locus.size), dtype=np.float32)
        tables_told.append(np.concatenate([empty, *(part.told[number] for part in parts)]))
    loci = range(len(tables.loci))
    return Young(
        run=run,
        column=column,
        male=_joined([part.male for part in parts]).astype(bool),
        genotype=[_joined([part.genotype[number] for part in parts]) for number in loci],
        sighting=[_joined([part.sighting[number] for part in parts]) for number in loci],
        spot=spots,
        told=tables_told,
        tested=np.zeros(run.size, dtype=bool),
        clutches=laid,
        lost=lost,
    )


def _joined(parts: Sequence[NDArray[Any]]) -> NDArray[Any]:
    """Arrays one after the other; whole numbers if there are none."""
    return np.concatenate(parts) if parts else np.zeros(0, dtype=np.int64)


def _survival(tables: Tables, drawn: Sequence[Ints]) -> Floats:
    """Chance that an egg is not lost to its genes."""
    chance = np.ones(drawn[0].shape)
    for locus, genotype in zip(tables.loci, drawn, strict=True):
        chance *= locus.states.survival[genotype]
    return chance.astype(np.float32)


def _sighted(tables: Tables, drawn: Sequence[Ints], male: Bools) -> list[Ints]:
    """Sighting of every hatchling at every locus; covered loci can't be seen."""
    seen = [locus.seen(genotype, male) for locus, genotype in zip(tables.loci, drawn, strict=True)]
    for row, column, flags in tables.covering:
        covered = flags[drawn[row]]
        seen[column] = np.where(covered, tables.loci[column].unseen(male), seen[column])
    return seen


def _learn(
    herd: Herd,
    number: int,
    locus: LocusTables,
    parents: tuple[Ints, Ints, Ints],
    counts: Ints,
    *,
    updating: bool,
) -> Floats:
    """Update the parents of a clutch from its young; give what each sighting says, shape (N * C, G)."""
    rows, sire, dam = parents
    belief = herd.belief[number]
    of_sire, of_dam = belief[rows, sire], belief[rows, dam]
    joint: Floats = (of_sire[:, :, None] * of_dam[:, None, :]).reshape(rows.size, -1)
    if updating:
        sure = np.einsum("ij,ij->i", joint, joint)  # 1 if one pair of genotypes has all the chance
        some, rest = np.flatnonzero(sure < _CERTAIN_PAIR), np.flatnonzero(sure >= _CERTAIN_PAIR)
        herd.bond[number][rows[rest], dam[rest]] = 0.0
        if some.size:
            joint[some] = _judged(herd, number, locus, (rows[some], sire[some], dam[some]), counts[some])
    if updating:  # what was seen is possible for all parents that are still believed: rows sum to 1
        known: Floats = (joint @ locus.told).reshape(-1, locus.size)
        return known
    told = (joint @ locus.jointly).reshape(-1, locus.size)
    whole = told @ np.ones((locus.size, 1), dtype=np.float32)
    shares: Floats = (told / np.where(whole > 0.0, whole, 1.0)).astype(np.float32)
    return shares


def _judged(
    herd: Herd, number: int, locus: LocusTables, parents: tuple[Ints, Ints, Ints], counts: Ints
) -> Floats:
    """Joint belief of uncertain parents after a clutch, shape (N, G * G); what is known is updated."""
    rows, sire, dam = parents
    joint = _together(herd, number, locus, parents)
    log = counts.astype(np.float32) @ locus.likely
    log[joint <= 0.0] = -np.inf
    joint *= np.exp(log - log.max(axis=1, keepdims=True))
    joint /= joint @ locus.whole
    herd.belief[number][rows, sire] = joint @ locus.of_sire
    herd.belief[number][rows, dam] = joint @ locus.of_dam
    herd.bond[number][rows, dam] = joint
    return joint


def _together(herd: Herd, number: int, locus: LocusTables, parents: tuple[Ints, Ints, Ints]) -> Floats:
    """Joint belief of the parents before a clutch, shape (N, G * G).

    Independent when they meet; later the dam given the sire as their clutches have left it, with
    what his other clutches have told of him since.
    """
    rows, sire, dam = parents
    belief = herd.belief[number]
    of_sire = belief[rows, sire]
    joint: Floats = (of_sire[:, :, None] * belief[rows, dam][:, None, :]).reshape(rows.size, -1)
    again = np.flatnonzero(herd.mate[rows, dam] == herd.name[rows, sire])
    bond = herd.bond[number][rows[again], dam[again]]
    again, bond = again[bond.any(axis=1)], bond[bond.any(axis=1)]
    if again.size:
        whole = bond @ locus.of_sire
        factor = of_sire[again] / np.where(whole > 0.0, whole, np.inf)
        joint[again] = bond * np.repeat(factor, locus.size, axis=1)
    return joint
