"""How many eggs a clutch has, and how many of them hatch."""

from __future__ import annotations

from functools import lru_cache
from math import comb, floor, log

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_CLOSE = 1e-12
_STEPS = 200


class ImpossibleClutchSize(ValueError):
    """A mean and spread that no bell on whole eggs can have."""


def clutch_size_pmf(mean: float, sd: float, *, smallest: int = 1, largest: int = 20) -> Floats:
    """Chance of each number of eggs: a bell on whole eggs with exactly this mean and spread.

    The bell is exp(a k + b k^2) on the whole numbers k from `smallest` to `largest`, the flattest
    distribution with the asked mean and spread.

    Parameters
    ----------
    mean, sd
        Mean and standard deviation [eggs].
    smallest, largest
        Fewest and most eggs.

    Returns
    -------
    ndarray
        Chances, index = eggs, shape (largest + 1,).

    Raises
    ------
    ImpossibleClutchSize
        If the mean is outside the range, or the spread too small for whole eggs or too large for a
        bell.
    """
    return _bell(float(mean), float(sd), int(smallest), int(largest)).copy()


@lru_cache(maxsize=256)
def _bell(mean: float, sd: float, smallest: int, largest: int) -> Floats:
    _check_asked(mean, sd, smallest, largest)
    counts = np.arange(smallest, largest + 1, dtype=float)
    pmf = np.zeros(largest + 1)
    part = mean - floor(mean)
    least = part * (1.0 - part)
    if sd * sd <= least + 1e-9:
        pmf[floor(mean)] = 1.0 - part
        if part:
            pmf[floor(mean) + 1] = part
        return pmf
    pmf[smallest:] = _fit(counts - mean, sd * sd)
    return pmf


def _check_asked(mean: float, sd: float, smallest: int, largest: int) -> None:
    """Refuse what no distribution on whole eggs can have."""
    if not 0 <= smallest <= largest:
        raise ImpossibleClutchSize(f"eggs from {smallest} to {largest}; allowed: 0 or more, in order")
    if not smallest <= mean <= largest:
        raise ImpossibleClutchSize(f"mean of {mean} eggs; allowed: {smallest} to {largest}")
    most = (mean - smallest) * (largest - mean)
    if sd * sd > most + 1e-9:
        raise ImpossibleClutchSize(
            f"spread of {sd} eggs; from {smallest} to {largest} eggs with a mean of {mean} it is at most "
            f"{most**0.5:.3f}"
        )
    part = mean - floor(mean)
    if not sd >= 0.0 or sd * sd < part * (1.0 - part) - 1e-9:
        least = (part * (1.0 - part)) ** 0.5
        raise ImpossibleClutchSize(
            f"spread of {sd} eggs; with a mean of {mean} whole eggs spread at least {least:.3f}"
        )


def _fit(deviation: Floats, variance: float) -> Floats:
    """Chances exp(a d + b d^2) with mean deviation 0 and a given variance, by damped Newton steps."""
    features = np.column_stack([deviation, deviation**2])
    target = np.array([0.0, variance])
    curve = -0.5 / variance if variance > 0.25 else log(variance / 2.0)
    slope = np.array([0.0, curve])

    def state(point: Floats) -> tuple[Floats, float]:
        power = features @ point
        shift = power.max()
        weight = np.exp(power - shift)
        return weight / weight.sum(), float(np.log(weight.sum()) + shift - point @ target)

    pmf, value = state(slope)
    for _ in range(_STEPS):
        mean = pmf @ features
        gap = mean - target
        if np.abs(gap).max() < _CLOSE * max(1.0, variance):
            break
        spread = (features - mean).T * pmf @ (features - mean)
        step = np.linalg.lstsq(spread, gap, rcond=1e-14)[0]
        scale = 1.0
        while scale > 1e-10:
            new_pmf, new_value = state(slope - scale * step)
            if new_value <= value:
                break
            scale /= 2
        if scale <= 1e-10:
            break
        slope, pmf, value = slope - scale * step, new_pmf, new_value
    off = np.abs(pmf @ features - target).max()
    if off > 1e-7 * max(1.0, variance):
        raise ImpossibleClutchSize(f"no bell on whole eggs has a variance of {variance:.4g} here")
    if slope[1] > 1e-9:
        raise ImpossibleClutchSize(
            f"spread of {variance**0.5:.3g} eggs is wider than a flat distribution over the allowed eggs"
        )
    return pmf


def hatchling_pmf(
    eggs_pmf: Floats, *, laying: float, fertile: float, hatching: float, lost: float = 0.0
) -> Floats:
    """Chance of each number of hatchlings of one female in one season.

    Each egg hatches by itself with the chance fertile x (1 - lost) x hatching.

    Parameters
    ----------
    eggs_pmf
        Chance of each number of eggs when she lays, index = eggs, shape (E,).
    laying
        Chance that she lays [0 to 1].
    fertile
        Share of the eggs that is fertile [0 to 1].
    hatching
        Chance that a fertile egg that is not lost to its genes hatches [0 to 1].
    lost
        Share of the fertile eggs lost to their genes [0 to 1].

    Returns
    -------
    ndarray
        Chances, index = hatchlings, shape (E,).

    Raises
    ------
    ValueError
        If a chance is outside 0 to 1, or the eggs' chances do not sum to 1.
    """
    for name, value in (("laying", laying), ("fertile", fertile), ("hatching", hatching), ("lost", lost)):
        if not 0.0 <= value <= 1.0:
            raise ValueError(f"{name} is {value}; allowed: 0 to 1")
    eggs = np.asarray(eggs_pmf, dtype=float)
    if abs(eggs.sum() - 1.0) > 1e-9 or eggs.min() < 0.0:
        raise ValueError(f"chances of the clutch sizes sum to {eggs.sum()}; they must sum to 1")
    each = fertile * (1.0 - lost) * hatching
    young: Floats = laying * (eggs @ _thinning(eggs.size, each))
    young[0] += 1.0 - laying
    return young


@lru_cache(maxsize=1024)
def _thinning(size: int, each: float) -> Floats:
    """Chance of k hatchlings out of n eggs, shape (size, size), row = eggs."""
    table = np.zeros((size, size))
    for eggs in range(size):
        for young in range(eggs + 1):
            table[eggs, young] = comb(eggs, young) * each**young * (1.0 - each) ** (eggs - young)
    return table
