"""Costs of keeping, breeding and selling ball pythons."""

from econ.costs.breeders import female_season, male_share, male_year
from econ.costs.feeding import (
    PREY,
    Diet,
    Prey,
    adult_meal,
    adult_year_cost,
    diet,
    feeding_cost,
    feeding_until,
    meal_price,
)
from econ.costs.growth import BadAge, GrowthCurve, growth_curve, mass_at
from econ.costs.housing import MonthlyPlace, electricity, place_cost, place_cost_per_month
from econ.costs.keeping import HatchlingCost, hatchling_cost_by_month
from econ.costs.lines import CostKind, CostLine, CostSheet, together
from econ.costs.ownership import BadLifetime, breeder_capital, capital_recovery, death_cost
from econ.costs.season import clutch_costs, genetic_test_fees, shared_costs
from econ.costs.selling import BadPrice, fixed_sale_cost, net_of_sale, price_for_net, selling_costs

__all__ = [
    "PREY",
    "BadAge",
    "BadLifetime",
    "BadPrice",
    "CostKind",
    "CostLine",
    "CostSheet",
    "Diet",
    "GrowthCurve",
    "HatchlingCost",
    "MonthlyPlace",
    "Prey",
    "adult_meal",
    "adult_year_cost",
    "breeder_capital",
    "capital_recovery",
    "clutch_costs",
    "death_cost",
    "diet",
    "electricity",
    "feeding_cost",
    "feeding_until",
    "female_season",
    "fixed_sale_cost",
    "genetic_test_fees",
    "growth_curve",
    "hatchling_cost_by_month",
    "male_share",
    "male_year",
    "mass_at",
    "meal_price",
    "net_of_sale",
    "place_cost",
    "place_cost_per_month",
    "price_for_net",
    "selling_costs",
    "shared_costs",
    "together",
]
