"""What the young of a sire say about the recombination fraction, and about the ratio of the sexes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, inf, log

import numpy as np

from genetics.clutches.plausibility.counts import BadCounts

LEVEL = 0.95
_GRID = 33


@dataclass(frozen=True)
class Estimate:
    """A share estimated from counts.

    Attributes
    ----------
    value
        Value under which the counts are likeliest.
    low, high
        Ends of the 95 % interval.
    log_likelihood
        Logarithm of the chance of the counts at the value, but for the number of orders.
    log_average
        The same averaged over all values alike: what the counts say for "some other value".
    """

    value: float
    low: float
    high: float
    log_likelihood: float
    log_average: float


def estimate(log_likelihood: Callable[[float], float], *, highest: float) -> Estimate:
    """Likeliest value of a share with its likelihood-ratio interval.

    The interval holds all values whose log likelihood is at most half the 95 % point of chi square with
    one degree of freedom below the best.

    Parameters
    ----------
    log_likelihood
        Of a value from 0 to the highest; -inf where the counts can't be.
    highest
        Highest value.

    Raises
    ------
    BadCounts
        If no value gives the counts.
    """
    from scipy.optimize import brentq, minimize_scalar  # starts slowly
    from scipy.stats import chi2

    grid = np.linspace(0.0, highest, _GRID)
    found = np.array([log_likelihood(float(value)) for value in grid])
    if not np.isfinite(found).any():
        raise BadCounts("no value from 0 to the highest gives these counts")
    place = int(found.argmax())
    low, high = float(grid[max(place - 1, 0)]), float(grid[min(place + 1, _GRID - 1)])
    best = minimize_scalar(
        lambda v: -log_likelihood(v), bounds=(low, high), method="bounded", options={"xatol": 1e-10}
    )
    value, top = float(best.x), -float(best.fun)
    for edge in (float(grid[place]), low, high):
        if (here := log_likelihood(edge)) >= top:
            value, top = edge, here
    drop = top - float(chi2.ppf(LEVEL, 1)) / 2.0

    def above(point: float) -> float:
        return max(log_likelihood(point), -1e9) - drop

    left = 0.0 if above(0.0) >= 0.0 else float(brentq(above, 0.0, value, xtol=1e-10))
    right = highest if above(highest) >= 0.0 else float(brentq(above, value, highest, xtol=1e-10))
    nodes, weights = np.polynomial.legendre.leggauss(48)
    logs = np.array([log_likelihood(float(highest * (node + 1.0) / 2.0)) for node in nodes])
    average = top + log(float((weights / 2.0 * np.exp(logs - top)).sum()))
    return Estimate(value, left, right, top, average)


def estimate_males(males: int, females: int) -> Estimate:
    """Share of males with its exact (Clopper-Pearson) interval; the average is over all shares alike."""
    from scipy.special import betaln
    from scipy.stats import beta

    count = males + females
    tail = (1.0 - LEVEL) / 2.0
    low = float(beta.ppf(tail, males, females + 1)) if males else 0.0
    high = float(beta.ppf(1.0 - tail, males + 1, females)) if females else 1.0
    share = males / count
    top = sum(n * log(n / count) for n in (males, females) if n)
    return Estimate(share, low, high, top, float(betaln(males + 1, females + 1)))


def ratio(log_ratio: float) -> float:
    """Ratio from its logarithm; infinite where it is too large to be written."""
    return exp(log_ratio) if log_ratio < 700.0 else inf
