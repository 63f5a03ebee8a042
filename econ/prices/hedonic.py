"""What does each trait add to a price: a log-price model with shrinkage, averaged over a grid.

log price = base + traits x chance + sex, stage, asked or sold, channel, time + effect of the exact
combination + noise. Traits are N(0, tau^2), combinations N(0, tau_c^2); the base has a flat prior; tau,
tau_c and the noise are averaged over a small grid by marginal likelihood, so there is no optimiser.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from econ.prices.trend import Floats


@dataclass(frozen=True)
class Grid:
    """Values of tau, tau_c and noise that are averaged over [log units].

    The method's floor is tau .1 .2 .35, tau_c 0 .06 .12, noise .06 .10 .16 .25. Genes that multiply a price
    tenfold and loose prices need the wider values; on markets without them the likelihood leaves them alone.
    """

    trait_sd: tuple[float, ...] = (0.1, 0.2, 0.35, 0.7, 1.4)
    combination_sd: tuple[float, ...] = (0.0, 0.06, 0.12, 0.25)
    noise_sd: tuple[float, ...] = (0.06, 0.10, 0.16, 0.25, 0.40)


FLOOR_GRID = Grid((0.1, 0.2, 0.35), (0.0, 0.06, 0.12), (0.06, 0.10, 0.16, 0.25))
WIDE_GRID = Grid()
QUICK_GRID = Grid((0.35, 1.4), (0.0, 0.12), (0.12, 0.30))
_KEPT = 0.999


@dataclass(frozen=True)
class Posterior:
    """Effects after the data.

    Attributes
    ----------
    mean
        (1 + p + c,) base, columns, combinations [log].
    covariance
        (1 + p + c, 1 + p + c), spread between the grid's cells included.
    noise_sd, trait_sd, combination_sd
        Means over the grid [log].
    count
        Number of observations.
    """

    mean: Floats
    covariance: Floats
    noise_sd: float
    trait_sd: float
    combination_sd: float
    count: int


@dataclass(frozen=True)
class _Sums:
    """Sufficient sums of the data, by exact combination."""

    gram: Floats  # (k, k) of base and columns
    cross: Floats  # (k,)
    square: float
    by_group: Floats  # (c, k) sums of the rows of each combination
    y_by_group: Floats  # (c,)
    sizes: Floats  # (c,)
    count: int


def fit_hedonic(
    rows: Floats,
    log_prices: Floats,
    *,
    group: NDArray[np.int64],
    prior_mean: Floats,
    prior_sd: Floats,
    grid: Grid = WIDE_GRID,
) -> Posterior:
    """Posterior of base, column effects and combination effects.

    Parameters
    ----------
    rows
        (n, p) columns.
    log_prices
        (n,) [log].
    group
        (n,) number of each row's exact combination, from 0 without gaps.
    prior_mean
        (p,) prior means.
    prior_sd
        (p,) prior sds; nan marks the trait effects, whose sd runs over the grid; inf a flat prior.
    grid
        Values to average over.

    Raises
    ------
    ValueError
        If the shapes do not fit or there is no row.
    """
    n, p = rows.shape
    lengths = (log_prices.shape, group.shape, prior_mean.shape, prior_sd.shape)
    if n == 0 or lengths != ((n,), (n,), (p,), (p,)):
        raise ValueError("rows, log prices, groups and priors do not fit each other, or there is no row")
    centre = float(log_prices.mean())
    sums = _sums(rows, log_prices - centre, group)
    cells = [(t, c, s) for t in grid.trait_sd for c in grid.combination_sd for s in grid.noise_sd]
    precision = _precisions(prior_sd, [t for t, _, _ in cells])
    target = np.concatenate([[0.0], prior_mean])
    gram, cross, constant = _by_noise(sums, grid)
    pick = np.array(
        [
            i * len(grid.noise_sd) + j
            for _ in grid.trait_sd
            for i in range(len(grid.combination_sd))
            for j in range(len(grid.noise_sd))
        ]
    )
    system = gram[pick] + precision[:, :, None] * np.eye(p + 1)
    pull = cross[pick] + precision * target
    solved = np.linalg.solve(system, pull[:, :, None])[:, :, 0]
    _, log_det = np.linalg.slogdet(system)
    finite = precision > 0.0
    prior_det = np.log(np.where(finite, precision, 1.0)).sum(axis=1)
    fitted = (solved * pull).sum(axis=1) - (precision * target**2).sum(axis=1)
    logs = constant[pick] + 0.5 * (prior_det - log_det + fitted)
    weight = np.exp(logs - logs.max())
    weight /= weight.sum()
    mean, covariance = _average(sums, cells, weight, solved, system)
    mean[0] += centre
    tau, tau_c, noise = (float(weight @ np.array([cell[i] for cell in cells])) for i in range(3))
    return Posterior(mean, covariance, noise, tau, tau_c, n)


def _sums(rows: Floats, y: Floats, group: NDArray[np.int64]) -> _Sums:
    full = np.column_stack([np.ones(len(y)), rows])
    number = int(group.max()) + 1
    by_group = np.zeros((number, full.shape[1]))
    np.add.at(by_group, group, full)
    return _Sums(
        gram=full.T @ full,
        cross=full.T @ y,
        square=float(y @ y),
        by_group=by_group,
        y_by_group=np.bincount(group, y, minlength=number).astype(np.float64),
        sizes=np.bincount(group, minlength=number).astype(np.float64),
        count=len(y),
    )


def _precisions(prior_sd: Floats, trait_sds: list[float]) -> Floats:
    """Prior precision of base and columns in each cell, (cells, 1 + p); the base is flat."""
    sds = np.where(np.isnan(prior_sd)[None, :], np.array(trait_sds)[:, None], prior_sd[None, :])
    return np.concatenate([np.zeros((len(trait_sds), 1)), 1.0 / sds**2], axis=1)


def _by_noise(sums: _Sums, grid: Grid) -> tuple[Floats, Floats, Floats]:
    """Gram, cross product and log constant with the combinations integrated out, per (tau_c, noise)."""
    grams, crosses, constants = [], [], []
    for tau_c in grid.combination_sd:
        for sd in grid.noise_sd:
            shrink = tau_c**2 / (sd**2 + sums.sizes * tau_c**2)
            lost = sums.by_group * shrink[:, None]
            grams.append((sums.gram - sums.by_group.T @ lost) / sd**2)
            crosses.append((sums.cross - lost.T @ sums.y_by_group) / sd**2)
            square = (sums.square - shrink @ sums.y_by_group**2) / sd**2
            widths = np.log1p(sums.sizes * tau_c**2 / sd**2).sum()
            constants.append(-0.5 * (square + widths) - sums.count * np.log(sd))
    return np.stack(grams), np.stack(crosses), np.array(constants)


def _average(
    sums: _Sums, cells: list[tuple[float, float, float]], weight: Floats, solved: Floats, system: Floats
) -> tuple[Floats, Floats]:
    """Mean and covariance of all effects over the cells that hold nearly all the weight."""
    order = np.argsort(weight)[::-1]
    kept = order[: int(np.searchsorted(np.cumsum(weight[order]), _KEPT)) + 1]
    share = weight[kept] / weight[kept].sum()
    inverse = np.linalg.inv(system[kept])
    k, c = solved.shape[1], sums.sizes.size
    means = np.empty((kept.size, k + c))
    covariance = np.zeros((k + c, k + c))
    for j, cell in enumerate(kept):
        _, tau_c, sd = cells[cell]
        shrink = tau_c**2 / (sd**2 + sums.sizes * tau_c**2)
        slope = sums.by_group * shrink[:, None]  # combination effect given columns: a - slope b
        means[j, :k] = solved[cell]
        means[j, k:] = shrink * sums.y_by_group - slope @ solved[cell]
        both = slope @ inverse[j]
        covariance[:k, :k] += share[j] * inverse[j]
        if tau_c > 0.0:
            covariance[k:, :k] -= share[j] * both
            covariance[k:, k:] += share[j] * (both @ slope.T)
            covariance[np.arange(k, k + c), np.arange(k, k + c)] += share[j] * shrink * sd**2
    covariance[:k, k:] = covariance[k:, :k].T
    mean = share @ means
    gaps = (means - mean) * np.sqrt(share)[:, None]
    return mean, covariance + gaps.T @ gaps
