"""What is a sum in another currency worth in the book's money on a day? By rates the breeder entered."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal

from econ.money import exact_amount, minor_digits


class NoRate(ValueError):
    """A sum in a currency for which no rate is known.

    Attributes
    ----------
    currency
        ISO 4217 code of the sum's money.
    """

    def __init__(self, currency: str, home: str) -> None:
        super().__init__(
            f"no exchange rate from {currency} to {home} is known; "
            f"enter what one {currency} is worth in {home}"
        )
        self.currency = currency


@dataclass(frozen=True)
class Rates:
    """Exchange rates into one currency.

    Attributes
    ----------
    home
        Code of the book's money (ISO 4217).
    quoted
        For each other currency, days from which a rate holds with what one unit is worth in `home`,
        oldest first. Before the first day, the first rate is taken.
    """

    home: str
    quoted: Mapping[str, tuple[tuple[date, Decimal], ...]]

    def rate(self, currency: str, on: date) -> Decimal:
        """What one unit of a currency is worth on a day [`home` a unit].

        Raises
        ------
        NoRate
            If none is known for this currency.
        """
        if currency == self.home:
            return Decimal(1)
        known = self.quoted.get(currency, ())
        if not known:
            raise NoRate(currency, self.home)
        place = bisect_right(known, on, key=lambda entry: entry[0])
        return known[max(place - 1, 0)][1]

    def to_home(self, minor: int, currency: str, on: date) -> int:
        """Sum in smallest units of `home`, rounded half to even; raises `NoRate`."""
        if currency == self.home:
            return minor
        worth = exact_amount(minor, currency) * self.rate(currency, on)
        return int(worth.scaleb(minor_digits(self.home)).to_integral_value(ROUND_HALF_EVEN))


def rates_of(home: str, rows: Iterable[tuple[date, str, Decimal]]) -> Rates:
    """Rates from rows of day, currency and what one unit is worth, in any order."""
    quoted: dict[str, list[tuple[date, Decimal]]] = {}
    for on, currency, worth in rows:
        quoted.setdefault(currency, []).append((on, worth))
    return Rates(home, {code: tuple(sorted(entries)) for code, entries in quoted.items()})
