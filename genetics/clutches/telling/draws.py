"""How fast repeated draws tell some possibilities apart: exact over everything that may be drawn."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MOST_OUTCOMES = 100_000
"""Ways in which some draws can turn out that are gone through one by one."""

MOST_OTHERS = 12
"""Other possibilities up to which being certain is counted by inclusion and exclusion."""


class TooManyOutcomes(ValueError):
    """Draws that can turn out in more ways than are gone through."""


@dataclass(frozen=True, eq=False)
class Draws:
    """Independent draws that look different under different possibilities.

    Attributes
    ----------
    prior
        Chance of each possibility; sums to 1.
    groups
        What is to be told apart: the number of the thing that each possibility stands for.
    chances
        Chance of each outcome of one draw under each possibility; a row of zeros where nothing can be
        drawn. Outcomes that favour the same possibilities by the same factors are put together.
    """

    prior: tuple[Fraction, ...]
    groups: tuple[int, ...]
    chances: tuple[tuple[Fraction, ...], ...]

    @property
    def things(self) -> int:
        """Number of things to be told apart."""
        return max(self.groups) + 1

    def ways(self, draws: int) -> int:
        """Count the ways in which some draws can turn out."""
        kinds = len(self.chances[0])
        return comb(draws + kinds - 1, kinds - 1)

    def certain(self, thing: int, draws: int) -> Fraction:
        """Chance that draws rule out all else, if this is what it is.

        Raises
        ------
        TooManyOutcomes
            If there are too many other possibilities.
        """
        others = [place for place, group in enumerate(self.groups) if group != thing]
        supports = sorted({self._support(place) for place in others}, key=sorted)
        supports = [s for s in supports if not any(s < other for other in supports)]
        if len(supports) > MOST_OTHERS:
            raise TooManyOutcomes(f"{len(supports)} other possibilities; allowed: {MOST_OTHERS}")
        total = Fraction(0)
        for place, weight in self._within(thing):
            open_ = Fraction(0)
            for size in range(1, len(supports) + 1):
                for chosen in combinations(supports, size):
                    left = frozenset.intersection(*chosen)
                    share = sum((self.chances[place][k] for k in left), Fraction(0))
                    open_ -= (-1) ** size * share**draws
            total += weight * (1 - open_)
        return total

    def after(self, draws: int, *, level: float) -> tuple[tuple[float, float], ...]:
        """What some draws do for each thing, if it is what it is.

        Parameters
        ----------
        draws
            Number of draws.
        level
            Chance from which one is sure [above 1/2, at most 1].

        Returns
        -------
        tuple
            For each thing: chance that its own chance has reached the level, and expected value of its
            own chance after the draws.

        Raises
        ------
        TooManyOutcomes
            If the draws can turn out in too many ways.
        """
        by_thing = self._by_thing(draws)
        whole = by_thing.sum(axis=1)
        posterior = by_thing / np.where(whole > 0.0, whole, 1.0)[:, None]
        drawable = by_thing.sum(axis=0)
        known = np.where(drawable > 0.0, drawable, 1.0)
        sure = (by_thing * (posterior >= level - 1e-12)).sum(axis=0) / known
        mean = (by_thing * posterior).sum(axis=0) / known
        return tuple(zip(sure.tolist(), mean.tolist(), strict=True))

    def bits(self, draws: int) -> float:
        """Expected fall of the uncertainty about the things by some draws [bits].

        Raises
        ------
        TooManyOutcomes
            If the draws can turn out in too many ways.
        """
        by_thing = self._by_thing(draws)
        by_thing = by_thing / by_thing.sum()
        expected = np.outer(by_thing.sum(axis=1), by_thing.sum(axis=0))
        there = by_thing > 0.0
        return max(0.0, float((by_thing[there] * np.log2(by_thing[there] / expected[there])).sum()))

    def _by_thing(self, draws: int) -> Floats:
        """Chance of each way the draws can turn out together with each thing, shape (M, things)."""
        if self.ways(draws) > MOST_OUTCOMES:
            raise TooManyOutcomes(
                f"{draws} draws can turn out in {self.ways(draws)} ways; allowed: {MOST_OUTCOMES}"
            )
        counts = compositions(draws, len(self.chances[0]))
        from scipy.special import gammaln  # starts slowly

        orders = np.exp(gammaln(draws + 1) - gammaln(counts + 1.0).sum(axis=1))
        table = np.zeros((len(counts), self.things))
        for prior, group, row in zip(self.prior, self.groups, self.chances, strict=True):
            if any(row):
                each = np.array([float(chance) for chance in row])
                table[:, group] += float(prior) * orders * np.prod(each**counts, axis=1)
        return table

    def _support(self, place: int) -> frozenset[int]:
        """Outcomes that a possibility allows."""
        return frozenset(k for k, chance in enumerate(self.chances[place]) if chance)

    def _within(self, thing: int) -> list[tuple[int, Fraction]]:
        """Possibilities of a thing that can be drawn from, with their chance within it."""
        mine = [p for p, g in enumerate(self.groups) if g == thing and any(self.chances[p])]
        whole = sum((self.prior[p] for p in mine), Fraction(0))
        return [(p, self.prior[p] / whole) for p in mine]


def compositions(total: int, parts: int) -> NDArray[np.int64]:
    """All ways to split a number into so many parts of 0 or more, in order, shape (M, parts)."""
    rows = np.zeros((1, 0), dtype=np.int64)
    left = np.array([total])
    for _ in range(parts - 1):
        sizes = left + 1
        place = np.repeat(np.arange(len(rows)), sizes)
        part = np.arange(sizes.sum()) - np.repeat(np.cumsum(sizes) - sizes, sizes)
        rows = np.column_stack([rows[place], part])
        left = left[place] - part
    return np.column_stack([rows, left])


def draws_of(
    prior: Sequence[Fraction], groups: Sequence[int], tables: Sequence[Mapping[Hashable, Fraction]]
) -> Draws:
    """Draws from a table of outcomes for each possibility.

    Outcomes whose chances are the same up to a factor under all possibilities are put together.
    """
    merged: dict[tuple[Fraction, ...], list[Fraction]] = {}
    for outcome in dict.fromkeys(key for table in tables for key in table):
        column = [table.get(outcome, Fraction(0)) for table in tables]
        whole = sum(column, Fraction(0))
        shape = tuple(chance / whole for chance in column)
        known = merged.setdefault(shape, [Fraction(0)] * len(tables))
        merged[shape] = [a + b for a, b in zip(known, column, strict=True)]
    rows = tuple(tuple(column[place] for column in merged.values()) for place in range(len(tables)))
    return Draws(tuple(prior), tuple(groups), rows)
