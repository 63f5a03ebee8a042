"""One pairing in depth: the same sums as on the season's page, trials that store nothing, what-ifs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from dashboard.jobs.pairing import ASKED, pairing_answer, parents
from dashboard.jobs.season import season_answer, young_by_lead
from dashboard.jobs.valuation import NoPrices
from dashboard.records import NotStored
from econ.assumptions import OutOfRange
from econ.decisions.look_prices import months_after
from tests.dashboard.jobs.small_book import bare_book, count_clowns, small_book


@pytest.fixture
def small(tmp_path):
    made = small_book(tmp_path / "book.sqlite")
    count_clowns(made.book)
    yield made
    made.book.close()


def answer_of(small, sire, dam, catalogue, **trial):
    return pairing_answer(small.book, *small.ids(sire, dam), catalogue=catalogue, trial=trial)


def test_a_pairing_has_the_same_sums_and_flood_as_on_the_season_s_page(small, catalogue):
    small.pair("Basalt", "Sedge", planned=False)
    for row in season_answer(small.book, catalogue=catalogue).rows:
        found = answer_of(small, row.sire.name, row.dam.name, catalogue)
        assert found.pairing == row.pairing
        assert found.valued.budget.margin == row.valued.budget.margin
        np.testing.assert_array_equal(found.valued.outcomes.draws, row.valued.outcomes.draws)
        assert found.flood.own_young == pytest.approx(row.flood.own_young)
        assert found.flood.chances == pytest.approx(row.flood.chances)


def test_a_couple_that_is_not_in_the_list_is_valued_as_if_it_were_left_out(small, catalogue):
    free = answer_of(small, "Basalt", "Sedge", catalogue)
    assert free.pairing is None
    small.pair("Basalt", "Sedge", planned=False)
    listed = answer_of(small, "Basalt", "Sedge", catalogue)
    assert listed.pairing is not None
    assert listed.valued.budget.margin == pytest.approx(free.valued.budget.margin, rel=1e-12)
    assert listed.flood.own_young == pytest.approx(free.flood.own_young)
    plan = young_by_lead(row.valued for row in season_answer(small.book, catalogue=catalogue).planned)
    lead = free.flood.trait
    assert free.flood.own_young == pytest.approx(plan[lead] + free.valued.budget.young_of(lead))


def test_a_trial_moves_answer_and_flood_together_and_stores_nothing(small, catalogue):
    now = answer_of(small, "Basalt", "Tansy", catalogue)
    tried = answer_of(small, "Basalt", "Tansy", catalogue, **{"clutch.laying_chance": 0.4})
    assert tried.valued.budget.margin < now.valued.budget.margin
    assert tried.flood.unit_cost == pytest.approx(tried.valued.points.price)
    fewer = now.valued.budget.young_of("clown") - tried.valued.budget.young_of("clown")
    assert fewer > 0.0
    assert tried.flood.own_young == pytest.approx(now.flood.own_young - fewer)
    assert tried.own == ("clutch.laying_chance",)
    assert small.book.pairing_assumptions(small.pairings["Basalt × Tansy"].id) == {}
    again = answer_of(small, "Basalt", "Tansy", catalogue)
    assert again.valued.budget.margin == now.valued.budget.margin
    small.book.set_pairing_assumption(small.pairings["Basalt × Tansy"].id, "clutch.laying_chance", 0.4)
    stored = answer_of(small, "Basalt", "Tansy", catalogue)
    assert stored.valued.budget.margin == tried.valued.budget.margin
    assert stored.own == ("clutch.laying_chance",)


def test_each_what_if_is_the_margin_of_a_trial(small, catalogue):
    now = answer_of(small, "Basalt", "Tansy", catalogue)
    assert {row.id for row in now.what_ifs} == set(ASKED)
    assert [row.width for row in now.what_ifs] == sorted((row.width for row in now.what_ifs), reverse=True)
    for row in now.what_ifs:
        for value, margin in ((row.low, row.margin_low), (row.high, row.margin_high)):
            tried = answer_of(small, "Basalt", "Tansy", catalogue, **{row.id: value})
            assert margin == pytest.approx(tried.valued.budget.margin, rel=1e-9), row.id
    small.book.empty_assumption("test.fee")
    assert answer_of(small, "Basalt", "Tansy", catalogue).valued.budget.margin == now.valued.budget.margin


def test_hours_are_those_of_the_clutch_and_of_every_young_until_it_leaves(small, catalogue):
    found = answer_of(
        small,
        "Basalt",
        "Tansy",
        catalogue,
        **{"sale.monthly_chance": 1.0, "young.survival_to_sale": 0.5, "clutch.laying_chance": 0.5},
    )
    hatchlings = 0.5 * 6 * 0.85 * 0.9
    assert found.hours == pytest.approx(0.5 * 10 + hatchlings * 3 * 0.4)


def test_hours_on_the_page_are_those_a_rate_would_charge(small, catalogue):
    free = answer_of(small, "Basalt", "Tansy", catalogue, **{"work.hour_rate": 0.0})
    paid = answer_of(small, "Basalt", "Tansy", catalogue, **{"work.hour_rate": 10.0})
    assert free.valued.budget.margin - paid.valued.budget.margin == pytest.approx(10 * free.hours)


def test_average_price_and_its_range(small, catalogue):
    found = answer_of(small, "Basalt", "Tansy", catalogue)
    average, budget = found.average, found.valued.budget
    assert average.expected == pytest.approx(budget.sales / budget.sold)
    assert average.low80 < average.low50 < average.high50 < average.high80
    middle = math.sqrt(average.low80 * average.high80)
    assert math.log(average.high80 / middle) / math.log(average.high50 / middle) == pytest.approx(
        stats.norm.ppf(0.9) / stats.norm.ppf(0.75)
    )


def test_the_latest_month_is_counted_from_the_day_of_hatching(small, catalogue):
    found = answer_of(small, "Basalt", "Tansy", catalogue)
    points = found.valued.points
    assert points.last_month is not None
    assert found.last_month == months_after(found.valued.hatch, points.last_month)
    assert found.open_ended == (points.last_month == points.horizon)
    poor = answer_of(small, "Basalt", "Tansy", catalogue, **{"price.level": 0.1})
    assert poor.last_month is None
    assert not poor.open_ended


def test_animals_that_are_gone_cannot_be_chosen(small):
    flint = small.animals["Flint"]
    small.book.change_animal(flint.id, flint.version, status="sold")
    choice = parents(small.book)
    assert {animal.name for animal in choice.males} == {"Basalt", "Cobble"}
    assert {animal.name for animal in choice.females} == {"Tansy", "Marl", "Sedge"}
    assert choice.season == 2027
    assert len(choice.pairings) == 4


def test_another_season_has_its_own_pairings_sums_and_plan(small, catalogue):
    later = small.pair("Basalt", "Tansy", season=2028)
    small.pair("Cobble", "Marl", season=2028)
    small.book.set_pairing_assumption(later.id, "clutch.laying_chance", 0.4)
    ids = small.ids("Basalt", "Tansy")
    found = pairing_answer(small.book, *ids, catalogue=catalogue, season=2028)
    row = next(
        row for row in season_answer(small.book, 2028, catalogue=catalogue).rows if row.pairing == later
    )
    assert found.pairing == later
    assert found.valued.couple.season == 2028
    assert found.own == ("clutch.laying_chance",)
    assert found.valued.hatch.year == 2028
    assert found.valued.budget.margin == row.valued.budget.margin
    assert found.flood.own_young == pytest.approx(row.flood.own_young)
    sooner = pairing_answer(small.book, *ids, catalogue=catalogue)
    assert sooner.pairing.season == 2027
    assert sooner.valued.hatch.year == 2027
    assert sooner.own == ()
    assert [pairing.season for pairing in parents(small.book, 2028).pairings] == [2028, 2028]


def test_a_couple_free_in_one_season_is_valued_for_that_season(small, catalogue):
    free = pairing_answer(small.book, *small.ids("Basalt", "Tansy"), catalogue=catalogue, season=2029)
    assert free.pairing is None
    assert free.valued.couple.season == 2029
    assert parents(small.book, 2029).pairings == ()


def test_what_cannot_be_answered_is_refused_with_its_reason(small, catalogue, tmp_path):
    with pytest.raises(OutOfRange, match="lays"):
        answer_of(small, "Basalt", "Tansy", catalogue, **{"clutch.laying_chance": 1.5})
    with pytest.raises(NotStored):
        pairing_answer(small.book, 999, small.animals["Tansy"].id, catalogue=catalogue)
    bare = bare_book(tmp_path / "bare.sqlite")
    with bare.book as book, pytest.raises(NoPrices):
        pairing_answer(book, *bare.ids("Basalt", "Tansy"), catalogue=catalogue)


def test_a_female_that_never_lays_leaves_only_costs(small, catalogue):
    found = answer_of(small, "Basalt", "Tansy", catalogue, **{"clutch.laying_chance": 0.0})
    assert found.flood is None
    assert found.valued.points.price is None
    assert found.valued.budget.margin == pytest.approx(-found.valued.budget.costs.season.total)
    assert found.valued.outcomes.loss_chance == 1.0
    assert found.valued.outcomes.loss_without_young == 1.0
    assert found.hours == 0.0
