"""What do the book's prices and counts say? One fit, kept until a price or a count changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from dashboard.jobs.recent import Recent
from dashboard.records import Book, ShownForecast
from econ.decisions.flood import SupplyNow
from econ.prices.design import year_of
from econ.prices.forecast import PastForecast
from econ.prices.history import combination_key
from econ.prices.market import Market, fit_market
from econ.prices.observations import PriceObservation, SupplyCount
from econ.prices.supply import SmoothSupply, SupplyPrice, smooth_supply, supply_price

GROWTH_YEARS = 1.0

_markets: Recent[Market] = Recent(4)
_supplies: Recent[SupplyBook] = Recent(4)
_prints: Recent[tuple[int, int]] = Recent(8)


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
    """The fit of all prices of a book.

    Raises
    ------
    MissingRate
        If a price is in another currency.
    """
    prices, _ = _prints_of(book)
    today = book.today()
    past = book.past_forecasts()
    key = (str(book.path), prices, today, book.currency, len(past))

    def fit() -> Market:
        observations = book.price_observations()
        return fit_market(
            observations,
            today=today,
            currency=book.currency,
            past_forecasts=checked_forecasts(past, observations, today=today),
        )

    return _markets.get(key, fit)


def supplies_of(book: Book) -> SupplyBook:
    """Smoothed supply of every trait of a book, and what it says of the price."""
    prices, counts = _prints_of(book)
    key = (str(book.path), prices, counts, book.today(), book.currency)
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


def checked_forecasts(
    past: tuple[ShownForecast, ...], observations: tuple[PriceObservation, ...], *, today: date
) -> tuple[PastForecast, ...]:
    """Forecasts once shown, each held against the first price of its trait seen within a month of its day."""
    seen: dict[str, list[PriceObservation]] = {}
    for observation in observations:
        seen.setdefault(combination_key(observation.traits), []).append(observation)
    found = []
    for forecast in past:
        if forecast.horizon > today:
            continue
        near = [o for o in seen.get(forecast.trait, ()) if abs((o.on - forecast.horizon).days) <= MATCH_DAYS]
        if near:
            closest = min(near, key=lambda o: (abs((o.on - forecast.horizon).days), o.id or 0))
            error = float(np.log(closest.price) - forecast.log_mean)
            found.append(PastForecast(error, forecast.level_sd, forecast.sale_sd))
    return tuple(found)


MATCH_DAYS = 31


def _prints_of(book: Book) -> tuple[int, int]:
    """Fingerprints of all prices and of all counts; read again only after an edit."""

    def read() -> tuple[int, int]:
        prices = hash(tuple(sorted(book.price_versions().items())))
        return prices, hash(tuple(sorted(book.supply_versions().items())))

    return _prints.get((str(book.path), book.data_version), read)
