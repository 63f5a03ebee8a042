"""Sums of money: exact both ways, refused where they are not."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from econ.money import (
    CURRENCIES,
    BadAmount,
    UnknownCurrency,
    exact_amount,
    from_minor,
    minor_digits,
    to_minor,
)


@pytest.mark.parametrize(
    ("code", "digits"),
    # second entry of the standard's values (ISO 4217), from memory
    [("EUR", 2), ("USD", 2), ("GBP", 2), ("CHF", 2), ("AUD", 2), ("ZAR", 2), ("JPY", 0), ("KRW", 0),
     ("CLP", 0), ("ISK", 0), ("HUF", 2), ("KWD", 3), ("BHD", 3), ("TND", 3)],
)  # fmt: skip
def test_decimals_of_currencies_iso_4217(code, digits):
    assert minor_digits(code) == digits


def test_every_code_is_three_capital_letters():
    assert all(len(code) == 3 and code.isascii() and code.isupper() for code in CURRENCIES)
    assert len(CURRENCIES) > 140


@pytest.mark.parametrize(
    ("amount", "currency", "minor"),
    [("12.50", "EUR", 1250), ("12.5", "EUR", 1250), ("0.1", "EUR", 10), (7, "EUR", 700),
     ("1500", "JPY", 1500), ("1.234", "KWD", 1234), (Decimal("-3.01"), "USD", -301),
     ("1E+3", "EUR", 100000), ("12.500", "EUR", 1250)],
)  # fmt: skip
def test_amount_to_smallest_units_by_hand(amount, currency, minor):
    assert to_minor(amount, currency) == minor


@pytest.mark.parametrize("amount", ["12.505", "0.001"])
def test_more_decimals_than_the_currency_has_are_refused_not_rounded(amount):
    with pytest.raises(BadAmount, match="more decimals than EUR has; allowed: 2"):
        to_minor(amount, "EUR")


@pytest.mark.parametrize("amount", ["", "abc", "NaN", "Infinity", "12,50", "1e400"])
def test_what_is_no_sum_of_money_is_refused(amount):
    with pytest.raises(BadAmount, match="allowed"):
        to_minor(amount, "EUR")


@pytest.mark.parametrize("code", ["", "eur", "XXQ", "EURO"])
def test_unknown_currency_says_what_is_allowed(code):
    with pytest.raises(UnknownCurrency, match="ISO 4217"):
        to_minor("1", code)
    with pytest.raises(UnknownCurrency):
        from_minor(1, code)


@given(st.integers(-(10**12), 10**12), st.sampled_from(sorted(CURRENCIES)))
def test_there_and_back_is_exact(minor, code):
    assert to_minor(exact_amount(minor, code), code) == minor
    assert from_minor(minor, code) == float(exact_amount(minor, code))
