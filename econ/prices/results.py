"""What the price room hands out: forecasts with their bands and, always, what they rest on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from scipy.special import ndtri

from econ.prices.forecast import PROBABILITIES
from econ.prices.trend import Floats

BasisKind = Literal["own trend", "market drift", "typed", "none"]

_NORMAL_POINTS = ndtri(PROBABILITIES)


@dataclass(frozen=True)
class Basis:
    """What a price rests on.

    Attributes
    ----------
    kind
        "own trend": the lead trait's own prices carry a trend; "market drift": too few of them, the
        market's drift stands in; "typed": a price the breeder typed; "none": no price, no forecast.
    observations, sold
        Prices in the lead trait's series, and how many of them were sold prices.
    of_this_combination
        Prices of exactly this combination, in any series.
    first, last
        Days of the series' oldest and newest price.
    lead
        Trait whose series carries the price; "" where there is none.
    unpriced
        Traits without any price: valued at nothing extra, the range made wider for them.
    words
        One plain sentence or two.
    """

    kind: BasisKind
    observations: int
    of_this_combination: int
    sold: int
    first: date | None
    last: date | None
    lead: str
    unpriced: tuple[str, ...]
    words: str


@dataclass(frozen=True)
class AskedFactor:
    """What an asked price counts for as a sold one, with its 8-in-10 range.

    Attributes
    ----------
    value, low, high
        Factor [share of the asked price].
    sold, asked
        Prices of each kind in the book.
    words
        One plain sentence.
    """

    value: float
    low: float
    high: float
    sold: int
    asked: int
    words: str


@dataclass(frozen=True)
class Bands:
    """Price level: median, expected, and the 8-in-10 and 19-in-20 ranges [currency], each (..., T).

    log_mean and level_sd are the level's mean and spread in logs; the ranges also hold relative_sd, the
    spread of the step from the observed animals to this one [log].
    """

    log_mean: Floats
    level_sd: Floats
    relative_sd: Floats
    median: Floats
    expected: Floats
    low80: Floats
    high80: Floats
    low95: Floats
    high95: Floats


@dataclass(frozen=True)
class PriceForecast:
    """Price of one combination when sold, at some dates.

    Attributes
    ----------
    on
        The dates, (T,).
    log_mean, level_sd
        Mean of the log price, and spread that all animals of the lead trait share, (T,) [log].
    relative_sd
        Spread of this combination's price against its lead trait [log].
    sale_sd
        Spread of one single sale about the level [log]; not in the ranges.
    lead
        Trait whose trend carries the price.
    median, expected
        exp(mean) and exp(mean + variance / 2) of the level, (T,) [currency].
    low80, high80, low95, high95
        8-in-10 and 19-in-20 ranges of the level, (T,) [currency].
    basis
        What it rests on. With kind "none" all numbers are nan.
    """

    on: tuple[date, ...]
    log_mean: Floats
    level_sd: Floats
    relative_sd: float
    sale_sd: float
    lead: str
    median: Floats
    expected: Floats
    low80: Floats
    high80: Floats
    low95: Floats
    high95: Floats
    basis: Basis

    @property
    def known(self) -> bool:
        """Whether there is a price at all."""
        return self.basis.kind != "none"


def bands(log_mean: Floats, level_sd: Floats, relative_sd: Floats, offsets: Floats) -> Bands:
    """Ranges of levels given in logs.

    Parameters
    ----------
    log_mean, level_sd
        Mean and spread of the log level, (..., T).
    relative_sd
        Independent normal spread added to it, of a shape that fits.
    offsets
        Distance of the 2.5, 10, 90 and 97.5 % points of the level from its mean in sds, (4, ..., T).
        The two spreads are joined at each point as the root of the sum of squares, which is exact for
        normal levels.
    """
    variance = level_sd**2 + relative_sd**2
    points = []
    for offset, normal in zip(offsets, _NORMAL_POINTS, strict=True):
        reach = np.sqrt((offset * level_sd) ** 2 + (normal * relative_sd) ** 2)
        points.append(np.exp(log_mean + np.sign(normal) * reach))
    low95, low80, high80, high95 = points
    return Bands(
        log_mean=log_mean,
        level_sd=level_sd,
        relative_sd=relative_sd,
        median=np.exp(log_mean),
        expected=np.exp(log_mean + variance / 2.0),
        low80=low80,
        high80=high80,
        low95=low95,
        high95=high95,
    )


def price_forecast(
    on: tuple[date, ...],
    found: Bands,
    row: int,
    *,
    relative_sd: float,
    sale_sd: float,
    lead: str,
    basis: Basis,
) -> PriceForecast:
    """One row of many levels as a forecast of its own."""
    return PriceForecast(
        on=on,
        log_mean=found.log_mean[row],
        level_sd=found.level_sd[row],
        relative_sd=relative_sd,
        sale_sd=sale_sd,
        lead=lead,
        median=found.median[row],
        expected=found.expected[row],
        low80=found.low80[row],
        high80=found.high80[row],
        low95=found.low95[row],
        high95=found.high95[row],
        basis=basis,
    )


def no_price(on: tuple[date, ...], name: str, unpriced: tuple[str, ...]) -> PriceForecast:
    """Stated absence of a price: every number is nan, and the basis says so."""
    nothing = np.full(len(on), np.nan)
    words = f"No price for {name} in the book, so no forecast: enter one, or type what you would ask."
    basis = Basis("none", 0, 0, 0, None, None, "", unpriced, words)
    blank = nothing[None, :]
    level = Bands(blank, blank, blank, blank, blank, blank, blank, blank, blank)
    nan = float("nan")
    return price_forecast(on, level, 0, relative_sd=nan, sale_sd=nan, lead="", basis=basis)
