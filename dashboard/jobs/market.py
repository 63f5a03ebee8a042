"""What do the book's prices and counts say? One fit, kept until a price or a count changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from dashboard.jobs.currencies import home_prices, rates_of_book
from dashboard.jobs.recent import Recent
from dashboard.records import Book, ShownForecast
from dashboard.records.kinds import EXCHANGE_RATES
from econ.decisions.flood import SupplyNow
from econ.prices.design import year_of
from econ.prices.forecast import LEAST_PAST_FORECASTS, PastForecast
from econ.prices.history import combination_key
from econ.prices.market import Market, fit_market
from econ.prices.observations import SupplyCount
from econ.prices.supply import SmoothSupply, SupplyPrice, smooth_supply, supply_price

GROWTH_YEARS = 1.0
MATCH_DAYS = 31
DAYS_A_MONTH = 30.4375

_markets: Recent[Market] = Recent(4)
_supplies: Recent[SupplyBook] = Recent(4)
_prints: Recent[tuple[int, int]] = Recent(8)
_due: Recent[tuple[int, tuple[ShownForecast, ...]]] = Recent(8)


@dataclass(frozen=True, eq=False)
class TraitSupply:
    """Offers of one trait.

    Attributes
    ----------
    smooth
        The counts and their smooth course.
    price
        How price moved when listings moved.
    offered, growth
        Smoothed number offered at the last count, and its growth over the year before [log a year].
    """

    smooth: SmoothSupply
    price: SupplyPrice
    offered: float
    growth: float


@dataclass(frozen=True, eq=False)
class SupplyBook:
    """Offers of every trait that was counted, by key."""

    traits: Mapping[str, TraitSupply]

    def now(self, key: str) -> SupplyNow | None:
        """Supply of one trait as the flood warning needs it, or None when it was never counted."""
        found = self.traits.get(key)
        if found is None:
            return None
        points = (found.price.low, found.price.median, found.price.high)
        return SupplyNow(
            trait=key, offered=found.offered, growth=found.growth, flexibility=points, says=found.price.says
        )


def market_of(book: Book) -> Market:
    """Fit all prices of a book in its own money; kept until a price or rate changes or the day does.

    Prices in another currency without an exchange rate are left out; `home_prices` counts them.
    """
    prices, _ = _prints_of(book)
    today = book.today()
    currency = book.currency
    seen, due = _due_forecasts(book, today)

    def fit() -> Market:
        observations = home_prices(book.price_observations(), rates_of_book(book)).prices
        market = fit_market(observations, today=today, currency=currency)
        past = checked_forecasts(due, market)
        if len(past) < LEAST_PAST_FORECASTS:
            return market
        return fit_market(observations, today=today, currency=currency, past_forecasts=past)

    return _markets.get((str(book.place), prices, today, currency, seen), fit)


def _due_forecasts(book: Book, today: date) -> tuple[int, tuple[ShownForecast, ...]]:
    """Remembered forecasts whose day has come, with their fingerprint; those of today lie ahead."""

    def read() -> tuple[int, tuple[ShownForecast, ...]]:
        due = tuple(forecast for forecast in book.past_forecasts() if forecast.horizon <= today)
        return hash(due), due

    return _due.get((str(book.place), book.data_version, today), read)


def supplies_of(book: Book) -> SupplyBook:
    """Smoothed supply of every trait of a book, and what it says of the price."""
    prices, counts = _prints_of(book)
    key = (str(book.place), prices, counts, book.today(), book.currency)
    return _supplies.get(key, lambda: _supply_book(book.supply_counts(), market_of(book), today=book.today()))


def _supply_book(counts: tuple[SupplyCount, ...], market: Market, *, today: date) -> SupplyBook:
    by_key: dict[str, list[SupplyCount]] = {}
    for count in counts:
        if count.on <= today:
            by_key.setdefault(combination_key(count.traits), []).append(count)
    return SupplyBook({key: _trait_supply(key, rows, market) for key, rows in sorted(by_key.items())})


def _trait_supply(key: str, counts: list[SupplyCount], market: Market) -> TraitSupply:
    smooth = smooth_supply(counts)
    points = next((outlook.points for outlook in market.traits if outlook.key == key), ())
    price = supply_price(
        smooth,
        np.array([year_of(point.on) for point in points]),
        np.log([point.adjusted for point in points]) if points else np.empty(0),
    )
    last = float(smooth.years[-1])
    level, before = smooth.at(np.array([last, last - GROWTH_YEARS]))
    span = min(GROWTH_YEARS, last - float(smooth.years[0]))
    growth = float(level - before) / span if span > 0 else 0.0
    return TraitSupply(smooth=smooth, price=price, offered=float(np.exp(level)), growth=growth)


def checked_forecasts(past: Sequence[ShownForecast], market: Market) -> tuple[PastForecast, ...]:
    """Hold forecasts once shown against what was then seen, oldest price first.

    A forecast is about the bare trait, a sold unsexed hatchling, so it is held against the prices of
    its trait's series after they were brought to just that, never against a price as written. It is
    held against the one nearest to its day, at most a month away. A book looked at every day holds
    many forecasts of the same thing: of those made equally far ahead one counts for each price, the
    one whose day is nearest.
    """
    series = {outlook.key: outlook.points for outlook in market.traits}
    days = {key: np.array([point.on.toordinal() for point in points]) for key, points in series.items()}
    best: dict[tuple[str, int, int], tuple[int, ShownForecast]] = {}
    for forecast in past:
        if forecast.trait not in series or forecast.horizon > market.as_of:
            continue
        gaps = np.abs(days[forecast.trait] - forecast.horizon.toordinal())
        place = int(np.argmin(gaps))
        gap = int(gaps[place])
        if gap > MATCH_DAYS:
            continue
        months = round((forecast.horizon - forecast.made_on).days / DAYS_A_MONTH)
        key = (forecast.trait, place, months)
        if key not in best or gap < best[key][0]:
            best[key] = (gap, forecast)
    return tuple(
        PastForecast(
            float(np.log(series[trait][place].adjusted)) - forecast.log_mean,
            forecast.level_sd,
            forecast.sale_sd,
        )
        for (trait, place, _), (_, forecast) in sorted(best.items(), key=lambda item: item[0])
    )


def _prints_of(book: Book) -> tuple[int, int]:
    """Fingerprints of all prices and of all counts; read again only after an edit."""

    def read() -> tuple[int, int]:
        rates = tuple((row.id, row.version) for row in book.rows(EXCHANGE_RATES))
        genes = tuple(sorted(book.own_gene_versions().items()))
        prices = hash((tuple(sorted(book.price_versions().items())), rates, genes))
        return prices, hash((tuple(sorted(book.supply_versions().items())), genes))

    return _prints.get((str(book.place), book.data_version), read)
