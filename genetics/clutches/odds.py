"""How likely a wanted hatchling is over eggs, clutches, seasons and females.

All young of two parents share the parents' true genotypes, so a chance over several of them is a
mixture: shares and weights are given by the parents' genotypes, never as one average share.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, log1p

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

MOST_HATCHLINGS = 100_000
"""Hatchlings up to which a number needed is looked for."""


class BadShares(ValueError):
    """Shares or weights that are not chances."""


@dataclass(frozen=True)
class Needed:
    """Hatchlings needed for a chance of at least one.

    Attributes
    ----------
    chance
        Chance asked for.
    hatchlings
        Fewest hatchlings that give it, rounded up; None if it is not reached.
    ceiling
        Highest chance that any number of hatchlings gives: the chance that the parents can produce
        the wanted look at all.
    """

    chance: float
    hatchlings: int | None
    ceiling: float


def _checked(shares: ArrayLike, weights: ArrayLike | None) -> tuple[Floats, Floats]:
    """Shares and weights as arrays of one length."""
    hit = np.atleast_1d(np.asarray(shares, dtype=float))
    weight = np.full(1, 1.0) if weights is None else np.atleast_1d(np.asarray(weights, dtype=float))
    if weight.shape != hit.shape:
        raise BadShares(f"{hit.size} shares and {weight.size} weights; allowed: as many of both")
    if hit.min() < -1e-12 or hit.max() > 1.0 + 1e-12:
        raise BadShares(f"shares from {hit.min()} to {hit.max()}; allowed: 0 to 1")
    if weight.min() < 0.0 or abs(weight.sum() - 1.0) > 1e-9:
        raise BadShares(f"weights sum to {weight.sum()}; they must sum to 1")
    return np.clip(hit, 0.0, 1.0), weight


def at_least_one(shares: ArrayLike, hatchlings: int, *, weights: ArrayLike | None = None) -> float:
    """Chance of at least one wanted hatchling: mixture of 1 - (1 - p)^n.

    Parameters
    ----------
    shares
        Share of the wanted look among the hatchlings, by parents' genotype, shape (S,).
    hatchlings
        Number of hatchlings of these parents.
    weights
        Chance of each of the parents' genotypes, shape (S,); left out for known parents.

    Raises
    ------
    BadShares
        If shares or weights are not chances, or the number of hatchlings is below 0.
    """
    if hatchlings < 0:
        raise BadShares(f"{hatchlings} hatchlings; allowed: 0 or more")
    hit, weight = _checked(shares, weights)
    return float(1.0 - weight @ np.power(1.0 - hit, hatchlings))


def at_least(wanted: int, shares: ArrayLike, hatchlings: int, *, weights: ArrayLike | None = None) -> float:
    """Chance of at least a number of wanted hatchlings: mixture of binomial tails.

    Parameters
    ----------
    wanted
        Number of wanted hatchlings.
    shares, hatchlings, weights
        As in `at_least_one`.

    Raises
    ------
    BadShares
        As in `at_least_one`.
    """
    if hatchlings < 0:
        raise BadShares(f"{hatchlings} hatchlings; allowed: 0 or more")
    hit, weight = _checked(shares, weights)
    counts = np.zeros((hit.size, hatchlings + 1))
    counts[:, 0] = 1.0
    for _ in range(hatchlings):
        counts[:, 1:] = counts[:, 1:] * (1.0 - hit[:, None]) + counts[:, :-1] * hit[:, None]
        counts[:, 0] *= 1.0 - hit
    tail = counts[:, max(wanted, 0) :].sum(axis=1)
    return float(weight @ tail)


def hatchlings_needed(shares: ArrayLike, chance: float, *, weights: ArrayLike | None = None) -> Needed:
    """Fewest hatchlings that give a chance of at least one wanted among them, rounded up.

    Parameters
    ----------
    shares, weights
        As in `at_least_one`.
    chance
        Chance asked for [above 0, below 1].

    Raises
    ------
    BadShares
        If the chance is not above 0 and below 1, or as in `at_least_one`.
    """
    if not 0.0 < chance < 1.0:
        raise BadShares(f"chance asked for is {chance}; allowed: above 0, below 1")
    hit, weight = _checked(shares, weights)
    ceiling = float(weight[hit > 0.0].sum())
    if ceiling <= chance:
        return Needed(chance, None, ceiling)
    if hit.size == 1:
        return Needed(chance, _known_parents(float(hit[0]), chance), ceiling)
    low, high = 0, 1
    while at_least_one(hit, high, weights=weight) < chance - 1e-12:
        low, high = high, 2 * high
        if low > MOST_HATCHLINGS:
            return Needed(chance, None, ceiling)
    while high - low > 1:
        middle = (low + high) // 2
        enough = at_least_one(hit, middle, weights=weight) >= chance - 1e-12
        low, high = (low, middle) if enough else (middle, high)
    return Needed(chance, high, ceiling)


def _known_parents(share: float, chance: float) -> int:
    """Use the closed form for known parents: log(1 - chance) / log(1 - share), rounded up."""
    if share >= 1.0:
        return 1
    return max(1, ceil(log1p(-chance) / log1p(-share) - 1e-9))


def one_in_a_season(
    shares: ArrayLike,
    hatchlings: Sequence[Floats] | Floats,
    *,
    weights: ArrayLike | None = None,
    seasons: int = 1,
) -> float:
    """Chance of at least one wanted hatchling when the number of hatchlings is uncertain.

    Uses the generating function of the clutch size, not its mean; the seasons share the parents.

    Parameters
    ----------
    shares, weights
        As in `at_least_one`.
    hatchlings
        Chance of each number of hatchlings of one season, index = hatchlings, shape (N,), or one row
        for each of the parents' genotypes, shape (S, N).
    seasons
        Seasons in which the same two animals are paired.

    Raises
    ------
    BadShares
        If something is not a chance, or the number of seasons is below 0.
    """
    if seasons < 0:
        raise BadShares(f"{seasons} seasons; allowed: 0 or more")
    hit, weight = _checked(shares, weights)
    table = np.atleast_2d(np.asarray(hatchlings, dtype=float))
    if np.abs(table.sum(axis=1) - 1.0).max() > 1e-9 or table.shape[0] not in (1, hit.size):
        raise BadShares("the chances of the numbers of hatchlings must sum to 1, one row or one per case")
    none = (table * np.power(1.0 - hit[:, None], np.arange(table.shape[1]))).sum(axis=1)
    return float(1.0 - weight @ np.power(none, seasons))


def one_of_several(chances: Sequence[float]) -> float:
    """Chance that at least one of several unrelated pairings gives a wanted hatchling.

    Only for pairings that share no uncertain parent; those that do are one mixture.

    Parameters
    ----------
    chances
        Chance of at least one for each pairing.

    Raises
    ------
    BadShares
        If one is not a chance.
    """
    if any(not 0.0 <= chance <= 1.0 for chance in chances):
        raise BadShares(f"chances {list(chances)}; allowed: 0 to 1")
    return float(1.0 - np.prod([1.0 - chance for chance in chances]))


@dataclass(frozen=True)
class RuleOfThumb:
    """The trade's rule "1/p hatchlings" beside the chance that it has really happened by then.

    Attributes
    ----------
    hatchlings
        1/p, rounded up.
    chance
        Chance of at least one by then; about 63 % when p is small.
    """

    hatchlings: int
    chance: float


def rule_of_thumb(share: Fraction | float) -> RuleOfThumb:
    """Work out the trade's rule of thumb for a look with a share p of the hatchlings.

    Raises
    ------
    BadShares
        If the share is not above 0 and at most 1.
    """
    if not 0 < share <= 1:
        raise BadShares(f"share is {share}; allowed: above 0, at most 1")
    count = ceil(1 / share) if isinstance(share, Fraction) else ceil(1.0 / share - 1e-9)
    return RuleOfThumb(count, at_least_one(float(share), count))
