"""Odds over hatchlings, clutches, seasons and females, against scipy and slow counting."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics import (
    BadShares,
    at_least,
    at_least_one,
    clutch_size_pmf,
    hatchling_pmf,
    hatchlings_needed,
    one_in_a_season,
    one_of_several,
    rule_of_thumb,
)
from tests.oracles import miss_all


@settings(max_examples=60, deadline=None)
@given(st.floats(0.001, 0.999), st.integers(0, 80))
def test_first_hit_is_geometric_as_in_scipy(share, hatchlings):
    assert at_least_one(share, hatchlings) == pytest.approx(stats.geom.cdf(hatchlings, share), abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.01, 0.99), st.integers(1, 6), st.integers(0, 40))
def test_several_hits_are_negative_binomial_as_in_scipy(share, wanted, hatchlings):
    expected = stats.nbinom.cdf(hatchlings - wanted, wanted, share)
    assert at_least(wanted, share, hatchlings) == pytest.approx(expected, abs=1e-11)


@pytest.mark.parametrize("share", [1 / 64, 1 / 16, 1 / 7, 0.25, 0.5, 0.9])
@pytest.mark.parametrize("chance", [0.5, 0.8, 0.9, 0.95, 0.99])
def test_needed_is_the_quantile_of_scipys_geometric(share, chance):
    assert hatchlings_needed(share, chance).hatchlings == int(stats.geom.ppf(chance, share))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0.0, 1.0), min_size=2, max_size=5), st.integers(0, 30), st.data())
def test_uncertain_parents_are_a_mixture(shares, hatchlings, data):
    raw = data.draw(st.lists(st.floats(0.01, 1.0), min_size=len(shares), max_size=len(shares)))
    weights = np.array(raw) / sum(raw)
    expected = 1 - miss_all(shares, list(weights), hatchlings)
    assert at_least_one(shares, hatchlings, weights=weights) == pytest.approx(expected, abs=1e-12)


def test_one_hatchling_is_enough_when_all_are_wanted():
    assert hatchlings_needed(1.0, 0.99).hatchlings == 1


def test_needed_of_a_mixture_is_the_first_number_that_reaches_it():
    shares, weights = [0.25, 0.125, 0.0], [4 / 9, 4 / 9, 1 / 9]
    needed = hatchlings_needed(shares, 0.8, weights=weights)
    assert at_least_one(shares, needed.hatchlings, weights=weights) >= 0.8
    assert at_least_one(shares, needed.hatchlings - 1, weights=weights) < 0.8


def test_a_chance_beyond_the_ceiling_is_not_reached():
    needed = hatchlings_needed([0.25, 0.0], 0.9, weights=[2 / 3, 1 / 3])
    assert needed.hatchlings is None
    assert needed.ceiling == pytest.approx(2 / 3)
    assert hatchlings_needed(0.0, 0.5).hatchlings is None


def test_rule_of_thumb_beside_its_real_chance():
    rule = rule_of_thumb(Fraction(1, 64))
    assert rule.hatchlings == 64
    assert rule.chance == pytest.approx(1 - (63 / 64) ** 64, abs=1e-12)
    assert rule.chance == pytest.approx(0.63, abs=0.01)


def test_clutch_size_uses_the_generating_function_not_its_mean():
    pmf = np.array([0.5, 0.0, 0.0, 0.0, 0.5])
    assert one_in_a_season(0.5, pmf) == pytest.approx(0.5 * (1 - 0.5**4))
    assert one_in_a_season(0.5, pmf) < at_least_one(0.5, 2)


def test_seasons_share_the_parents():
    pmf = np.array([0.0, 0.0, 1.0])
    expected = 1 - (2 / 3 * 0.75**6 + 1 / 3)
    assert one_in_a_season([0.25, 0.0], pmf, weights=[2 / 3, 1 / 3], seasons=3) == pytest.approx(expected)
    rows = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0]])
    assert one_in_a_season([0.25, 0.9], rows, weights=[0.5, 0.5]) == pytest.approx(0.5 * (1 - 0.75**2))
    assert one_of_several([0.5, 0.5, 0.0]) == pytest.approx(0.75)


def test_season_agrees_with_draws_of_clutches():
    eggs = clutch_size_pmf(6.0, 1.5)
    pmf = hatchling_pmf(eggs, laying=0.8, fertile=0.9, hatching=0.95, lost=0.25)
    random = np.random.default_rng(7)
    n = 200_000
    laid = random.random(n) < 0.8
    sizes = random.choice(eggs.size, p=eggs, size=n) * laid
    young = random.binomial(sizes, 0.9 * 0.75 * 0.95)
    hits = random.binomial(young, 0.25) > 0
    error = 4 * np.sqrt(hits.mean() * (1 - hits.mean()) / n)
    assert one_in_a_season(0.25, pmf) == pytest.approx(hits.mean(), abs=error)


@pytest.mark.parametrize(
    "call",
    [
        lambda: at_least_one(1.2, 3),
        lambda: at_least_one(0.2, -1),
        lambda: at_least(1, 0.2, -1),
        lambda: at_least_one([0.2, 0.3], 3),
        lambda: at_least_one([0.2, 0.3], 3, weights=[0.5, 0.6]),
        lambda: hatchlings_needed(0.2, 1.0),
        lambda: rule_of_thumb(0.0),
        lambda: one_in_a_season(0.2, np.array([0.5, 0.4])),
        lambda: one_in_a_season(0.2, np.array([1.0]), seasons=-1),
        lambda: one_of_several([1.5]),
    ],
)
def test_what_is_not_a_chance_is_refused(call):
    with pytest.raises(BadShares):
        call()


def test_a_mixture_too_rare_to_be_counted_is_not_reached():
    assert hatchlings_needed([1e-9, 2e-9], 0.9, weights=[0.5, 0.5]).hatchlings is None
