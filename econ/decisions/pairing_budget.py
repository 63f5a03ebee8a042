"""What is one pairing expected to leave: looks x prices x time of sale, less every cost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from econ.assumptions import Assumptions
from econ.costs import CostSheet, together
from econ.decisions.break_even import BreakEven, LateSales, break_even
from econ.decisions.clutch_odds import ClutchOdds, clutch_odds
from econ.decisions.look_prices import LookPrices
from econ.decisions.outcomes import Outcomes, Swings, draw_outcomes, margin_sd
from econ.decisions.pairing_costs import BudgetCost, PairingCosts, budget_costs
from econ.decisions.young import Young
from econ.prices.results import Basis
from genetics import LookRow, LookTable

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class LookValue:
    """One look of a clutch as money.

    Attributes
    ----------
    look
        The look, its label and its chances.
    number, males, females
        Expected hatchlings of the look, and of each sex [animals].
    at_least_one
        Chance of at least one in the season.
    brings
        Expected money from its sales [money].
    price
        Expected price of one when sold [money].
    price_low, price_high
        8 in 10 prices of a single sale lie between these, in the mean month of sale [money].
    basis
        What the price rests on.
    """

    look: LookRow
    number: float
    males: float
    females: float
    at_least_one: float
    brings: float
    price: float
    price_low: float
    price_high: float
    basis: Basis


@dataclass(frozen=True, eq=False)
class PairingBudget:
    """Enterprise budget of one pairing in one season.

    Attributes
    ----------
    odds, young, costs, prices
        What went in.
    sales
        Expected money from sales [money].
    variable, fixed
        Lines of costs.
    rest_share
        Share of the hatchlings whose looks are too rare to be priced one by one; they are priced
        as the cheapest look.
    """

    odds: ClutchOdds
    young: Young
    costs: PairingCosts
    prices: LookPrices
    looks: LookTable
    sales: float
    variable: tuple[BudgetCost, ...]
    fixed: tuple[BudgetCost, ...]

    @property
    def rest_share(self) -> float:
        """Share of hatchlings priced as the cheapest look, since theirs are too rare to list."""
        return float(self.looks.rest_share)

    @property
    def variable_total(self) -> float:
        """All variable costs [money]."""
        return sum(line.amount for line in self.variable)

    @property
    def fixed_total(self) -> float:
        """All fixed costs [money]."""
        return sum(line.amount for line in self.fixed)

    @property
    def gross_margin(self) -> float:
        """Sales less variable costs [money]."""
        return self.sales - self.variable_total

    @property
    def margin(self) -> float:
        """Sales less all costs [money]; exact."""
        return self.gross_margin - self.fixed_total

    @property
    def sold(self) -> float:
        """Expected number of hatchlings sold [animals]."""
        return self.odds.mean * self.young.sold_share

    @property
    def price_each(self) -> float:
        """Expected price of the average hatchling sold [money]; NaN if none is sold."""
        return self.sales / self.sold if self.sold > 0 else float("nan")

    def margin_per_hour(self, hours: float) -> float:
        """Margin for one hour of the breeder's own work [money an hour]; hours above 0."""
        return self.margin / hours

    def margin_sd(self) -> float:
        """Exact standard deviation of the margin [money]."""
        return margin_sd(self.odds, self.young, clutch_cost=self.costs.clutch.total)

    def draw(self, name: str, *, swings: Swings) -> Outcomes:
        """Whole seasons of this pairing, drawn with the season's shared swings."""
        return draw_outcomes(
            self.odds,
            self.young,
            leads=self.prices.leads,
            looks=self.prices.look_names,
            swings=swings,
            name=name,
            season_cost=self.costs.season.total,
            clutch_cost=self.costs.clutch.total,
        )

    def break_even(self) -> BreakEven:
        """Points at which the expected margin is zero."""
        overhead = sum(line.amount for line in self.costs.season.lines if line.kind == "fixed")
        return break_even(
            self.odds,
            self.young,
            season_cost=self.costs.season.total - overhead,
            clutch_cost=self.costs.clutch.total,
            overhead=overhead,
            young_overhead=self.fixed_total - overhead,
            late=self.late_sales(),
        )

    def late_sales(self) -> LateSales:
        """Find what the average hatchling leaves when all are sold in one month."""
        young, prices = self.young, self.prices
        mix = self._mix()
        average = mix @ prices.expected_late()
        kept = self.costs.keeping.total[prices.late_months]
        alive = young.survival * ((1.0 - young.fee_share) * average - young.sale_cost - kept)
        left = alive - (1.0 - young.survival) * young.loss_cost
        return LateSales(first=int(prices.late_months[0]), left=left)

    def price_path(self) -> Floats:
        """Median price of the average hatchling by month, over `prices.late_months` [money]."""
        path: Floats = self._mix() @ np.exp(self.prices.late_log_price)
        return path

    def price_today(self) -> float:
        """Median price of the average hatchling if it were sold today [money]."""
        return float(self._mix() @ np.exp(self.prices.today_log_price))

    def _mix(self) -> Floats:
        """Share of each look and sex among all hatchlings of many seasons, shape (C,)."""
        if self.odds.mean <= 0:
            return self.young.mean_shares
        mix: Floats = (self.odds.weights * self.odds.mean_by_parents / self.odds.mean) @ self.young.shares
        return mix

    def lead_shares(self) -> Floats:
        """Share of the money from sales that follows each leading trait, shape (L,)."""
        brings = self._mix() * self.young.sales_per_hatchling
        money = np.bincount(self.young.lead, weights=brings, minlength=len(self.prices.leads))
        total = money.sum()
        return money / total if total > 0 else np.full(money.size, 1.0 / money.size)

    def young_of(self, lead: str) -> float:
        """Count the expected hatchlings whose price follows this trait [animals]."""
        return float(self.odds.mean * self._mix()[self.young.lead == self.prices.leads.index(lead)].sum())

    def look_values(self) -> tuple[LookValue, ...]:
        """Every look with what it brings, the one that brings most first."""
        cells = self.odds.mean * self._mix()
        brings = cells * self.young.sales_per_hatchling
        prices = self.young.price_when_sold
        rows = [self._look_value(number, cells, brings, prices) for number in range(len(self.looks.rows))]
        return tuple(sorted(rows, key=lambda row: (-row.brings, row.look.label)))

    def _look_value(self, number: int, cells: Floats, brings: Floats, prices: Floats) -> LookValue:
        pair = slice(2 * number, 2 * number + 2)
        count = cells[pair]
        total = float(count.sum())
        price = float(count @ prices[pair] / total) if total > 0 else float(prices[pair].mean())
        low, high = self.prices.sale_range(number, self.young.timing, sexes=count)
        return LookValue(
            look=self.looks.rows[number],
            number=total,
            males=float(count[0]),
            females=float(count[1]),
            at_least_one=self.odds.at_least_one(self.young.shares[:, pair].sum(axis=1)),
            brings=float(brings[pair].sum()),
            price=price,
            price_low=low,
            price_high=high,
            basis=self.prices.bases[number],
        )


