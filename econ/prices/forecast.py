"""Where a trait's price goes: mean, spread and bands of its level at any date, from the pooled drift."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from econ.prices.pool import DriftMixture, MarketDrift, PooledDrift, pool
from econ.prices.trend import NOISE, Cells, Floats, Series, fit_cells, level_given_drift

PROBABILITIES = np.array([0.025, 0.10, 0.90, 0.975])
LEAST_PAST_FORECASTS = 10

_SHAPE_YEARS = np.array([0.0, 0.5, 1.0, 2.0, 4.0])
_SHAPE_STEPS = np.concatenate([np.linspace(-4.0, -0.6, 12), np.linspace(0.6, 4.0, 12)])
_KEPT = 0.9999
_NORMAL_POINTS = ndtri(PROBABILITIES)


@dataclass(frozen=True)
class PastForecast:
    """One forecast made earlier and what was then seen, to learn whether the bands hold.

    Attributes
    ----------
    error
        Log price seen less log price forecast.
    level_sd, sale_sd
        Spread of the level, and of a single sale about it, as forecast then [log].
    """

    error: float
    level_sd: float
    sale_sd: float


@dataclass(frozen=True)
class CellMoments:
    """What a level's mean and variance need of a mixture: weight, drift's mean and square, each (36,)."""

    weight: Floats
    drift: Floats
    drift_square: Floats


@dataclass(frozen=True)
class Trend:
    """Forecast of one trait's level, ready to be asked at any time.

    Attributes
    ----------
    key
        Name of the series.
    cells
        Products of the series over the grid.
    pooled, plain
        Moments with pooled walk and noise (they set the mean) and without (they may widen the band).
    shape
        Distance of the 2.5, 10, 90 and 97.5 % points from the mean in sds, (horizons, 4).
    widening
        Factor of all bands from own past forecasts, at least 1.
    sale_sd
        Spread of a single sale about the level [log].
    drift_before, drift_after
        Mean drift before and after pooling [log a year].
    """

    key: str
    cells: Cells
    pooled: CellMoments
    plain: CellMoments
    shape: Floats
    widening: float
    sale_sd: float
    drift_before: float
    drift_after: float

    @property
    def series(self) -> Series:
        """The log prices the trend rests on."""
        return self.cells.series

    def level(self, years: Floats) -> tuple[Floats, Floats]:
        """Mean and sd of the log level at times on the series' common count of years, each (T,)."""
        since = np.asarray(years, dtype=float) - self.series.start
        terms = level_given_drift(self.cells, since)
        mean, first = _moments(self.pooled, terms)
        _, second = _moments(self.plain, terms)
        sd = np.sqrt(np.maximum(first, second)) * self.widening
        return mean + self.series.centre, sd

    def offsets(self, years: Floats) -> Floats:
        """Distance of the 2.5, 10, 90 and 97.5 % points of the level from its mean, in sds, (4, T)."""
        ahead = np.asarray(years, dtype=float) - self.series.start - self.series.span
        return np.stack([np.interp(ahead, _SHAPE_YEARS, column) for column in self.shape.T])

    def chance_below(self, log_level: float, years: Floats) -> Floats:
        """Chance that the level lies below a log price at each time, (T,).

        Read between the level's four points on the normal scale, beyond them in proportion.
        """
        mean, sd = self.level(years)
        distance = (log_level - mean) / sd
        chances = np.empty(distance.shape)
        for i, (gap, points) in enumerate(zip(distance, self.offsets(years).T, strict=True)):
            if gap < points[0]:
                normal = gap * _NORMAL_POINTS[0] / points[0]
            elif gap > points[-1]:
                normal = gap * _NORMAL_POINTS[-1] / points[-1]
            else:
                normal = np.interp(gap, points, _NORMAL_POINTS)
            chances[i] = ndtr(normal)
        return chances


def _moments(moments: CellMoments, terms: tuple[Floats, Floats, Floats]) -> tuple[Floats, Floats]:
    """Mean and variance of a mixture's level at each time."""
    offset, pull, variance = terms
    mean = moments.weight @ (offset + moments.drift[:, None] * pull)
    gap = offset - mean
    drift, drift_square = moments.drift[:, None], moments.drift_square[:, None]
    square = variance + gap**2 + 2.0 * gap * pull * drift + pull**2 * drift_square
    return mean, np.maximum(moments.weight @ square, 0.0)


