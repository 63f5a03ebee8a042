"""Break-even points against the extension-text formula and against the margin itself."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from econ.decisions.break_even import LateSales, break_even
from econ.decisions.outcomes import expected_margin
from tests.econ.decisions.cases import binomial_odds, flat_young, make_young


def points(odds, young, *, season=200.0, clutch=50.0, overhead=0.0, left=(90.0, 60.0, 30.0, 10.0)):
    late = LateSales(first=3, left=np.array(left))
    return break_even(odds, young, season_cost=season, clutch_cost=clutch, overhead=overhead, late=late)


def test_break_even_price_is_total_costs_over_yield():
    # Extension teaching texts on enterprise budgets: break-even price = (total costs - other income) / yield
    odds, young = binomial_odds(eggs=5, hatch=1.0), flat_young(price=100.0, keeping=12.0)
    found = points(odds, young, overhead=90.0)
    assert found.price == pytest.approx((200 + 50 + 90 + 5 * 12) / 5)
    assert found.variable_price == pytest.approx((200 + 50 + 5 * 12) / 5)
    assert found.hatchlings == pytest.approx((200 + 50 + 90) / (100 - 12))
    assert found.eggs == pytest.approx(found.hatchlings)


@given(scale=some.floats(0.2, 5.0), season=some.floats(1.0, 900.0), laying=some.floats(0.2, 1.0))
def test_at_the_break_even_price_the_expected_margin_is_zero(scale, season, laying):
    odds = dataclasses.replace(
        binomial_odds(eggs=6, hatch=0.8, laying=laying, parents=2), weights=np.array([0.4, 0.6])
    )
    young = make_young(log_price=make_young().log_price + np.log(scale))
    found = points(odds, young, season=season)
    counts = odds.weights * odds.mean_by_parents / odds.mean
    average = float(counts @ young.shares @ young.sales_per_hatchling) / young.sold_share
    level = found.price / average
    at_break_even = dataclasses.replace(young, log_price=young.log_price + np.log(level))
    assert expected_margin(odds, at_break_even, season_cost=season, clutch_cost=50.0) == pytest.approx(
        0.0, abs=1e-7 * season
    )


def test_young_that_lose_money_each_have_no_break_even_number():
    found = points(binomial_odds(eggs=6, hatch=1.0), flat_young(price=10.0, keeping=12.0))
    assert found.hatchlings is None
    assert found.eggs is None
    assert found.price > 12.0


def test_latest_month_is_the_last_of_the_unbroken_run_that_covers_costs():
    odds = binomial_odds(eggs=5, hatch=1.0)
    young = flat_young(price=100.0)
    assert (
        points(odds, young, left=(90.0, 60.0, 30.0, 80.0)).last_month == 4
    )  # 5 x 60 covers 250, 5 x 30 does not
    assert points(odds, young, left=(40.0, 60.0)).last_month is None
    assert (
        points(odds, young, left=(90.0, 60.0, 55.0)).last_month
        == 5
        == points(odds, young, left=(90.0,) * 3).horizon
    )


def test_no_young_no_break_even_price():
    found = points(binomial_odds(eggs=6, hatch=0.0), flat_young(price=100.0))
    assert found.price is None
