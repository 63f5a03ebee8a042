"""What are the book's sums worth in its own money? By the exchange rates the breeder entered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from dashboard.records import AnimalRecord, Book
from dashboard.records.kinds import EXCHANGE_RATES
from econ.exchange import NoRate, Rates, rates_of
from econ.prices.observations import PriceObservation


@dataclass(frozen=True)
class HomePrices:
    """Prices in the book's money, and how many were left out for want of a rate, by currency."""

    prices: tuple[PriceObservation, ...]
    without_rate: tuple[tuple[str, int], ...]


def rates_of_book(book: Book) -> Rates:
    """Exchange rates of a book into its own money."""
    rows = book.rows(EXCHANGE_RATES)
    return rates_of(book.currency, ((row.on, row.currency, row.value) for row in rows))


def home_prices(prices: Sequence[PriceObservation], rates: Rates) -> HomePrices:
    """Prices in the money of the rates, each at the rate of its day; those without one are counted.

    A price that is worth less than the smallest unit of the book's money counts as one unit.
    """
    kept: list[PriceObservation] = []
    missing: Counter[str] = Counter()
    for price in prices:
        if price.currency == rates.home:
            kept.append(price)
            continue
        try:
            minor = rates.to_home(price.price_minor, price.currency, price.on)
        except NoRate as fault:
            missing[fault.currency] += 1
            continue
        kept.append(price.model_copy(update={"price_minor": max(minor, 1), "currency": rates.home}))
    return HomePrices(tuple(kept), tuple(sorted(missing.items())))


def animals_at_home(book: Book) -> dict[int, AnimalRecord]:
    """Animals of a book by number, each purchase in the book's money."""
    rates, today = rates_of_book(book), book.today()
    return {animal.id: bought_at_home(animal, rates, today=today) for animal in book.animals()}


def bought_at_home(animal: AnimalRecord, rates: Rates, *, today: date) -> AnimalRecord:
    """Animal with its purchase in the book's money, at today's rate; without a rate it has none."""
    if animal.bought_minor is None or animal.bought_currency in {None, rates.home}:
        return animal
    try:
        minor: int | None = rates.to_home(animal.bought_minor, str(animal.bought_currency), today)
    except NoRate:
        minor = None
    return replace(animal, bought_minor=minor, bought_currency=None if minor is None else rates.home)
