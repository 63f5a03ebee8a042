"""What a clutch costs to incubate, and the costs that no single pairing causes."""

from __future__ import annotations

from econ.assumptions import Assumptions
from econ.costs.housing import electricity
from econ.costs.lines import CostLine, CostSheet

_SHARED = (
    ("shared.room", "Room"),
    ("shared.licence", "Licence and inspection"),
    ("shared.tools_and_shows", "Tools and show visits"),
)


def clutch_costs(clutches: float = 1.0, *, assumptions: Assumptions) -> CostSheet:
    """Incubation and work of some clutches.

    Parameters
    ----------
    clutches
        How many clutches are laid; a chance of laying makes it a fraction [clutches].

    Raises
    ------
    ValueError
        If the number is negative.
    """
    if not clutches >= 0:
        raise ValueError(f"number of clutches is {clutches}; allowed: 0 or more")
    days, watts = assumptions["clutch.incubation_days"], assumptions["incubation.watts"]
    tariff, supplies = assumptions["housing.tariff"], assumptions["incubation.supplies"]
    hours, rate = assumptions["work.clutch_hours"], assumptions["work.hour_rate"]
    each = f"for each of {clutches:.2f} clutches"
    return CostSheet(
        (
            CostLine(
                "clutch.supplies",
                "Incubation box and substrate",
                clutches * supplies,
                "variable",
                f"{supplies:.2f} {each}.",
                ("incubation.supplies",),
            ),
            CostLine(
                "clutch.heat",
                "Heat of the incubator",
                clutches * electricity(watts, 24 * days, tariff=tariff),
                "variable",
                f"{watts:g} W for {days:g} days at {tariff:.2f} a kWh, {each}.",
                ("incubation.watts", "clutch.incubation_days", "housing.tariff"),
            ),
            CostLine(
                "clutch.work",
                "Work on the clutch",
                clutches * hours * rate,
                "variable",
                f"{hours:g} hours at {rate:.2f}, {each}.",
                ("work.clutch_hours", "work.hour_rate"),
            ),
        )
    )


def shared_costs(assumptions: Assumptions) -> CostSheet:
    """Costs of one season that no single pairing causes."""
    return CostSheet(
        tuple(
            CostLine(id_, name, assumptions[id_], "fixed", f"{assumptions[id_]:.2f} a year.", (id_,))
            for id_, name in _SHARED
        )
    )


def genetic_test_fees(tests: float, *, assumptions: Assumptions) -> CostLine:
    """Fees of some genetic tests.

    Raises
    ------
    ValueError
        If the number is negative.
    """
    if not tests >= 0:
        raise ValueError(f"number of tests is {tests}; allowed: 0 or more")
    fee = assumptions["test.fee"]
    return CostLine(
        "test.fees",
        "Genetic tests",
        tests * fee,
        "variable",
        f"{tests:g} tests at {fee:.2f}.",
        ("test.fee",),
    )
