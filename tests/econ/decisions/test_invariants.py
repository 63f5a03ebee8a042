"""What must hold for any figures: directions, signs, units, order of rows, and draws against exact means."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from econ.assumptions import ASSUMPTIONS, Assumptions
from econ.decisions.flood import flood_warning
from econ.decisions.outcomes import Swings
from tests.econ.decisions.pairs_by_hand import COUPLES, budget_of, small_market

QUICK = settings(max_examples=25, deadline=None)
SHARE_IDS = (
    "clutch.laying_chance",
    "clutch.fertile_share",
    "clutch.hatching_share",
    "young.survival_to_sale",
)


def couples():
    return some.sampled_from(list(COUPLES))


@some.composite
def figures(draw):
    """Any figures a breeder may have."""
    own = {id_: draw(some.floats(0.0, 1.0)) for id_ in SHARE_IDS}
    own["sale.first_month"] = float(draw(some.integers(0, 6)))
    own["sale.last_month"] = own["sale.first_month"] + draw(some.integers(1, 12))
    own["sale.monthly_chance"] = draw(some.floats(0.01, 1.0))
    own["sale.fee_share"] = draw(some.floats(0.0, 0.5))
    own["price.level"] = draw(some.floats(0.2, 4.0))
    own["price.common_share"] = draw(some.floats(0.0, 1.0))
    own["work.hour_rate"] = draw(some.floats(0.0, 20.0))
    own["clutch.eggs_mean"] = draw(some.floats(4.0, 9.0))
    return own


def value(couple: str, own, **market):
    sire, dam, _ = COUPLES[couple]
    return budget_of(sire, dam, Assumptions(own), small_market(**market))


@QUICK
@given(couple=couples(), own=figures(), more=some.floats(1.001, 1.25))
def test_sales_and_margin_rise_with_prices_and_costs_other_than_fees_do_not(couple, own, more):
    low, high = value(couple, own), value(couple, {**own, "price.level": own["price.level"] * more})
    assert high.sales == pytest.approx(low.sales * more)
    assert high.margin >= low.margin - 1e-9 * abs(low.margin)
    assert high.margin - low.margin == pytest.approx(
        (1 - own["sale.fee_share"]) * (high.sales - low.sales), rel=1e-6, abs=1e-8
    )


@QUICK
@given(couple=couples(), own=figures())
def test_no_cost_is_negative_and_chances_lie_between_0_and_1(couple, own):
    budget = value(couple, own)
    assert all(line.amount >= 0.0 for line in (*budget.variable, *budget.fixed))
    assert budget.sales >= 0.0
    assert 0.0 <= budget.odds.none_hatch <= 1.0 + 1e-12
    assert all(-1e-12 <= look.at_least_one <= 1.0 for look in budget.look_values())
    assert budget.lead_shares().sum() == pytest.approx(1.0)
    assert sum(budget.young_of(lead) for lead in budget.prices.leads) == pytest.approx(budget.odds.mean)


@QUICK
@given(couple=couples(), own=figures())
def test_budget_adds_up_and_draws_agree_with_the_exact_mean_and_spread(couple, own):
    budget = value(couple, own)
    lines = sum(line.amount for line in (*budget.variable, *budget.fixed))
    assert budget.margin == pytest.approx(budget.sales - lines, abs=1e-9 * max(budget.sales, lines))
    drawn = budget.draw("any pairing", swings=Swings(seed=3, draws=4000))
    assert drawn.mean == pytest.approx(budget.margin, rel=1e-9, abs=1e-8)
    error = 4.5 * budget.margin_sd() / np.sqrt(drawn.draws.size)
    assert drawn.draws.mean() == pytest.approx(budget.margin, abs=error + 1e-8)


@QUICK
@given(couple=couples(), own=figures(), chances=some.tuples(some.floats(0.0, 1.0), some.floats(0.0, 1.0)))
def test_a_higher_chance_of_laying_never_means_fewer_hatchlings(couple, own, chances):
    low, high = (value(couple, {**own, "clutch.laying_chance": chance}) for chance in sorted(chances))
    assert low.odds.mean <= high.odds.mean + 1e-12
    assert low.odds.none_hatch >= high.odds.none_hatch - 1e-12


def in_other_money(own, times: int):
    money = {id_: entry.value for id_, entry in ASSUMPTIONS.items() if entry.is_money}
    scaled = {id_: own.get(id_, worth) * times for id_, worth in money.items()}
    return {**own, **scaled}


@pytest.mark.parametrize("couple", COUPLES)
@pytest.mark.parametrize("times", [4, 30])
def test_another_currency_scales_every_sum_and_leaves_every_chance(couple, times):
    own = {"work.hour_rate": 0.5, "sale.last_month": 12.0, "price.level": 2.0}
    own = in_other_money(own, 1)
    own["breeder.purchase"] = 120.0
    one, many = value(couple, own), value(couple, in_other_money(own, times), times=times)
    assert many.margin == pytest.approx(times * one.margin, rel=1e-6)
    assert many.margin_sd() == pytest.approx(times * one.margin_sd(), rel=1e-6)
    assert many.price_today() == pytest.approx(times * one.price_today(), rel=1e-6)
    for here, there in zip((*one.variable, *one.fixed), (*many.variable, *many.fixed), strict=True):
        assert there.amount == pytest.approx(times * here.amount, rel=1e-6)
    for here, there in zip(one.look_values(), many.look_values(), strict=True):
        assert there.look.label == here.look.label
        assert there.at_least_one == here.at_least_one
        sums = [[v.brings, v.price, v.price_low, v.price_high] for v in (here, there)]
        assert sums[1] == pytest.approx([times * s for s in sums[0]], rel=1e-6)
    points = [budget.break_even() for budget in (one, many)]
    assert points[1].price == pytest.approx(times * points[0].price, rel=1e-6)
    assert points[1].variable_price == pytest.approx(times * points[0].variable_price, rel=1e-6)
    assert points[1].hatchlings == pytest.approx(points[0].hatchlings, rel=1e-6)
    assert points[1].last_month == points[0].last_month
    drawn = [budget.draw("a", swings=Swings(seed=1, draws=500)) for budget in (one, many)]
    np.testing.assert_allclose(drawn[1].draws, times * drawn[0].draws, rtol=1e-5, atol=1e-4 * times)
    assert drawn[1].loss_chance == drawn[0].loss_chance


@pytest.mark.parametrize("times", [4, 30])
def test_another_currency_leaves_the_chance_of_a_flood(times):
    parts = {"level_sd": 0.3, "own_young": 4.0, "supply": None}
    one, many = (
        flood_warning(
            "clown",
            unit_cost=70.0 * k,
            today=110.0 * k,
            log_price=np.log(90.0 * k),
            path=[90.0 * k, 60.0 * k],
            first_month=3,
            **parts,
        )
        for k in (1, times)
    )
    assert many.chances == pytest.approx(one.chances)
    assert (many.level, many.crossing) == (one.level, one.crossing)
    assert many.next_one == pytest.approx(times * one.next_one)


@pytest.mark.parametrize("couple", COUPLES)
def test_the_order_of_the_price_rows_changes_nothing(couple):
    one, other = value(couple, {}), value(couple, {}, turned=True)
    assert other.margin == pytest.approx(one.margin, rel=1e-9)
    assert other.margin_sd() == pytest.approx(one.margin_sd(), rel=1e-7)
    assert [look.look.label for look in other.look_values()] == [
        look.look.label for look in one.look_values()
    ]
    drawn = [budget.draw("a", swings=Swings(seed=1, draws=500)).draws for budget in (one, other)]
    np.testing.assert_allclose(drawn[1], drawn[0], rtol=1e-6, atol=1e-6)


def test_prices_that_move_together_widen_a_pairing_of_several_traits():
    own = {"sale.last_month": 8.0}
    apart, together = (
        value("uncertain parents", {**own, "price.common_share": share}) for share in (0.0, 1.0)
    )
    assert together.margin_sd() > apart.margin_sd()
    assert together.margin == apart.margin
