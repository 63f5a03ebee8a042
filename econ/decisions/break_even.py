"""Where a pairing breaks even: price a hatchling, number of young, eggs, and latest month of sale."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from econ.decisions.clutch_odds import ClutchOdds
from econ.decisions.young import Young

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class BreakEven:
    """Points at which the expected margin of a pairing is zero.

    Attributes
    ----------
    price
        Average price of a sold hatchling that covers all costs [money]; None if none is expected
        to be sold.
    variable_price
        The same for the costs that end when the pairing is not made [money].
    hatchlings
        Young that must hatch and sell as forecast [count]; None if each one loses money.
    eggs
        Eggs that give so many [count]; None likewise.
    last_month
        Last month after hatching in which all may be sold together at the forecast price with the
        costs still covered; None if they are covered in no month.
    horizon
        Months looked at; `last_month == horizon` means "at least so long".
    """

    price: float | None
    variable_price: float | None
    hatchlings: float | None
    eggs: float | None
    last_month: int | None
    horizon: int


def break_even(
    odds: ClutchOdds,
    young: Young,
    *,
    season_cost: float,
    clutch_cost: float,
    overhead: float,
    young_overhead: float = 0.0,
    late: LateSales,
) -> BreakEven:
    """Find the break-even points of one pairing.

    Parameters
    ----------
    odds, young
        Numbers of hatchlings, and what one of them brings and costs.
    season_cost, clutch_cost
        Variable costs, spent in any case and once she has laid [money].
    overhead
        Costs of the breeders that go on without the pairing: capital recovery and risk [money].
    young_overhead
        Part of the keeping of the young that would be there without them: their places [money].
    late
        What the average hatchling leaves when sold in a given month.

    Notes
    -----
    Break-even price = (total costs - other income) / yield, as extension texts on enterprise
    budgets have it; a fee that is a share of the price lowers what a sale leaves.
    """
    fixed = season_cost + odds.laying * clutch_cost
    keeping = odds.mean * (young.keeping_per_hatchling + young.sale_cost * young.sold_share)
    sold = odds.mean * young.sold_share * (1.0 - young.fee_share)
    net = float(_mix(odds, young) @ young.net_per_hatchling)
    count = (fixed + overhead) / net if net > 0 else None
    eggs = count * odds.mean_eggs / odds.mean if count is not None and odds.mean > 0 else None
    return BreakEven(
        price=(fixed + overhead + keeping) / sold if sold > 0 else None,
        variable_price=(fixed + keeping - young_overhead) / sold if sold > 0 else None,
        hatchlings=count,
        eggs=eggs,
        last_month=_last_month(odds.mean * late.left, late.first, fixed + overhead),
        horizon=late.first + late.left.size - 1,
    )


@dataclass(frozen=True, eq=False)
class LateSales:
    """What the average hatchling leaves when all are sold in one month.

    Attributes
    ----------
    first
        First month after hatching of the list [months].
    left
        Price less selling and keeping, losses before sale included, shape (M,) [money].
    """

    first: int
    left: Floats


def _mix(odds: ClutchOdds, young: Young) -> Floats:
    """Share of each look and sex among all hatchlings, parents with more young counting for more."""
    if odds.mean <= 0:
        return young.mean_shares
    counts: Floats = odds.weights * odds.mean_by_parents / odds.mean
    mixed: Floats = counts @ young.shares
    return mixed


def _last_month(left: Floats, first: int, cost: float) -> int | None:
    """Last month of the unbroken run of months from the first that cover the cost."""
    short = np.flatnonzero(left < cost)
    if short.size == 0:
        return first + left.size - 1
    return first + int(short[0]) - 1 if short[0] > 0 else None
