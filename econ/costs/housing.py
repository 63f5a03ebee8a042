"""What an animal's place costs a month: heat, bedding, and the rack or enclosure itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from econ.assumptions import Assumptions
from econ.costs.growth import DAYS_A_MONTH
from econ.costs.ownership import capital_recovery

Place = Literal["small tub", "tub", "enclosure"]
Stage = Literal["hatchling", "grown"]

_IDS: dict[Place, str] = {"small tub": "small_tub", "tub": "tub", "enclosure": "enclosure"}
_COST_IDS: dict[Place, str] = {
    "small tub": "housing.small_place_cost",
    "tub": "housing.tub_place_cost",
    "enclosure": "housing.enclosure_place_cost",
}
HEATING_IDS = (
    "housing.small_tub_watts",
    "housing.tub_watts",
    "housing.enclosure_watts",
    "housing.heating_hours",
    "housing.tariff",
    "housing.furnished_share",
)
BEDDING_IDS = (
    "housing.small_tub_bedding",
    "housing.tub_bedding",
    "housing.enclosure_bedding",
    "housing.furnished_share",
)
PLACE_IDS = (
    *_COST_IDS.values(),
    "housing.place_years",
    "housing.place_salvage_share",
    "capital.interest",
    "housing.furnished_share",
)


@dataclass(frozen=True)
class MonthlyPlace:
    """Cost of one place for one month.

    Attributes
    ----------
    heating, bedding
        Electricity, and bedding or upkeep; there while an animal lives in it [money a month].
    capital
        Wear and interest of the place; there whether or not it is taken [money a month].
    """

    heating: float
    bedding: float
    capital: float

    @property
    def total(self) -> float:
        """All three [money a month]."""
        return self.heating + self.bedding + self.capital

    def mixed(self, other: MonthlyPlace, *, share: float) -> MonthlyPlace:
        """Mean of this place and another that takes a share of the animals [0 to 1]."""
        keep = 1 - share
        return MonthlyPlace(
            keep * self.heating + share * other.heating,
            keep * self.bedding + share * other.bedding,
            keep * self.capital + share * other.capital,
        )


def electricity(watts: float, hours: float, *, tariff: float) -> float:
    """Cost of current [money]: watts / 1000 x hours x price of a kilowatt-hour."""
    return watts / 1000 * hours * tariff


def place_cost(place: Place, *, assumptions: Assumptions) -> MonthlyPlace:
    """Cost of one place of a kind for one month."""
    key = _IDS[place]
    hours = assumptions["housing.heating_hours"] * DAYS_A_MONTH
    price = assumptions[_COST_IDS[place]]
    yearly = capital_recovery(
        price,
        price * assumptions["housing.place_salvage_share"],
        assumptions["housing.place_years"],
        assumptions["capital.interest"],
    )
    return MonthlyPlace(
        heating=electricity(assumptions[f"housing.{key}_watts"], hours, tariff=assumptions["housing.tariff"]),
        bedding=assumptions[f"housing.{key}_bedding"],
        capital=yearly / 12,
    )


def place_cost_per_month(assumptions: Assumptions, stage: Stage) -> MonthlyPlace:
    """Cost of an animal's place for one month, over the mix of places the breeder has.

    A hatchling lives in a small tub; a grown animal in a rack tub or, for the stated share of
    grown animals, in a furnished enclosure.
    """
    if stage == "hatchling":
        return place_cost("small tub", assumptions=assumptions)
    share = assumptions["housing.furnished_share"]
    tub = place_cost("tub", assumptions=assumptions)
    if share == 0:
        return tub
    return tub.mixed(place_cost("enclosure", assumptions=assumptions), share=share)
