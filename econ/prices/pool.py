"""What do a breeder's traits tell about each other: shared size of walk and noise, shared drift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from econ.prices.trend import (
    CELL_PRIOR,
    LOG_NOISE,
    LOG_WALK,
    Cells,
    Floats,
    drift_evidence,
    drift_given_data,
    log_sum,
)

# drift a year of any trait before anything is known of this market
DEFAULT_SHARE = np.array([0.40, 0.35, 0.25])
DEFAULT_MEAN = np.array([0.0, -0.08, -0.15])
DEFAULT_SD = np.array([0.02, 0.10, 0.25])

LEAST_TRAITS = 3

_CENTRES = np.linspace(-2.0, 1.2, 9)
_CENTRE_WALK = np.repeat(_CENTRES, _CENTRES.size)
_CENTRE_NOISE = np.tile(_CENTRES, _CENTRES.size)
_CENTRE_PRIOR = -0.5 * _CENTRE_WALK**2 / (0.81 - 0.49) - 0.5 * _CENTRE_NOISE**2 / (1.0 - 0.25)

MARKET_MEAN = np.linspace(-0.60, 0.40, 26)
MARKET_SD = np.array([0.03, 0.08, 0.15, 0.25])
DEFAULT_WEIGHT = np.clip(np.array([0.0, 0.25, 0.5, 0.75, 1.0]), 1e-9, 1.0 - 1e-9)
_PAIR_MEAN = np.repeat(MARKET_MEAN, MARKET_SD.size)
_PAIR_SD = np.tile(MARKET_SD, MARKET_MEAN.size)
_MARKET_PRIOR = -0.5 * ((_PAIR_MEAN + 0.07) / 0.10) ** 2

# all drift priors at once: the three of the default, then every N(M, S^2)
PRIOR_MEAN = np.concatenate([DEFAULT_MEAN, _PAIR_MEAN])
PRIOR_VARIANCE = np.concatenate([DEFAULT_SD, _PAIR_SD]) ** 2
_DEFAULTS = slice(0, DEFAULT_SHARE.size)
_PAIRS = slice(DEFAULT_SHARE.size, None)


@dataclass(frozen=True)
class DriftMixture:
    """Posterior of one trait over cells and drift priors.

    Attributes
    ----------
    weight
        Weight of each cell and drift prior, (36, C), sums to 1.
    mean, variance
        Drift given each of them, (36, C) [log a year].
    """

    weight: Floats
    mean: Floats
    variance: Floats

    @property
    def drift(self) -> float:
        """Mean drift [log a year]."""
        return float((self.weight * self.mean).sum())


@dataclass(frozen=True)
class MarketDrift:
    """Drift the breeder's traits share [log a year].

    Attributes
    ----------
    mean, between_sd
        M and S: mean drift of the market and spread of its traits, posterior means.
    default_weight
        w: posterior mean share of traits that follow the default drift instead.
    traits_used
        Keys of the traits that took part; empty where the default drift stands alone.
    pooled
        Whether the traits' own drifts were used at all.
    """

    mean: float
    between_sd: float
    default_weight: float
    traits_used: tuple[str, ...]
    pooled: bool

    @property
    def words(self) -> str:
        """One plain sentence."""
        if not self.pooled:
            return (
                f"Fewer than {LEAST_TRAITS} traits have three prices over three months, so the usual drift "
                f"of novelties stands in: {_percent(self.mean)} a year."
            )
        return f"{len(self.traits_used)} traits together move by {_percent(self.mean)} a year."


def _percent(log_a_year: float) -> str:
    return f"{100 * np.expm1(log_a_year):+.0f} %"


@dataclass(frozen=True)
class PooledDrift:
    """Result for one trait: the mixture with pooled walk and noise, the one without, and the drift before."""

    pooled: DriftMixture
    plain: DriftMixture
    drift_before: float


def pool(
    cells: Sequence[Cells], *, members: Sequence[bool], keys: Sequence[str]
) -> tuple[list[PooledDrift], MarketDrift]:
    """Pooled drift of every series, and what the market shares.

    Parameters
    ----------
    cells
        One per series.
    members
        Which of them teach the others; series too short for a drift, or left out by the breeder, do not.
    keys
        Name of each series.

    Returns
    -------
    list of PooledDrift
        In the order of `cells`. With fewer than three members each rests on the default drift alone.
    MarketDrift
        What was shared.
    """
    if sum(members) < LEAST_TRAITS:
        alone = [_default_alone(c) for c in cells]
        return [PooledDrift(a, a, a.drift) for a in alone], default_market()
    inside = np.asarray(members, dtype=bool)
    evidence = [drift_evidence(c, PRIOR_MEAN, PRIOR_VARIANCE) for c in cells]
    given = [drift_given_data(c, PRIOR_MEAN, PRIOR_VARIANCE) for c in cells]
    shared_prior = pooled_cell_priors(evidence, inside)
    plain_prior = [CELL_PRIOR - log_sum(CELL_PRIOR, axis=0)] * len(cells)
    pooled, market = _pool_drift(evidence, given, shared_prior, inside)
    plain, _ = _pool_drift(evidence, given, plain_prior, inside)
    before = [
        _mixture(e[:, _DEFAULTS] + CELL_PRIOR[:, None], DEFAULT_SHARE, g, _DEFAULTS).drift
        for e, g in zip(evidence, given, strict=True)
    ]
    names = tuple(k for k, m in zip(keys, members, strict=True) if m)
    results = [PooledDrift(*row) for row in zip(pooled, plain, before, strict=True)]
    return results, MarketDrift(*market, names, pooled=True)


def default_market() -> MarketDrift:
    """Drift of any market before anything is known of this one."""
    mean = float(DEFAULT_SHARE @ DEFAULT_MEAN)
    sd = float(np.sqrt(DEFAULT_SHARE @ (DEFAULT_SD**2 + DEFAULT_MEAN**2) - mean**2))
    return MarketDrift(mean, sd, 1.0, (), pooled=False)


def _default_alone(cells: Cells) -> DriftMixture:
    """Posterior under the default drift and the plain prior of the cells."""
    variance = DEFAULT_SD**2
    evidence = drift_evidence(cells, DEFAULT_MEAN, variance) + CELL_PRIOR[:, None]
    given = drift_given_data(cells, DEFAULT_MEAN, variance)
    return _mixture(evidence, DEFAULT_SHARE, given, slice(None))


def _mixture(evidence: Floats, share: Floats, given: tuple[Floats, Floats], columns: slice) -> DriftMixture:
    logs = evidence + np.log(share)
    weight = np.exp(logs - logs.max())
    return DriftMixture(weight / weight.sum(), given[0][:, columns], given[1][:, columns])


def pooled_cell_priors(evidence: Sequence[Floats], inside: NDArray[np.bool_]) -> list[Floats]:
    """Log prior of each trait's cells, learned from the other traits' walk and noise, each (36,)."""
    far_walk = (LOG_WALK - _CENTRE_WALK[:, None]) / 0.7
    far_noise = (LOG_NOISE - _CENTRE_NOISE[:, None]) / 0.5
    around = -0.5 * (far_walk**2 + far_noise**2)
    around -= log_sum(around, axis=1)[:, None]  # (81, 36)
    under_default = [log_sum(e[:, _DEFAULTS] + np.log(DEFAULT_SHARE), axis=1) for e in evidence]
    tops = [d.max() for d in under_default]
    table = np.exp(around)
    own = np.stack([np.log(table @ np.exp(d - top)) for d, top in zip(under_default, tops, strict=True)])
    total = _CENTRE_PRIOR + own[inside].sum(axis=0)
    priors = []
    for i in range(len(evidence)):
        others = total - own[i] if inside[i] else total
        weight = np.exp(others - others.max())
        priors.append(np.log(weight @ table / weight.sum()))
    return priors


def _pool_drift(
    evidence: Sequence[Floats],
    given: Sequence[tuple[Floats, Floats]],
    cell_prior: Sequence[Floats],
    inside: NDArray[np.bool_],
) -> tuple[list[DriftMixture], tuple[float, float, float]]:
    """Mixture of each trait under the drift learned from the others; and M, S, w from all."""
    weighted = [e + p[:, None] for e, p in zip(evidence, cell_prior, strict=True)]
    by_prior = np.stack([log_sum(e, axis=0) for e in weighted])  # (traits, C)
    default = log_sum(by_prior[:, _DEFAULTS] + np.log(DEFAULT_SHARE), axis=1)
    log_w, log_rest = np.log(DEFAULT_WEIGHT), np.log1p(-DEFAULT_WEIGHT)
    own = np.logaddexp(log_w[None, None, :] + default[:, None, None], by_prior[:, _PAIRS, None] + log_rest)
    total = _MARKET_PRIOR[:, None] + own[inside].sum(axis=0)  # (pairs, w)
    mixtures = []
    for i in range(len(evidence)):
        others = total - own[i] if inside[i] else total
        post = np.exp(others - others.max())
        post /= post.sum()
        share = np.concatenate([DEFAULT_SHARE * (post @ DEFAULT_WEIGHT).sum(), post @ (1.0 - DEFAULT_WEIGHT)])
        mixtures.append(_mixture(weighted[i], share, given[i], slice(None)))
    post = np.exp(total - total.max())
    post /= post.sum()
    by_pair, by_weight = post.sum(axis=1), post.sum(axis=0)
    shared = (float(by_pair @ _PAIR_MEAN), float(by_pair @ _PAIR_SD), float(by_weight @ DEFAULT_WEIGHT))
    return mixtures, shared
