"""Budgets of whole pairings against the same added up by plain loops and scipy.stats, cell by cell."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from econ.assumptions import Assumptions
from econ.decisions.look_prices import NO_PRICE, RANGE_80
from econ.decisions.outcomes import Swings, expected_margin
from tests.econ.decisions.pairs_by_hand import COUPLES, SEASON, budget_of, by_hand, small_market

SHORT = {"sale.last_month": 6.0, "clutch.eggs_mean": 4.0}
CHEAP = {"breeder.purchase": 80.0, "clutch.laying_chance": 0.9}
FIGURES: dict[str, dict[str, float]] = {
    "as they come": {},
    "she always lays": {"clutch.laying_chance": 1.0},
    "she never lays": {"clutch.laying_chance": 0.0},
    "nothing hatches": {"clutch.hatching_share": 0.0},
    "one in five dies": {"young.survival_to_sale": 0.8},
    "all die": {"young.survival_to_sale": 0.0},
    "one month of sale": {"sale.first_month": 5.0},
    "all sell at once": {"sale.monthly_chance": 1.0},
    "half goes in fees": {"sale.fee_share": 0.5},
    "own level": {"price.level": 1.3},
    "prices apart": {"price.common_share": 0.0},
    "prices as one": {"price.common_share": 1.0},
    "paid work, furnished": {
        "work.hour_rate": 12.0,
        "housing.furnished_share": 0.4,
        "housing.small_place_months": 4.0,
    },
    "each one loses money": {"price.level": 0.1, "sale.packing_shipping": 40.0},
    "hatched in December": {"clutch.hatch_month": 12.0},
}


def expected_only(budget):
    """The margin by the second way: the exact mean of the drawn outcomes."""
    costs = budget.costs
    return expected_margin(
        budget.odds, budget.young, season_cost=costs.season.total, clutch_cost=costs.clutch.total
    )


def both(couple: str, *, market=None, limit=64, **changes: float):
    sire, dam, parents = COUPLES[couple]
    figures = Assumptions({**SHORT, **changes})
    market = small_market() if market is None else market
    return budget_of(sire, dam, figures, market, limit=limit), by_hand(parents(), figures, market)


@pytest.mark.parametrize("couple", COUPLES)
@pytest.mark.parametrize("case", FIGURES)
def test_margin_sales_and_spread_as_by_hand(couple, case):
    budget, hand = both(couple, **FIGURES[case])
    mean, sd = hand.moments()
    assert budget.odds.mean == pytest.approx(hand.hatchlings(), rel=1e-9, abs=1e-12)
    assert budget.sales == pytest.approx(hand.sales(), rel=1e-9, abs=1e-9)
    assert budget.margin == pytest.approx(mean, rel=1e-9, abs=1e-9)
    assert expected_only(budget) == pytest.approx(mean, rel=1e-9, abs=1e-9)
    assert budget.margin_sd() == pytest.approx(sd, rel=1e-7, abs=1e-4)


@pytest.mark.parametrize("couple", COUPLES)
def test_lines_of_the_budget_add_up_to_the_margin_and_hold_every_cost_once(couple):
    budget, hand = both(couple, **FIGURES["paid work, furnished"])
    lines = [*budget.variable, *budget.fixed]
    assert budget.sales - sum(line.amount for line in lines) == pytest.approx(hand.moments()[0], rel=1e-9)
    parts = [part.id for line in lines for part in line.parts]
    assert len(parts) == len(set(parts))
    assert all(line.amount >= 0.0 for line in lines)
    assert all(line.amount == pytest.approx(sum(part.amount for part in line.parts)) for line in lines)
    season = sum(
        part.amount for line in lines for part in line.parts if part.id.startswith(("female.", "male."))
    )
    assert season == pytest.approx(hand.season_cost, rel=1e-9)
    clutch = sum(part.amount for line in lines for part in line.parts if part.id.startswith("clutch."))
    assert clutch == pytest.approx(hand.laying * hand.clutch_cost, rel=1e-9)


@pytest.mark.parametrize("couple", COUPLES)
def test_looks_add_up_to_all_sales_and_all_hatchlings(couple):
    budget, hand = both(couple)
    looks = budget.look_values()
    assert sum(look.brings for look in looks) == pytest.approx(hand.sales(), rel=1e-9)
    assert sum(look.number for look in looks) == pytest.approx(hand.hatchlings(), rel=1e-9)
    assert [look.brings for look in looks] == sorted((look.brings for look in looks), reverse=True)
    for look in looks:
        assert look.number == pytest.approx(look.males + look.females)
        assert look.at_least_one == pytest.approx(hand.at_least_one(look.look.label), rel=1e-9)
        sold = look.number * budget.young.sold_share
        assert look.brings == pytest.approx(look.price * sold)


def test_sons_of_a_male_maker_are_banana_and_each_sex_has_its_price():
    budget, hand = both("male maker")
    banana = next(look for look in budget.look_values() if look.look.label == "banana")
    assert banana.males / banana.number == pytest.approx(0.95)
    months = [hand.price("banana", "male", month) for month in hand.sold]
    parts = np.array(list(hand.sold.values())) / sum(hand.sold.values())
    males = float(sum(part * price.mean() for part, price in zip(parts, months, strict=True)))
    females = float(
        sum(
            part * hand.price("banana", "female", month).mean()
            for part, month in zip(parts, hand.sold, strict=True)
        )
    )
    assert females > 1.3 * males
    assert banana.price == pytest.approx(0.95 * males + 0.05 * females)


@pytest.mark.parametrize(
    ("couple", "label"), [("male maker", "banana"), ("male maker", "normal"), ("lost eggs", "spider")]
)
def test_eight_in_ten_single_sales_lie_in_the_range_of_a_look(couple, label):
    budget, hand = both(couple)
    look = next(look for look in budget.look_values() if look.look.label == label)
    month = 4  # nearest to the mean month of sale
    inside = 0.0
    for sex, count in (("male", look.males), ("female", look.females)):
        price = hand.price(label, sex, month)
        spread = float(np.sqrt(price.level**2 + price.own**2 + price.sale**2))
        low, high = (
            stats.norm.cdf(np.log(p), price.middle, spread) for p in (look.price_low, look.price_high)
        )
        inside += count / look.number * (high - low)
    assert inside == pytest.approx(0.8, abs=0.025)
    assert look.price_low < look.price < look.price_high


@pytest.mark.parametrize("couple", COUPLES)
def test_break_even_points_bring_the_margin_by_hand_to_zero(couple):
    budget, hand = both(couple, **CHEAP)
    points = budget.break_even()
    needed = points.price / budget.price_each
    scaled, by_loops = both(couple, **CHEAP, **{"price.level": needed})
    assert by_loops.moments()[0] == pytest.approx(0.0, abs=1e-8 * hand.season_cost)
    assert scaled.break_even().price == pytest.approx(scaled.price_each)
    variable = sum(line.amount for line in budget.variable if line.id != "selling")
    per_sale = hand.sale_cost * budget.sold
    assert points.variable_price * budget.sold * (1 - hand.fee) == pytest.approx(variable + per_sale)
    if points.hatchlings is not None:
        ahead = (hand.moments()[0] + hand.season_cost + hand.laying * hand.clutch_cost) / hand.hatchlings()
        assert points.hatchlings == pytest.approx((hand.season_cost + hand.laying * hand.clutch_cost) / ahead)
        assert points.eggs / points.hatchlings == pytest.approx(budget.odds.mean_eggs / hand.hatchlings())


def test_young_that_lose_money_each_have_no_number_that_breaks_even():
    budget, hand = both("lost eggs", **FIGURES["each one loses money"])
    assert hand.moments()[0] < -hand.season_cost - hand.laying * hand.clutch_cost
    points = budget.break_even()
    assert points.hatchlings is None
    assert points.eggs is None
    assert points.last_month is None
    assert points.price > budget.price_each


@pytest.mark.parametrize("level", [0.7, 1.2, 3.0])
def test_latest_month_is_found_by_selling_all_in_each_month(level):
    budget, hand = both("uncertain parents", **{"price.level": level, "clutch.laying_chance": 1.0})
    points = budget.break_even()
    covered = []
    for month in range(hand.first, points.horizon + 1):
        left = 0.0
        for weight, shares in hand.parents:
            mean = hand.hatchlings()  # no egg is lost: the same for all parents
            for (look, sex), share in shares.items():
                price = hand.price(look, sex, month).mean()
                one = hand.survival * ((1 - hand.fee) * price - hand.sale_cost - hand.keep(month))
                left += weight * mean * share * (one - (1 - hand.survival) * hand.keep(hand.first))
        covered.append(left >= hand.season_cost + hand.clutch_cost)
    run = covered.index(False) if False in covered else len(covered)
    assert points.last_month == (None if run == 0 else hand.first + run - 1)


def test_looks_too_rare_to_list_are_priced_as_the_cheapest_look_and_nothing_is_lost():
    figures = Assumptions(SHORT)
    market = small_market()
    whole = budget_of("pastel enchi het clown", "het clown", figures, market)
    short = budget_of("pastel enchi het clown", "het clown", figures, market, limit=3)
    assert whole.rest_share == 0.0
    assert short.rest_share == pytest.approx(7 / 16)
    looks = short.look_values()
    assert short.odds.mean == pytest.approx(whole.odds.mean)
    assert sum(look.number for look in looks) == pytest.approx(short.odds.mean * 9 / 16)
    cheapest = min(looks, key=lambda look: look.price)
    rest = short.sales - sum(look.brings for look in looks)
    sold = short.odds.mean * short.rest_share * short.young.sold_share
    assert rest == pytest.approx(sold * cheapest.price)
    assert short.sales < whole.sales
    assert short.prices.look_names[-1] == "looks too rare to list"
    assert expected_only(short) == pytest.approx(short.margin)
    drawn = short.draw("x", swings=Swings(seed=1, draws=60_000))
    assert drawn.draws.mean() == pytest.approx(short.margin, abs=4.5 * short.margin_sd() / np.sqrt(60_000))


def test_looks_that_nothing_is_known_of_count_as_nothing_and_say_so():
    market = small_market(without=("normal", "spider"))
    figures = Assumptions(SHORT)
    budget = budget_of("spider", "pastel", figures, market)
    known = [look for look in budget.look_values() if look.basis.kind != "none"]
    unknown = [look for look in budget.look_values() if look.basis.kind == "none"]
    assert {look.look.label for look in unknown} == {"spider", "normal"}
    assert {look.look.label for look in known} == {"pastel", "pastel spider"}
    for look in unknown:
        assert look.brings == look.price == look.price_low == look.price_high == 0.0
    assert sum(look.brings for look in known) == pytest.approx(budget.sales)
    bare = budget_of("spider", "normal", figures, market)
    assert bare.prices.leads == (NO_PRICE,)
    assert bare.sales == 0.0
    assert bare.margin < 0.0
    drawn = bare.draw("x", swings=Swings(seed=1, draws=500))
    assert drawn.sales.max() == 0.0
    assert np.isfinite(bare.margin_sd())


def test_the_month_of_sale_is_counted_from_hatching_and_late_months_begin_with_it():
    budget, hand = both("lost eggs")
    prices = budget.prices
    assert prices.hatch.isoformat() == f"{SEASON}-07-15"
    assert list(prices.late_months[: prices.months_of_sale]) == list(hand.sold)
    for place, month in enumerate(prices.late_months[:12]):
        cell = 2 * [row.label for row in budget.looks.rows].index("spider") + 1
        assert prices.late_log_price[cell, place] == pytest.approx(
            hand.price("spider", "female", int(month)).middle
        )
    assert pytest.approx(stats.norm.ppf(0.9)) == RANGE_80


@pytest.mark.parametrize("females", [1.0, 2.0, 5.0])
def test_a_male_is_shared_among_his_females_and_the_female_is_charged_once(females):
    figures = Assumptions(SHORT)
    budget = budget_of("spider", "spider", figures, small_market(), females=females)
    hand = by_hand(COUPLES["lost eggs"][2](), figures, small_market(), females=females)
    assert budget.costs.season.total == pytest.approx(hand.season_cost, rel=1e-12)
