"""What will each look of a clutch bring, by sex and month of sale? With what each price rests on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from econ.assumptions import Assumptions
from econ.decisions.sale_timing import SaleTiming
from econ.prices.history import combination_key
from econ.prices.market import Market
from econ.prices.results import Basis
from genetics import LookTable, Sex

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

NO_PRICE = "no price"  # leading trait of looks that nothing is known of
RANGE_80 = 1.2815515655446004  # standard normal: 8 in 10 lie within so many standard deviations


@dataclass(frozen=True, eq=False)
class LookPrices:
    """Forecast prices of the looks of one clutch.

    C counts looks by sex: look 0 male, look 0 female, look 1 male, and so on; a last pair stands
    for all looks too rare to list, if there are any. L counts leading traits, T months of sale, M
    months looked at in all.

    Attributes
    ----------
    leads
        Leading traits, in order, shape (L,).
    look_names
        Names of the looks, in order, each once; they pick the swing a look has in common across
        pairings, and rows of the table with the same name share it.
    lead, look
        Leading trait and look of each cell, shape (C,).
    late_months
        Months after hatching looked at, shape (M,); those of `log_price` are the first of them.
    late_log_price
        Log of the median price when sold, shape (C, M) [log money].
    late_level_sd
        Uncertainty of the level of each leading trait, shape (L, M) [log].
    own_sd, sale_sd
        Uncertainty of the look against its leading trait, and scatter of single sales, shape (C,) [log].
    months_of_sale
        How many of the months are months of sale, T.
    bases
        What the price of each look rests on, in the order of the table's rows.
    hatch
        Expected day of hatching.
    today_log_price
        Log of the median price if it were sold today, shape (C,) [log money].
    """

    leads: tuple[str, ...]
    look_names: tuple[str, ...]
    lead: Whole
    look: Whole
    late_months: Whole
    late_log_price: Floats
    late_level_sd: Floats
    own_sd: Floats
    sale_sd: Floats
    months_of_sale: int
    bases: tuple[Basis, ...]
    hatch: date
    today_log_price: Floats

    @property
    def log_price(self) -> Floats:
        """Log of the median price in the months of sale, shape (C, T) [log money]."""
        return self.late_log_price[:, : self.months_of_sale]

    @property
    def level_sd(self) -> Floats:
        """Uncertainty of each leading trait's level in the months of sale, shape (L, T) [log]."""
        return self.late_level_sd[:, : self.months_of_sale]

    def expected_late(self) -> Floats:
        """Give the expected price in every month looked at, shape (C, M) [money]."""
        variance = self.late_level_sd[self.lead] ** 2 + (self.own_sd**2 + self.sale_sd**2)[:, None]
        prices: Floats = np.exp(self.late_log_price + variance / 2)
        return prices

    def at_level(self, level: float) -> LookPrices:
        """Multiply every price by a factor above 0."""
        if level == 1.0:
            return self
        step = np.log(level)
        return replace(
            self,
            late_log_price=self.late_log_price + step,
            today_log_price=self.today_log_price + step,
        )

    def sale_range(self, number: int, timing: SaleTiming, *, sexes: Floats) -> tuple[float, float]:
        """8-in-10 range of one sale of a look, in its mean month of sale [money].

        Sexes of different prices are two humps; the range is that of a normal of their common mean and
        spread, in logs.

        Parameters
        ----------
        number
            Position of the look in the table.
        timing
            When the young sell.
        sexes
            Expected males and females of the look, shape (2,); equal parts if there are none.
        """
        month = int(np.argmin(np.abs(timing.months - timing.chances @ timing.months / timing.chances.sum())))
        cells = slice(2 * number, 2 * number + 2)
        total = float(sexes.sum())
        parts = sexes / total if total > 0 else np.full(2, 0.5)
        logs = np.where(parts > 0, self.log_price[cells, month], 0.0)
        middle = float(parts @ logs)
        apart = float(parts @ logs**2) - middle**2 if np.isfinite(middle) else 0.0
        level = self.level_sd[self.lead[2 * number], month]
        noise = level**2 + self.own_sd[2 * number] ** 2 + self.sale_sd[2 * number] ** 2
        spread = float(np.sqrt(noise + max(apart, 0.0)))
        return float(np.exp(middle - RANGE_80 * spread)), float(np.exp(middle + RANGE_80 * spread))


