"""What holds of every cost: signs, directions, scale, and what each line says it rests on."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from econ.assumptions import ASSUMPTIONS, Assumptions
from econ.costs import (
    BadPrice,
    CostSheet,
    clutch_costs,
    female_season,
    genetic_test_fees,
    hatchling_cost_by_month,
    male_share,
    male_year,
    net_of_sale,
    place_cost,
    place_cost_per_month,
    price_for_net,
    selling_costs,
    shared_costs,
    together,
)
from genetics.genes.traits import Sex

BOOK = Assumptions()
MONTHS = 18
CHANCES = np.full(MONTHS + 1, 1 / (MONTHS + 1))
MONEY = [id_ for id_, entry in ASSUMPTIONS.items() if entry.is_money]
PRICES = [id_ for id_ in MONEY if id_.startswith("feeding.")]


def every_sheet(book: Assumptions, *, sales: float = 0.0) -> CostSheet:
    return together(
        [
            female_season(assumptions=book),
            male_share(assumptions=book),
            clutch_costs(0.75, assumptions=book),
            hatchling_cost_by_month(MONTHS, assumptions=book).expected(CHANCES, hatchlings=4.0),
            selling_costs(sales, 3.5, assumptions=book),
            shared_costs(book),
            CostSheet((genetic_test_fees(2, assumptions=book),)),
        ]
    )


@st.composite
def books(draw: st.DrawFn) -> Assumptions:
    figures = {}
    for id_ in draw(st.lists(st.sampled_from(sorted(ASSUMPTIONS)), unique=True)):
        entry = ASSUMPTIONS[id_]
        number = draw(st.floats(entry.low, entry.high))
        figures[id_] = float(round(number)) if entry.whole else number
    return Assumptions(figures)


@given(books())
@settings(max_examples=40, deadline=None)
def test_no_cost_is_negative(book):
    sheet = every_sheet(book)
    assert min(line.amount for line in sheet.lines) >= 0
    assert sheet.total == pytest.approx(sheet.of_kind("variable") + sheet.of_kind("fixed"), rel=1e-12)


@given(books(), st.floats(0.1, 3))
@settings(max_examples=40, deadline=None)
def test_all_costs_scale_with_all_sums_of_money(book, factor):
    scaled = book.with_values({id_: book[id_] * factor for id_ in MONEY})
    for line, other in zip(every_sheet(book).lines, every_sheet(scaled).lines, strict=True):
        assert other.amount == pytest.approx(line.amount * factor, rel=1e-9, abs=1e-12)


@given(books(), st.sampled_from(MONEY), st.floats(1.01, 2))
@settings(max_examples=60, deadline=None)
def test_no_cost_falls_when_a_sum_of_money_rises(book, id_, factor):
    dearer = book.with_values({id_: book[id_] * factor})
    for line, other in zip(every_sheet(book).lines, every_sheet(dearer).lines, strict=True):
        assert other.amount >= line.amount - 1e-9


@pytest.mark.parametrize("id_", MONEY)
def test_every_sum_of_money_enters_some_cost(id_):
    base = BOOK.with_values({"work.hour_rate": 5, "housing.furnished_share": 0.5})
    heavy = base.with_values({"growth.adult_female_mass": 2500})
    dear = {id_: ASSUMPTIONS[id_].high}
    rises = [every_sheet(book.with_values(dear)).total - every_sheet(book).total for book in (base, heavy)]
    assert max(rises) > 0


@given(books(), st.integers(0, 40))
@settings(max_examples=30, deadline=None)
def test_keeping_a_hatchling_never_gets_cheaper_with_time(book, months):
    cost = hatchling_cost_by_month(months, assumptions=book)
    assert cost.total[0] == 0
    for part in (cost.feeding, cost.heating, cost.bedding, cost.place, cost.work):
        assert part.shape == (months + 1,)
        assert np.all(np.diff(part) >= 0)
    np.testing.assert_allclose(cost.total, cost.feeding + cost.housing + cost.work, rtol=1e-12)


@given(books(), st.sampled_from(PRICES))
@settings(max_examples=30, deadline=None)
def test_keeping_is_never_cheaper_with_dearer_prey(book, id_):
    dearer = book.with_values({id_: book[id_] * 1.5})
    before = hatchling_cost_by_month(24, assumptions=book).total
    after = hatchling_cost_by_month(24, assumptions=dearer).total
    assert np.all(after >= before - 1e-9)


def test_keeping_does_not_depend_on_how_far_ahead_it_is_asked():
    short = hatchling_cost_by_month(9, assumptions=BOOK).total
    np.testing.assert_allclose(hatchling_cost_by_month(30, assumptions=BOOK).total[:10], short, rtol=1e-12)


@cache
def moved_by_line() -> dict[str, set[str]]:
    """Assumptions that move each line when they go from their low to their high figure."""
    base = BOOK.with_values({"work.hour_rate": 5, "housing.furnished_share": 0.2})
    now = every_sheet(base, sales=500)
    moved: dict[str, set[str]] = {line.id: set() for line in now.lines}
    for id_, entry in ASSUMPTIONS.items():
        for figure in (entry.low, entry.high):
            then = every_sheet(base.with_values({id_: figure}), sales=500)
            for line, other in zip(now.lines, then.lines, strict=True):
                if other.amount != pytest.approx(line.amount, rel=1e-12):
                    moved[line.id].add(id_)
    return moved


@pytest.mark.parametrize("line", every_sheet(BOOK).lines, ids=lambda line: line.id)
def test_a_line_rests_on_the_assumptions_it_names_and_no_others(line):
    moved = moved_by_line()[line.id]
    assert moved
    assert moved <= set(line.rests_on) <= set(ASSUMPTIONS)
    assert len(set(line.rests_on)) == len(line.rests_on)
    assert set(line.rests_on) - moved <= set(PRICES)


def test_lines_have_one_id_each_and_explain_themselves():
    lines = every_sheet(BOOK).lines
    assert len({line.id for line in lines}) == len(lines)
    assert all(line.why.endswith(".") and line.source.text for line in lines)


def test_a_price_of_her_own_takes_the_place_of_the_assumption():
    own = female_season(assumptions=BOOK, purchase=800.0)
    default = female_season(assumptions=BOOK)
    assert own.line("female.capital").amount == pytest.approx(2 * default.line("female.capital").amount)
    assert own.line("female.death").amount == pytest.approx(2 * default.line("female.death").amount)
    assert "breeder.purchase" not in own.line("female.capital").rests_on
    assert female_season(assumptions=BOOK.with_values({"breeder.purchase": None}), purchase=800.0) == own


def test_a_males_year_is_shared_among_his_females():
    year = male_year(assumptions=BOOK).total
    assert male_share(assumptions=BOOK).total == pytest.approx(year / 3)
    assert male_share(assumptions=BOOK, females=5).total == pytest.approx(year / 5)
    with pytest.raises(ValueError, match="allowed: 1 or more"):
        male_share(assumptions=BOOK, females=0)


def test_a_young_animal_moves_from_a_small_tub_to_a_grown_animals_place():
    cost = hatchling_cost_by_month(14, assumptions=BOOK)
    steps = np.diff(cost.housing)
    np.testing.assert_allclose(steps[:12], place_cost_per_month(BOOK, "hatchling").total)
    np.testing.assert_allclose(steps[12:], place_cost_per_month(BOOK, "grown").total)


def test_furnished_enclosures_are_mixed_in_by_their_share():
    book = BOOK.with_values({"housing.furnished_share": 0.25})
    tub, enclosure = (place_cost(kind, assumptions=book) for kind in ("tub", "enclosure"))
    mixed = place_cost_per_month(book, "grown")
    assert mixed.total == pytest.approx(0.75 * tub.total + 0.25 * enclosure.total)
    assert enclosure.total > tub.total


def test_expected_keeping_is_the_mean_over_the_months_of_leaving():
    cost = hatchling_cost_by_month(MONTHS, assumptions=BOOK)
    chances = np.zeros(MONTHS + 1)
    chances[[4, 10]] = 0.75, 0.25
    sheet = cost.expected(chances, hatchlings=3)
    assert sheet.total == pytest.approx(3 * (0.75 * cost.total[4] + 0.25 * cost.total[10]), rel=1e-12)
    assert sheet.of_kind("variable") == pytest.approx(
        3 * (0.75 * cost.variable[4] + 0.25 * cost.variable[10]), rel=1e-12
    )
    with pytest.raises(ValueError, match="sum 1"):
        cost.expected(chances / 2)


def test_hours_are_named_even_when_they_are_not_counted():
    cost = hatchling_cost_by_month(10, assumptions=BOOK)
    assert cost.hours[-1] == pytest.approx(4.0)
    assert cost.work[-1] == 0
    paid = hatchling_cost_by_month(10, assumptions=BOOK.with_values({"work.hour_rate": 12}))
    assert paid.work[-1] == pytest.approx(48.0)


@given(st.floats(0, 1e5))
def test_price_for_net_undoes_net_of_sale(price):
    net = net_of_sale(price, assumptions=BOOK)
    assert float(price_for_net(net, assumptions=BOOK)) == pytest.approx(price, rel=1e-9, abs=1e-9)


@given(st.lists(st.floats(0, 5000), min_size=1, max_size=10))
def test_selling_several_costs_what_each_sale_costs(prices):
    sheet = selling_costs(sum(prices), len(prices), assumptions=BOOK)
    left = float(net_of_sale(prices, assumptions=BOOK).sum())
    assert sum(prices) - sheet.total == pytest.approx(left, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("price", [-1.0, np.nan, np.inf])
def test_a_price_that_makes_no_sense_is_refused(price):
    with pytest.raises(BadPrice, match="allowed: "):
        net_of_sale([100.0, price], assumptions=BOOK)


@pytest.mark.parametrize("number", [-1, np.nan])
def test_numbers_below_nothing_are_refused(number):
    with pytest.raises(ValueError, match="allowed: 0 or more"):
        clutch_costs(number, assumptions=BOOK)
    with pytest.raises(ValueError, match="allowed: 0 or more"):
        genetic_test_fees(number, assumptions=BOOK)
    with pytest.raises(ValueError, match="allowed: 0 or more"):
        hatchling_cost_by_month(-1, assumptions=BOOK)


def test_an_unknown_line_names_those_that_exist():
    with pytest.raises(KeyError, match=r"shared\.room"):
        shared_costs(BOOK).line("shared.rooms")


def test_a_single_sex_may_be_asked_for():
    costs = [
        hatchling_cost_by_month(36, assumptions=BOOK, sex=sex).feeding[-1]
        for sex in (Sex.MALE, Sex.UNSEXED, Sex.FEMALE)
    ]
    assert costs == sorted(costs)
    assert costs[0] < costs[2]
