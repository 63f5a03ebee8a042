"""How did price move when listings moved: smoothed supply counts, and log price on log supply with priors.

log price = level + f log supply + b t + random-walk demand + noise, with the flexibility f ~ N(-.5, .35^2)
and the demand drift b ~ N(0, .08^2) a year; walk and noise are averaged over a grid. Plain regression with
a trend is biased towards zero, so that flooding looks harmless. It says how they moved together, not cause.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy.special import ndtr, ndtri

from econ.prices.design import year_of
from econ.prices.history import combination_key
from econ.prices.observations import SupplyCount
from econ.prices.trend import Floats, Series, series_of

FLEXIBILITY_PRIOR = (-0.5, 0.35)
DEMAND_DRIFT_PRIOR = (0.0, 0.08)
DEMAND_WALK_SD = np.array([0.02, 0.06, 0.12, 0.25])
NOISE_SD = np.array([0.10, 0.18, 0.28, 0.42])
KERNEL_YEARS = 0.5
LEAST_RANGE = 1.5
LEAST_BESIDE_TREND = 0.20
LEAST_PRICES = 4

_LOCAL_RIDGE = 1e-3
_PROBABILITIES = (0.1, 0.5, 0.9)


class TooFewCounts(ValueError):
    """Supply can't be smoothed without at least one count."""


@dataclass(frozen=True)
class SmoothSupply:
    """Supply counts of one kind of animal, smoothed.

    Attributes
    ----------
    years
        Days of the counts [years on a common count], ascending.
    counts
        What was counted [animals].
    log_level
        Smoothed log of (counts + 0.5) at those days.
    first, last
        First and last day.
    """

    years: Floats
    counts: Floats
    log_level: Floats
    first: date
    last: date

    def at(self, years: Floats) -> Floats:
        """Smoothed log supply at any time; flat before the first count and after the last."""
        held = np.clip(np.asarray(years, dtype=float), self.years[0], self.years[-1])
        return _local_line(self.years, np.log(self.counts + 0.5), held)


@dataclass(frozen=True)
class SupplyPrice:
    """Price flexibility: change of log price for one unit of log supply.

    Attributes
    ----------
    mean, sd, low, median, high
        Flexibility; low and high are its 10 and 90 % points. Where the data do not say, the assumption.
    data_weight
        Share of the answer that comes from the data, 0 to 1; the rest is the assumption.
    correlation
        Of time and smoothed log supply; nan for flat supply.
    supply_range
        Largest smoothed supply over smallest.
    beside_trend
        Share of the variance of log supply that is no straight line in time.
    prices, counts
        How many of each it rests on.
    says
        Whether the data say anything.
    words
        One or two plain sentences.
    """

    mean: float
    sd: float
    low: float
    median: float
    high: float
    data_weight: float
    correlation: float
    supply_range: float
    beside_trend: float
    prices: int
    counts: int
    says: bool
    words: str


def smooth_supply(counts: Iterable[SupplyCount], *, key: str | None = None) -> SmoothSupply:
    """Smooth supply counts by a local line with a half-year kernel, on the log scale.

    Parameters
    ----------
    counts
        Counts in any order; several of one day are added up, as they are parts of one supply.
    key
        Combination key to pick, or None for all that are given.

    Raises
    ------
    TooFewCounts
        If nothing is left to smooth.
    """
    by_day: dict[date, int] = {}
    for count in counts:
        if key is None or combination_key(count.traits) == key:
            by_day[count.on] = by_day.get(count.on, 0) + count.offered
    if not by_day:
        name = f" of {key}" if key else ""
        raise TooFewCounts(f"no supply counts{name}; needed: at least one")
    days = sorted(by_day)
    years = np.array([year_of(d) for d in days])
    offered = np.array([float(by_day[d]) for d in days])
    return SmoothSupply(years, offered, _local_line(years, np.log(offered + 0.5), years), days[0], days[-1])


def _local_line(years: Floats, values: Floats, at: Floats) -> Floats:
    """Local line through values, read at times; normal kernel, 99 % of its weight within half a year."""
    gap = years[None, :] - np.atleast_1d(at)[:, None]
    weight = np.exp(-0.5 * (gap / (KERNEL_YEARS / 2.5)) ** 2) + 1e-12
    total = weight.sum(axis=1)
    centre = (weight * gap).sum(axis=1) / total
    mean = (weight * values).sum(axis=1) / total
    off = gap - centre[:, None]
    slope = (weight * off * values).sum(axis=1) / ((weight * off**2).sum(axis=1) + _LOCAL_RIDGE * total)
    line: Floats = mean - slope * centre
    return line