def look_prices(
    looks: LookTable,
    market: Market,
    assumptions: Assumptions,
    *,
    hatch: date,
    timing: SaleTiming,
    months: int,
) -> LookPrices:
    """Price every look of a clutch by sex and month, at the breeder's own level.

    See `market_prices`; `price.level` multiplies every price.
    """
    found = market_prices(looks, market, hatch=hatch, timing=timing, months=months)
    return found.at_level(assumptions["price.level"])


def market_prices(
    looks: LookTable, market: Market, *, hatch: date, timing: SaleTiming, months: int
) -> LookPrices:
    """Price every look of a clutch by sex and month, as the market has it.

    A look that nothing is known of counts as nothing, and its basis says so.

    Parameters
    ----------
    looks
        Looks of the clutch.
    market
        The fitted prices.
    hatch
        Expected day of hatching.
    timing
        Months of sale.
    months
        Last month after hatching to look at [months]; at least the last month of sale.
    """
    late = np.arange(timing.first, max(months, timing.last) + 1, dtype=np.int64)
    days = [market.as_of, *(months_after(hatch, int(month)) for month in late)]
    wanted = [(row.traits, sex) for row in looks.rows for sex in (Sex.MALE, Sex.FEMALE)]
    found = market.price_many([t for t, _ in wanted], on=days, sexes=[s for _, s in wanted])
    names = [forecast.lead or NO_PRICE for forecast in found]
    leads = tuple(dict.fromkeys(names))
    by_lead = {name: forecast.level_sd[1:] for name, forecast in zip(names, found, strict=True)}
    known = np.array([name != NO_PRICE for name in names])
    log_price = np.where(
        known[:, None],
        np.stack([forecast.log_mean for forecast in found]),
        -np.inf,
    )
    looks_named = [combination_key(row.traits) for row in looks.rows]
    places = {name: place for place, name in enumerate(dict.fromkeys(looks_named))}
    prices = LookPrices(
        leads=leads,
        look_names=tuple(places),
        lead=np.array([leads.index(name) for name in names], dtype=np.int64),
        look=np.repeat(np.array([places[name] for name in looks_named], dtype=np.int64), 2),
        late_months=late,
        late_log_price=log_price[:, 1:],
        late_level_sd=np.nan_to_num(np.stack([by_lead[name] for name in leads])),
        own_sd=np.nan_to_num(np.array([forecast.relative_sd for forecast in found])),
        sale_sd=np.nan_to_num(np.array([forecast.sale_sd for forecast in found])),
        months_of_sale=timing.months.size,
        bases=tuple(forecast.basis for forecast in found[::2]),
        hatch=hatch,
        today_log_price=log_price[:, 0],
    )
    return _with_rest(prices) if np.asarray(looks.shares).shape[1] > len(looks.rows) else prices


def months_after(day: date, months: int) -> date:
    """Give the same day of the month so many months later, or the month's last day."""
    index = day.year * 12 + day.month - 1 + months
    year, month = divmod(index, 12)
    last = (date(year + (month == 11), (month + 1) % 12 + 1, 1) - date(year, month + 1, 1)).days
    return date(year, month + 1, min(day.day, last))


def _with_rest(prices: LookPrices) -> LookPrices:
    """Add a pair of cells for the looks too rare to list, priced as the cheapest listed look."""
    cheapest = int(np.argmin(prices.late_log_price.mean(axis=1))) // 2
    pick = np.append(np.arange(prices.lead.size), [2 * cheapest, 2 * cheapest + 1])
    return LookPrices(
        leads=prices.leads,
        look_names=(*prices.look_names, "looks too rare to list"),
        lead=prices.lead[pick],
        look=np.append(prices.look, [len(prices.look_names)] * 2),
        late_months=prices.late_months,
        late_log_price=prices.late_log_price[pick],
        late_level_sd=prices.late_level_sd,
        own_sd=prices.own_sd[pick],
        sale_sd=prices.sale_sd[pick],
        months_of_sale=prices.months_of_sale,
        bases=prices.bases,
        hatch=prices.hatch,
        today_log_price=prices.today_log_price[pick],
    )
