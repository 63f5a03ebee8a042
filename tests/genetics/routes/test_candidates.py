from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from genetics import read_animal
from genetics.routes.biology import Biology
from genetics.routes.candidates import find_routes
from genetics.routes.fixed_plan import PlannedStep, fixed_plan
from genetics.routes.founders import BadFounders, Founder
from genetics.routes.target import read_target
from tests.genetics.routes.projects import ONE_EGG, covered, held, lethal


def test_the_double_recessive_from_two_visuals_is_found_and_exact(catalogue):
    founders = [held("c", "1.0 clown"), held("p", "0.1 pied")]
    target = read_target("clown pied", catalogue)
    routes = find_routes(target, founders, catalogue, biology=Biology())
    best = routes.plans[0]
    assert [step.keeps[-1].what for step in best.steps] == ["het clown het pied", "clown pied"]
    by_hand = fixed_plan(
        [PlannedStep("c", ("p",), "het clown het pied", "het clown het pied", females=3), PlannedStep(1, 1)],
        target,
        founders,
        catalogue,
        biology=Biology(),
    )
    assert best.first_year.by == pytest.approx(by_hand.first_year.by, abs=1e-12)
    assert routes.complete


def test_no_plan_is_beaten_by_another(catalogue):
    founders = [
        held("c", "1.0 clown"),
        held("p", "0.1 pied"),
        held("dear", "0.1 clown het pied", price=500.0),
        held("cheap", "0.1 het clown het pied", price=100.0),
    ]
    routes = find_routes(read_target("clown pied", catalogue), founders, catalogue, biology=Biology())
    figures = [(plan.first_year.wait, plan.animals, plan.price) for plan in routes.plans]
    assert figures == sorted(figures)
    assert len(figures) >= 3
    for one in figures:
        assert not any(
            other != one and all(a <= b for a, b in zip(other, one, strict=True)) for other in figures
        )
    assert any(plan.bought for plan in routes.plans)
    assert any(not plan.bought for plan in routes.plans)


def test_a_visual_from_a_het_and_normal_females_goes_through_possible_hets(catalogue):
    # a son's daughters are het with 1/2; back to their sire a quarter of a het's young show
    founders = [held("he", "1.0 het clown"), held("she", "0.1 normal")]
    routes = find_routes(read_target("clown", catalogue), founders, catalogue, biology=ONE_EGG, seasons=40)
    one = next(plan for plan in routes.plans if plan.animals == 3)
    wait = stats.geom.pmf(np.arange(60), 0.5)
    then = 0.5 * stats.geom.pmf(np.arange(60), 0.25)
    assert one.first_year.by == pytest.approx(np.cumsum(np.convolve(wait, then)[:41])[1:], abs=1e-12)
    assert one.steps[0].keeps[0].what == "50% het clown"
    assert one.first_year.not_reached == pytest.approx(0.5, abs=1e-4)


def test_the_fastest_single_step_is_the_best_pair_of_all(catalogue):
    males = [held("m0", "1.0 het clown"), held("m1", "1.0 clown")]
    females = [held("f0", "0.1 het clown"), held("f1", "0.1 normal"), held("f2", "0.1 66% het clown")]
    routes = find_routes(read_target("clown", catalogue), [*males, *females], catalogue, biology=ONE_EGG)
    waits = []
    for male, share in (("m0", 0.25), ("m1", 0.5)):
        waits.append((1 / share, male, "f0"))
    best = routes.plans[0]
    assert (best.steps[0].sire, best.steps[0].dams) == min(waits)[1:]
    assert best.first_year.wait == pytest.approx(2.0, abs=1e-6)


def test_more_females_of_one_kind_are_used_together(catalogue):
    founders = [held("he", "1.0 clown"), *(held(f"f{n}", "0.1 het clown") for n in range(4))]
    routes = find_routes(read_target("clown", catalogue), founders, catalogue, biology=ONE_EGG)
    assert routes.plans[0].steps[0].females == 3
    assert routes.plans[0].first_year.by[0] == pytest.approx(1 - 0.5**3)
    assert [plan.animals for plan in routes.plans] == [4, 3, 2]


def test_animals_with_a_harm_can_be_avoided(catalogue):
    founders = [held("he", "1.0 spider"), held("she", "0.1 clown")]
    target = read_target("clown", catalogue)
    free = find_routes(target, founders, catalogue, biology=Biology())
    assert free.plans
    target = read_target("spider clown", catalogue)
    found = find_routes(target, founders, catalogue, biology=Biology())
    assert "wobble" in {note.harm for note, _ in found.plans[0].harms}
    avoided = find_routes(target, founders, catalogue, biology=Biology(), avoid=("wobble",))
    assert len(avoided.plans) < len(found.plans)


def test_lost_eggs_are_not_handed_to_the_others():
    genes = lethal()
    founders = [Founder(n, _animal(genes, t)) for n, t in (("he", "1.0 dun"), ("she", "0.1 dun"))]
    target = read_target("dun", genes)
    plan = find_routes(target, founders, genes, biology=ONE_EGG).plans[0]
    assert plan.first_year.by == pytest.approx(stats.geom.cdf(np.arange(1, 26), 0.5), abs=1e-12)


def test_a_covered_gene_is_not_taken_for_seen():
    genes = covered()
    founders = [
        Founder(n, _animal(genes, t)) for n, t in (("he", "1.0 white spot"), ("she", "0.1 white spot"))
    ]
    sure = find_routes(read_target("white spot", genes), founders, genes, biology=ONE_EGG)
    assert sure.plans[0].first_year.by[0] == pytest.approx(1.0)
    hets = [
        Founder(n, _animal(genes, t)) for n, t in (("he", "1.0 het white het spot"), ("she", "0.1 white"))
    ]
    unseen = find_routes(read_target("white spot", genes), hets, genes, biology=ONE_EGG)
    assert all(len(plan.steps) > 1 for plan in unseen.plans)


def _animal(genes, text):
    return read_animal(text, genes)


def test_a_target_that_can_not_be_reached_has_no_plan(catalogue):
    founders = [held("he", "1.0 clown"), held("she", "0.1 clown")]
    routes = find_routes(read_target("pied", catalogue), founders, catalogue, biology=Biology())
    assert routes.plans == ()
    assert routes.complete


def test_only_one_sex_leads_nowhere(catalogue):
    routes = find_routes(
        read_target("clown", catalogue), [held("he", "1.0 clown")], catalogue, biology=Biology()
    )
    assert routes.plans == ()
    with pytest.raises(BadFounders, match="no animal"):
        find_routes(read_target("clown", catalogue), [], catalogue, biology=Biology())


def test_an_animal_that_is_never_ready_is_left_aside(catalogue):
    founders = [held("he", "1.0 clown", ready_in=40), held("she", "0.1 clown")]
    assert find_routes(read_target("clown", catalogue), founders, catalogue, biology=Biology()).plans == ()


def test_the_search_can_be_stopped_and_says_when_it_stopped_itself(catalogue):
    founders = [held("c", "1.0 clown"), held("p", "0.1 pied"), held("a", "0.1 albino")]
    target = read_target("clown pied albino", catalogue)
    seen = []

    class Stop(Exception):
        pass

    def stop(done, total):
        seen.append((done, total))
        if done == 5:
            raise Stop

    with pytest.raises(Stop):
        find_routes(target, founders, catalogue, biology=Biology(), progress=stop, most=50)
    assert seen == [(n, 50) for n in range(1, 6)]
    short = find_routes(target, founders, catalogue, biology=Biology(), most=6)
    assert not short.complete
    assert short.looked_at == 6
