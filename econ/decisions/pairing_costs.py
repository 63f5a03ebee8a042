"""What does one pairing cost? Before anything is drawn or sold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from econ.assumptions import Assumptions
from econ.costs import (
    CostLine,
    CostSheet,
    HatchlingCost,
    clutch_costs,
    female_season,
    fixed_sale_cost,
    hatchling_cost_by_month,
    male_share,
    selling_costs,
    together,
)
from econ.decisions.sale_timing import SaleTiming

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PairingCosts:
    """Costs of one pairing in one season.

    Attributes
    ----------
    season
        Spent whether or not she lays: the female's year and her share of the male's.
    clutch
        Spent once she has laid: incubation and the work on a clutch.
    keeping
        Keeping one hatchling, by month from hatching.
    timing
        When the young sell.
    survival
        Chance that a hatchling lives until it can be sold.
    fee_share, sale_cost
        What a sale costs: a share of the price, and a fixed sum [money].
    """

    season: CostSheet
    clutch: CostSheet
    keeping: HatchlingCost
    timing: SaleTiming
    survival: float
    fee_share: float
    sale_cost: float

    @property
    def keeping_by_sale(self) -> Floats:
        """Cost of keeping one to each month of sale and to the month of giving away, shape (T + 1,)."""
        total: Floats = self.keeping.total[self.timing.first : self.timing.last + 1]
        return total

    @property
    def loss_cost(self) -> float:
        """What a hatchling has cost that dies before it can be sold [money].

        It is taken to have been kept until the first month of sale.
        """
        return float(self.keeping.total[self.timing.first])

    @property
    def leaving(self) -> Floats:
        """Chance that a hatchling leaves, sold, given away or dead, in each month, shape (M + 1,)."""
        leaving = np.zeros(self.keeping.months.size)
        leaving[self.timing.first : self.timing.last] = self.survival * self.timing.chances
        leaving[self.timing.last] = self.survival * self.timing.unsold
        leaving[self.timing.first] += 1.0 - self.survival
        return leaving

    @property
    def hours_each(self) -> float:
        """Expected hours of work on one hatchling until it leaves [hours]."""
        return float(self.leaving @ self.keeping.hours)

    def of_young(self, hatchlings: float, *, sales: float, assumptions: Assumptions) -> CostSheet:
        """Add up the expected cost of keeping and selling the young.

        Parameters
        ----------
        hatchlings
            Expected hatchlings [animals].
        sales
            Expected money from sales [money].
        """
        sold = hatchlings * self.survival * (1.0 - self.timing.unsold)
        return together(
            (
                selling_costs(sales, sold, assumptions=assumptions),
                self.keeping.expected(self.leaving, hatchlings=hatchlings),
            )
        )

    def of_clutch(self, laying: float, *, assumptions: Assumptions) -> CostSheet:
        """Add up the expected cost of the clutch at a chance of laying [0 to 1]."""
        return clutch_costs(laying, assumptions=assumptions)


def pairing_costs(
    assumptions: Assumptions,
    *,
    dam_purchase: float | None = None,
    sire_purchase: float | None = None,
    females: float | None = None,
) -> PairingCosts:
    """Costs of a pairing from the breeder's assumptions.

    Parameters
    ----------
    assumptions
        Every figure that goes in.
    dam_purchase, sire_purchase
        Prices paid for the parents; None takes the assumption for breeders [money].
    females
        Females the male is paired with this season; None takes the assumption [animals].
    """
    timing = SaleTiming(
        first=int(assumptions["sale.first_month"]),
        monthly_chance=assumptions["sale.monthly_chance"],
        last=int(assumptions["sale.last_month"]),
    )
    return PairingCosts(
        season=together(
            (
                female_season(assumptions=assumptions, purchase=dam_purchase),
                male_share(assumptions=assumptions, purchase=sire_purchase, females=females),
            )
        ),
        clutch=clutch_costs(1.0, assumptions=assumptions),
        keeping=hatchling_cost_by_month(max(timing.last, LATE_MONTHS), assumptions=assumptions),
        timing=timing,
        survival=assumptions["young.survival_to_sale"],
        fee_share=assumptions["sale.fee_share"],
        sale_cost=fixed_sale_cost(assumptions),
    )


LATE_MONTHS = 48  # how far ahead the latest month of sale is looked for


# Lines of the enterprise budget, in its order: name, and which cost lines go in.
BUDGET_GROUPS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("selling", "Fees, adverts, packing and shipping", ("sale.",)),
    ("young.feeding", "Feeding the young until sold", ("young.feeding",)),
    ("young.housing", "Heat and bedding for the young", ("young.heating", "young.bedding")),
    ("parents.feeding", "Feeding the dam and a share of the sire", ("female.feeding", "male.feeding")),
    (
        "parents.housing",
        "Heat and bedding for the dam and a share of the sire",
        ("female.heating", "female.bedding", "male.heating", "male.bedding"),
    ),
    ("vet", "Veterinarian", ("female.vet", "male.vet")),
    ("clutch", "Incubation", ("clutch.supplies", "clutch.heat")),
    ("work", "Your own work", ("clutch.work", "young.work")),
    ("places", "Wear and interest of tubs and enclosures", ("young.place", "female.place", "male.place")),
    (
        "breeders",
        "Wear, interest and risk of the breeders",
        ("female.capital", "female.death", "male.capital", "male.death"),
    ),
)


@dataclass(frozen=True)
class BudgetCost:
    """One line of costs in an enterprise budget.

    Attributes
    ----------
    id, name
        Which line, and its name on the screen.
    amount
        Expected cost [money].
    kind
        "variable" or "fixed".
    parts
        The costs that went in, each with how it was reckoned.
    """

    id: str
    name: str
    amount: float
    kind: str
    parts: tuple[CostLine, ...]


class UnplacedCost(LookupError):
    """A cost belongs to no line of the budget, or to two."""


def budget_costs(sheet: CostSheet) -> tuple[BudgetCost, ...]:
    """Gather cost lines into the lines of the enterprise budget; every cost goes into one.

    Raises
    ------
    UnplacedCost
        If a cost has no line of the budget, or a line mixes variable and fixed costs.
    """
    left = list(sheet.lines)
    rows = []
    for id_, name, prefixes in BUDGET_GROUPS:
        parts = tuple(line for line in left if line.id.startswith(prefixes))
        left = [line for line in left if line not in parts]
        kinds = {line.kind for line in parts}
        if len(kinds) > 1:
            raise UnplacedCost(f"{name} mixes variable and fixed costs: {[line.id for line in parts]}")
        if parts:
            amount = sum(line.amount for line in parts)
            rows.append(BudgetCost(id_, name, amount, kinds.pop(), parts))
    if left:
        raise UnplacedCost(f"no line of the budget for {[line.id for line in left]}")
    return tuple(rows)