def supply_price(
    supply: SmoothSupply, years: Sequence[float] | Floats, log_prices: Sequence[float] | Floats
) -> SupplyPrice:
    """Flexibility of one trait's price from its supply and its adjusted log prices.

    Parameters
    ----------
    supply
        Smoothed counts.
    years, log_prices
        Dates [years on the same count] and log prices, in any order; prices outside the counted time
        are left aside.
    """
    at = np.asarray(years, dtype=float)
    logs = np.asarray(log_prices, dtype=float)
    inside = (at >= supply.years[0] - KERNEL_YEARS / 2) & (at <= supply.years[-1] + KERNEL_YEARS / 2)
    if inside.sum() < LEAST_PRICES:
        return _assumption(int(inside.sum()), supply)
    series = series_of(at[inside], logs[inside])
    level = supply.at(series.years + series.start)
    spread = float(np.exp(level.max() - level.min()))
    correlation, beside = _beside_trend(series, level)
    mean, sd, points = _flexibility(series, level)
    data_weight = float(np.clip(1.0 - (sd / FLEXIBILITY_PRIOR[1]) ** 2, 0.0, 1.0))
    says = spread >= LEAST_RANGE and beside >= LEAST_BESIDE_TREND
    if not says:
        mean, sd = FLEXIBILITY_PRIOR
        points = tuple(mean + sd * float(ndtri(p)) for p in _PROBABILITIES)
    words = _words(says=says, spread=spread, beside=beside, points=points, weight=data_weight)
    return SupplyPrice(
        mean=mean,
        sd=sd,
        low=points[0],
        median=points[1],
        high=points[2],
        data_weight=data_weight,
        correlation=correlation,
        supply_range=spread,
        beside_trend=beside,
        prices=series.count,
        counts=supply.counts.size,
        says=says,
        words=words,
    )


def _beside_trend(series: Series, level: Floats) -> tuple[float, float]:
    """Correlation of time and log supply, and the share of its variance beside a straight line."""
    weight = series.weights / series.weights.sum()
    time = series.years - weight @ series.years
    off = level - weight @ level
    time_square, level_square = float(weight @ time**2), float(weight @ off**2)
    if level_square < 1e-12 or time_square < 1e-12:
        return float("nan"), 0.0
    correlation = float(weight @ (time * off)) / np.sqrt(time_square * level_square)
    return float(correlation), float(max(0.0, 1.0 - correlation**2))


def _flexibility(series: Series, level: Floats) -> tuple[float, float, tuple[float, ...]]:
    """Mean, sd and 10, 50, 90 % points of the flexibility over the grid of walk and noise."""
    root = np.sqrt(series.weights)
    walk = np.minimum.outer(series.years, series.years) * np.outer(root, root)
    values, vectors = np.linalg.eigh(walk)
    features = np.stack([root, root * (level - level.mean()), root * series.years, root * series.values])
    turned = features @ vectors
    prior_mean = np.array([0.0, FLEXIBILITY_PRIOR[0], DEMAND_DRIFT_PRIOR[0]])
    prior_precision = np.array([0.0, FLEXIBILITY_PRIOR[1] ** -2, DEMAND_DRIFT_PRIOR[1] ** -2])
    logs, means, variances = [], [], []
    for walk_sd in DEMAND_WALK_SD:
        for noise_sd in NOISE_SD:
            spread = walk_sd**2 * np.maximum(values, 0.0) + noise_sd**2
            products = (turned / spread) @ turned.T
            system = products[:3, :3] + np.diag(prior_precision)
            pull = products[:3, 3] + prior_precision * prior_mean
            inverse = np.linalg.inv(system)
            solved = inverse @ pull
            repeats = series.count - series.weights.size
            log_det = np.log(spread).sum() + repeats * np.log(noise_sd**2) + np.linalg.slogdet(system)[1]
            rest = products[3, 3] + series.scatter / noise_sd**2 - solved @ pull
            logs.append(-0.5 * (log_det + rest))
            means.append(solved[1])
            variances.append(inverse[1, 1])
    weight = np.exp(np.array(logs) - max(logs))
    weight /= weight.sum()
    cell_mean, cell_sd = np.array(means), np.sqrt(np.array(variances))
    mean = float(weight @ cell_mean)
    sd = float(np.sqrt(weight @ (cell_sd**2 + (cell_mean - mean) ** 2)))
    return mean, sd, tuple(_point(p, weight, cell_mean, cell_sd) for p in _PROBABILITIES)


def _point(probability: float, weight: Floats, means: Floats, sds: Floats) -> float:
    """Point of a mixture of normals, by halving."""
    low, high = float((means - 8.0 * sds).min()), float((means + 8.0 * sds).max())
    for _ in range(60):
        middle = 0.5 * (low + high)
        if weight @ ndtr((middle - means) / sds) < probability:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _assumption(prices: int, supply: SmoothSupply) -> SupplyPrice:
    """Answer where there are too few prices beside the counts."""
    mean, sd = FLEXIBILITY_PRIOR
    low, median, high = (mean + sd * float(ndtri(p)) for p in _PROBABILITIES)
    words = (
        f"Your data do not say; this is the assumption: {prices} prices lie within the time of your counts, "
        f"at least {LEAST_PRICES} are needed."
    )
    nan = float("nan")
    return SupplyPrice(
        mean, sd, low, median, high, 0.0, nan, nan, nan, prices, supply.counts.size, says=False, words=words
    )


def _words(*, says: bool, spread: float, beside: float, points: tuple[float, ...], weight: float) -> str:
    """Say how price moved when listings moved, or why that can't be said."""
    if says:
        low, middle, high = (_change(p) for p in points)
        return (
            f"When listings rose by a tenth, price moved by {middle} (8 in 10: {low} to {high}); "
            f"{100 * weight:.0f} % of this comes from your data. It shows how they moved together, not why."
        )
    if spread < LEAST_RANGE:
        why = f"listings changed only {spread:.1f}-fold, {LEAST_RANGE}-fold is needed"
    else:
        why = f"only {100 * beside:.0f} % of what listings did was more than a steady trend, 20 % is needed"
    return f"Your data do not say; this is the assumption: {why}."


def _change(flexibility: float) -> str:
    return f"{100 * np.expm1(flexibility * np.log(1.1)):+.1f} %"
