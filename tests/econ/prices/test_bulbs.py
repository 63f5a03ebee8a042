"""Novelties that multiply: bulb prices of Garber (1989), drawn out as smooth falls between their two ends."""

from __future__ import annotations

import math

import numpy as np
import pytest

from econ.prices.forecast import fit_trends
from econ.prices.trend import series_of
from tests.econ.prices.cases import published

LEFT = [published()[f"bulb_{i}_left_after_32_years"][0] for i in (1, 2, 3, 4)]


@pytest.fixture(scope="module")
def bulbs():
    years = np.arange(33.0)
    return fit_trends(
        {str(i): series_of(years, 6 + math.log(left) * years / 32) for i, left in enumerate(LEFT)}
    )


def test_over_32_years_the_bulbs_fell_10_to_22_percent_a_year(bulbs):
    trends, _ = bulbs
    for i, left in enumerate(LEFT):
        found = math.expm1(trends[str(i)].drift_after)
        assert found == pytest.approx(left ** (1 / 32) - 1, abs=0.02)
        assert -0.23 < found < -0.09


def test_the_market_of_bulbs_falls_as_its_bulbs_do(bulbs):
    _, market = bulbs
    assert market.pooled
    assert market.mean == pytest.approx(np.mean(np.log(LEFT)) / 32, abs=0.05)


def test_a_fall_of_28_percent_is_seen_and_forecast_to_slow_down():
    rate, _ = published()["bulbs_fall_a_year"]
    years = np.linspace(0, 4, 30)
    trends, _ = fit_trends({str(i): series_of(years, 6 + i + math.log1p(rate) * years) for i in range(4)})
    trend = trends["0"]
    assert math.expm1(trend.drift_after) == pytest.approx(rate, abs=0.02)
    mean, _ = trend.level(np.array([4.0, 5.0, 6.0, 7.0]))
    falls = -np.diff(mean)
    assert falls[0] > falls[1] > falls[2] > 0.0
    assert falls[0] == pytest.approx(-math.log1p(rate) * (1 - math.exp(-0.35)) / 0.35, abs=0.02)