def _summary(mixture: DriftMixture) -> CellMoments:
    weight = mixture.weight.sum(axis=1)
    safe = np.maximum(weight, 1e-300)
    drift = (mixture.weight * mixture.mean).sum(axis=1) / safe
    square = (mixture.weight * (mixture.mean**2 + mixture.variance)).sum(axis=1) / safe
    return CellMoments(weight, drift, square)


def fit_trends(
    series: Mapping[str, Series], *, left_out: Sequence[str] = (), past_forecasts: Sequence[PastForecast] = ()
) -> tuple[dict[str, Trend], MarketDrift]:
    """Trends of all series, pooled, and the drift of the market.

    Parameters
    ----------
    series
        Log prices by key.
    left_out
        Keys that must not teach the others; they are forecast all the same.
    past_forecasts
        Own forecasts with what was seen; ten or more may widen every band, never narrow it.
    """
    keys = list(series)
    cells = [fit_cells(series[k]) for k in keys]
    members = [series[k].has_trend and k not in left_out for k in keys]
    drifts, market = pool(cells, members=members, keys=keys)
    factor = widening(past_forecasts)
    rows = zip(keys, cells, drifts, strict=True)
    return {key: _trend(key, cell, drift, factor) for key, cell, drift in rows}, market


def _trend(key: str, cells: Cells, drift: PooledDrift, factor: float) -> Trend:
    return Trend(
        key=key,
        cells=cells,
        pooled=_summary(drift.pooled),
        plain=_summary(drift.plain),
        shape=_shape(cells, drift.pooled),
        widening=factor,
        sale_sd=float(np.sqrt(drift.pooled.weight.sum(axis=1) @ NOISE)),
        drift_before=drift.drift_before,
        drift_after=drift.pooled.drift,
    )


def widening(past_forecasts: Sequence[PastForecast]) -> float:
    """Factor of the bands from own past forecasts: 1 below ten of them, never less than 1."""
    n = len(past_forecasts)
    if n < LEAST_PAST_FORECASTS:
        return 1.0
    squares = [min(p.error**2 / (p.level_sd**2 + p.sale_sd**2), 9.0) for p in past_forecasts]
    return float(max(1.0, np.sqrt((sum(squares) + 20.0) / (n + 20.0))))


def _shape(cells: Cells, mixture: DriftMixture) -> Floats:
    """Points of the exact mixture in sds about its mean, at some horizons, (horizons, 4)."""
    offset, pull, variance = level_given_drift(cells, cells.series.span + _SHAPE_YEARS)
    row, column = _heaviest(mixture.weight)
    weight = mixture.weight[row, column]
    weight = weight / weight.sum()
    drift = mixture.mean[row, column]
    drift_variance = mixture.variance[row, column]
    points = []
    for t in range(_SHAPE_YEARS.size):
        means = offset[row, t] + drift * pull[row, t]
        variances = variance[row, t] + drift_variance * pull[row, t] ** 2
        points.append(_standard_points(weight, means, np.sqrt(variances)))
    return np.stack(points)


def _heaviest(weight: Floats) -> tuple[np.ndarray, np.ndarray]:
    """Cells and priors that hold all but a ten-thousandth of the weight."""
    flat = weight.ravel()
    order = np.argsort(flat)[::-1]
    kept = order[: int(np.searchsorted(np.cumsum(flat[order]), _KEPT)) + 1]
    row, column = np.unravel_index(kept, weight.shape)
    return row, column


def _standard_points(weight: Floats, means: Floats, sds: Floats) -> Floats:
    """Find the four points of a mixture of normals, in sds about its mean.

    The distribution is evaluated at 24 steps and read backwards between them on the normal scale,
    where it is nearly a straight line.
    """
    mean = weight @ means
    sd = float(np.sqrt(weight @ (sds**2 + (means - mean) ** 2)))
    below = ndtr((mean + sd * _SHAPE_STEPS[:, None] - means) / sds) @ weight
    normal = ndtri(np.clip(below, 1e-12, 1.0 - 1e-12))
    points: Floats = np.interp(ndtri(PROBABILITIES), normal, _SHAPE_STEPS)
    return points
