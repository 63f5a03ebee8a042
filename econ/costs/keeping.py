"""What one hatchling has cost by each month after hatching."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from econ.assumptions import Assumptions
from econ.costs.feeding import PREY, feeding_until
from econ.costs.growth import DAYS_A_MONTH
from econ.costs.housing import BEDDING_IDS, HEATING_IDS, PLACE_IDS, MonthlyPlace, place_cost_per_month
from econ.costs.lines import CAPITAL_RECOVERY, CostLine, CostSheet
from genetics.genes.traits import Sex

Floats = NDArray[np.float64]

FEEDING_IDS = (
    *(prey.price_id for prey in PREY),
    "feeding.hatchling_interval_days",
    "feeding.adult_interval_days",
    "feeding.prey_share_hatchling",
    "feeding.prey_share_adult",
    "growth.hatchling_mass",
    "growth.first_year_multiple",
    "growth.adult_female_mass",
    "growth.adult_male_mass",
)


@dataclass(frozen=True, eq=False)
class HatchlingCost:
    """Cost of keeping one hatchling, added up from hatching; every array has shape (M + 1,).

    Attributes
    ----------
    months
        Months since hatching, 0 to M [months].
    feeding, heating, bedding, place, work
        Spent by then on food, on electricity, on bedding, on wear and interest of its place, and
        on hours of work at the breeder's rate [money].
    hours
        Hours of work by then, whether or not they are counted as a cost [hours].
    """

    months: NDArray[np.int64]
    feeding: Floats
    heating: Floats
    bedding: Floats
    place: Floats
    work: Floats
    hours: Floats

    @property
    def housing(self) -> Floats:
        """Heat, bedding and place by each month [money]."""
        return self.heating + self.bedding + self.place

    @property
    def variable(self) -> Floats:
        """What would not have been spent without the hatchling: all but its place [money]."""
        return self.feeding + self.heating + self.bedding + self.work

    @property
    def total(self) -> Floats:
        """All costs by each month [money]."""
        return self.variable + self.place

    def expected(self, chances: Floats, *, hatchlings: float = 1.0) -> CostSheet:
        """Cost of hatchlings that leave at uncertain months, as expected, one line a kind.

        Parameters
        ----------
        chances
            Chance to leave in each month 0 to M; sums to 1, shape (M + 1,).
        hatchlings
            How many; need not be whole [animals].
        """
        if chances.shape != self.months.shape or abs(float(chances.sum()) - 1.0) > 1e-6:
            raise ValueError(
                f"chances have shape {chances.shape} and sum {chances.sum():.6f}; allowed: shape "
                f"{self.months.shape} and sum 1"
            )
        stay = float(chances @ self.months)
        why = f"{hatchlings:.1f} hatchlings kept {stay:.1f} months on average"
        each = hatchlings * chances
        return CostSheet(
            (
                CostLine(
                    "young.feeding",
                    "Feeding the young",
                    float(each @ self.feeding),
                    "variable",
                    f"{why}, fed by their mass.",
                    FEEDING_IDS,
                ),
                CostLine(
                    "young.heating",
                    "Heat for the young",
                    float(each @ self.heating),
                    "variable",
                    f"{why}, watts times hours times tariff.",
                    (*HEATING_IDS, "housing.small_place_months"),
                ),
                CostLine(
                    "young.bedding",
                    "Bedding for the young",
                    float(each @ self.bedding),
                    "variable",
                    f"{why}, bedding by the month.",
                    (*BEDDING_IDS, "housing.small_place_months"),
                ),
                CostLine(
                    "young.work",
                    "Work on the young",
                    float(each @ self.work),
                    "variable",
                    f"{why}, {float(each @ self.hours):.1f} hours at your rate.",
                    ("work.hatchling_hours_month", "work.hour_rate"),
                ),
                CostLine(
                    "young.place",
                    "Places of the young",
                    float(each @ self.place),
                    "fixed",
                    f"{why}, wear and interest of a tub.",
                    (*PLACE_IDS, "housing.small_place_months"),
                    CAPITAL_RECOVERY,
                ),
            )
        )


def hatchling_cost_by_month(
    months: int, *, assumptions: Assumptions, sex: Sex = Sex.UNSEXED
) -> HatchlingCost:
    """Cost of keeping one hatchling from hatching to each month up to the last.

    It lives in a small tub at first and takes a grown animal's place afterwards.

    Parameters
    ----------
    months
        Last month, 0 or more [months].

    Raises
    ------
    ValueError
        If the last month is negative.
    """
    if months < 0:
        raise ValueError(f"last month is {months}; allowed: 0 or more")
    steps = np.arange(months + 1, dtype=np.int64)
    small = np.minimum(steps, int(assumptions["housing.small_place_months"]))
    grown = steps - small
    young = place_cost_per_month(assumptions, "hatchling")
    later = place_cost_per_month(assumptions, "grown") if grown[-1] else MonthlyPlace(0.0, 0.0, 0.0)
    hours: Floats = steps.astype(np.float64) * assumptions["work.hatchling_hours_month"]
    return HatchlingCost(
        months=steps,
        feeding=feeding_until(steps * DAYS_A_MONTH, sex=sex, assumptions=assumptions),
        heating=small * young.heating + grown * later.heating,
        bedding=small * young.bedding + grown * later.bedding,
        place=small * young.capital + grown * later.capital,
        work=hours * assumptions["work.hour_rate"],
        hours=hours,
    )
