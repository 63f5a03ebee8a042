"""What hatched, sorted into kinds that exclude each other, and how likely each is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.queries.ask import Asked, as_pattern
from genetics.clutches.queries.kinds import Kind, TwoKinds
from genetics.clutches.queries.pattern import Pattern
from genetics.genes.traits import Sex

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]


class BadCounts(ValueError):
    """Counts of hatchlings that can't be, or kinds that overlap."""


@dataclass(frozen=True)
class Hatched:
    """How many of one kind hatched.

    Attributes
    ----------
    kind
        A pattern of what shows, or the label of a look. What can't be seen is no count.
    males, females, unsexed
        Hatchlings of it [animals].
    """

    kind: Asked
    males: int = 0
    females: int = 0
    unsexed: int = 0

    def __post_init__(self) -> None:
        if min(self.males, self.females, self.unsexed) < 0:
            raise BadCounts(f"{self.males}.{self.females}.{self.unsexed} of {self.kind}; allowed: 0 or more")
        if as_pattern(self.kind).sex is not None:
            raise BadCounts(f"the kind '{self.kind}' has a sex; give males and females as counts")


class Asking(Protocol):
    """A clutch of one or several sires, as far as it is asked here."""

    def kinds(self, asked: Sequence[Asked]) -> tuple[Kind, ...]:
        """Several kinds with their parents in one order."""
        ...

    def two_kinds(self, first: Asked, second: Asked) -> TwoKinds:
        """Two kinds together."""
        ...


@dataclass(frozen=True, eq=False)
class Observed:
    """Counts by kind; the last kind is everything else, of which none was counted.

    Attributes
    ----------
    names
        The kinds in words.
    sexed
        Males and females, shape (K + 1, 2).
    unsexed
        Hatchlings of unknown sex, shape (K + 1,).
    """

    names: tuple[str, ...]
    sexed: Counts
    unsexed: Counts

    @property
    def total(self) -> int:
        """All hatchlings."""
        return int(self.sexed.sum() + self.unsexed.sum())


@dataclass(frozen=True, eq=False)
class Cells:
    """Chance of each kind for everything the parents may be.

    Attributes
    ----------
    weights
        Chance of the parents, of those with any hatchlings, shape (S,).
    chances
        Chance of each kind and sex, shape (S, K + 1, 2).
    """

    weights: Floats
    chances: Floats

    @property
    def mean(self) -> Floats:
        """Chance of each kind and sex, averaged over the parents, shape (K + 1, 2)."""
        mean: Floats = np.tensordot(self.weights, self.chances, axes=1)
        return mean


def observed(hatched: Sequence[Hatched]) -> Observed:
    """Counts of what hatched.

    Raises
    ------
    BadCounts
        If nothing hatched.
    """
    sexed = np.array([[row.males, row.females] for row in hatched] + [[0, 0]], dtype=np.int64)
    unsexed = np.array([row.unsexed for row in hatched] + [0], dtype=np.int64)
    if not sexed.sum() + unsexed.sum():
        raise BadCounts("no hatchling was counted; lost eggs say nothing here")
    return Observed((*(str(row.kind) for row in hatched), "anything else"), sexed, unsexed)


def check_apart(clutch: Asking, hatched: Sequence[Hatched]) -> None:
    """Make sure that no hatchling can be of two of the kinds.

    Raises
    ------
    BadCounts
        If one can.
    """
    for one, other in combinations(hatched, 2):
        if clutch.two_kinds(one.kind, other.kind).both.per_hatchling:
            raise BadCounts(f"a hatchling can be both '{one.kind}' and '{other.kind}'; allowed: kinds apart")


def cells_of(kinds: Sequence[Kind]) -> Cells:
    """Chances of kinds that exclude each other, the last of them being all hatchlings."""
    live = np.array([bool(alive) for alive in kinds[0].alive])
    weights = np.array([float(weight) for weight in kinds[0].weights])[live]
    table = np.array([[[float(x) for x in kind.male], [float(x) for x in kind.female]] for kind in kinds])
    table = table.transpose(2, 0, 1)[live]
    table[:, -1, :] = np.clip(table[:, -1, :] - table[:, :-1, :].sum(axis=1), 0.0, None)
    table[table < 1e-14] = 0.0
    return Cells(weights / weights.sum(), table)


EVERYTHING = Pattern()
SEXES = (Sex.MALE, Sex.FEMALE)


def log_likelihood(cells: Cells, seen: Observed) -> float:
    """Logarithm of the chance of the counts, but for the number of orders; -inf if they can't be."""
    both = cells.chances.sum(axis=2)
    with np.errstate(divide="ignore"):
        logs, sums = np.log(cells.chances), np.log(both)
        start = np.log(cells.weights)
    found = start + _powers(logs.reshape(len(logs), -1), seen.sexed.ravel()) + _powers(sums, seen.unsexed)
    top = found.max()
    return float(top + np.log(np.exp(found - top).sum())) if np.isfinite(top) else -np.inf


def _powers(logs: Floats, counts: Counts) -> Floats:
    """Sum of counts times logarithms, by parents; kinds of which there are none do not count."""
    there = counts > 0
    powers: Floats = logs[:, there] @ counts[there].astype(float)
    return powers
