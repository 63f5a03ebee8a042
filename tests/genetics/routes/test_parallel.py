from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from scipy import stats

from genetics import Sex, make_animal, read_animal
from genetics.routes.biology import Biology
from genetics.routes.fixed_plan import PlannedStep, fixed_plan
from genetics.routes.founders import BadFounders, Founder
from genetics.routes.parallel import BadRuns, simulate
from genetics.routes.policy import BadPolicy, Policy
from genetics.routes.target import read_target
from tests.genetics.cases import sex_linked
from tests.genetics.routes.projects import LASTING, ONE_EGG, held, lethal

PAIR = Policy(places=2, male_places=1)


def agrees(found, exact, *, least=0.001):
    """Simulated first years against exact chances, by scipy's chi-squared test."""
    runs = found.runs
    chance = np.append(exact, 1.0 - np.sum(exact))
    counts = np.append(found.chance, found.not_reached) * runs
    likely = chance * runs >= 5
    observed = np.append(counts[likely], counts[~likely].sum())
    expected = np.append(chance[likely], chance[~likely].sum()) * runs
    if expected[-1] < 1e-9:
        assert observed[-1] == 0
        observed, expected = observed[:-1], expected[:-1]
    return stats.chisquare(observed, expected * observed.sum() / expected.sum()).pvalue > least


def test_one_pair_is_geometric_by_scipy(catalogue):
    founders = [held("he", "1.0 het clown"), held("she", "0.1 het clown")]
    route = simulate(
        read_target("clown", catalogue),
        founders,
        catalogue,
        biology=ONE_EGG,
        policy=PAIR,
        seed=1,
        runs=6000,
        seasons=12,
    )
    assert agrees(route.first_year, stats.geom.pmf(np.arange(1, 13), 0.25))


def test_one_step_with_random_clutches_agrees_with_the_exact_plan(catalogue):
    founders = [
        held("he", "1.0 het clown het pied"),
        held("a", "0.1 clown het pied"),
        held("b", "0.1 clown het pied"),
    ]
    target = read_target("clown pied", catalogue)
    exact = fixed_plan([PlannedStep("he", ("a", "b"))], target, founders, catalogue, biology=LASTING)
    # young can't be paired within two seasons, so the first two seasons are this one step alone
    route = simulate(
        target,
        founders,
        catalogue,
        biology=LASTING,
        policy=Policy(places=8),
        seed=2,
        runs=8000,
        seasons=2,
    )
    assert agrees(route.first_year, exact.first_year.chance[:2])


def test_a_possible_het_agrees_with_the_mixture_and_misses_are_counted(catalogue):
    founders = [held("he", "1.0 clown"), held("she", "0.1 66% het clown")]
    route = simulate(
        read_target("clown", catalogue),
        founders,
        catalogue,
        biology=Biology(**{**vars(ONE_EGG), "male_maturity": 9, "female_maturity": 9}),
        policy=PAIR,
        seed=3,
        runs=6000,
        seasons=8,
    )
    assert agrees(route.first_year, 2 / 3 * stats.geom.pmf(np.arange(1, 9), 0.5))
    assert route.first_year.not_reached == pytest.approx(1 - route.first_year.chance.sum(), abs=1e-12)
    assert (route.years == 0).mean() == pytest.approx(route.first_year.not_reached, abs=1e-12)


def test_a_pair_wanted_agrees_with_the_exact_wait_for_both_sexes(catalogue):
    founders = [held("he", "1.0 clown"), held("she", "0.1 clown")]
    target = read_target("clown", catalogue, sexes="pair", count=2)
    exact = fixed_plan([PlannedStep("he", ("she",))], target, founders, catalogue, biology=LASTING, seasons=2)
    found = simulate(target, founders, catalogue, biology=LASTING, policy=PAIR, seed=4, runs=6000, seasons=2)
    # the parents show the target themselves and do not count: it is to hatch
    assert agrees(found.first_year, exact.first_year.chance)


