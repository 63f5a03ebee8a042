"""Numbers of young, months of sale, what-ifs, seasons: each against scipy.stats or plain arithmetic."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy import stats

from econ.assumptions import ASSUMPTIONS, Assumptions, Contradiction, assumption
from econ.costs import CostLine, CostSheet
from econ.decisions.clutch_odds import clutch_odds
from econ.decisions.outcomes import Outcomes
from econ.decisions.pairing_costs import BUDGET_GROUPS, UnplacedCost, budget_costs, pairing_costs
from econ.decisions.sale_timing import SaleTiming
from econ.decisions.season import season_outcome
from econ.decisions.what_ifs import range_around, turning_point, what_ifs
from genetics import clutch_size_pmf

# ---- numbers of young


def test_numbers_of_young_are_a_mixture_of_binomials_of_scipy():
    figures = Assumptions({"clutch.laying_chance": 0.7})
    weights, lost = np.array([0.25, 0.75]), np.array([0.0, 0.25])
    odds = clutch_odds(figures, weights, lost=lost)
    eggs = clutch_size_pmf(6.0, 1.5)
    each = 0.85 * 0.9 * (1 - lost)
    for row in range(2):
        mixed = sum(p * stats.binom.pmf(np.arange(eggs.size), n, each[row]) for n, p in enumerate(eggs))
        np.testing.assert_allclose(odds.hatchlings[row], mixed, atol=1e-12)
    assert odds.mean == pytest.approx(0.7 * 6.0 * float(weights @ each))
    assert odds.mean_eggs == pytest.approx(0.7 * 6.0)
    none = sum(
        w * p * stats.binom.pmf(0, n, q)
        for w, q in zip(weights, each, strict=True)
        for n, p in enumerate(eggs)
    )
    assert odds.none_hatch == pytest.approx(0.3 + 0.7 * none)
    share = np.array([0.5, 0.0])
    hit = sum(0.25 * p * (1 - stats.binom.pmf(0, n, each[0] * 0.5)) for n, p in enumerate(eggs))
    assert odds.at_least_one(share) == pytest.approx(0.7 * hit)  # thinning twice is thinning by the product


@pytest.mark.parametrize(("mean", "sd"), [(2.0, 4.0), (3.0, 4.0), (2.0, 1.9)])
def test_a_clutch_size_no_clutch_can_have_is_refused_by_a_sentence_that_names_both_figures(mean, sd):
    figures = Assumptions({"clutch.eggs_mean": mean, "clutch.eggs_sd": sd})
    with pytest.raises(Contradiction, match=f"mean of {mean:g} eggs with a spread of {sd:g}") as fault:
        clutch_odds(figures, np.ones(1), lost=np.zeros(1))
    assert fault.value.ids == ("clutch.eggs_mean", "clutch.eggs_sd")


# ---- months of sale


@given(first=some.integers(0, 12), length=some.integers(1, 40), chance=some.floats(0.01, 0.99))
def test_months_of_sale_are_scipys_geometric_distribution_cut_off(first, length, chance):
    timing = SaleTiming(first=first, monthly_chance=chance, last=first + length)
    waited = np.arange(1, length + 1)
    np.testing.assert_allclose(timing.chances, stats.geom.pmf(waited, chance), rtol=1e-9)
    assert timing.unsold == pytest.approx(stats.geom.sf(length, chance), rel=1e-9, abs=1e-12)
    assert timing.chances.sum() + timing.unsold == pytest.approx(1.0)
    by_hand = sum(stats.geom.pmf(k, chance) * (first + k - 1) for k in waited)
    assert timing.expected_months == pytest.approx(by_hand + stats.geom.sf(length, chance) * timing.last)


def test_drawn_months_follow_the_chances():
    timing = SaleTiming(first=3, monthly_chance=0.3, last=8)
    uniform = (np.arange(100_000) + 0.5) / 100_000
    counts = np.bincount(timing.sample(uniform), minlength=6) / uniform.size
    np.testing.assert_allclose(counts, [*timing.chances, timing.unsold], atol=2e-5)
    at_once = SaleTiming(first=3, monthly_chance=1.0, last=8)
    assert at_once.unsold == 0.0
    assert set(at_once.sample(uniform).tolist()) == {0}


@pytest.mark.parametrize(("first", "chance", "last"), [(3, 0.5, 3), (-1, 0.5, 3), (1, 0.0, 3), (1, 1.1, 3)])
def test_impossible_months_and_chances_are_refused(first, chance, last):
    with pytest.raises(ValueError, match="allowed"):
        SaleTiming(first=first, monthly_chance=chance, last=last)


def test_hours_for_one_hatchling_count_each_fate():
    figures = Assumptions(
        {"sale.monthly_chance": 1.0, "young.survival_to_sale": 0.6, "sale.first_month": 4.0}
    )
    assert pairing_costs(figures).hours_each == pytest.approx(4 * figures["work.hatchling_hours_month"])
    slow = Assumptions({"sale.monthly_chance": 0.5, "sale.last_month": 5.0, "young.survival_to_sale": 0.8})
    months = 0.2 * 3 + 0.8 * (0.5 * 3 + 0.25 * 4 + 0.25 * 5)
    assert pairing_costs(slow).hours_each == pytest.approx(months * slow["work.hatchling_hours_month"])


# ---- lines of costs


def test_a_cost_that_no_line_takes_or_two_kinds_in_one_line_are_refused():
    lines = tuple(CostLine(id_, id_, 1.0, "variable", "", ()) for id_ in ("sale.fees", "robot.oil"))
    with pytest.raises(UnplacedCost, match=r"robot\.oil"):
        budget_costs(CostSheet(lines))
    mixed = (
        CostLine("sale.fees", "", 1.0, "variable", "", ()),
        CostLine("sale.room", "", 1.0, "fixed", "", ()),
    )
    with pytest.raises(UnplacedCost, match="mixes"):
        budget_costs(CostSheet(mixed))


def test_no_cost_fits_two_lines_of_the_budget():
    prefixes = [prefix for _, _, group in BUDGET_GROUPS for prefix in group]
    assert len(prefixes) == len(set(prefixes))
    assert not [(a, b) for a in prefixes for b in prefixes if a != b and a.startswith(b)]


# ---- what moves the answer


def straight(a: Assumptions) -> float:
    return 500.0 * a["price.level"] - 5.0 * a["sale.packing_shipping"] - 480.0


def test_what_ifs_move_one_figure_at_a_time_and_the_widest_comes_first():
    figures = Assumptions({})
    rows = what_ifs(["sale.packing_shipping", "price.level", "shared.room"], figures, margin=straight)
    assert [row.id for row in rows] == ["price.level", "sale.packing_shipping", "shared.room"]
    level = rows[0]
    assert (level.margin_low, level.margin_high) == pytest.approx((500 * 0.8 - 540, 500 * 1.2 - 540))
    points = [turning_point(row, figures, margin=straight) for row in rows]
    assert points[0] == pytest.approx(540 / 500, rel=1e-6)
    assert points[1] == pytest.approx(4.0, rel=1e-5)
    assert rows[2].width == 0.0
    assert points[2] is None


def test_the_same_figures_are_asked_for_only_once_at_each_end():
    asked = []

    def margin(a: Assumptions) -> float:
        asked.append(a.fingerprint)
        return 1.0 + a["price.level"]

    what_ifs(["price.level", "clutch.laying_chance"], Assumptions({}), margin=margin)
    assert len(asked) == 4


def test_an_end_that_clashes_with_another_figure_gives_the_margin_of_now():
    figures = Assumptions({"sale.first_month": 3.0, "sale.last_month": 4.0})
    row = what_ifs(["sale.first_month"], figures, margin=lambda a: a["sale.first_month"])[0]
    assert (row.low, row.high) == (2.0, 4.0)
    assert (row.margin_low, row.margin_high) == (2.0, 3.0)


@given(id_=some.sampled_from(sorted(ASSUMPTIONS)), at=some.floats(0.0, 1.0))
def test_the_range_holds_the_value_and_stays_within_what_is_allowed(id_, at):
    entry = assumption(id_)
    value = entry.minimum + at * (entry.maximum - entry.minimum)
    value = float(round(value)) if entry.whole else value
    low, high = range_around(id_, value)
    assert entry.minimum <= low <= value <= high <= entry.maximum
    assert range_around(id_, entry.value) == (entry.low, entry.high)


# ---- a season


def outcome(draws, mean: float) -> Outcomes:
    draws = np.asarray(draws, dtype=float)
    return Outcomes(mean=mean, draws=draws, hatchlings=np.zeros(draws.size, dtype=np.int64), sales=draws)


SHARED = CostSheet(
    (CostLine("shared.room", "Room", 30.0, "fixed", "", ()), CostLine("shared.x", "X", 5.0, "fixed", "", ()))
)


def test_a_season_adds_its_pairings_season_by_season_less_shared_costs_once():
    found = season_outcome(
        [outcome([10.0, 50.0, -5.0], 20.0), outcome([1.0, 2.0, 60.0], 21.0)], shared=SHARED
    )
    np.testing.assert_allclose(found.draws, [-24.0, 17.0, 20.0])
    assert found.pairings_mean == 41.0
    assert found.mean == 6.0
    assert found.loss_chance == pytest.approx(1 / 3)
    assert found.quantiles(0.5)[0] == 17.0


def test_a_season_without_pairings_costs_what_is_shared():
    found = season_outcome([], shared=SHARED)
    assert found.mean == -35.0
    assert found.loss_chance == 1.0
    assert found.quantiles(0.1, 0.9).tolist() == [-35.0, -35.0]


def test_pairings_drawn_for_different_numbers_of_seasons_are_refused():
    with pytest.raises(ValueError, match="same number"):
        season_outcome([outcome([1.0], 1.0), outcome([1.0, 2.0], 1.0)], shared=SHARED)


def test_inputs_of_a_season_stay_as_they_were():
    one = outcome([10.0, 50.0], 20.0)
    before = dataclasses.asdict(one)["draws"].copy()
    season_outcome([one], shared=SHARED)
    np.testing.assert_array_equal(one.draws, before)
