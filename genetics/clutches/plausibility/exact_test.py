"""How unusual a hatched clutch is for its parents: an exact test over everything that could have hatched.

The p value is the chance of all outcomes that are at most as likely as what hatched, with the same
number of sexed and unsexed hatchlings. Uncertain parents are a mixture that all young share. Lost eggs
are no evidence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.plausibility.counts import (
    EVERYTHING,
    Asking,
    Cells,
    Hatched,
    Observed,
    cells_of,
    check_apart,
    observed,
)
from genetics.clutches.telling.draws import compositions

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

MOST_OUTCOMES = 400_000
"""Outcomes up to which all are gone through."""

MOST_NUMBERS = 20_000_000
DRAWS = 20_000
_ALIKE = 1e-9


@dataclass(frozen=True)
class KindSeen:
    """One kind of hatchling: how many there are and how many were to be expected."""

    name: str
    males: int
    females: int
    unsexed: int
    expected: float

    @property
    def seen(self) -> int:
        """Hatchlings of this kind."""
        return self.males + self.females + self.unsexed


@dataclass(frozen=True)
class Plausibility:
    """How well a hatched clutch fits its parents.

    Attributes
    ----------
    p_value
        Chance of an outcome at most as likely as this one; 0 if this one can't be.
    method
        "exact": all outcomes were gone through; "drawn": so many were drawn at random.
    outcomes
        Number of outcomes gone through or drawn.
    error
        Standard error of a drawn p value; 0 if exact.
    kinds
        Each kind with what was seen and expected; the last is anything else.
    """

    p_value: float
    method: Literal["exact", "drawn"]
    outcomes: int
    error: float
    kinds: tuple[KindSeen, ...]


def plausibility(
    clutch: Asking, hatched: Sequence[Hatched], *, draws: int = DRAWS, seed: int = 0
) -> Plausibility:
    """Test a hatched clutch, or all clutches of a pair added up, against its parents.

    Parameters
    ----------
    clutch
        A clutch of one or several sires.
    hatched
        Counts by kind; kinds that were possible and did not hatch need not be named.
    draws, seed
        Outcomes drawn where there are too many to go through, and the seed of the draw.

    Raises
    ------
    BadCounts
        If nothing hatched, a count is below 0, or kinds overlap.
    UnknownGene, BadPattern, TooManyParents
        As in `Clutch.kind`.
    """
    seen = observed(hatched)
    check_apart(clutch, hatched)
    cells = cells_of(clutch.kinds([*(row.kind for row in hatched), EVERYTHING]))
    expected = cells.mean.sum(axis=1) * seen.total
    kinds = tuple(
        KindSeen(name, int(m), int(f), int(u), float(mean))
        for name, (m, f), u, mean in zip(seen.names, seen.sexed, seen.unsexed, expected, strict=True)
    )
    p_value, method, outcomes = exact_p_value(cells, seen, draws=draws, seed=seed)
    error = sqrt(p_value * (1.0 - p_value) / outcomes) if method == "drawn" else 0.0
    return Plausibility(p_value, method, outcomes, error, kinds)


def goes_with_sex(kind: Hatched, others: Sequence[Hatched]) -> float:
    """Test whether a kind goes with the sex, whatever the parents are (Fisher's exact test).

    P value over all ways to share out the males among the kind and the others, two-sided: those at most
    as likely as what hatched. Unsexed hatchlings say nothing here; 1 without any.

    Parameters
    ----------
    kind
        Counts of the kind.
    others
        Counts of all other kinds.
    """
    males, females = kind.males, kind.females
    other_males, other_females = sum(row.males for row in others), sum(row.females for row in others)
    count, drawn = males + females + other_males + other_females, males + females
    if not count:
        return 1.0
    from scipy.stats import hypergeom  # starts slowly

    law = hypergeom(count, males + other_males, drawn)
    chances = law.pmf(np.arange(drawn + 1))
    return float(min(1.0, chances[chances <= chances[males] * (1.0 + _ALIKE)].sum()))


@dataclass(frozen=True, eq=False)
class _Group:
    """Hatchlings whose sexes are all known, or all unknown: chances (S, C) of the cells, counts (C,)."""

    chances: Floats
    counts: Counts

    @property
    def outcomes(self) -> int:
        """Number of ways in which they can turn out."""
        return comb(int(self.counts.sum()) + self.counts.size - 1, self.counts.size - 1)

    def law(self, outcomes: Counts) -> Floats:
        """Chance of each outcome for each of the parents, shape (M, S)."""
        from scipy.special import gammaln

        orders = gammaln(outcomes.sum(axis=1) + 1.0) - gammaln(outcomes + 1.0).sum(axis=1)
        with np.errstate(divide="ignore"):
            logs = np.log(self.chances)
        power = np.zeros((len(outcomes), len(logs)))
        for cell in range(outcomes.shape[1]):
            there = outcomes[:, cell] > 0
            power[there] += outcomes[there, cell, None] * logs[None, :, cell]
        law: Floats = np.exp(orders[:, None] + power)
        return law


def exact_p_value(
    cells: Cells, seen: Observed, *, draws: int = DRAWS, seed: int = 0
) -> tuple[float, Literal["exact", "drawn"], int]:
    """P value of counts, how it was found, and the number of outcomes it rests on."""
    groups = [
        _group(cells.chances.reshape(len(cells.weights), -1), seen.sexed.ravel()),
        _group(cells.chances.sum(axis=2), seen.unsexed),
    ]
    if any(group is None for group in groups):
        return 0.0, "exact", 1
    known = [group for group in groups if group is not None]
    here = np.ones(len(cells.weights))
    for group in known:
        here = here * group.law(group.counts[None, :])[0]
    limit = float(cells.weights @ here)
    if limit <= 0.0:
        return 0.0, "exact", 1
    outcomes = known[0].outcomes * known[1].outcomes
    if outcomes <= MOST_OUTCOMES and outcomes * len(cells.weights) <= MOST_NUMBERS:
        first, second = (
            group.law(compositions(int(group.counts.sum()), group.counts.size)) for group in known
        )
        chances = (first * cells.weights) @ second.T
        return float(min(1.0, chances[chances <= limit * (1.0 + _ALIKE)].sum())), "exact", outcomes
    return _drawn(cells.weights, known, limit, draws=draws, seed=seed), "drawn", draws


def _group(chances: Floats, counts: Counts) -> _Group | None:
    """Cells that can occur; None if one was seen that can't."""
    possible = chances.max(axis=0) > 0.0
    if counts[~possible].any():
        return None
    kept = chances[:, possible]
    return _Group(kept / kept.sum(axis=1, keepdims=True), counts[possible])


def _drawn(weights: Floats, groups: Sequence[_Group], limit: float, *, draws: int, seed: int) -> float:
    """P value from outcomes drawn at random, what hatched counted among them."""
    random = np.random.default_rng(seed)
    parents = random.choice(weights.size, p=weights, size=draws)
    law = np.ones((draws, weights.size))
    for group in groups:
        outcomes = random.multinomial(int(group.counts.sum()), group.chances[parents])
        law *= group.law(outcomes)
    rare = int((law @ weights <= limit * (1.0 + _ALIKE)).sum())
    return (rare + 1) / (draws + 1)