def test_a_male_maker_gives_sons_by_the_published_model():
    # sons of a sire with the allele on the Y have it with 1 - r (Mallery and Carrillo 2016)
    genes = sex_linked("glow", r="0.1")
    founders = [_of(genes, "he", "1.0 glow (from sire)"), _of(genes, "she", "0.1 normal")]
    biology = Biology(**{**vars(ONE_EGG), "male_maturity": 9, "female_maturity": 9})
    for sexes, share in (("male", 0.45), ("female", 0.05)):
        target = read_target("glow", genes, sexes=sexes)
        found = simulate(
            target, founders, genes, biology=biology, policy=PAIR, seed=5, runs=5000, seasons=8
        ).first_year
        assert agrees(found, stats.geom.pmf(np.arange(1, 9), share))


def _of(genes, name, text):
    return Founder(name, read_animal(text, genes))


def test_deaths_of_the_breeders_end_a_project(catalogue):
    founders = [held("he", "1.0 het clown"), held("she", "0.1 het clown")]
    biology = Biology(**{**vars(ONE_EGG), "adult_deaths": 0.2, "male_maturity": 30, "female_maturity": 30})
    route = simulate(
        read_target("clown", catalogue),
        founders,
        catalogue,
        biology=biology,
        policy=PAIR,
        seed=6,
        runs=8000,
        seasons=20,
    )
    both_live = 0.8 ** (2 * np.arange(20))
    assert agrees(route.first_year, both_live * stats.geom.pmf(np.arange(1, 21), 0.25))


def test_eggs_lost_to_their_genes_are_a_quarter_and_not_handed_on():
    genes = lethal()
    founders = [_of(genes, "he", "1.0 dun"), _of(genes, "she", "0.1 dun")]
    target = read_target("dun", genes, count=500)
    biology = Biology(male_maturity=9, female_maturity=9, adult_deaths=0.0)
    route = simulate(target, founders, genes, biology=biology, policy=PAIR, seed=7, runs=4000, seasons=4)
    hatching = biology.young_pmf @ np.arange(biology.young_pmf.size)
    assert route.lost_eggs == pytest.approx(np.full(4, hatching / 4), rel=0.05)
    sold = sum(each.expected for each in route.by_products)
    assert sold + _kept_young(route) == pytest.approx(np.full(4, 3 * hatching / 4), rel=0.05)


def _kept_young(route):
    total = np.zeros(route.going.size)
    for each in route.growing:
        total += np.diff(each.expected, prepend=0.0)
    return total


def test_numbers_by_season_add_up(catalogue):
    founders = [held("he", "1.0 clown"), held("she", "0.1 pied"), held("two", "0.1 normal")]
    biology = Biology(adult_deaths=0.0, survival=1.0)
    route = simulate(
        read_target("clown pied", catalogue),
        founders,
        catalogue,
        biology=biology,
        policy=Policy(places=8),
        seed=8,
        runs=3000,
        seasons=2,
    )
    each = biology.young_pmf @ np.arange(biology.young_pmf.size)
    sold = sum(animals.expected for animals in route.by_products)
    kept = sum(animals.expected for animals in (*route.kept, *route.growing))
    # two females lay in both seasons: young are sold or kept, adults let go make room
    assert sold[0] + kept[0] - 3 + route.let_go[0] == pytest.approx(2 * each, rel=0.03)
    assert kept == pytest.approx(route.places)
    assert route.going.tolist() == [1.0, 1.0]
    assert route.fullest.max() <= 8
    assert route.clutches[0] == pytest.approx(2 * (1 - biology.young_pmf[0]), rel=0.03)
    assert {animals.sex for animals in route.by_products} == {Sex.MALE, Sex.FEMALE}


def test_by_products_are_written_as_the_trade_does(catalogue):
    founders = [held("he", "1.0 het clown"), held("she", "0.1 het clown")]
    route = simulate(
        read_target("clown", catalogue, count=50),
        founders,
        catalogue,
        biology=LASTING,
        policy=Policy(places=3, male_places=1, updating=False),
        seed=9,
        runs=500,
        seasons=1,
    )
    labels = {each.label for each in route.by_products}
    assert "66% het clown" in labels
    assert labels <= {"66% het clown", "clown"}
    possible = next(each for each in route.by_products if each.label == "66% het clown")
    assert [str(trait) for trait in possible.traits] == ["66% het clown"]
    assert possible.traits[0].chance == pytest.approx(2 / 3, abs=1e-4)


