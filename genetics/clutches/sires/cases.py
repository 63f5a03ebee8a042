"""What a dam and her possible sires may be, as cases that all young of one clutch share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import prod

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.cases import Case
from genetics.clutches.look_alikes import appearance
from genetics.clutches.parents import MOST_CASES
from genetics.clutches.queries.states import SEXES, JointUnit

Floats = NDArray[np.float64]
Sights = Sequence[Sequence[tuple[str, ...]]]
"""For each unit, what the eye can see there; a place in it is a class of that unit."""


@dataclass(frozen=True, eq=False)
class _Options:
    """What one unit gives, by everything its parents may be: s options, P partners, K classes.

    weights (s,), table of shares per hatchling (s, P, K, 2), share alive (s, P).
    """

    weights: Floats
    table: Floats
    alive: Floats

    @property
    def tells(self) -> float:
        """How much the options differ from their average."""
        mean = self.average()
        distance = np.abs(self.table - mean.table).sum(axis=(1, 2, 3))
        return float(self.weights @ (distance + np.abs(self.alive - mean.alive).sum(axis=1)))

    def average(self) -> _Options:
        """Put all options into one."""
        table = np.tensordot(self.weights, self.table, axes=1)
        return _Options(np.ones(1), table[None], (self.weights @ self.alive)[None])


@dataclass(frozen=True, eq=False)
class SireCases:
    """Joint cases of a dam and her partners.

    Attributes
    ----------
    weights
        Chance of each case, shape (C,).
    shares
        Share of the hatchlings of each partner by case, row and sex, shape (C, P, R, 2).
    totals
        The same over all young, shape (C, P, 2).
    alive
        Share of the fertile eggs that is not lost, by partner, shape (C, P).
    averaged
        Loci whose cases were averaged because there were too many.
    """

    weights: Floats
    shares: Floats
    totals: Floats
    alive: Floats
    averaged: tuple[str, ...]


def sire_cases(
    units: Sequence[JointUnit],
    sights: Sights,
    picks: NDArray[np.int64],
    covers: Sequence[Sequence[bool]],
    *,
    most: int = MOST_CASES,
) -> SireCases:
    """Shares of some looks by everything a dam and her partners may be.

    Parameters
    ----------
    units
        Independent parts of the clutches.
    sights
        Classes of each unit.
    picks
        Class of each unit in each row, shape (R, units); -1 in the row of covered young.
    covers
        For each class of each unit, whether it covers all other genes.
    most
        Most joint cases; beyond it the units whose cases differ least are averaged and named.
    """
    parts = [_options(unit, list(seen)) for unit, seen in zip(units, sights, strict=True)]
    averaged: list[str] = []
    while prod(part.weights.size for part in parts) > most:
        open_units = [place for place, part in enumerate(parts) if part.weights.size > 1]
        least = min(open_units, key=lambda place: (parts[place].tells, place))
        averaged.extend(locus.name for locus in units[least].loci)
        parts[least] = parts[least].average()
    sizes = [part.weights.size for part in parts]
    count, partners = prod(sizes), parts[0].alive.shape[1] if parts else 1
    chosen = np.unravel_index(np.arange(count), sizes) if sizes else ()
    half = 1.0 if any(unit.sexed for unit in units) else 0.5
    weights, alive = np.ones(count), np.ones((count, partners))
    shares = np.full((count, partners, len(picks), 2), half)
    totals, seen_totals = np.full((count, partners, 2), half), np.full((count, partners, 2), half)
    for place, (part, case) in enumerate(zip(parts, chosen, strict=True)):
        table = part.table[case]
        weights = weights * part.weights[case]
        alive = alive * part.alive[case]
        shares = shares * table[:, :, picks[:, place], :]
        totals = totals * table.sum(axis=2)
        seen_totals = seen_totals * table[:, :, [not hides for hides in covers[place]], :].sum(axis=2)
    hidden = np.flatnonzero((picks < 0).any(axis=1))
    shares[:, :, hidden, :] = np.clip(totals - seen_totals, 0.0, None)[:, :, None, :]
    return SireCases(weights, shares, totals, alive, tuple(averaged))


def _options(unit: JointUnit, sights: list[tuple[str, ...]]) -> _Options:
    """What a unit gives, options that give the same put together."""
    merged: dict[tuple[tuple[tuple[Fraction, ...], Fraction], ...], Fraction] = {}
    for chance, partners in unit.rows:
        for choice in product(*partners):
            weight = chance
            for case in choice:
                weight *= case.weight
            key = tuple((_by_sight(unit, case, sights), 1 - case.lost) for case in choice)
            merged[key] = merged.get(key, Fraction(0)) + weight
    shape = (len(merged), len(unit.rows[0][1]), len(sights), 2)
    table = np.array([[[float(x) for x in shares] for shares, _ in key] for key in merged])
    return _Options(
        weights=np.array([float(weight) for weight in merged.values()]),
        table=table.reshape(shape),
        alive=np.array([[float(alive) for _, alive in key] for key in merged]),
    )


def _by_sight(unit: JointUnit, case: Case, sights: list[tuple[str, ...]]) -> tuple[Fraction, ...]:
    """Share of each class and sex, flat."""
    shares = [Fraction(0)] * (2 * len(sights))
    for (sex, pairs), chance in case.hatched.items():
        place = sights.index(appearance(unit.loci, pairs, joined=unit.alike))
        for column, who in enumerate(SEXES):
            if sex in (None, who):
                shares[2 * place + column] += chance
    return tuple(shares)
