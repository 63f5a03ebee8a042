"""What is left of a price after selling one animal."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from econ.assumptions import Assumptions
from econ.costs.lines import CostLine, CostSheet

Floats = NDArray[np.float64]


class BadPrice(ValueError):
    """A price is negative or not a number."""


def fixed_sale_cost(assumptions: Assumptions) -> float:
    """Cost of one sale that doesn't depend on the price: advert, packing, shipping [money]."""
    return assumptions["sale.advert_cost"] + assumptions["sale.packing_shipping"]


def net_of_sale(price: ArrayLike, *, assumptions: Assumptions) -> Floats:
    """Money left of each price after fees, advert, packing and shipping [money].

    Negative where a sale costs more than it brings.

    Parameters
    ----------
    price
        Price the buyer pays, any shape, 0 or more [money].

    Raises
    ------
    BadPrice
        If a price is negative or not a number.
    """
    prices = _checked(price)
    net: Floats = prices * (1 - assumptions["sale.fee_share"]) - fixed_sale_cost(assumptions)
    return net


def price_for_net(net: ArrayLike, *, assumptions: Assumptions) -> Floats:
    """Price at which a sale leaves a given sum: the inverse of `net_of_sale` [money]."""
    wanted = np.asarray(net, dtype=np.float64)
    price: Floats = (wanted + fixed_sale_cost(assumptions)) / (1 - assumptions["sale.fee_share"])
    return price


def selling_costs(sales: float, sold: float, *, assumptions: Assumptions) -> CostSheet:
    """Costs of selling some animals that bring a sum together.

    Parameters
    ----------
    sales
        What they bring together [money].
    sold
        How many are sold; need not be whole [animals].

    Raises
    ------
    BadPrice
        If either is negative or not a number.
    """
    money, count = float(_checked(sales)), float(_checked(sold))
    fee = assumptions["sale.fee_share"]
    advert, shipping = assumptions["sale.advert_cost"], assumptions["sale.packing_shipping"]
    return CostSheet(
        (
            CostLine(
                "sale.fees",
                "Fees",
                fee * money,
                "variable",
                f"{fee:.1%} of sales of {money:.2f}.",
                ("sale.fee_share",),
            ),
            CostLine(
                "sale.adverts",
                "Adverts",
                advert * count,
                "variable",
                f"{advert:.2f} for each of {count:.1f} sold.",
                ("sale.advert_cost",),
            ),
            CostLine(
                "sale.shipping",
                "Packing and shipping",
                shipping * count,
                "variable",
                f"{shipping:.2f} for each of {count:.1f} sold.",
                ("sale.packing_shipping",),
            ),
        )
    )


def _checked(price: ArrayLike) -> Floats:
    prices = np.asarray(price, dtype=np.float64)
    if not np.all(np.isfinite(prices)) or np.any(prices < 0):
        raise BadPrice(f"found {prices.tolist()}; allowed: numbers from 0 upwards")
    return prices
