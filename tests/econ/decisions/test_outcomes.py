"""The spread of a margin: drawn seasons against exact moments and against scipy.stats."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from scipy import stats

from econ.decisions.outcomes import Outcomes, Swings, draw_outcomes, expected_margin, margin_sd
from tests.econ.decisions.cases import binomial_odds, flat_young, make_young

LEADS = ("clown", "pastel")
LOOKS = ("clown", "pastel", "normal")


def draw(odds, young, *, draws=200_000, seed=11, season_cost=120.0, clutch_cost=30.0) -> Outcomes:
    return draw_outcomes(
        odds,
        young,
        leads=LEADS[: young.level_sd.shape[0]],
        looks=LOOKS[: int(young.look.max()) + 1],
        swings=Swings(seed=seed, draws=draws),
        name="a pairing",
        season_cost=season_cost,
        clutch_cost=clutch_cost,
    )


def two_parents(**kw):
    odds = binomial_odds(parents=2, **kw)
    return dataclasses.replace(odds, weights=np.array([0.4, 0.6]))


def test_certain_prices_leave_the_binomial_distribution_of_scipy():
    odds, young = binomial_odds(eggs=6, hatch=0.8), flat_young(price=100.0)
    drawn = draw(odds, young, season_cost=0.0, clutch_cost=0.0)
    counts = np.bincount((drawn.draws / 100.0).round().astype(int), minlength=7)
    expected = stats.binom.pmf(np.arange(7), 6, 0.8) * drawn.draws.size
    assert stats.chisquare(counts, expected).pvalue > 1e-4
    assert drawn.mean == pytest.approx(480.0, abs=1e-9)
    assert margin_sd(odds, young, clutch_cost=0.0) == pytest.approx(100 * stats.binom.std(6, 0.8), rel=1e-12)


def test_drawn_seasons_agree_with_the_exact_mean_and_spread():
    odds, young = two_parents(eggs=6, hatch=0.85, laying=0.8), make_young()
    drawn = draw(odds, young)
    sd = margin_sd(odds, young, clutch_cost=30.0)
    error = sd / np.sqrt(drawn.draws.size)
    assert drawn.draws.mean() == pytest.approx(drawn.mean, abs=4.5 * error)
    assert abs(drawn.draws.mean() - drawn.mean) > 0.0  # drawn, not shifted onto the mean
    assert drawn.draws.std() == pytest.approx(sd, rel=0.015)


def test_exact_mean_by_hand():
    # one egg, hatches for sure, sold in month 3 or 4 with chances .5 and .25, else given away
    young = dataclasses.replace(
        flat_young(price=1.0),
        log_price=np.log([[100.0, 80.0]]),
        level_sd=np.zeros((1, 2)),
        timing=make_young().timing.__class__(first=3, monthly_chance=0.5, last=5),
        keeping=np.array([6.0, 8.0, 10.0]),
        fee_share=0.1,
        sale_cost=2.0,
    )
    sales = 0.5 * 100 + 0.25 * 80
    by_hand = 0.9 * sales - 2 * 0.75 - (0.5 * 6 + 0.25 * 8 + 0.25 * 10) - 40 - 7
    odds = binomial_odds(eggs=1, hatch=1.0)
    assert expected_margin(odds, young, season_cost=40.0, clutch_cost=7.0) == pytest.approx(by_hand, abs=1e-9)


def test_siblings_share_their_parents_so_the_spread_exceeds_that_of_independent_young():
    young = make_young(level_sd=np.zeros((2, 3)), own_sd=np.zeros(3))
    shared = two_parents(eggs=6, hatch=1.0)
    averaged = dataclasses.replace(
        young, weights=np.array([1.0]), shares=(young.weights @ young.shares)[None, :]
    )
    single = binomial_odds(eggs=6, hatch=1.0)
    assert margin_sd(shared, young, clutch_cost=0.0) > 1.05 * margin_sd(single, averaged, clutch_cost=0.0)
    same = [
        expected_margin(o, y, season_cost=0, clutch_cost=0) for o, y in ((shared, young), (single, averaged))
    ]
    assert same[0] == pytest.approx(same[1], rel=1e-12)


def test_shared_market_swing_makes_two_pairings_rise_and_fall_together():
    odds = binomial_odds(eggs=6, hatch=1.0, parents=2)
    swings = Swings(seed=5, draws=20_000)

    def one(name: str, common: float):
        one_look = np.array([[1.0, 0.0, 0.0]] * 2)
        still = np.zeros(3)
        young = make_young(common_share=common, shares=one_look, own_sd=still, sale_sd=still)
        return draw_outcomes(
            odds,
            young,
            leads=(name, name + "2"),
            looks=LOOKS,
            swings=swings,
            name=name,
            season_cost=0,
            clutch_cost=0,
        ).draws

    apart = np.corrcoef(one("x", 0.0), one("y", 0.0))[0, 1]
    together = np.corrcoef(one("x", 1.0), one("y", 1.0))[0, 1]
    assert abs(apart) < 0.03
    assert together > 0.5


def test_same_seed_same_draws_and_a_small_change_moves_each_season_a_little():
    odds, young = two_parents(eggs=6, hatch=0.85), make_young()
    first, second = draw(odds, young, draws=2000), draw(odds, young, draws=2000)
    np.testing.assert_array_equal(first.draws, second.draws)
    dearer = draw(odds, dataclasses.replace(young, log_price=young.log_price + np.log(1.01)), draws=2000)
    moved = dearer.draws - first.draws
    assert (moved >= 0).all()
    assert moved.max() < 0.02 * first.sales.max()


def test_loss_chance_counts_seasons_below_zero_and_names_those_without_young():
    odds, young = binomial_odds(eggs=1, hatch=0.5), flat_young(price=10.0)
    drawn = draw(odds, young, season_cost=5.0, clutch_cost=0.0, draws=4000)
    assert drawn.loss_chance == pytest.approx(0.5, abs=0.03)
    assert drawn.loss_without_young == 1.0
