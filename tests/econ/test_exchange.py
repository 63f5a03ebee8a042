"""Sums in other currencies: exact decimal arithmetic, the rate of the day, half to even."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from econ.exchange import NoRate, rates_of
from econ.money import CURRENCIES

RATES = rates_of(
    "EUR",
    [
        (date(2026, 3, 1), "USD", Decimal("0.92")),
        (date(2026, 1, 1), "USD", Decimal("0.96")),
        (date(2026, 1, 1), "JPY", Decimal("0.0061")),
        (date(2026, 1, 1), "KWD", Decimal(3)),
    ],
)


@pytest.mark.parametrize(
    ("on", "worth"),
    [
        (date(2026, 2, 28), 9600),  # 100.00 USD at .96
        (date(2026, 3, 1), 9200),  # the new rate holds from its day on
        (date(2027, 1, 1), 9200),
        (date(2025, 1, 1), 9600),  # before the first rate the first one is taken
    ],
)
def test_the_rate_of_the_day(on, worth):
    assert RATES.to_home(10_000, "USD", on) == worth


def test_currencies_with_none_or_three_decimals():
    assert RATES.to_home(25_000, "JPY", date(2026, 6, 1)) == 15_250  # 25,000 yen x 0.0061 = 152.50
    assert RATES.to_home(1_500, "KWD", date(2026, 6, 1)) == 450  # 1.500 dinar x 3 = 4.50
    assert RATES.to_home(77, "EUR", date(2026, 6, 1)) == 77


def test_a_currency_without_a_rate_is_refused_with_what_to_enter():
    with pytest.raises(NoRate, match=r"GBP.*enter what one GBP is worth in EUR") as refused:
        RATES.to_home(1, "GBP", date(2026, 6, 1))
    assert refused.value.currency == "GBP"


@given(
    minor=st.integers(0, 10**12),
    code=st.sampled_from(sorted(CURRENCIES)),
    home=st.sampled_from(sorted(CURRENCIES)),
    rate=st.decimals("0.000001", "1000", places=6),
    days=st.integers(-500, 500),
)
def test_a_sum_agrees_with_fractions(minor, code, home, rate, days):
    """Python's own Fraction as the second way; half to even as `decimal` documents it."""
    day = date(2026, 1, 1)
    rates = rates_of(home, [(day, code, rate)])
    found = rates.to_home(minor, code, day + timedelta(days=days))
    if code == home:
        assert found == minor
        return
    exact = Fraction(minor, 10 ** CURRENCIES[code]) * Fraction(rate) * 10 ** CURRENCIES[home]
    assert found == round(exact)  # Python rounds fractions half to even
    with localcontext() as context:
        context.prec = 60
        scaled = Decimal(minor).scaleb(CURRENCIES[home] - CURRENCIES[code]) * rate
        assert found == int(scaled.to_integral_value(ROUND_HALF_EVEN))
