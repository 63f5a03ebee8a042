"""How likely a kind of hatchling is, how many of them there are, and two kinds together."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.queries.counts import (
    BadCount,
    Count,
    as_floats,
    chances_of_count,
    checked_hatching,
    hits,
    none_of,
    two_kinds,
)
from genetics.clutches.queries.states import Share, States

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Kind:
    """One kind of hatchling of a clutch, for everything its parents may be.

    Every count can be asked for a number of hatchlings, or for a number of fertile eggs of which
    some are lost; either is a number or the chance of each number (index = number).

    Attributes
    ----------
    what
        What was asked for, in plain words.
    weights
        Chance of what the parents are; sums to 1.
    male, female
        Share of the hatchlings that is of the kind and this sex, by parents.
    alive
        Share of the fertile eggs that is not lost to their genes, by parents.
    """

    what: str
    weights: tuple[Fraction, ...]
    male: tuple[Fraction, ...]
    female: tuple[Fraction, ...]
    alive: tuple[Fraction, ...]

    @property
    def per_hatchling(self) -> Fraction:
        """Share of the hatchlings, averaged over the parents that have any."""
        live = sum((w for w, alive in zip(self.weights, self.alive, strict=True) if alive), Fraction(0))
        rows = zip(self.weights, self.male, self.female, strict=True)
        return sum((w * (m + f) for w, m, f in rows), Fraction(0)) / live

    @property
    def per_egg(self) -> Fraction:
        """Share of the fertile eggs, averaged over the parents."""
        rows = zip(self.weights, self.male, self.female, self.alive, strict=True)
        return sum((w * (m + f) * alive for w, m, f, alive in rows), Fraction(0))

    @property
    def possible(self) -> Fraction:
        """Chance that the parents can give any at all."""
        rows = zip(self.weights, self.male, self.female, strict=True)
        return sum((w for w, m, f in rows if m + f), Fraction(0))

    def shares(self, *, eggs: bool = False, hatching: float = 1.0) -> tuple[Floats, Floats, Floats]:
        """Weights, and share of males and of females, as arrays by parents, shape (S,) each.

        Parameters
        ----------
        eggs
            True for shares of the fertile eggs; else of the hatchlings, of parents that have any.
        hatching
            Chance that a fertile egg not lost to its genes hatches [0 to 1]; only with eggs.
        """
        weights, male, female = as_floats(self.weights), as_floats(self.male), as_floats(self.female)
        alive = as_floats(self.alive)
        if eggs:
            kept = alive * checked_hatching(hatching)
            return weights, male * kept, female * kept
        weights = weights * (alive > 0.0)
        return weights / weights.sum(), male, female

    def expected(
        self, hatchlings: Count | None = None, *, eggs: Count | None = None, hatching: float = 1.0
    ) -> float:
        """Expected number of the kind.

        Raises
        ------
        BadCount
            If not exactly one of hatchlings and eggs is given, or it is no number.
        """
        count, weights, male, female = self._asked(hatchlings, eggs, hatching)
        return float(count @ np.arange(count.size) * (weights @ (male + female)))

    def numbers(
        self, hatchlings: Count | None = None, *, eggs: Count | None = None, hatching: float = 1.0
    ) -> Floats:
        """Chance of each number of the kind, index = number; a mixture over the parents.

        Raises
        ------
        BadCount
            As in `expected`.
        """
        count, weights, male, female = self._asked(hatchlings, eggs, hatching)
        return hits(count, male + female, weights)

    def at_least(
        self,
        wanted: int = 1,
        *,
        hatchlings: Count | None = None,
        eggs: Count | None = None,
        hatching: float = 1.0,
    ) -> float:
        """Chance of at least a number of the kind.

        Raises
        ------
        BadCount
            As in `expected`.
        """
        if wanted == 1:
            count, weights, male, female = self._asked(hatchlings, eggs, hatching)
            return float(1.0 - weights @ none_of(count, male + female))
        return float(self.numbers(hatchlings, eggs=eggs, hatching=hatching)[max(wanted, 0) :].sum())

    def one_of_each_sex(
        self, hatchlings: Count | None = None, *, eggs: Count | None = None, hatching: float = 1.0
    ) -> float:
        """Chance of at least one male and one female of the kind; not two independent events.

        Raises
        ------
        BadCount
            As in `expected`.
        """
        count, weights, male, female = self._asked(hatchlings, eggs, hatching)
        missed = none_of(count, male) + none_of(count, female) - none_of(count, male + female)
        return float(1.0 - weights @ missed)

    def _asked(
        self, hatchlings: Count | None, eggs: Count | None, hatching: float
    ) -> tuple[Floats, Floats, Floats, Floats]:
        """Chance of each number asked about, with weights and shares of both sexes by parents."""
        count, of_eggs = one_count(hatchlings, eggs)
        return count, *self.shares(eggs=of_eggs, hatching=hatching)


def one_count(hatchlings: Count | None, eggs: Count | None) -> tuple[Floats, bool]:
    """Chance of each number, and whether eggs are counted.

    Raises
    ------
    BadCount
        If not exactly one of both is given.
    """
    if hatchlings is not None and eggs is None:
        return chances_of_count(hatchlings), False
    if eggs is not None and hatchlings is None:
        return chances_of_count(eggs), True
    raise BadCount("a number of hatchlings or of eggs is needed, and not both")


@dataclass(frozen=True, eq=False)
class TwoKinds:
    """Two kinds of hatchlings of one clutch together; one hatchling may be of both.

    Attributes
    ----------
    first, second, both
        Each kind, and the hatchlings that are of both kinds; their parents stand in one order.
    """

    first: Kind
    second: Kind
    both: Kind

    def numbers(
        self, hatchlings: Count | None = None, *, eggs: Count | None = None, hatching: float = 1.0
    ) -> Floats:
        """Chance of each pair of numbers, row = of the first kind, column = of the second.

        Raises
        ------
        BadCount
            As in `Kind.expected`.
        """
        count, of_eggs = one_count(hatchlings, eggs)
        shares = []
        for kind in (self.first, self.second, self.both):
            weights, male, female = kind.shares(eggs=of_eggs, hatching=hatching)
            shares.append(male + female)
        first, second, both = shares
        return two_kinds(count, np.stack([first - both, second - both, both], axis=1), weights)

    def one_of_each(
        self, hatchlings: Count | None = None, *, eggs: Count | None = None, hatching: float = 1.0
    ) -> float:
        """Chance of at least one of each kind.

        Raises
        ------
        BadCount
            As in `Kind.expected`.
        """
        count, of_eggs = one_count(hatchlings, eggs)
        none = []
        for kind in (self.first, self.second, self.both):
            weights, male, female = kind.shares(eggs=of_eggs, hatching=hatching)
            none.append(male + female)
        first, second, both = none
        missed = none_of(count, first) + none_of(count, second) - none_of(count, first + second - both)
        return float(1.0 - weights @ missed)


def kinds_from(states: States, names: tuple[str, ...], sires: tuple[Fraction, ...]) -> tuple[Kind, ...]:
    """Kinds from the shares by parents; where several sires each have a share of the eggs, mixed.

    Parameters
    ----------
    states
        Shares of every kind by parents, and by sire.
    names
        What was asked for, in the order of the shares.
    sires
        Share of the eggs that each sire has; sums to 1.
    """
    merged: dict[Share, Fraction] = {}
    for weight, shares in states:
        mixed = _mixed(shares, sires)
        merged[mixed] = merged.get(mixed, Fraction(0)) + weight
    weights = tuple(merged.values())
    return tuple(
        Kind(
            name,
            weights,
            tuple(share.kinds[place][0] for share in merged),
            tuple(share.kinds[place][1] for share in merged),
            tuple(share.alive for share in merged),
        )
        for place, name in enumerate(names)
    )


def _mixed(shares: tuple[Share, ...], sires: tuple[Fraction, ...]) -> Share:
    """Share of the kinds when each egg has its own sire."""
    if len(shares) == 1:
        return shares[0]
    alive = sum((q * share.alive for q, share in zip(sires, shares, strict=True)), Fraction(0))
    if not alive:
        return Share(alive, tuple((Fraction(0), Fraction(0)) for _ in shares[0].kinds))
    kinds = []
    for place in range(len(shares[0].kinds)):
        pair = [
            sum((q * s.alive * s.kinds[place][sex] for q, s in zip(sires, shares, strict=True)), Fraction(0))
            / alive
            for sex in (0, 1)
        ]
        kinds.append((pair[0], pair[1]))
    return Share(alive, tuple(kinds))
