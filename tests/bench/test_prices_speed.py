"""Speed of the price room: ratios within one run, growth with the book, and a printed table."""

from __future__ import annotations

import time
from datetime import timedelta

import numpy as np
import pytest

from econ.prices.forecast import fit_trends
from econ.prices.market import fit_market
from econ.prices.trend import series_of
from genetics.genes.traits import Trait
from tests.econ.prices.cases import GENES, TODAY, simulate

pytestmark = pytest.mark.bench


def best(work, times=5):
    """Shortest of several runs [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def logs_of(traits, points, seed=0):
    rng = np.random.default_rng(seed)
    rows = {}
    for i in range(traits):
        s = np.sort(rng.uniform(0, 3, points))
        rows[str(i)] = (s, 5 - 0.15 * s + np.cumsum(rng.normal(0, 0.04, points)) + rng.normal(0, 0.1, points))
    return rows


def show(title, rows):
    print(f"\n{title}")
    for name, seconds in rows:
        print(f"  {name:<58}{1e3 * seconds:9.1f} ms")


def test_pooled_forecast_against_one_fit_each_by_statsmodels():
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    rows = logs_of(15, 25)

    def ours():
        trends, _ = fit_trends({k: series_of(s, y) for k, (s, y) in rows.items()})
        for trend in trends.values():
            trend.level(np.linspace(3.1, 5, 24))

    def theirs():
        for _, y in rows.values():
            UnobservedComponents(y, "lldtrend").fit(disp=False).forecast(24)

    fast, slow = best(ours), best(theirs, times=1)
    double = {**rows, **{f"x{k}": v for k, v in logs_of(15, 25, seed=1).items()}}
    twice = best(lambda: fit_trends({k: series_of(s, y) for k, (s, y) in double.items()}))
    show(
        "Pooled forecast",
        [
            ("15 traits of 25 points, pooled", fast),
            ("15 separate state-space fits", slow),
            ("30 traits, pooled", twice),
        ],
    )
    assert fast < 0.5 * slow
    assert twice < 4.0 * fast


def test_market_and_many_prices():
    small, large = simulate(600, seed=0).observations, simulate(5000, seed=0).observations
    fit = best(lambda: fit_market(small, today=TODAY, currency="EUR"))
    big = best(lambda: fit_market(large, today=TODAY, currency="EUR"), times=2)
    market = fit_market(small, today=TODAY, currency="EUR")
    rng = np.random.default_rng(1)
    animals = [
        tuple(Trait(GENES[i], "visual") for i in rng.choice(len(GENES), rng.integers(0, 5), replace=False))
        for _ in range(300)
    ]
    on = [TODAY + timedelta(days=30 * i) for i in range(19)]
    one = best(lambda: market.price(animals[0], on=on[:4]), times=20)
    many = best(lambda: market.price_many(animals, on=on))
    show(
        "Market",
        [
            ("fit, 600 prices of 18 traits", fit),
            ("fit, 5,000 prices of 18 traits", big),
            ("one combination, 4 dates", one),
            ("300 combinations, 19 dates", many),
        ],
    )
    assert big < 8.4 * fit  # grows slower than the number of prices
    assert many < 0.5 * 300 * one
    assert many < fit
