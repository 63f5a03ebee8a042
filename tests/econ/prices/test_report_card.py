"""The report card: published smoothing values, and errors counted as said."""

from __future__ import annotations

import numpy as np
import pytest

from econ.prices.market import fit_market
from econ.prices.report_card import (
    LEAST_BEFORE,
    METHODS,
    OURS,
    damped_trend,
    holt,
    last_price,
    moving_level,
    report_card,
    simple_smoothing,
    straight_line,
)
from tests.econ.prices.cases import TODAY, published, simulate

# oil and air: the series of statsmodels' published tests of exponential smoothing
OIL = np.array(
    [446.6565229, 454.4733065, 455.6629740, 423.6322388, 456.2713279, 440.5880501, 425.3325201, 485.1494479,
     506.0481621, 526.7919833, 514.2688890, 494.2110193]
)  # fmt: skip
AIR = np.array(
    [17.5534, 21.8601, 23.8866, 26.9293, 26.8885, 28.8314, 30.0751, 30.9535, 30.1857, 31.5797, 32.577569,
     33.477398, 39.021581, 41.386432, 41.596552]
)  # fmt: skip


@pytest.mark.parametrize("weight", [0.2, 0.6])
def test_simple_smoothing_of_the_oil_values(weight):
    value, tolerance = published()[f"oil_simple_smoothing_alpha_{weight}"]
    assert simple_smoothing(OIL, level=weight)[0] == pytest.approx(value, abs=tolerance)


def test_trend_smoothing_of_the_air_values():
    found = holt(AIR, steps=5, level=0.8, trend=0.2)
    for step, value in enumerate(found, start=1):
        expected, tolerance = published()[f"air_holt_0.8_0.2_step_{step}"]
        assert value == pytest.approx(expected, abs=tolerance)


YEARS = 2020 + np.arange(24) / 12 + 0.01
FALLING = 6 - 0.3 * (YEARS - 2020)
AHEAD = np.array([2022.0, 2022.5])


def test_simple_methods_on_an_exact_line():
    np.testing.assert_allclose(straight_line(YEARS, FALLING, AHEAD), 6 - 0.3 * (AHEAD - 2020), atol=1e-9)
    np.testing.assert_allclose(last_price(YEARS, FALLING, AHEAD), FALLING[-1])
    damped = damped_trend(YEARS, FALLING, AHEAD)
    assert (6 - 0.3 * 2.5) < damped[1] < damped[0] < FALLING[-1]
    level = moving_level(YEARS, np.full(24, 5.0) + 0.05 * (-1.0) ** np.arange(24), AHEAD)
    np.testing.assert_allclose(level, 5.0, atol=0.03)


def test_errors_are_the_mean_gaps_of_forecasts_from_the_past():
    cards = {r.name: r for r in report_card((YEARS, FALLING))}
    assert set(cards) == {OURS, *METHODS}
    # by hand for "last price stays": from each of the chosen days, later points of two years
    days = [i for i in range(24) if i + 1 >= LEAST_BEFORE and i < 23]
    picked = [days[j] for j in np.unique(np.linspace(0, len(days) - 1, 12).round().astype(int))]
    gaps = [FALLING[i] - FALLING[k] for i in picked for k in range(i + 1, 24)]
    card = cards["last price stays"]
    assert card.n_forecasts == len(gaps)
    assert card.error == pytest.approx(np.mean(gaps), abs=1e-9)
    assert cards["straight line"].error == pytest.approx(0.0, abs=1e-9)
    assert cards[OURS].error < card.error


def test_a_forecast_from_the_past_does_not_see_what_came_later():
    rng = np.random.default_rng(0)
    logs = FALLING + rng.normal(0, 0.05, 24)
    changed = logs.copy()
    changed[-1] += 5.0  # only forecasts of that one price change, all by the same 5
    one, other = report_card((YEARS, logs)), report_card((YEARS, changed))
    for a, b in zip(one, other, strict=True):
        # one forecast of it from each of 12 days; had any fit seen it, all later forecasts would move too
        moved = b.error * b.n_forecasts - a.error * a.n_forecasts
        assert moved == pytest.approx(5.0 * 12, abs=12.0), a.name


def test_too_short_a_history_says_so():
    for card in report_card((YEARS[:LEAST_BEFORE], FALLING[:LEAST_BEFORE])):
        assert np.isnan(card.error)
        assert card.n_forecasts == 0
        assert "too few prices" in card.words


@pytest.mark.parametrize(
    "years",
    [
        [0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.30, 0.50],  # nearly all in the first month
        [0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1.001],  # two days a year apart
        [0, 0.1, 0.2, 0.3, 0.4, 0.5, 4.0, 5.0],  # a gap of years
    ],
)
@pytest.mark.parametrize("noise", [0.0, 0.1])
def test_uneven_histories_are_carried_through(years, noise):
    logs = 5 + noise * (-1.0) ** np.arange(len(years))
    cards = report_card((np.array(years, dtype=float), logs))
    counts = {c.n_forecasts for c in cards}
    assert len(counts) == 1
    assert counts.pop() >= 1
    assert all(c.error <= 2 * noise + 0.2 for c in cards)


def test_the_card_takes_an_outlook_and_what_the_other_traits_taught():
    market = fit_market(simulate(150, seed=2).observations, today=TODAY, currency="EUR")
    outlook = max(market.traits, key=lambda o: o.n)
    alone, taught = report_card(outlook), report_card(outlook, others=market.traits)
    assert alone[0].name == taught[0].name == OURS
    assert alone[0].error != taught[0].error
    assert [r.error for r in alone[1:]] == [r.error for r in taught[1:]]
