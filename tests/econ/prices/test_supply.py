"""Supply and price: smoothing, a dense second way, and saying when the data do not say."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from econ.prices import supply as room
from econ.prices.design import year_of
from econ.prices.observations import SupplyCount
from econ.prices.supply import TooFewCounts, smooth_supply, supply_price
from econ.prices.trend import series_of
from genetics.genes.traits import Trait
from tests.econ.prices.cases import days_ago

CLOWN = (Trait("clown", "visual"),)


def counts_of(levels, *, every=30.0):
    """Supply counts, the last one today."""
    n = len(levels)
    return [
        SupplyCount(on=days_ago(every * (n - 1 - i)), what="clown", traits=CLOWN, offered=round(v))
        for i, v in enumerate(levels)
    ]


def years_of(counts):
    return np.array([year_of(c.on) for c in counts])


def test_smoothing_keeps_a_straight_line_of_logs():
    counts = counts_of(1000 * np.exp(0.02 * np.arange(40)))
    smooth = smooth_supply(counts)
    np.testing.assert_allclose(smooth.log_level, np.log(1000.5) + 0.02 * np.arange(40), atol=0.01)


def test_smoothing_takes_out_most_of_the_counting_noise():
    rng = np.random.default_rng(0)
    counts = counts_of(100 * np.exp(rng.normal(0, 0.3, 80)), every=15)
    smooth = smooth_supply(counts)
    assert smooth.log_level.std() < 0.4 * np.log(smooth.counts + 0.5).std()


def test_counts_of_one_day_are_added_and_other_animals_left_aside():
    counts = counts_of([10, 20, 30])
    other = SupplyCount(on=days_ago(0), what="pied", traits=(Trait("pied", "visual"),), offered=500)
    twice = SupplyCount(on=days_ago(0), what="clown", traits=CLOWN, offered=5)
    smooth = smooth_supply([*counts, other, twice], key="clown")
    assert smooth.counts.tolist() == [10.0, 20.0, 35.0]


def test_no_count_at_all_is_refused():
    with pytest.raises(TooFewCounts, match="no supply counts of pied"):
        smooth_supply(counts_of([1, 2]), key="pied")


def wavy(seed, *, flexibility=-0.7, drift=0.0, walk=0.05, noise=0.12, n=60):
    """Supply that rises with waves, and log prices that follow it."""
    rng = np.random.default_rng(seed)
    t = np.linspace(0, 4, n)
    log_supply = 4 + 0.1 * t + 0.7 * np.sin(1.7 * t + seed)
    counts = counts_of(np.exp(log_supply), every=4 * 365.25 / (n - 1))
    level = (
        6 + flexibility * (log_supply - 4) + drift * t + np.cumsum(rng.normal(0, walk * math.sqrt(4 / n), n))
    )
    return counts, level + rng.normal(0, noise, n)


def test_flexibility_is_found_and_covered_on_simulated_markets():
    inside, means = [], []
    for seed in range(40):
        counts, logs = wavy(seed)
        found = supply_price(smooth_supply(counts), years_of(counts), logs)
        assert found.says
        inside.append(found.low <= -0.7 <= found.high)
        means.append(found.mean)
    assert np.mean(means) == pytest.approx(-0.7, abs=0.07)
    assert 0.70 <= np.mean(inside) <= 0.98


def test_noisy_counts_put_into_plain_regression_make_flooding_look_harmless():
    rng = np.random.default_rng(0)
    plain, ours = [], []
    for seed in range(25):
        counts, logs = wavy(seed)
        noisy = [
            c.model_copy(update={"offered": max(1, round(c.offered * math.exp(rng.normal(0, 0.4))))})
            for c in counts
        ]
        t = years_of(noisy)
        design = np.column_stack([np.ones(len(t)), t - t[0], np.log([c.offered for c in noisy])])
        plain.append(np.linalg.lstsq(design, logs, rcond=None)[0][2])
        ours.append(supply_price(smooth_supply(noisy), t, logs).mean)
    assert np.mean(plain) > -0.45
    assert abs(np.mean(ours) + 0.7) < 0.5 * abs(np.mean(plain) + 0.7)


def test_posterior_equals_dense_conditioning_over_the_same_grid():
    counts, logs = wavy(3, n=12)
    smooth = smooth_supply(counts)
    found = supply_price(smooth, years_of(counts), logs)
    s = years_of(counts) - years_of(counts)[0]
    x = smooth.log_level - smooth.log_level.mean()
    weights, means, sds = [], [], []
    for walk in (0.02, 0.06, 0.12, 0.25):
        for noise in (0.10, 0.18, 0.28, 0.42):
            cov = 1e5 + 0.35**2 * np.outer(x, x) + 0.08**2 * np.outer(s, s)
            cov = cov + walk**2 * np.minimum.outer(s, s) + noise**2 * np.eye(12)
            weights.append(multivariate_normal(6 - 0.5 * x, cov).logpdf(logs))
            gain = np.linalg.solve(cov, 0.35**2 * x)
            means.append(-0.5 + gain @ (logs - 6 + 0.5 * x))
            sds.append(math.sqrt(0.35**2 - gain @ (0.35**2 * x)))
    weight = np.exp(np.array(weights) - max(weights))
    weight /= weight.sum()
    mean = weight @ means
    sd = math.sqrt(weight @ (np.array(sds) ** 2 + (np.array(means) - mean) ** 2))
    assert found.says
    assert found.mean == pytest.approx(mean, abs=2e-4)
    assert found.sd == pytest.approx(sd, abs=2e-4)
    assert found.data_weight == pytest.approx(1 - (sd / 0.35) ** 2, abs=2e-3)
    for point, probability in ((found.low, 0.1), (found.median, 0.5), (found.high, 0.9)):
        assert weight @ norm.cdf(point, means, sds) == pytest.approx(probability, abs=1e-3)


def test_a_narrow_range_of_supply_says_nothing():
    counts, logs = counts_of([100, 110, 120, 110, 100, 105] * 5), np.full(30, 5.0)
    found = supply_price(smooth_supply(counts), years_of(counts), logs)
    assert not found.says
    assert (found.mean, found.sd) == (-0.5, 0.35)
    assert found.words.startswith("Your data do not say; this is the assumption")
    assert "1.5-fold is needed" in found.words


def test_supply_that_only_follows_a_trend_says_nothing():
    counts = counts_of(20 * np.exp(0.05 * np.arange(40)))
    found = supply_price(smooth_supply(counts), years_of(counts), 6 - 0.03 * np.arange(40))
    assert found.correlation > 0.99
    assert found.beside_trend < 0.2
    assert not found.says
    assert "steady trend" in found.words
    assert (found.low, found.high) == pytest.approx(tuple(norm.ppf([0.1, 0.9], -0.5, 0.35)), abs=1e-9)


def test_too_few_prices_beside_the_counts_say_nothing():
    counts = counts_of([10, 40, 20, 60])
    found = supply_price(smooth_supply(counts), years_of(counts)[:2], [5.0, 4.0])
    assert not found.says
    assert "2 prices" in found.words
    assert math.isnan(found.correlation)


def test_constant_added_to_log_prices_changes_nothing():
    counts, logs = wavy(1)
    one = supply_price(smooth_supply(counts), years_of(counts), logs)
    other = supply_price(smooth_supply(counts), years_of(counts), logs + 3)
    assert other.mean == pytest.approx(one.mean, abs=1e-7)
    assert other.sd == pytest.approx(one.sd, abs=1e-7)


def test_correlation_of_time_and_supply_is_that_of_the_counted_days():
    counts, logs = wavy(2)
    smooth = smooth_supply(counts)
    series = series_of(years_of(counts), logs)
    expected = np.corrcoef(series.years, smooth.log_level)[0, 1]
    assert room._beside_trend(series, smooth.log_level)[0] == pytest.approx(expected, abs=1e-9)
