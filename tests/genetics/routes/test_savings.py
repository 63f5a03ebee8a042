from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from genetics.routes.biology import Biology
from genetics.routes.fixed_plan import PlannedStep, fixed_plan
from genetics.routes.founders import BadFounders
from genetics.routes.parallel import simulate
from genetics.routes.policy import Policy
from genetics.routes.savings import (
    Change,
    NotPaired,
    buying,
    compare,
    having_tested,
    having_young_tested,
    savings,
)
from genetics.routes.target import read_target
from tests.genetics.routes.projects import ONE_EGG, held

# young are never grown within the seasons, so every season is the same one step
SLOW = Biology(**{**vars(ONE_EGG), "male_maturity": 90, "female_maturity": 90})
FOUR = Policy(places=4, male_places=1)


def test_one_more_female_saves_what_the_exact_waits_say(catalogue):
    target = read_target("clown", catalogue)
    he, first = held("he", "1.0 het clown"), held("she", "0.1 het clown")
    more = held("more", "0.1 het clown", price=250.0)

    def wait(names, founders):
        steps = [PlannedStep("he", names)]
        return fixed_plan(steps, target, founders, catalogue, biology=SLOW, seasons=20).first_year.wait

    exact = wait(("she",), [he, first]) - wait(("she", "more"), [he, first, more])
    (found,) = savings(
        target, [he, first, more], catalogue, biology=SLOW, policy=FOUR, seed=1, runs=8000, seasons=20
    )
    low, high = found.years_interval
    assert low - 0.05 < exact < high + 0.05
    assert low < found.years < high
    assert high - low < 0.3
    assert (found.what, found.price) == ("buy more", 250.0)
    assert found.before.wait - found.after.wait == pytest.approx(found.years, abs=1e-9)
    assert found.error_cut < 1.0


def test_no_change_saves_nothing_without_any_error(catalogue):
    target = read_target("clown pied", catalogue)
    founders = (held("c", "1.0 clown"), held("p", "0.1 pied"))
    (same,) = savings(
        target,
        founders,
        catalogue,
        biology=Biology(),
        policy=Policy(),
        seed=3,
        runs=400,
        changes=[Change("nothing", founders, Policy())],
    )
    assert (same.years, same.reached) == (0.0, 0.0)
    assert same.years_interval == (0.0, 0.0)
    assert same.error_cut == 0.0


def test_common_random_numbers_make_the_error_small(catalogue):
    target = read_target("clown pied", catalogue)
    founders = (held("c", "1.0 clown"), held("p", "0.1 pied"))
    more = buying(founders, held("n", "0.1 normal"), Policy())
    (found,) = savings(
        target,
        founders,
        catalogue,
        biology=Biology(),
        policy=Policy(),
        seed=3,
        runs=1000,
        changes=[more],
    )
    assert found.error_cut < 0.9


def test_intervals_are_those_of_paired_differences_by_scipy(catalogue):
    target = read_target("clown", catalogue)
    common = {"biology": SLOW, "policy": FOUR, "seed": 4, "seasons": 10, "runs": 300}
    one = simulate(target, [held("he", "1.0 het clown"), held("a", "0.1 het clown")], catalogue, **common)
    two = simulate(
        target,
        [held("he", "1.0 het clown"), held("a", "0.1 het clown"), held("b", "0.1 het clown")],
        catalogue,
        **common,
    )
    found = compare(one, two, what="b")
    before, after = (np.where(r.years == 0, 10, r.years) for r in (one, two))
    test = stats.ttest_rel(before, after)
    middle, half = (before - after).mean(), stats.norm.ppf(0.975) * stats.sem(before - after)
    assert found.years_interval == pytest.approx((middle - half, middle + half))
    assert found.years == pytest.approx(test.statistic * stats.sem(before - after))
    gain = (two.years > 0).astype(float) - (one.years > 0)
    assert found.reached == pytest.approx(gain.mean())


def test_a_test_of_a_possible_het_tells_the_breeder_the_truth(catalogue):
    # with one place for a female the breeder can only pair her; with two, a test says which one to pair
    target = read_target("clown", catalogue)
    founders = [
        held("he", "1.0 clown"),
        held("a", "0.1 50% het clown"),
        held("b", "0.1 50% het clown"),
    ]
    biology = Biology(**{**vars(SLOW), "females_per_male": 1})
    found = savings(target, founders, catalogue, biology=biology, policy=FOUR, seed=5, runs=2000, fee=45.0)
    assert {each.what for each in found} == {"test a", "test b"}
    for each in found:
        assert each.price == 45.0
        assert each.years_interval[0] > 0.1
    assert [each.years for each in found] == sorted((each.years for each in found), reverse=True)


def test_tests_of_young_help_and_are_counted(catalogue):
    founders = (held("c", "1.0 het clown"), held("p", "0.1 normal"), held("q", "0.1 normal"))
    target = read_target("clown", catalogue)
    change = having_young_tested(founders, Policy(places=6), tests=6)
    assert change.policy.tests == 6
    (found,) = savings(
        target,
        founders,
        catalogue,
        biology=Biology(),
        policy=Policy(places=6),
        seed=6,
        runs=600,
        changes=[change],
    )
    assert found.years_interval[0] > 0.0
    route = simulate(target, founders, catalogue, biology=Biology(), policy=change.policy, seed=6, runs=600)
    assert 0.0 < route.tests[0] <= 6.0


def test_a_change_makes_room_for_the_animal_it_buys():
    founders = (held("he", "1.0 clown"), held("she", "0.1 clown"))
    full = Policy(places=2, male_places=1)
    assert buying(founders, held("n", "0.1 clown"), full).policy.places == 3
    assert having_tested(founders, "she", full).founders[1].tested
    with pytest.raises(BadFounders, match="no animal is called"):
        having_tested(founders, "nobody", full)


def test_progress_runs_over_all_simulations_and_may_stop(catalogue):
    founders = (held("c", "1.0 clown"), held("p", "0.1 pied"), held("b", "0.1 clown", price=1.0))
    calls = []
    savings(
        read_target("clown pied", catalogue),
        founders,
        catalogue,
        biology=Biology(),
        policy=Policy(),
        seed=1,
        runs=50,
        progress=lambda done, total: calls.append((done, total)),
    )
    assert calls == sorted(calls)
    assert calls[-1] == (100, 100)


def test_simulations_that_are_not_paired_are_refused(catalogue):
    target = read_target("clown", catalogue)
    founders = [held("he", "1.0 het clown"), held("a", "0.1 het clown")]
    common = {"biology": SLOW, "policy": FOUR, "seasons": 3, "runs": 20}
    one = simulate(target, founders, catalogue, seed=1, **common)
    other = simulate(target, founders, catalogue, seed=2, **common)
    with pytest.raises(NotPaired):
        compare(one, other, what="seed")
    with pytest.raises(BadFounders, match="no animal is held"):
        savings(
            target,
            [held("he", "1.0 het clown", price=1.0)],
            catalogue,
            biology=SLOW,
            policy=FOUR,
            seed=1,
        )
    single = {**common, "runs": 1}
    alone = simulate(target, founders, catalogue, seed=1, **single)
    assert compare(alone, alone, what="one run").years_interval == (0.0, 0.0)
    assert compare(alone, alone, what="one run").error_cut == 1.0
