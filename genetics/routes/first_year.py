"""When the target is first there: the distribution of the first year, "not reached" counted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_Z = 1.959963984540054  # two-sided 95 % point of the normal distribution


@dataclass(frozen=True, eq=False)
class FirstYear:
    """Distribution of the first season with the target.

    Attributes
    ----------
    chance
        Chance that the target is first there in season 1, 2, ... [0 to 1], shape (S,).
    not_reached
        Chance that it is not there after the last of these seasons; with `chance` it sums to 1.
    runs
        Simulated runs it is counted from; 0 if it is exact.
    """

    chance: Floats
    not_reached: float
    runs: int = 0

    @property
    def seasons(self) -> int:
        """Seasons looked at."""
        return int(self.chance.size)

    @property
    def by(self) -> Floats:
        """Chance that the target is there by the end of each season, shape (S,)."""
        return np.cumsum(self.chance)

    @property
    def error(self) -> Floats:
        """Standard error of `by` from the number of runs; zero if exact, shape (S,)."""
        by = self.by
        if not self.runs:
            return np.zeros(self.seasons)
        return np.sqrt(np.clip(by * (1.0 - by), 0.0, None) / self.runs)

    def quantile(self, share: float) -> int | None:
        """First season by which the chance is at least a share; None if it is not reached.

        Raises
        ------
        ValueError
            If the share is not above 0 and below 1.
        """
        if not 0.0 < share < 1.0:
            raise ValueError(f"share is {share}; allowed: above 0, below 1")
        enough = np.flatnonzero(self.by >= share - 1e-12)
        return int(enough[0]) + 1 if enough.size else None

    @property
    def median(self) -> int | None:
        """Season by which the target is there with a chance of one half; None if not reached."""
        return self.quantile(0.5)

    @property
    def wait(self) -> float:
        """Mean of the seasons waited, those not reached counted with all seasons [seasons].

        A lower bound of the expected wait; it is the expectation itself if nothing is missed.
        """
        return float(1.0 + (1.0 - self.by[:-1]).sum())

    def wait_interval(self) -> tuple[float, float]:
        """95 % interval of `wait` from the number of runs; both ends alike if exact."""
        mean = self.wait
        if self.runs < 2:
            return mean, mean
        season = np.append(np.arange(1, self.seasons + 1), self.seasons)
        weight = np.append(self.chance, self.not_reached)
        variance = float(weight @ (season - mean) ** 2)
        half = _Z * (variance / (self.runs - 1)) ** 0.5
        return mean - half, mean + half


def first_year(pmf: ArrayLike, *, seasons: int) -> FirstYear:
    """Exact distribution over a number of seasons.

    Parameters
    ----------
    pmf
        Chance of each first season, index 0 = season 1; may be longer or shorter than the seasons.
    seasons
        Seasons to look at.

    Raises
    ------
    ValueError
        If there are no seasons, a chance is negative or they sum to more than 1.
    """
    if seasons < 1:
        raise ValueError(f"{seasons} seasons; allowed: 1 or more")
    given = np.asarray(pmf, dtype=float)
    if given.size and (given.min() < -1e-12 or given.sum() > 1.0 + 1e-9):
        raise ValueError("chances of the first season must be 0 or more and sum to 1 at most")
    chance = np.zeros(seasons)
    kept = given[:seasons]
    chance[: kept.size] = np.clip(kept, 0.0, None)
    chance.setflags(write=False)
    return FirstYear(chance, max(0.0, 1.0 - float(chance.sum())))


def counted_years(years: ArrayLike, *, seasons: int) -> FirstYear:
    """Distribution counted from simulated runs.

    Parameters
    ----------
    years
        First season of each run, 0 where the target was not reached, shape (runs,).
    seasons
        Seasons looked at.
    """
    found = np.asarray(years, dtype=np.int64)
    counts = np.bincount(found, minlength=seasons + 1)
    chance = counts[1:] / found.size
    chance.setflags(write=False)
    return FirstYear(chance, float(counts[0] / found.size), int(found.size))
