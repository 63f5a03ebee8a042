"""What it costs a year to own something that wears out, or an animal that may die."""

from __future__ import annotations

import math

from econ.assumptions import Assumptions
from econ.costs.lines import CAPITAL_RECOVERY, CostLine


class BadLifetime(ValueError):
    """Purchase, salvage, years or interest make no sense together."""


def capital_recovery(purchase: float, salvage: float, years: float, interest: float) -> float:
    """Yearly sum that pays back a purchase with interest, less what is left at the end [money a year].

    (purchase - salvage) x i / (1 - (1 + i)^-n) + salvage x i; without interest the loss in value
    divided by the years.

    Parameters
    ----------
    purchase, salvage
        Price paid, and what it brings at the end; neither negative [money].
    years
        Years in use, above 0 [years].
    interest
        Interest, 0 or more [share a year].

    Raises
    ------
    BadLifetime
        If a figure lies outside what is said above.

    Notes
    -----
    Source: extension texts on enterprise budgets; Commodity Costs and Returns Estimation Handbook
    (AAEA).
    """
    figures = (purchase, salvage, years, interest)
    if not all(map(math.isfinite, figures)) or min(figures) < 0 or years == 0:
        raise BadLifetime(
            f"purchase {purchase:g}, salvage {salvage:g}, years {years:g}, interest {interest:g}; allowed: "
            "sums and interest from 0, years above 0, none of them endless"
        )
    worn = purchase - salvage
    if interest == 0:
        return worn / years
    return worn * interest / -math.expm1(-years * math.log1p(interest)) + salvage * interest


def breeder_capital(purchase: float | None = None, *, assumptions: Assumptions) -> CostLine:
    """Yearly cost of the money in one breeder [money a year].

    Parameters
    ----------
    purchase
        Price paid for the animal; None takes the assumption for breeders without one [money].
    """
    paid, price_ids = _paid(purchase, assumptions)
    salvage = paid * assumptions["breeder.salvage_share"]
    years, interest = assumptions["breeder.years"], assumptions["capital.interest"]
    return CostLine(
        id="breeder.capital",
        name="Wear and interest of the breeder",
        amount=capital_recovery(paid, salvage, years, interest),
        kind="fixed",
        why=f"{paid:.2f} paid, {salvage:.2f} left after {years:g} years, interest {interest:.1%}.",
        rests_on=(*price_ids, "breeder.salvage_share", "breeder.years", "capital.interest"),
        source=CAPITAL_RECOVERY,
    )


def death_cost(purchase: float | None = None, *, assumptions: Assumptions) -> CostLine:
    """Loss to be expected from the death of one breeder within a year [money a year].

    Chance of death times the mean of the price paid and what the animal brings at the end, which
    is its value half-way through.

    Parameters
    ----------
    purchase
        Price paid for the animal; None takes the assumption for breeders without one [money].
    """
    paid, price_ids = _paid(purchase, assumptions)
    chance, share = assumptions["breeder.death_chance"], assumptions["breeder.salvage_share"]
    value = paid * (1 + share) / 2
    return CostLine(
        id="breeder.death",
        name="Risk that the breeder dies",
        amount=chance * value,
        kind="fixed",
        why=f"{chance:.1%} a year times {value:.2f}, its value half-way through.",
        rests_on=(*price_ids, "breeder.death_chance", "breeder.salvage_share"),
    )


def _paid(purchase: float | None, assumptions: Assumptions) -> tuple[float, tuple[str, ...]]:
    if purchase is None:
        return assumptions["breeder.purchase"], ("breeder.purchase",)
    if not (math.isfinite(purchase) and purchase >= 0):
        raise BadLifetime(f"price paid for a breeder is {purchase}; allowed: a number from 0 upwards")
    return purchase, ()
