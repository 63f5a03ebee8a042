"""How does one trait's price move: level, drift, random walk and noise of one series, on a grid.

y = l + b s + random walk(q s) + noise(r), with y the log price, s years since the first price, a flat
level l, and the drift b damped beyond the last price. Every product a.b stands for a' K^-1 b with
K = q min(s, s') + r I; one eigen-decomposition per series serves the whole grid of q and r.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

WALK_SD = np.array([0.02, 0.05, 0.10, 0.18, 0.30, 0.50])
NOISE_SD = np.array([0.01, 0.03, 0.07, 0.12, 0.20, 0.32])
WALK = np.repeat(WALK_SD**2, NOISE_SD.size)  # q of each cell, a year
NOISE = np.tile(NOISE_SD**2, WALK_SD.size)  # r of each cell
LOG_WALK = np.log(np.sqrt(WALK) / 0.14)
LOG_NOISE = np.log(np.sqrt(NOISE) / 0.10)
CELL_PRIOR = -0.5 * (LOG_WALK / 0.9) ** 2 - 0.5 * (LOG_NOISE / 1.0) ** 2
DAMPING = 0.35  # a year
MOST_POINTS = 60


@dataclass(frozen=True)
class Series:
    """Log prices of one trait by date, prices of one day merged (exactly) and long series binned.

    Attributes
    ----------
    start
        Day of the first price [years on any common count].
    years
        Days of the points, since `start` [years], ascending.
    values
        Mean log price of each point, less `centre`.
    weights
        Number of prices in each point.
    centre
        Mean log price of the whole series.
    scatter
        Sum of squares of the log prices about their points.
    """

    start: float
    years: Floats
    values: Floats
    weights: Floats
    centre: float
    scatter: float

    @property
    def span(self) -> float:
        """Time from the first price to the last [years]."""
        return float(self.years[-1])

    @property
    def count(self) -> int:
        """Number of prices."""
        return int(self.weights.sum())

    @property
    def has_trend(self) -> bool:
        """Whether there are three prices over a quarter of a year, the least that tells of a drift."""
        return self.count >= 3 and self.span >= 0.25 - 1e-9


def series_of(years: Iterable[float], log_prices: Iterable[float]) -> Series:
    """Series of log prices at dates [years], in any order.

    Prices of one day become one point with its own weight, which loses nothing; more than 60 days are
    put into 60 bins of equal length.

    Raises
    ------
    ValueError
        If there is no price, the lengths differ or a value is not finite.
    """
    at = np.asarray(list(years), dtype=float)
    logs = np.asarray(list(log_prices), dtype=float)
    if at.size == 0 or at.shape != logs.shape or not (np.isfinite(at).all() and np.isfinite(logs).all()):
        raise ValueError("a series needs at least one date and as many finite log prices as dates")
    start = float(at.min())
    days = np.round((at - start) * 365.25).astype(np.int64)
    keys = days if np.unique(days).size <= MOST_POINTS else _bins(days)
    _, group = np.unique(keys, return_inverse=True)
    weights = np.bincount(group).astype(float)
    centre = float(logs.mean())
    means = np.bincount(group, logs - centre) / weights
    scatter = float(((logs - centre - means[group]) ** 2).sum())
    when = np.bincount(group, at - start) / weights
    when[0], when[-1] = 0.0, float(at.max()) - start
    return Series(start, when, means, weights, centre, scatter)


def _bins(days: NDArray[np.int64]) -> NDArray[np.int64]:
    width = (days.max() + 1) / MOST_POINTS
    bins: NDArray[np.int64] = np.floor(days / width).astype(np.int64)
    return bins


@dataclass(frozen=True)
class Cells:
    """All products of one series that the forecast needs, for each cell of the grid, arrays (36,).

    one_one is 1.1, one_s is 1.s and so on; log_likelihood is that of step 2 without the cell's prior.
    s_s_left, s_y_left are what remains of s.s and s.y after the flat level is taken out.
    """

    series: Series
    one_one: Floats
    one_s: Floats
    one_y: Floats
    s_s: Floats
    s_y: Floats
    s_s_left: Floats
    s_y_left: Floats
    log_likelihood: Floats
    vectors: Floats  # (n, n) eigenvectors of the weighted walk matrix
    spread: Floats  # (36, n) eigenvalues of K of each cell
    turned: Floats  # (3, n): ones, s and y in the eigenvectors' axes


def fit_cells(series: Series) -> Cells:
    """Products of one series for all 36 cells [log units, years]."""
    root = np.sqrt(series.weights)
    walk = np.minimum.outer(series.years, series.years) * np.outer(root, root)
    values, vectors = np.linalg.eigh(walk)
    spread = np.outer(WALK, np.maximum(values, 0.0)) + NOISE[:, None]
    turned = np.stack([root, root * series.years, root * series.values]) @ vectors
    inverse = 1.0 / spread
    products = np.einsum("in,jn,cn->ijc", turned, turned, inverse)
    one_one, one_s, one_y = products[0, 0], products[0, 1], products[0, 2]
    s_s, s_y, y_y = products[1, 1], products[1, 2], products[2, 2]
    repeats = series.count - series.weights.size
    y_y = y_y + series.scatter / NOISE
    log_det = np.log(spread).sum(axis=1) + repeats * np.log(NOISE)
    return Cells(
        series=series,
        one_one=one_one,
        one_s=one_s,
        one_y=one_y,
        s_s=s_s,
        s_y=s_y,
        s_s_left=np.maximum(s_s - one_s**2 / one_one, 0.0),
        s_y_left=s_y - one_s * one_y / one_one,
        log_likelihood=-0.5 * (y_y - one_y**2 / one_one) - 0.5 * log_det - 0.5 * np.log(one_one),
        vectors=vectors,
        spread=spread,
        turned=turned,
    )


def log_sum(logs: Floats, *, axis: int) -> Floats:
    """Log of a sum of numbers given by their logs, along one axis."""
    top = logs.max(axis=axis, keepdims=True)
    total: Floats = np.log(np.exp(logs - top).sum(axis=axis)) + np.squeeze(top, axis=axis)
    return total


def drift_evidence(cells: Cells, means: Floats, variances: Floats) -> Floats:
    """Log evidence of each cell under each drift prior N(mean, variance), (36, C), without cell prior."""
    precision = 1.0 / variances
    held = cells.s_s_left[:, None]
    pull = cells.s_y_left[:, None] + means * precision
    fitted = 0.5 * pull**2 / (held + precision) - 0.5 * means**2 * precision
    evidence: Floats = cells.log_likelihood[:, None] + fitted - 0.5 * np.log1p(variances * held)
    return evidence


def drift_given_data(cells: Cells, means: Floats, variances: Floats) -> tuple[Floats, Floats]:
    """Mean and variance of the drift in each cell under each drift prior, shape (36, C) [log a year]."""
    precision = 1.0 / variances
    total = cells.s_s_left[:, None] + precision
    return (cells.s_y_left[:, None] + means * precision) / total, 1.0 / total


def level_given_drift(cells: Cells, years: Floats) -> tuple[Floats, Floats, Floats]:
    """Level at times since the first price: offset, weight of the drift, and variance, each (36, T).

    The level given drift b is N(offset + b weight, variance), offset counted from the series' centre.
    Times may lie before the last price; beyond it the drift is damped.
    """
    span = cells.series.span
    if years.size and float(years.min()) >= span:
        return _level_ahead(cells, years - span)
    return _level_anywhere(cells, years)


def _level_ahead(cells: Cells, ahead: Floats) -> tuple[Floats, Floats, Floats]:
    """As level_given_drift for times `ahead` of the last price [years], where k is simply q s."""
    span = cells.series.span
    u = 1.0 - WALK * cells.one_s
    offset = WALK * cells.s_y + u * cells.one_y / cells.one_one
    held = WALK * cells.s_s + u * cells.one_s / cells.one_one
    damped = (1.0 - np.exp(-DAMPING * ahead)) / DAMPING
    drift_weight = (span + damped)[None, :] - held[:, None]
    fixed = -(WALK**2) * cells.s_s + u**2 / cells.one_one
    variance = WALK[:, None] * (span + ahead)[None, :] + fixed[:, None]
    wide = np.broadcast_to(offset[:, None], variance.shape)
    return wide, drift_weight, np.maximum(variance, 0.0)


def _level_anywhere(cells: Cells, years: Floats) -> tuple[Floats, Floats, Floats]:
    """As level_given_drift at any times, by the full covariance with every point."""
    series = cells.series
    root = np.sqrt(series.weights)
    shared = root[:, None] * np.maximum(np.minimum.outer(series.years, years), 0.0)
    turned = cells.vectors.T @ shared  # (n, T)
    inverse = 1.0 / cells.spread
    with_data = np.einsum("in,nt,cn->ict", cells.turned, turned, inverse) * WALK[None, :, None]
    own = np.einsum("nt,nt,cn->ct", turned, turned, inverse) * (WALK**2)[:, None]
    u = 1.0 - with_data[0]
    offset = with_data[2] + u * (cells.one_y / cells.one_one)[:, None]
    held = with_data[1] + u * (cells.one_s / cells.one_one)[:, None]
    ahead = np.maximum(years - series.span, 0.0)
    path = np.minimum(years, series.span) + (1.0 - np.exp(-DAMPING * ahead)) / DAMPING
    variance = WALK[:, None] * np.abs(years)[None, :] - own + u**2 / cells.one_one[:, None]
    return offset, path[None, :] - held, np.maximum(variance, 0.0)
