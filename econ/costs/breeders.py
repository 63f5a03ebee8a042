"""What a breeding animal costs a year, and a male each of his females."""

from __future__ import annotations

from dataclasses import replace

from econ.assumptions import Assumptions
from econ.costs.feeding import PREY, adult_meal, adult_meals_a_year, adult_year_cost, fast_weeks
from econ.costs.housing import BEDDING_IDS, HEATING_IDS, PLACE_IDS, place_cost_per_month
from econ.costs.lines import CAPITAL_RECOVERY, CostLine, CostSheet
from econ.costs.ownership import breeder_capital, death_cost
from genetics.genes.traits import Sex

_FAST_IDS = {
    Sex.FEMALE: ("clutch.laying_chance", "feeding.female_fast_weeks"),
    Sex.MALE: ("feeding.male_breeding_fast_weeks",),
}


def female_season(*, assumptions: Assumptions, purchase: float | None = None) -> CostSheet:
    """Cost a breeding female's year: food with her fast, housing, veterinarian, capital, death.

    Parameters
    ----------
    purchase
        Price paid for her; None takes the assumption for breeders without one [money].
    """
    return _breeder_year(Sex.FEMALE, assumptions=assumptions, purchase=purchase)


def male_year(*, assumptions: Assumptions, purchase: float | None = None) -> CostSheet:
    """Cost a breeding male's year, for all his females together; see `female_season`."""
    return _breeder_year(Sex.MALE, assumptions=assumptions, purchase=purchase)


def male_share(
    *, assumptions: Assumptions, purchase: float | None = None, females: float | None = None
) -> CostSheet:
    """Cost one female's share of a male's year.

    Parameters
    ----------
    females
        Females he is paired with in the season; None takes the assumption [animals].

    Raises
    ------
    ValueError
        If he has fewer than one female.
    """
    count = assumptions["male.females_per_season"] if females is None else females
    if not count >= 1:
        raise ValueError(f"a male is shared among {count} females; allowed: 1 or more")
    year = male_year(assumptions=assumptions, purchase=purchase)
    rests_on = ("male.females_per_season",) if females is None else ()
    return year.times(1 / count, why=f"Shared among {count:g} females.", rests_on=rests_on)


def _breeder_year(sex: Sex, *, assumptions: Assumptions, purchase: float | None) -> CostSheet:
    return CostSheet(
        (
            _feeding(sex, assumptions),
            *_housing(sex, assumptions),
            _vet(sex, assumptions),
            _named(breeder_capital(purchase, assumptions=assumptions), sex),
            _named(death_cost(purchase, assumptions=assumptions), sex),
        )
    )


def _feeding(sex: Sex, assumptions: Assumptions) -> CostLine:
    mass, price = adult_meal(sex, assumptions=assumptions)
    weeks = fast_weeks(sex, assumptions=assumptions)
    meals = adult_meals_a_year(weeks, assumptions=assumptions)
    return CostLine(
        id=f"{sex.value}.feeding",
        name=f"Feeding the {sex.value}",
        amount=adult_year_cost(sex, breeding=True, assumptions=assumptions),
        kind="variable",
        why=f"{meals:.1f} meals of {mass:.0f} g at {price:.2f}; no food for {weeks:.1f} weeks.",
        rests_on=(
            *(prey.price_id for prey in PREY),
            "feeding.adult_interval_days",
            "feeding.prey_share_adult",
            f"growth.adult_{sex.value}_mass",
            *_FAST_IDS[sex],
        ),
    )


def _housing(sex: Sex, assumptions: Assumptions) -> tuple[CostLine, CostLine, CostLine]:
    place = place_cost_per_month(assumptions, "grown")
    share = assumptions["housing.furnished_share"]
    where = f"Twelve months, {share:.0%} in a furnished enclosure, the rest in a tub"
    key = sex.value
    return (
        CostLine(
            f"{key}.heating",
            f"Heat for the {key}",
            12 * place.heating,
            "variable",
            f"{where}: watts times hours times tariff.",
            HEATING_IDS[1:],
        ),
        CostLine(
            f"{key}.bedding",
            f"Bedding for the {key}",
            12 * place.bedding,
            "variable",
            f"{where}: bedding by the month.",
            BEDDING_IDS[1:],
        ),
        CostLine(
            f"{key}.place",
            f"Place of the {key}",
            12 * place.capital,
            "fixed",
            f"{where}: wear and interest of the place.",
            PLACE_IDS[1:],
            CAPITAL_RECOVERY,
        ),
    )


def _vet(sex: Sex, assumptions: Assumptions) -> CostLine:
    amount = assumptions["breeder.vet"]
    return CostLine(
        f"{sex.value}.vet",
        f"Veterinarian for the {sex.value}",
        amount,
        "variable",
        f"{amount:.2f} a year on average.",
        ("breeder.vet",),
    )


def _named(line: CostLine, sex: Sex) -> CostLine:
    return replace(
        line, id=line.id.replace("breeder", sex.value), name=line.name.replace("breeder", sex.value)
    )
