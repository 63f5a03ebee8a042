"""Is the market flooding before the young can be sold? Two levels, each with its figures.

The chance is that of the price level at the sale date lying below the full cost of a hatchling, at
the 10, 50 and 90 % points of the price flexibility; the worst of the three decides the level.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

Floats = NDArray[np.float64]
FloodLevel = Literal["likely", "possible", "none", "already below"]

LIKELY_ABOVE = 0.50
POSSIBLE_ABOVE = 0.20

# How warnings of either level fared, from prices alone, on simulated markets that flood, hold or come
# back and had turned nine months before the last price; unit cost 30-60 % of that price, sale 9-15
# months on. 4050 traits with 500 floods, measured by tests/econ/decisions/test_flood_record.py.
CAUGHT = 0.18  # share of the floods that were warned of
FALSE = 0.38  # share of the warnings that came to nothing


@dataclass(frozen=True)
class SupplyNow:
    """Offers of one trait: smoothed count and its growth.

    Attributes
    ----------
    trait
        Key of the trait.
    offered
        Smoothed number offered now.
    growth
        Growth of the smoothed count over the last year [log a year].
    flexibility
        10, 50 and 90 % points of the price flexibility, lowest first: log price a unit of log supply.
    says
        Whether the breeder's own data say anything of the flexibility, or it is the assumption.
    """

    trait: str
    offered: float
    growth: float
    flexibility: tuple[float, float, float]
    says: bool

    @property
    def growth_share(self) -> float:
        """Growth of the count over a year [share]."""
        return float(np.expm1(self.growth))


@dataclass(frozen=True)
class FloodWarning:
    """Chance and figures of a flood for one pairing or trait.

    Attributes
    ----------
    trait
        Leading trait that brings most of the money.
    level
        "likely" above one in two, "possible" above one in five, else "none"; "already below" when the
        price of today does not cover the cost either, so that it takes no flood to lose.
    chance
        Worst of the three chances.
    chances
        Chance at the 10, 50 and 90 % points of the flexibility.
    unit_cost
        Full cost of a sold hatchling, selling included [money].
    today
        Median price if it were sold today [money].
    price
        Median price at the sale date, own young on the market, at the middle flexibility [money].
    own_young
        Young of the trait from the whole plan, offered beside the others [count].
    supply
        What is known of the supply, or None.
    bearable
        Factor by which supply may grow before the price meets the cost, at the middle
        flexibility; None where supply or price do not say.
    bearable_by
        Years until supply has grown so far at its present rate; None if it does not grow.
    next_one
        What one more hatchling of the trait adds to the breeder's sales [money].
    crossing
        Months after hatching in which the median price falls below the unit cost; None if never
        within the months looked at.
    """

    trait: str
    level: FloodLevel
    chance: float
    chances: tuple[float, float, float]
    unit_cost: float
    today: float
    price: float
    own_young: float
    supply: SupplyNow | None
    bearable: float | None
    bearable_by: float | None
    next_one: float
    crossing: int | None


def flood_warning(
    trait: str,
    *,
    unit_cost: float,
    today: float,
    log_price: float,
    level_sd: float,
    own_young: float,
    supply: SupplyNow | None,
    share: float = 1.0,
    path: Sequence[float] = (),
    first_month: int = 0,
) -> FloodWarning:
    """Chance that the price at the sale date is below what a hatchling has cost.

    Parameters
    ----------
    trait
        Key of the leading trait.
    unit_cost
        Full cost of a sold hatchling [money], above 0.
    today
        Median price if it were sold today [money].
    log_price, level_sd
        Log of the median price at the sale date and its uncertainty [log].
    own_young
        Young of the trait the breeder's own plan adds to those offered [count].
    supply
        Supply of the trait, or None when nothing was counted: own young then move nothing.
    share
        Share of the money that follows the trait; own young press on that part of the price alone.
    path
        Median prices by month after hatching, from `first_month` on [money].

    Raises
    ------
    ValueError
        If the unit cost is not above zero or the uncertainty is negative.
    """
    if unit_cost <= 0 or level_sd < 0:
        raise ValueError(f"unit cost {unit_cost} and uncertainty {level_sd}; allowed: above 0, and 0 or more")
    pressure = share * _pressure(own_young, supply)
    points = supply.flexibility if supply is not None else (0.0, 0.0, 0.0)
    chances = [_below(np.log(unit_cost), log_price + f * pressure, level_sd) for f in points]
    worst = max(chances)
    middle = points[1]
    price = float(np.exp(log_price + middle * pressure))
    bearable = _bearable(price, unit_cost, middle) if supply is not None else None
    return FloodWarning(
        trait=trait,
        level=flood_level(worst) if today >= unit_cost else "already below",
        chance=worst,
        chances=(chances[0], chances[1], chances[2]),
        unit_cost=unit_cost,
        today=today,
        price=price,
        own_young=own_young,
        supply=supply,
        bearable=bearable,
        bearable_by=_years_until(bearable, supply),
        next_one=next_hatchling(price, own_young=own_young, offered=_offered(supply), flexibility=middle),
        crossing=_crossing(path, unit_cost, first_month),
    )


def flood_level(chance: float) -> FloodLevel:
    """Level of a warning with this chance."""
    if chance > LIKELY_ABOVE:
        return "likely"
    return "possible" if chance > POSSIBLE_ABOVE else "none"


def next_hatchling(price: float, *, own_young: float, offered: float, flexibility: float) -> float:
    """Work out what one more own hatchling adds to own sales [money].

    Own sales are q P ((Q + q) / Q)^f for q own young beside Q others; this is their slope in q,
    with the price already holding the factor: P (1 + f q / (Q + q)).
    """
    if offered + own_young <= 0:
        return price
    return price * (1.0 + flexibility * own_young / (offered + own_young))


def combined_sd(weights: Floats, level_sd: Floats, *, common_share: float) -> float:
    """Uncertainty of a price that is a weighted mean over leading traits [log].

    Parameters
    ----------
    weights
        Share of the money that follows each leading trait, shape (L,), summing to 1.
    level_sd
        Uncertainty of each trait's level, shape (L,) [log].
    common_share
        Share of each variance that all traits have in common.
    """
    moved = weights * level_sd
    own = (1.0 - common_share) * float(moved @ moved)
    return float(np.sqrt(own + common_share * float(moved.sum()) ** 2))


def _offered(supply: SupplyNow | None) -> float:
    return supply.offered if supply is not None else 0.0


def _pressure(own_young: float, supply: SupplyNow | None) -> float:
    """Log of the factor by which own young raise the supply."""
    if supply is None or supply.offered <= 0:
        return 0.0
    return float(np.log1p(own_young / supply.offered))


def _below(log_cost: float, log_price: float, sd: float) -> float:
    if sd == 0.0:
        return float(log_price < log_cost)
    return float(ndtr((log_cost - log_price) / sd))


def _bearable(price: float, unit_cost: float, flexibility: float) -> float | None:
    if flexibility >= 0:
        return None
    return float((unit_cost / price) ** (1.0 / flexibility))


def _years_until(bearable: float | None, supply: SupplyNow | None) -> float | None:
    if bearable is None or supply is None:
        return None
    if bearable <= 1.0:
        return 0.0
    return float(np.log(bearable) / supply.growth) if supply.growth > 0 else None


def _crossing(path: Sequence[float], unit_cost: float, first_month: int) -> int | None:
    below = np.flatnonzero(np.asarray(path, dtype=float) < unit_cost)
    return first_month + int(below[0]) if below.size else None