def pairing_budget(
    looks: LookTable, prices: LookPrices, assumptions: Assumptions, *, costs: PairingCosts
) -> PairingBudget:
    """Value one pairing.

    Parameters
    ----------
    looks
        Looks of the clutch, with their shares by parents' genotype.
    prices
        Forecast price of each look and sex by month.
    assumptions
        The breeder's figures.
    costs
        Costs of the pairing.
    """
    odds = clutch_odds(assumptions, np.asarray(looks.weights), lost=np.asarray(looks.lost))
    young = _young(looks, prices, costs, common_share=assumptions["price.common_share"])
    counts = odds.weights * odds.mean_by_parents
    sales = float(counts @ (young.shares @ young.sales_per_hatchling))
    expected: CostSheet = together(
        (
            costs.season,
            costs.of_clutch(odds.laying, assumptions=assumptions),
            costs.of_young(odds.mean, sales=sales, assumptions=assumptions),
        )
    )
    lines = budget_costs(expected)
    return PairingBudget(
        odds=odds,
        young=young,
        costs=costs,
        prices=prices,
        looks=looks,
        sales=sales,
        variable=tuple(line for line in lines if line.kind == "variable"),
        fixed=tuple(line for line in lines if line.kind == "fixed"),
    )


def _young(looks: LookTable, prices: LookPrices, costs: PairingCosts, *, common_share: float) -> Young:
    shares = np.asarray(looks.shares, dtype=float)
    return Young(
        weights=np.asarray(looks.weights, dtype=float),
        shares=shares.reshape(shares.shape[0], -1),
        log_price=prices.log_price,
        level_sd=prices.level_sd,
        lead=prices.lead,
        own_sd=prices.own_sd,
        look=prices.look,
        sale_sd=prices.sale_sd,
        common_share=common_share,
        timing=costs.timing,
        keeping=costs.keeping_by_sale,
        fee_share=costs.fee_share,
        sale_cost=costs.sale_cost,
        survival=costs.survival,
        loss_cost=costs.loss_cost,
    )