def test_the_same_seed_gives_the_same_runs_and_stopping_leaves_nothing(catalogue):
    founders = [held("c", "1.0 clown"), held("p", "0.1 pied")]
    target = read_target("clown pied", catalogue)

    def run(**more):
        return simulate(target, founders, catalogue, biology=Biology(), policy=Policy(), runs=1200, **more)

    first = run(seed=5)

    class Stop(Exception):
        pass

    calls = []

    def stop(done, total):
        calls.append((done, total))
        if done > 300:
            raise Stop

    with pytest.raises(Stop):
        run(seed=5, progress=stop)
    assert calls == sorted(calls)
    again = run(seed=5, progress=lambda done, total: calls.append((done, total)))
    assert calls[-1] == (1200, 1200)
    assert (first.years == again.years).all()
    assert (first.years != run(seed=6).years).any()
    drawn = run(seed=np.random.default_rng(1))
    assert drawn.seed == np.random.default_rng(1).integers(2**63)
    assert (drawn.years == run(seed=drawn.seed).years).all()


def test_genes_of_one_animal_that_depend_on_each_other_are_drawn_together(catalogue):
    clown, pied = catalogue.gene("clown").locus, catalogue.gene("pied").locus
    table = {
        (("clown", "+"), ("pied", "+")): Fraction(1, 2),
        (("+", "+"), ("+", "+")): Fraction(1, 2),
    }
    either = Founder("she", make_animal(Sex.FEMALE, [((clown, pied), table)]))
    founders = [held("he", "1.0 clown pied"), either]
    biology = Biology(**{**vars(ONE_EGG), "male_maturity": 99, "female_maturity": 99})
    target = read_target("clown pied", catalogue, sexes="female")
    found = simulate(
        target, founders, catalogue, biology=biology, policy=PAIR, seed=1, runs=4000, seasons=60
    ).first_year
    assert found.by[-1] == pytest.approx(0.5, abs=0.03)


def test_runs_and_places_that_can_not_be_are_refused(catalogue):
    target = read_target("clown", catalogue)
    founders = [held("he", "1.0 clown"), held("she", "0.1 clown"), held("three", "0.1 clown")]
    common = {"biology": Biology(), "seed": 1}
    with pytest.raises(BadRuns, match="1 or more"):
        simulate(target, founders, catalogue, policy=Policy(), runs=0, **common)
    with pytest.raises(BadPolicy, match="a place each"):
        simulate(target, founders, catalogue, policy=PAIR, **common)
    with pytest.raises(BadFounders, match="unsexed"):
        simulate(target, [held("he", "clown")], catalogue, policy=PAIR, **common)
    with pytest.raises(BadFounders, match="two animals"):
        simulate(target, [founders[0], founders[0]], catalogue, policy=PAIR, **common)
    with pytest.raises(BadFounders, match="waits"):
        simulate(target, [held("he", "1.0 clown", ready_in=-1)], catalogue, policy=PAIR, **common)
    with pytest.raises(BadFounders, match="costs"):
        simulate(target, [held("he", "1.0 clown", price=-1.0)], catalogue, policy=PAIR, **common)
    for fault in (
        {"places": 1},
        {"male_places": 12},
        {"tests": -1},
        {"patience": 0.0},
        {"sure": 1.5},
    ):
        with pytest.raises(BadPolicy):
            Policy(**fault)


def test_no_pairs_are_made_without_both_sexes(catalogue):
    route = simulate(
        read_target("pied", catalogue),
        [held("he", "1.0 clown"), held("too", "1.0 pied", ready_in=2)],
        catalogue,
        biology=Biology(),
        policy=PAIR,
        seed=1,
        runs=10,
        seasons=3,
    )
    assert route.clutches.sum() == 0.0
    assert route.first_year.not_reached == 1.0  # a pied animal is held, but none has hatched
    alone = simulate(
        read_target("het pied", catalogue),
        [held("he", "1.0 clown")],
        catalogue,
        biology=Biology(),
        policy=PAIR,
        seed=1,
        runs=10,
        seasons=3,
    )
    assert alone.first_year.not_reached == 1.0
