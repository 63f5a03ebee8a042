"""What feeding costs, from body mass and age.

A meal is a share of the body mass; share and interval pass from the hatchling's to the adult's as
the animal grows. A meal is bought as one rat of the smallest size that reaches the wanted mass,
or as several of the largest size. Costs are expected costs: meals a day times price a meal, added
up day by day, so that the costs of adjoining spans add up exactly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from econ.assumptions import Assumptions
from econ.costs.growth import DAYS_A_YEAR, checked_age, growth_curve, sexes_of
from genetics.genes.sources import CUSTOM, Source
from genetics.genes.traits import Sex

Floats = NDArray[np.float64]
WEEKS_A_YEAR = DAYS_A_YEAR / 7


@dataclass(frozen=True)
class Prey:
    """One size in which feeder rats are sold.

    Attributes
    ----------
    name
        Name of the size.
    up_to
        Mass of the heaviest of that size [g].
    price_id
        Assumption that holds its price.
    source
        Where the mass comes from.
    """

    name: str
    up_to: float
    price_id: str
    source: Source


PREY = (
    Prey("rat pup", 15.0, "feeding.pup_price", CUSTOM),
    Prey("weaned rat", 45.0, "feeding.weaned_price", CUSTOM),
    Prey("small rat", 85.0, "feeding.small_price", CUSTOM),
    Prey("medium rat", 140.0, "feeding.medium_price", CUSTOM),
    Prey("large rat", 230.0, "feeding.large_price", CUSTOM),
)


def meal_price(wanted: ArrayLike, *, assumptions: Assumptions) -> Floats:
    """Price of a meal of each wanted mass, same shape [money].

    One rat of the smallest size that reaches the mass; beyond the largest size as many of the
    largest as reach it.

    Parameters
    ----------
    wanted
        Mass of the meal, above 0 [g].
    """
    masses = np.asarray(wanted, dtype=np.float64)
    heaviest = np.array([prey.up_to for prey in PREY])
    prices = np.array([assumptions[prey.price_id] for prey in PREY])
    size = np.minimum(np.searchsorted(heaviest, masses, side="left"), len(PREY) - 1)
    count = np.ceil(np.maximum(masses / heaviest[-1], 1.0))
    price: Floats = prices[size] * count
    return price


@dataclass(frozen=True, eq=False)
class Diet:
    """What an animal eats at each age; all arrays have the shape of the ages.

    Attributes
    ----------
    mass
        Body mass [g].
    interval
        Days between meals [days].
    meal
        Mass of one meal [g].
    price
        Price of one meal [money].
    """

    mass: Floats
    interval: Floats
    meal: Floats
    price: Floats

    @property
    def cost_per_day(self) -> Floats:
        """Expected cost of a day [money a day]."""
        return self.price / self.interval


def diet(age_days: ArrayLike, *, sex: Sex, assumptions: Assumptions) -> Diet:
    """Meals of an animal of known sex at each age.

    Parameters
    ----------
    age_days
        Days since hatching, any shape [days].

    Raises
    ------
    BadAge
        If an age is negative or not a number.
    """
    curve = growth_curve(sex, assumptions)
    way, mass = curve.grown_up(age_days), curve.mass(age_days)
    young, grown = assumptions["feeding.hatchling_interval_days"], assumptions["feeding.adult_interval_days"]
    share_young, share_grown = (
        assumptions["feeding.prey_share_hatchling"],
        assumptions["feeding.prey_share_adult"],
    )
    meal = mass * (share_young + (share_grown - share_young) * way)
    price = meal_price(meal, assumptions=assumptions)
    return Diet(mass, young + (grown - young) * way, meal, price)


def feeding_by_day(days: int, *, sex: Sex, assumptions: Assumptions) -> Floats:
    """Cost of feeding from hatching to the start of each day, shape (days + 1,) [money].

    Each day is taken at its middle; an unsexed animal costs the mean of both sexes.
    """
    middles = np.arange(days) + 0.5
    per_day = [diet(middles, sex=one, assumptions=assumptions).cost_per_day for one in sexes_of(sex)]
    total: Floats = np.concatenate([[0.0], np.cumsum(np.mean(per_day, axis=0))])
    return total


def feeding_until(age_days: ArrayLike, *, sex: Sex, assumptions: Assumptions) -> Floats:
    """Cost of feeding from hatching to each age, same shape as the ages [money].

    Raises
    ------
    BadAge
        If an age is negative or not a number.
    """
    ages = checked_age(age_days)
    days = int(np.ceil(ages.max(initial=0.0)))
    spent = feeding_by_day(days, sex=sex, assumptions=assumptions)
    cost: Floats = np.interp(ages, np.arange(days + 1), spent)
    return cost


def feeding_cost(start_age_days: float, end_age_days: float, *, sex: Sex, assumptions: Assumptions) -> float:
    """Cost of feeding one animal between two ages, without a fast [money].

    Raises
    ------
    BadAge
        If an age is negative or not a number.
    ValueError
        If the second age lies before the first.
    """
    if end_age_days < start_age_days:
        raise ValueError(
            f"feeding from day {start_age_days:g} to day {end_age_days:g}; allowed: the end not before "
            "the start"
        )
    start, end = feeding_until([start_age_days, end_age_days], sex=sex, assumptions=assumptions)
    return float(end - start)


def adult_meal(sex: Sex, *, assumptions: Assumptions) -> tuple[float, float]:
    """Mass [g] and price [money] of one meal of a grown animal; unsexed: mean of both sexes."""
    meals = [
        assumptions[f"growth.adult_{one.value}_mass"] * assumptions["feeding.prey_share_adult"]
        for one in sexes_of(sex)
    ]
    return float(np.mean(meals)), float(np.mean(meal_price(meals, assumptions=assumptions)))


def adult_meals_a_year(fast_weeks: float, *, assumptions: Assumptions) -> float:
    """Meals of a grown animal in a year that refuses food for some weeks [meals a year]."""
    weeks = max(WEEKS_A_YEAR - fast_weeks, 0.0)
    return weeks * 7 / assumptions["feeding.adult_interval_days"]


def adult_year_cost(sex: Sex, *, breeding: bool, assumptions: Assumptions) -> float:
    """Cost of feeding a grown animal for a year, as expected [money].

    A breeding male fasts while he is paired; a breeding female fasts for about two months if she
    lays (Aubret et al. 2005), so her fast counts with the chance that she lays.
    """
    _, price = adult_meal(sex, assumptions=assumptions)
    weeks = fast_weeks(sex, assumptions=assumptions) if breeding else 0.0
    return price * adult_meals_a_year(weeks, assumptions=assumptions)


def fast_weeks(sex: Sex, *, assumptions: Assumptions) -> float:
    """Weeks in which a breeding animal is expected to eat nothing in a year [weeks].

    Raises
    ------
    ValueError
        For an unsexed animal, which can't be bred.
    """
    if sex is Sex.FEMALE:
        return assumptions["clutch.laying_chance"] * assumptions["feeding.female_fast_weeks"]
    if sex is Sex.MALE:
        return assumptions["feeding.male_breeding_fast_weeks"]
    raise ValueError("an unsexed animal can't be bred; allowed: male or female")
