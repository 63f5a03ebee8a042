"""One trait's trend: against dense conditioning, numerical integration, and what must not change it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from econ.prices.trend import (
    NOISE,
    WALK,
    drift_evidence,
    drift_given_data,
    fit_cells,
    level_given_drift,
    series_of,
)
from tests.econ.prices import oracle

YEARS = np.array([0.0, 0.2, 0.55, 0.9, 1.4, 2.1])
LOGS = np.array([5.0, 5.1, 4.8, 4.75, 4.6, 4.3])
MEANS, VARIANCES = np.array([0.0, -0.15]), np.array([0.02, 0.25]) ** 2


def dense_level(cells, at, mean, variance):
    """Level's mean and variance in each cell with the drift's normal prior put in."""
    drift, spread = drift_given_data(cells, np.array([mean]), np.array([variance]))
    offset, pull, own = level_given_drift(cells, np.array([at]))
    centre = cells.series.centre
    return centre + (offset + drift * pull)[:, 0], (own + spread * pull**2)[:, 0]


def test_grid_has_36_cells_in_the_order_of_the_method():
    assert [
        (round(math.sqrt(q), 3), round(math.sqrt(r), 3)) for q, r in zip(WALK, NOISE, strict=True)
    ] == oracle.CELLS


def test_evidence_equals_the_dense_density_up_to_one_constant():
    cells = fit_cells(series_of(YEARS, LOGS))
    found = drift_evidence(cells, MEANS, VARIANCES)
    centred = LOGS - LOGS.mean()
    slow = np.array(
        [[oracle.evidence(YEARS, centred, c, m, math.sqrt(v)) for m, v in zip(MEANS, VARIANCES, strict=True)]
         for c in oracle.CELLS]
    )  # fmt: skip
    gap = found - slow
    assert np.ptp(gap) == pytest.approx(0.0, abs=2e-3)


@pytest.mark.parametrize("ahead", [0.0, 0.25, 1.0, 3.0])
def test_level_ahead_equals_dense_conditioning(ahead):
    cells = fit_cells(series_of(YEARS, LOGS))
    mean, variance = dense_level(cells, YEARS[-1] + ahead, -0.15, 0.25**2)
    for i, cell in enumerate(oracle.CELLS):
        slow = oracle.level(YEARS, LOGS - 5.0, cell, -0.15, 0.25, ahead)
        assert mean[i] - 5.0 == pytest.approx(slow[0], abs=2e-5)
        assert variance[i] == pytest.approx(slow[1], rel=2e-4, abs=1e-6)


def test_level_between_prices_equals_dense_conditioning():
    # the oracle knows only times after the last price, so condition by hand at a time in between
    cells = fit_cells(series_of(YEARS, LOGS))
    at, mu, sd = 0.7, -0.08, 0.10
    mean, variance = dense_level(cells, at, mu, sd**2)
    for i, (walk, noise) in enumerate(oracle.CELLS):
        times = np.append(YEARS, at)
        cov = 1e4 + walk**2 * np.minimum.outer(times, times) + sd**2 * np.outer(times, times)
        cov += np.diag(np.append(np.full(6, noise**2), 0.0))
        gain = np.linalg.solve(cov[:6, :6], cov[:6, 6])
        assert mean[i] == pytest.approx(5.0 + mu * at + gain @ (LOGS - 5.0 - mu * YEARS), abs=2e-5)
        assert variance[i] == pytest.approx(cov[6, 6] - gain @ cov[:6, 6], rel=5e-4, abs=1e-6)


def test_both_ways_to_a_later_level_agree():
    cells = fit_cells(series_of(YEARS, LOGS))
    late = np.array([2.1, 2.6, 4.0])
    fast = level_given_drift(cells, late)
    mixed = level_given_drift(cells, np.append(late, 0.3))
    for one, other in zip(fast, mixed, strict=True):
        np.testing.assert_allclose(one, other[:, :3], rtol=1e-9, atol=1e-12)


def test_drift_mixture_equals_numerical_integration():
    cells = fit_cells(series_of(YEARS, LOGS))
    shares = np.array([w for w, _, _ in oracle.DEFAULT])
    means = np.array([m for _, m, _ in oracle.DEFAULT])
    variances = np.array([s for _, _, s in oracle.DEFAULT]) ** 2
    for i in (8, 21, 30):
        weight = shares * np.exp(drift_evidence(cells, means, variances)[i] - 10.0)
        weight /= weight.sum()
        drift = drift_given_data(cells, means, variances)[0][i]
        offset, pull, _ = level_given_drift(cells, np.array([3.1]))
        found = cells.series.centre + offset[i, 0] + float(weight @ drift) * pull[i, 0]
        slow = oracle.level_by_integrating(YEARS, LOGS - 5.0, oracle.CELLS[i], oracle.DEFAULT, 1.0)
        assert found - 5.0 == pytest.approx(slow, abs=2e-4)


def test_prices_of_one_day_are_merged_without_loss():
    years = np.array([0.0, 0.0, 0.0, 1.0, 1.0, 2.0])
    cells = fit_cells(series_of(years, LOGS))
    assert cells.series.weights.tolist() == [3.0, 2.0, 1.0]
    found = drift_evidence(cells, MEANS, VARIANCES)
    centred = LOGS - LOGS.mean()
    slow = np.array(
        [[oracle.evidence(years, centred, c, m, math.sqrt(v)) for m, v in zip(MEANS, VARIANCES, strict=True)]
         for c in oracle.CELLS]
    )  # fmt: skip
    assert np.ptp(found - slow) == pytest.approx(0.0, abs=5e-3)
    mean, variance = dense_level(cells, 2.5, 0.0, 0.02**2)
    for i, cell in enumerate(oracle.CELLS):
        slow = oracle.level(years, LOGS - 5.0, cell, 0.0, 0.02, 0.5)
        assert mean[i] - 5.0 == pytest.approx(slow[0], abs=2e-4)
        assert variance[i] == pytest.approx(slow[1], rel=2e-3, abs=1e-6)


def test_more_than_60_days_are_binned_with_hardly_any_change():
    rng = np.random.default_rng(4)
    years = np.sort(rng.uniform(0, 4, 240))
    logs = 5 - 0.2 * years + rng.normal(0, 0.1, 240)
    binned = series_of(years, logs)
    assert binned.weights.size <= 60
    assert binned.count == 240
    cells = fit_cells(binned)
    i = oracle.CELLS.index((0.10, 0.12))
    mean, variance = dense_level(cells, years[-1] - years[0] + 0.5, -0.08, 0.10**2)
    slow = oracle.level(years - years[0], logs - 5.0, oracle.CELLS[i], -0.08, 0.10, 0.5)
    assert mean[i] - 5.0 == pytest.approx(slow[0], abs=0.01)
    assert math.sqrt(variance[i]) == pytest.approx(math.sqrt(slow[1]), rel=0.02)


def test_a_trend_needs_three_prices_over_a_quarter_of_a_year():
    assert series_of([0, 0.1, 0.25], [1, 1, 1]).has_trend
    assert not series_of([0, 0.1, 0.2], [1, 1, 1]).has_trend
    assert not series_of([0, 5.0], [1, 1]).has_trend


@pytest.mark.parametrize(
    ("years", "logs"), [([], []), ([0.0], [math.nan]), ([0.0, 1.0], [1.0]), ([math.inf], [1.0])]
)
def test_a_series_without_good_prices_is_refused(years, logs):
    with pytest.raises(ValueError, match="at least one date"):
        series_of(years, logs)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 5), st.floats(2, 8)), min_size=1, max_size=12),
    st.floats(-4, 4),
    st.randoms(),
)
def test_a_constant_in_logs_shifts_the_level_and_order_does_not_matter(points, shift, shuffler):
    one = fit_cells(series_of([p[0] for p in points], [p[1] for p in points]))
    mixed = list(points)
    shuffler.shuffle(mixed)
    other = fit_cells(series_of([p[0] for p in mixed], [p[1] + shift for p in mixed]))
    np.testing.assert_allclose(other.log_likelihood, one.log_likelihood, rtol=1e-6, atol=1e-6)
    at = one.series.span + 1.0
    a, b = dense_level(one, at, -0.1, 0.01), dense_level(other, at, -0.1, 0.01)
    np.testing.assert_allclose(b[0], a[0] + shift, atol=1e-7)
    np.testing.assert_allclose(b[1], a[1], rtol=1e-7)
