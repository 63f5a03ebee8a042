"""Economics of breeding projects: prices and their forecasts, costs, budgets, break-even, floods."""

from econ.assumptions import ASSUMPTIONS, Assumption, Assumptions
from econ.decisions.break_even import BreakEven
from econ.decisions.flood import FloodWarning, SupplyNow, flood_warning
from econ.decisions.look_prices import LookPrices, look_prices, months_after
from econ.decisions.outcomes import Outcomes, Swings
from econ.decisions.pairing_budget import LookValue, PairingBudget, pairing_budget
from econ.decisions.pairing_costs import PairingCosts, pairing_costs
from econ.decisions.sale_timing import SaleTiming
from econ.decisions.season import SeasonOutcome, season_outcome
from econ.decisions.what_ifs import WhatIf, turning_point, what_ifs
from econ.money import CURRENCIES, from_minor, to_minor
from econ.prices.market import Market, fit_market
from econ.prices.observations import PriceObservation, SupplyCount
from econ.prices.outlook import TraitOutlook
from econ.prices.report_card import FitReport, report_card
from econ.prices.results import Basis, PriceForecast
from econ.prices.supply import SmoothSupply, SupplyPrice, smooth_supply, supply_price

__all__ = [
    "ASSUMPTIONS",
    "CURRENCIES",
    "Assumption",
    "Assumptions",
    "Basis",
    "BreakEven",
    "FitReport",
    "FloodWarning",
    "LookPrices",
    "LookValue",
    "Market",
    "Outcomes",
    "PairingBudget",
    "PairingCosts",
    "PriceForecast",
    "PriceObservation",
    "SaleTiming",
    "SeasonOutcome",
    "SmoothSupply",
    "SupplyCount",
    "SupplyNow",
    "SupplyPrice",
    "Swings",
    "TraitOutlook",
    "WhatIf",
    "fit_market",
    "flood_warning",
    "from_minor",
    "look_prices",
    "months_after",
    "pairing_budget",
    "pairing_costs",
    "report_card",
    "season_outcome",
    "smooth_supply",
    "supply_price",
    "to_minor",
    "turning_point",
    "what_ifs",
]
