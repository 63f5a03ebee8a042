"""What one hatchling of a clutch brings and costs, by look, sex and month of sale.

Log price of a hatchling sold in month t = log median + level + own + sale, where the level is
shared by all hatchlings whose price follows the same trait (and in part by the whole market), the
own part by hatchlings of the same look, and the sale part belongs to one sale alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from econ.decisions.sale_timing import SaleTiming

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Young:
    """The hatchlings of one pairing as sums of money.

    Attributes
    ----------
    weights
        Chance of each joint genotype of the parents, shape (S,).
    shares
        Share of each look and sex among the hatchlings, by parents' genotype, shape (S, C).
    log_price
        Log of the median price when sold in each month of sale, shape (C, T) [log money].
    level_sd
        Uncertainty of the level of each leading trait in each month, shape (L, T) [log].
    lead
        Leading trait of each look and sex, shape (C,), positions into `level_sd`.
    own_sd
        Uncertainty of the look's price against its leading trait, shape (C,) [log].
    look
        Which cells share that uncertainty (both sexes of one look do), shape (C,).
    sale_sd
        Scatter of single sales about the level, shape (C,) [log].
    common_share
        Share of the level's variance that all traits have in common [0 to 1].
    timing
        Months from hatching to sale.
    keeping
        Cost of keeping one hatchling from hatching to each month of sale, and, last, to the month
        in which an unsold one is given away, shape (T + 1,) [money].
    fee_share, sale_cost
        What a sale costs: a share of the price, and a fixed sum [money].
    survival
        Chance that a hatchling lives until it can be sold.
    loss_cost
        What a hatchling has cost that dies before it can be sold [money].
    """

    weights: Floats
    shares: Floats
    log_price: Floats
    level_sd: Floats
    lead: Whole
    own_sd: Floats
    look: Whole
    sale_sd: Floats
    common_share: float
    timing: SaleTiming
    keeping: Floats
    fee_share: float
    sale_cost: float
    survival: float
    loss_cost: float

    @cached_property
    def expected_price(self) -> Floats:
        """Expected price at each month of sale, shape (C, T) [money]."""
        variance = self.level_sd[self.lead] ** 2 + (self.own_sd**2 + self.sale_sd**2)[:, None]
        prices: Floats = np.exp(self.log_price + variance / 2)
        return prices

    @cached_property
    def price_when_sold(self) -> Floats:
        """Expected price of one that sells, over the months of sale, shape (C,) [money]."""
        chances = self.timing.chances
        prices: Floats = self.expected_price @ chances / chances.sum()
        return prices

    @cached_property
    def mean_shares(self) -> Floats:
        """Share of each look and sex over all parents' genotypes, per hatchling, shape (C,)."""
        shares: Floats = self.weights @ self.shares
        return shares

    @property
    def sold_share(self) -> float:
        """Chance that a hatchling is sold."""
        return self.survival * (1.0 - self.timing.unsold)

    @cached_property
    def sales_per_hatchling(self) -> Floats:
        """Expected money from sales per hatchling of each look and sex, shape (C,) [money]."""
        sales: Floats = self.survival * (self.expected_price @ self.timing.chances)
        return sales

    @property
    def keeping_per_hatchling(self) -> float:
        """Expected cost of keeping one hatchling until it leaves [money]."""
        chances = np.append(self.timing.chances, self.timing.unsold)
        return float(self.survival * (chances @ self.keeping) + (1.0 - self.survival) * self.loss_cost)

    @cached_property
    def net_per_hatchling(self) -> Floats:
        """Expected sales less selling and keeping, per hatchling, shape (C,) [money]."""
        selling = self.fee_share * self.sales_per_hatchling + self.sale_cost * self.sold_share
        net: Floats = self.sales_per_hatchling - selling - self.keeping_per_hatchling
        return net

    def second_moment(self) -> Floats:
        """Find the expected square of what one hatchling leaves, shape (C,) [money squared]."""
        chances = self.timing.chances
        keep = 1.0 - self.fee_share
        variance = self.level_sd[self.lead] ** 2 + (self.own_sd**2 + self.sale_sd**2)[:, None]
        square = np.exp(2 * self.log_price + 2 * variance)
        spent = self.keeping[:-1] + self.sale_cost
        sold = keep**2 * square - 2 * keep * self.expected_price * spent + spent**2
        given = self.timing.unsold * self.keeping[-1] ** 2
        moment: Floats = self.survival * (sold @ chances + given) + (1.0 - self.survival) * self.loss_cost**2
        return moment

    def product_moment(self) -> Floats:
        """Find the expected product of what two hatchlings leave, by the cells of both, shape (C, C)."""
        chances = self.timing.chances
        keep = 1.0 - self.fee_share
        net = self.net_per_hatchling
        plain = keep * self.survival * self.expected_price * chances
        product = np.outer(net, net)
        for month in range(chances.size):
            for other in range(chances.size):
                shared = self._shared_variance(month, other)
                both = np.outer(plain[:, month], plain[:, other])
                product += both * np.expm1(shared)
        return product

    def _shared_variance(self, month: int, other: int) -> Floats:
        """Covariance of the log prices of two hatchlings sold in two months, shape (C, C)."""
        here = self.level_sd[self.lead, month]
        there = self.level_sd[self.lead, other]
        same_lead = self.lead[:, None] == self.lead[None, :]
        share = np.where(same_lead, 1.0, self.common_share)
        same_look = self.look[:, None] == self.look[None, :]
        own = np.where(same_look, np.outer(self.own_sd, self.own_sd), 0.0)
        covariance: Floats = np.outer(here, there) * share + own
        return covariance
