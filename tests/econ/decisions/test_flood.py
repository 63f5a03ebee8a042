"""The flood warning: chances against scipy.stats, own supply against its derivative, levels."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy import stats

from econ.decisions.flood import SupplyNow, combined_sd, flood_level, flood_warning, next_hatchling

SUPPLY = SupplyNow(trait="clown", offered=40.0, growth=0.5, flexibility=(-0.95, -0.5, -0.05), says=True)


def warn(**changes):
    parts = {
        "unit_cost": 70.0,
        "today": 130.0,
        "log_price": np.log(120.0),
        "level_sd": 0.4,
        "own_young": 6.0,
        "supply": SUPPLY,
    }
    return flood_warning("clown", **{**parts, **changes})


def test_chance_is_that_of_a_lognormal_price_below_cost_at_three_flexibilities():
    found = warn()
    for chance, f in zip(found.chances, SUPPLY.flexibility, strict=True):
        median = 120.0 * (46.0 / 40.0) ** f
        assert chance == pytest.approx(stats.lognorm.cdf(70.0, 0.4, scale=median), rel=1e-9)
    assert found.chance == max(found.chances) == found.chances[0]


def test_a_price_below_cost_today_is_a_loss_and_no_flood():
    found = warn(today=65.0)
    assert found.level == "already below"
    assert found.chance == warn().chance


def test_without_counts_own_young_move_nothing_and_the_warning_says_no_supply():
    found = warn(supply=None)
    assert found.supply is None
    assert found.bearable is None
    assert found.chance == pytest.approx(stats.lognorm.cdf(70.0, 0.4, scale=120.0), rel=1e-9)


@pytest.mark.parametrize(
    ("chance", "level"), [(0.51, "likely"), (0.5, "possible"), (0.21, "possible"), (0.2, "none")]
)
def test_levels_are_the_two_stated_thresholds(chance, level):
    assert flood_level(chance) == level


@given(own=some.floats(0.0, 50.0), offered=some.floats(1.0, 500.0), f=some.floats(-1.5, 0.0))
def test_next_hatchling_is_the_slope_of_own_sales(own, offered, f):
    def sales(q: float) -> float:
        return q * 100.0 * ((offered + q) / offered) ** f

    step = 1e-4
    slope = (sales(own + step) - sales(max(own - step, 0.0))) / (own + step - max(own - step, 0.0))
    price = 100.0 * ((offered + own) / offered) ** f
    assert next_hatchling(price, own_young=own, offered=offered, flexibility=f) == pytest.approx(
        slope, rel=1e-3, abs=1e-3
    )


def test_supply_the_price_can_bear_and_when_growth_reaches_it():
    found = warn(own_young=0.0)
    assert found.bearable == pytest.approx((70.0 / 120.0) ** (1 / -0.5))
    assert found.bearable_by == pytest.approx(np.log(found.bearable) / 0.5)
    assert 120.0 * found.bearable**-0.5 == pytest.approx(70.0)


def test_crossing_month_is_the_first_below_cost():
    found = warn(path=[120.0, 90.0, 69.0, 60.0], first_month=3)
    assert found.crossing == 5
    assert warn(path=[120.0, 90.0]).crossing is None


def test_spread_of_a_mean_price_lies_between_independent_and_common():
    weights, sd = np.array([0.5, 0.5]), np.array([0.4, 0.4])
    assert combined_sd(weights, sd, common_share=1.0) == pytest.approx(0.4)
    assert combined_sd(weights, sd, common_share=0.0) == pytest.approx(0.4 / np.sqrt(2))


def test_a_cost_of_nothing_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        warn(unit_cost=0.0)
