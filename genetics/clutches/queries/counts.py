"""How many of some hatchlings are of a kind, when their number may itself be uncertain."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Count = int | Sequence[float] | Floats
"""A known number, or the chance of each number (index = number)."""


class BadCount(ValueError):
    """A number of hatchlings or eggs that can't be, or chances of it that do not sum to 1."""


def chances_of_count(count: Count) -> Floats:
    """Chance of each number, index = number, shape (largest number + 1,).

    Raises
    ------
    BadCount
        If a known number is below 0, or chances do not sum to 1.
    """
    if isinstance(count, int | np.integer):
        if count < 0:
            raise BadCount(f"the number is {count}; allowed: 0 or more")
        known = np.zeros(int(count) + 1)
        known[-1] = 1.0
        return known
    chances = np.asarray(count, dtype=float)
    if chances.ndim != 1 or not chances.size or chances.min() < 0.0 or abs(chances.sum() - 1.0) > 1e-9:
        raise BadCount("the chances of the numbers must be one row, none below 0, that sums to 1")
    return chances


def checked_hatching(hatching: float) -> float:
    """Chance that a fertile egg not lost to its genes hatches.

    Raises
    ------
    BadCount
        If it is not between 0 and 1.
    """
    if not 0.0 <= hatching <= 1.0:
        raise BadCount(f"hatching is {hatching}; allowed: 0 to 1")
    return hatching


def as_floats(shares: Sequence[Fraction]) -> Floats:
    """Exact shares as an array."""
    return np.array([float(share) for share in shares])


def none_of(count: Floats, share: Floats) -> Floats:
    """Chance that none of an uncertain number is a hit: generating function at 1 - share.

    Parameters
    ----------
    count
        Chance of each number, shape (N,).
    share
        Chance of a hit, by parents, shape (S,).
    """
    powers = np.power(np.clip(1.0 - share, 0.0, 1.0)[:, None], np.arange(count.size))
    chance: Floats = powers @ count
    return chance


def hits(count: Floats, share: Floats, weights: Floats) -> Floats:
    """Chance of each number of hits: binomials over the count and the parents, shape (N,).

    Parameters
    ----------
    count
        Chance of each number, shape (N,).
    share
        Chance of a hit, by parents, shape (S,).
    weights
        Chance of the parents, shape (S,).
    """
    share = np.clip(share, 0.0, 1.0)[:, None]
    row = np.zeros((share.shape[0], count.size))
    row[:, 0] = 1.0
    total = count[0] * row
    for chance in count[1:]:
        moved = row * (1.0 - share)
        moved[:, 1:] += row[:, :-1] * share
        row = moved
        total = total + chance * row
    numbers: Floats = weights @ total
    return numbers


def two_kinds(count: Floats, parts: Floats, weights: Floats) -> Floats:
    """Chance of each pair of numbers of two kinds, shape (N, N).

    Parameters
    ----------
    count
        Chance of each number of hatchlings, shape (N,).
    parts
        Chance to be of the first kind only, the second only, and both, by parents, shape (S, 3).
    weights
        Chance of the parents, shape (S,).
    """
    first, second, both = (parts[:, place, None, None] for place in range(3))
    row = np.zeros((parts.shape[0], count.size, count.size))
    row[:, 0, 0] = 1.0
    total = count[0] * row
    for chance in count[1:]:
        moved = row * np.clip(1.0 - first - second - both, 0.0, 1.0)
        moved[:, 1:, :] += row[:, :-1, :] * first
        moved[:, :, 1:] += row[:, :, :-1] * second
        moved[:, 1:, 1:] += row[:, :-1, :-1] * both
        row = moved
        total = total + chance * row
    numbers: Floats = np.tensordot(weights, total, axes=1)
    return numbers
