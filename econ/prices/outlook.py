"""How is one trait doing: its adjusted prices, its level today and ahead, and whether that can be said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np

from econ.prices.design import year_of
from econ.prices.forecast import Trend
from econ.prices.observations import Kind
from econ.prices.results import Bands, Basis, bands
from econ.prices.trend import Floats

Status = Literal["falling", "holding", "rising", "can't say"]

LEAST_PRICES = 12
STATUS_YEARS = 1.0
STATUS_CHANCE = 0.8
_STEP_DAYS = 30


@dataclass(frozen=True)
class PricePoint:
    """One observation: price as written (raw) and as that of a bare, sold, unsexed hatchling [currency]."""

    on: date
    adjusted: float
    kind: Kind
    raw: float


@dataclass(frozen=True)
class TraitOutlook:
    """How one trait's price is doing; all prices are those of a hatchling when sold [currency].

    Attributes
    ----------
    key
        Trait, or "normal".
    status
        "falling" if 8 in 10 forecasts of the level in twelve months lie below today's, "rising" if 8 in
        10 lie above, else "holding"; "can't say" under 12 prices or with all of them on one day.
    today
        Median level today.
    as_of
        The day called today.
    points
        The series, oldest first.
    trend
        The fit in logs.
    relative_sd
        Spread of the step from the observed animals to a bare one of this trait [log].
    drift_before, drift_after
        Drift a year before and after learning from the other traits [log].
    n, sold, asked, first, last
        Number of prices, by kind, and their first and last day.
    basis
        What it rests on.
    """

    key: str
    status: Status
    today: float
    as_of: date
    points: tuple[PricePoint, ...]
    trend: Trend
    relative_sd: float
    drift_before: float
    drift_after: float
    n: int
    sold: int
    asked: int
    first: date
    last: date
    basis: Basis

    def forecast(self, years: Floats) -> Bands:
        """Level at times ahead of today [years], each (T,).

        Raises
        ------
        ValueError
            If a time lies before today or is not finite.
        """
        ahead = np.asarray(years, dtype=float)
        if not (np.isfinite(ahead).all() and (ahead >= 0.0).all()):
            raise ValueError("a forecast looks ahead; allowed: times of 0 years and more")
        return level_bands(self.trend, year_of(self.as_of) + ahead, self.relative_sd)

    def chance_below(self, price: float, years: Floats) -> Floats:
        """Chance that the level lies below a price at times ahead of today [years], (T,).

        Raises
        ------
        ValueError
            If the price is not above zero.
        """
        if not 0.0 < price < float("inf"):
            raise ValueError(f"price is {price}; allowed: above zero")
        return self.trend.chance_below(
            float(np.log(price)), year_of(self.as_of) + np.asarray(years, dtype=float)
        )

    @property
    def log_points(self) -> tuple[Floats, Floats]:
        """Days [years on the common count] and adjusted log prices of the series, oldest first."""
        return np.array([year_of(p.on) for p in self.points]), np.log([p.adjusted for p in self.points])

    @property
    def fitted(self) -> tuple[tuple[date, ...], Floats]:
        """Days from the first price to the last, about monthly, and the median level on them [currency]."""
        span = (self.last - self.first).days
        steps = [*range(0, span, _STEP_DAYS), span]
        days = tuple(self.first + timedelta(days=s) for s in steps)
        mean, _ = self.trend.level(np.array([year_of(d) for d in days]))
        return days, np.exp(mean)


def level_bands(trend: Trend, at: Floats, relative_sd: float) -> Bands:
    """Level of a trend at times on its common count of years."""
    mean, sd = trend.level(at)
    spread = np.full(mean.shape, relative_sd)
    return bands(mean, sd, spread, trend.offsets(at))


def status_of(trend: Trend, as_of: date) -> Status:
    """Status by the chance that the level in twelve months lies below its mean today.

    What is uncertain about the step from the observed animals to this one is the same on both days
    and is left out.
    """
    if trend.series.count < LEAST_PRICES or trend.series.weights.size < 2:
        return "can't say"
    at = year_of(as_of) + np.array([0.0, STATUS_YEARS])
    mean, _ = trend.level(at)
    below = float(trend.chance_below(float(mean[0]), at)[1])
    if below >= STATUS_CHANCE:
        return "falling"
    return "rising" if below <= 1.0 - STATUS_CHANCE else "holding"
