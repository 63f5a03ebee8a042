from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from genetics.routes.first_year import counted_years, first_year


def test_what_is_not_reached_is_counted():
    found = first_year([0.25, 0.25, 0.0], seasons=3)
    assert found.not_reached == pytest.approx(0.5)
    assert found.chance.sum() + found.not_reached == pytest.approx(1.0)
    assert found.median == 2
    assert found.quantile(0.8) is None
    assert found.wait == pytest.approx(0.25 * 1 + 0.25 * 2 + 0.5 * 3)


def test_a_geometric_wait_has_scipys_quantiles_and_mean():
    found = first_year(stats.geom.pmf(np.arange(1, 400), 0.15), seasons=399)
    for share in (0.1, 0.5, 0.8, 0.9, 0.95):
        assert found.quantile(share) == stats.geom.ppf(share, 0.15)
    assert found.wait == pytest.approx(1 / 0.15, abs=1e-6)
    assert found.wait_interval() == (found.wait, found.wait)
    assert found.error == pytest.approx(np.zeros(399))


def test_seasons_beyond_the_given_chances_bring_nothing():
    assert first_year([1.0], seasons=3).chance.tolist() == [1.0, 0.0, 0.0]
    assert first_year([0.5, 0.5], seasons=1).not_reached == pytest.approx(0.5)


def test_counted_runs_keep_those_that_miss():
    found = counted_years([1, 3, 3, 0], seasons=4)
    assert found.chance.tolist() == [0.25, 0.0, 0.5, 0.0]
    assert found.not_reached == 0.25
    assert found.runs == 4
    assert found.seasons == 4
    by = np.array([0.25, 0.25, 0.75, 0.75])
    assert found.error == pytest.approx(np.sqrt(by * (1 - by) / 4))


def test_interval_of_the_wait_is_the_usual_one():
    years = np.array([1, 2, 2, 5, 0, 3, 1, 4])
    waits = np.where(years == 0, 6, years)
    low, high = counted_years(years, seasons=6).wait_interval()
    half = stats.norm.ppf(0.975) * stats.sem(waits)
    assert (low, high) == pytest.approx((waits.mean() - half, waits.mean() + half))


def test_bad_chances_are_refused():
    with pytest.raises(ValueError, match="1 or more"):
        first_year([0.5], seasons=0)
    with pytest.raises(ValueError, match="sum to 1"):
        first_year([0.7, 0.7], seasons=2)
    with pytest.raises(ValueError, match="above 0"):
        first_year([0.7], seasons=2).quantile(1.0)
