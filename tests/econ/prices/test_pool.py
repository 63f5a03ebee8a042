"""Pooling and the forecast's mixture: against loops over dense densities, and what must hold."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import ndtr

from econ.prices.forecast import PROBABILITIES, PastForecast, fit_trends, widening
from econ.prices.pool import DEFAULT_MEAN, DEFAULT_SHARE
from econ.prices.trend import series_of
from tests.econ.prices import oracle


def short_market(seed=3, traits=3, points=4):
    rng = np.random.default_rng(seed)
    series = []
    for i in range(traits):
        s = np.concatenate([[0.0], np.sort(rng.uniform(0.1, 2.0, points - 1))])
        y = -0.3 * (i + 1) / traits * s + np.cumsum(rng.normal(0, 0.05, points)) + rng.normal(0, 0.05, points)
        series.append((s, y - y.mean()))
    return series


@pytest.fixture(scope="module")
def slow_and_fast():
    series = short_market()
    trends, market = fit_trends({str(i): series_of(s, y) for i, (s, y) in enumerate(series)})
    return oracle.Pool(series), trends, market


@pytest.mark.parametrize(("trait", "ahead"), [(0, 0.0), (2, 1.0)])
def test_pooled_forecast_equals_the_slow_way(slow_and_fast, trait, ahead):
    pool, trends, _ = slow_and_fast
    weight, means, variances = pool.mixture(trait, ahead, pooled=True)
    mean = weight @ means
    first = math.sqrt(weight @ (variances + (means - mean) ** 2))
    w2, m2, v2 = pool.mixture(trait, ahead, pooled=False)
    second = math.sqrt(w2 @ (v2 + (m2 - w2 @ m2) ** 2))
    trend = trends[str(trait)]
    at = np.array([trend.series.span + ahead])
    found_mean, found_sd = trend.level(at)
    assert found_mean[0] == pytest.approx(mean, abs=2e-4)
    assert found_sd[0] == pytest.approx(max(first, second), rel=2e-3, abs=1e-5)
    offsets = trend.offsets(at)[:, 0]
    for probability, offset in zip(PROBABILITIES, offsets, strict=True):
        exact = brentq(lambda x, p=probability: weight @ ndtr((x - means) / np.sqrt(variances)) - p, -9, 9)
        assert offset == pytest.approx((exact - mean) / first, abs=0.03)


def test_what_the_market_shares_equals_the_slow_way(slow_and_fast):
    pool, _, market = slow_and_fast
    weight = pool.market(-1, pooled=True)  # no trait left out
    grid = [(m, s, w) for m, s in oracle.MARKET for w in oracle.SHARES]
    expected = [sum(p * row[k] for p, row in zip(weight, grid, strict=True)) for k in range(3)]
    assert [market.mean, market.between_sd, market.default_weight] == pytest.approx(expected, abs=1e-3)
    assert market.traits_used == ("0", "1", "2")


def test_fewer_than_three_traits_leave_the_default_drift_alone():
    a, b, c = short_market()
    trends, market = fit_trends({"a": series_of(*a), "b": series_of(*b), "c": series_of(c[0][:2], c[1][:2])})
    assert not market.pooled
    assert market.traits_used == ()
    assert market.mean == pytest.approx(0.35 * -0.08 + 0.25 * -0.15, abs=1e-12)
    assert "usual drift" in market.words
    alone, _ = fit_trends({"a": series_of(*a)})
    at = np.array([3.0])
    np.testing.assert_allclose(trends["a"].level(at), alone["a"].level(at), atol=1e-12)
    assert trends["a"].drift_before == trends["a"].drift_after


def test_one_price_takes_the_markets_drift():
    many = {str(i): series_of(s, y) for i, (s, y) in enumerate(short_market(traits=4))}
    trends, market = fit_trends(many | {"new": series_of([1.0], [4.0])})
    assert "new" not in market.traits_used
    new = trends["new"]
    mean, sd = new.level(np.array([1.0, 2.0]))
    assert mean[0] == pytest.approx(4.0, abs=1e-9)
    damped = (1 - math.exp(-0.35)) / 0.35
    assert mean[1] - mean[0] == pytest.approx(new.drift_after * damped, abs=1e-9)
    default = float(DEFAULT_SHARE @ DEFAULT_MEAN)
    blend = market.default_weight * default + (1 - market.default_weight) * market.mean
    assert new.drift_after == pytest.approx(blend, abs=0.01)
    assert sd[1] > sd[0] > 0.0


def test_a_trait_left_out_does_not_teach_the_others_but_is_forecast():
    many = {str(i): series_of(s, y) for i, (s, y) in enumerate(short_market(traits=5))}
    all_in, _ = fit_trends(many)
    without, market = fit_trends(many, left_out=["4"])
    assert market.traits_used == ("0", "1", "2", "3")
    at = np.array([3.0])
    # what it learns from the others is the same but for their own walk and noise
    assert without["4"].level(at)[0][0] == pytest.approx(all_in["4"].level(at)[0][0], abs=1e-3)
    assert abs(without["0"].level(at)[0][0] - all_in["0"].level(at)[0][0]) > 1e-4


def test_own_past_forecasts_only_widen():
    good = [PastForecast(0.01, 0.2, 0.1)] * 20
    bad = [PastForecast(0.6, 0.2, 0.1)] * 20
    assert widening(good) == 1.0
    assert widening(bad[:9]) == 1.0
    # z^2 = .36 / .05 = 7.2, so sqrt((144 + 20) / 40)
    assert widening(bad) == pytest.approx(math.sqrt(164 / 40), abs=1e-12)
    # z^2 counts 9 at most
    assert widening([PastForecast(9.0, 0.2, 0.1)] * 20) == pytest.approx(math.sqrt(200 / 40), abs=1e-12)
    series = {"a": series_of(*short_market()[0])}
    plain, wide = fit_trends(series)[0]["a"], fit_trends(series, past_forecasts=bad)[0]["a"]
    at = np.array([2.5, 4.0])
    np.testing.assert_allclose(wide.level(at)[1], plain.level(at)[1] * widening(bad), rtol=1e-12)
    np.testing.assert_allclose(wide.level(at)[0], plain.level(at)[0], rtol=1e-12)


def test_pooling_shrinks_a_lonely_drift_towards_its_market():
    rng = np.random.default_rng(0)
    s = np.linspace(0, 3, 25)
    market = {str(i): series_of(s, 5 - 0.3 * s + rng.normal(0, 0.05, 25)) for i in range(6)}
    trends, shared = fit_trends(market | {"short": series_of([2.0, 2.2, 2.4], [4.0, 4.0, 4.0])})
    assert shared.mean == pytest.approx(-0.3, abs=0.06)
    assert trends["short"].drift_after < trends["short"].drift_before - 0.05


def test_chance_below_a_price_agrees_with_the_ranges():
    trends, _ = fit_trends({str(i): series_of(s, y) for i, (s, y) in enumerate(short_market())})
    at = np.array([2.5])
    mean, sd = trends["0"].level(at)
    for probability, offset in zip(PROBABILITIES, trends["0"].offsets(at)[:, 0], strict=True):
        found = trends["0"].chance_below(float(mean[0] + offset * sd[0]), at)
        assert found[0] == pytest.approx(probability, abs=1e-9)
    chances = [trends["0"].chance_below(float(mean[0] + k * sd[0]), at)[0] for k in np.linspace(-4, 4, 33)]
    assert all(a < b for a, b in itertools.pairwise(chances))


def test_ranges_cover_what_they_say_on_simulated_markets():
    rng = np.random.default_rng(11)
    inside = {0.5: [], 1.0: [], 2.0: []}
    for _ in range(60):
        series, truth = {}, {}
        for trait in range(6):
            n = int(rng.integers(8, 26))
            s = np.sort(rng.uniform(0, 3, n))
            drift = rng.normal(-0.12, 0.10)
            step = np.linspace(0, 5, 261)
            walk = np.concatenate([[0], np.cumsum(rng.normal(0, 0.14 * math.sqrt(5 / 260), 260))])
            # the drift fades after the last price, as the method assumes
            path = np.where(step <= s[-1], step, s[-1] + (1 - np.exp(-0.35 * (step - s[-1]))) / 0.35)
            level = np.interp(s, step, walk + drift * path)
            series[str(trait)] = series_of(s, level + rng.normal(0, 0.12, n))
            truth[str(trait)] = {h: np.interp(s[-1] + h, step, walk + drift * path) for h in inside}
        trends, _ = fit_trends(series)
        for key, trend in trends.items():
            for h, hits in inside.items():
                at = np.array([trend.series.start + trend.series.span + h])
                mean, sd = trend.level(at)
                _, low, high, _ = mean[0] + trend.offsets(at)[:, 0] * sd[0]
                hits.append(low <= truth[key][h] <= high)
    for h, hits in inside.items():
        assert 0.74 <= np.mean(hits) <= 0.92, f"80 % range covers {np.mean(hits):.2f} at {h} years"
