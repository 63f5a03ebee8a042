from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from scipy import stats

from genetics import read_animal
from genetics.routes.biology import Biology
from genetics.routes.fixed_plan import PlannedStep, fixed_plan
from genetics.routes.founders import BadFounders, Founder
from genetics.routes.serial import NoSuchYoung
from genetics.routes.stocks import NotExact
from genetics.routes.target import read_target
from tests.genetics.cases import sex_linked
from tests.genetics.routes.projects import ONE_EGG, double_recessive_by_hand, held

CLOWN, PIED = held("sire", "1.0 clown"), held("dam", "0.1 pied")
DOUBLE = [
    PlannedStep("sire", ("dam",), keep_male="het clown het pied", keep_females="het clown het pied"),
    PlannedStep(1, 1),
]


def test_a_single_step_is_geometric_by_scipy(catalogue):
    founders = [held("he", "1.0 het clown"), held("she", "0.1 clown")]
    plan = fixed_plan(
        [PlannedStep("he", ("she",))], read_target("clown", catalogue), founders, catalogue, biology=ONE_EGG
    )
    assert plan.first_year.by == pytest.approx(stats.geom.cdf(np.arange(1, 26), 0.5), abs=1e-12)
    assert plan.animals == 2
    assert plan.steps[0].keeps[0].share == Fraction(1, 2)


def test_a_quarter_a_season_needs_the_closed_form_number_of_clutches(catalogue):
    founders = [held("he", "1.0 het clown"), held("she", "0.1 het clown")]
    biology = Biology()
    plan = fixed_plan(
        [PlannedStep("he", ("she",))], read_target("clown", catalogue), founders, catalogue, biology=biology
    )
    eggs = biology.eggs_pmf
    miss = 0.25 + 0.75 * sum(c * (1 - 0.25 * 0.85 * 0.9) ** n for n, c in enumerate(eggs))
    assert plan.first_year.by == pytest.approx(1 - miss ** np.arange(1, 26), abs=1e-12)


def test_two_steps_with_a_son_between_are_a_sum_of_two_waits(catalogue):
    # a son (1/2) who is ready the season after, then 1/4 of the eggs: geometric + geometric
    founders = [held("he", "1.0 clown"), held("she", "0.1 normal"), held("het", "0.1 het clown")]
    steps = [PlannedStep("he", ("she",), keep_male="het clown"), PlannedStep(1, ("het",))]
    plan = fixed_plan(steps, read_target("clown", catalogue), founders, catalogue, biology=ONE_EGG)
    first, second = stats.geom.pmf(np.arange(40), 0.5), stats.geom.pmf(np.arange(40), 0.25)
    expected = np.cumsum(np.convolve(first, second)[:26])[1:]
    assert plan.first_year.by == pytest.approx(expected, abs=1e-12)


def test_maturity_by_sex_delays_the_next_step(catalogue):
    founders = [held("he", "1.0 clown"), held("she", "0.1 normal")]
    biology = Biology(
        male_maturity=2,
        female_maturity=3,
        laying=1.0,
        eggs_mean=1.0,
        eggs_sd=0.0,
        fertile=1.0,
        hatching=1.0,
        survival=1.0,
    )
    steps = [PlannedStep("he", ("she",), keep_females="het clown"), PlannedStep("he", 1)]
    plan = fixed_plan(steps, read_target("clown", catalogue), founders, catalogue, biology=biology)
    both = stats.nbinom.cdf(np.arange(1, 26) - 2 - 2, 2, 0.5)  # two halves, two seasons more to grow
    assert plan.first_year.by == pytest.approx(both, abs=1e-12)


def test_a_double_recessive_from_two_visuals_agrees_with_egg_by_egg_runs(catalogue):
    biology = Biology(adult_deaths=0.0)
    plan = fixed_plan(
        [
            PlannedStep("sire", ("dam",), "het clown het pied", "het clown het pied", females=2),
            PlannedStep(1, 1),
        ],
        read_target("clown pied", catalogue),
        [CLOWN, PIED],
        catalogue,
        biology=biology,
        seasons=20,
    )
    runs = 2500
    years = double_recessive_by_hand(biology, np.random.default_rng(11), females=2, runs=runs, seasons=20)
    exact = np.append(plan.first_year.chance, plan.first_year.not_reached)
    counts = np.bincount(np.where(years == 0, 21, years), minlength=22)[1:]
    likely = exact * runs >= 5
    observed = np.append(counts[likely], counts[~likely].sum())
    expected = np.append(exact[likely], exact[~likely].sum()) * runs
    assert stats.chisquare(observed, expected).pvalue > 0.001


def test_the_target_of_a_pair_waits_for_both_sexes(catalogue):
    founders = [held("he", "1.0 clown"), held("she", "0.1 clown")]
    target = read_target("clown", catalogue, sexes="pair")
    plan = fixed_plan([PlannedStep("he", ("she",))], target, founders, catalogue, biology=ONE_EGG)
    n = np.arange(1, 26)
    assert plan.first_year.by == pytest.approx(1 - 2 * 0.5**n, abs=1e-12)
    assert plan.steps[0].keeps[0].share == 1


@pytest.mark.parametrize(("sexes", "share"), [("male", Fraction(1, 4)), ("female", Fraction(1, 4))])
def test_a_target_of_one_sex_waits_for_that_sex(catalogue, sexes, share):
    founders = [held("he", "1.0 het clown"), held("she", "0.1 clown")]
    target = read_target("clown", catalogue, sexes=sexes, count=2)
    plan = fixed_plan([PlannedStep("he", ("she",))], target, founders, catalogue, biology=ONE_EGG)
    assert plan.first_year.by == pytest.approx(stats.nbinom.cdf(np.arange(1, 26) - 2, 2, 0.25), abs=1e-12)
    assert plan.steps[0].keeps[0].share == share


def test_a_male_maker_without_recombination_has_the_target_in_sons_alone():
    genes = sex_linked("glow", r="0")
    founders = [
        Founder("he", read_animal("1.0 glow (from sire)", genes)),
        Founder("she", read_animal("0.1 normal", genes)),
    ]
    plan = fixed_plan(
        [PlannedStep("he", ("she",))], read_target("glow", genes), founders, genes, biology=ONE_EGG
    )
    assert plan.first_year.by == pytest.approx(stats.geom.cdf(np.arange(1, 26), 0.5), abs=1e-12)
    assert plan.steps[0].keeps[0].share == Fraction(1, 2)
    daughters = read_target("glow", genes, sexes="female")
    with pytest.raises(NoSuchYoung):
        fixed_plan([PlannedStep("he", ("she",))], daughters, founders, genes, biology=ONE_EGG)


def test_harms_of_founders_at_other_loci_are_carried(catalogue):
    founders = [held("he", "1.0 spider het clown"), held("she", "0.1 clown")]
    target = read_target("clown", catalogue)
    plan = fixed_plan([PlannedStep("he", ("she",))], target, founders, catalogue, biology=Biology())
    assert "wobble" in {note.harm for note, _ in plan.harms}


def test_a_possible_het_may_never_get_there(catalogue):
    founders = [held("he", "1.0 clown"), held("she", "0.1 66% het clown")]
    target = read_target("clown", catalogue)
    plan = fixed_plan([PlannedStep("he", ("she",))], target, founders, catalogue, biology=ONE_EGG, seasons=60)
    assert plan.first_year.by == pytest.approx(2 / 3 * stats.geom.cdf(np.arange(1, 61), 0.5), abs=1e-12)
    assert plan.first_year.not_reached == pytest.approx(1 / 3, abs=1e-12)
    assert any("independent" in line for line in plan.basis)


def test_several_possible_hets_are_each_uncertain_alone(catalogue):
    founders = [held("he", "1.0 clown"), held("a", "0.1 66% het clown"), held("b", "0.1 66% het clown")]
    plan = fixed_plan(
        [PlannedStep("he", ("a", "b"))],
        read_target("clown", catalogue),
        founders,
        catalogue,
        biology=ONE_EGG,
        seasons=50,
    )
    n = np.arange(1, 51)
    expected = 4 / 9 * (1 - 0.25**n) + 4 / 9 * (1 - 0.5**n)
    assert plan.first_year.by == pytest.approx(expected, abs=1e-12)


def test_founders_that_wait_and_that_cost(catalogue):
    founders = [held("he", "1.0 clown", ready_in=2), held("she", "0.1 clown", price=300.0)]
    target = read_target("clown", catalogue)
    plan = fixed_plan([PlannedStep("he", ("she",))], target, founders, catalogue, biology=ONE_EGG)
    assert plan.first_year.chance[:4].tolist() == [0.0, 0.0, 1.0, 0.0]
    assert (plan.bought, plan.price, plan.founders) == (("she",), 300.0, ("he", "she"))


def test_survival_of_what_is_held_back_thins_the_wait(catalogue):
    founders = [held("he", "1.0 clown"), held("she", "0.1 normal"), held("vis", "0.1 clown")]
    biology = Biology(**{**_fields(ONE_EGG), "survival": 0.6})
    steps = [PlannedStep("he", ("she",), keep_male="het clown"), PlannedStep(1, ("vis",))]
    plan = fixed_plan(steps, read_target("clown", catalogue), founders, catalogue, biology=biology)
    first, second = stats.geom.pmf(np.arange(40), 0.3), stats.geom.pmf(np.arange(40), 0.5)
    assert plan.first_year.by == pytest.approx(np.cumsum(np.convolve(first, second)[:26])[1:], abs=1e-12)


def _fields(biology):
    return {name: getattr(biology, name) for name in biology.__dataclass_fields__}


def test_steps_are_written_in_words(catalogue):
    plan = fixed_plan(
        DOUBLE, read_target("clown pied", catalogue), [CLOWN, PIED], catalogue, biology=Biology()
    )
    first, second = plan.steps
    assert (first.sire, first.dams) == ("sire", "dam")
    assert [(k.what, k.males, k.females, k.share) for k in first.keeps] == [
        ("het clown het pied", 1, 0, Fraction(1, 2)),
        ("het clown het pied", 0, 1, Fraction(1, 2)),
    ]
    assert second.sire == "het clown het pied, young of step 1"
    assert second.keeps[-1].share == Fraction(1, 16)
    assert first.done.by[4] == pytest.approx(second.start[:6].sum())
    assert plan.harms == ()


def test_harms_on_the_way_are_carried(catalogue):
    founders = [held("he", "1.0 spider het clown"), held("she", "0.1 clown")]
    plan = fixed_plan(
        [PlannedStep("he", ("she",))],
        read_target("spider clown", catalogue),
        founders,
        catalogue,
        biology=Biology(),
    )
    assert {note.harm for note, _ in plan.harms} >= {"wobble"}


@pytest.mark.parametrize(
    ("steps", "error", "words"),
    [
        ([PlannedStep("nobody", ("dam",))], BadFounders, "nobody"),
        ([PlannedStep("dam", ("dam",))], BadFounders, "to be a male"),
        ([PlannedStep("sire", ("dam", "other"))], BadFounders, "one kind"),
        ([PlannedStep(1, ("dam",))], NoSuchYoung, "holds back no male"),
        ([PlannedStep("sire", ("dam",))], NoSuchYoung, "can't give"),
        ([], NoSuchYoung, "can't give"),
        ([PlannedStep("sire", ("dam",), keep_male="clown")], NoSuchYoung, "het clown het pied"),
        (
            [PlannedStep("sire", ("dam",), "", "het clown het pied", 4), PlannedStep("sire", 1)],
            NotExact,
            "4 females",
        ),
    ],
)
def test_plans_that_can_not_be_followed_are_refused(catalogue, steps, error, words):
    founders = [CLOWN, PIED, held("other", "0.1 clown")]
    with pytest.raises(error, match=words):
        fixed_plan(steps, read_target("clown pied", catalogue), founders, catalogue, biology=Biology())


def test_kinds_can_be_written_in_any_order(catalogue):
    steps = [PlannedStep("sire", ("dam",), "het pied het clown", "het pied het clown"), PlannedStep(1, 1)]
    target = read_target("clown pied", catalogue)
    plan = fixed_plan(steps, target, [CLOWN, PIED], catalogue, biology=Biology())
    same = fixed_plan(DOUBLE, target, [CLOWN, PIED], catalogue, biology=Biology())
    assert plan.first_year.by == pytest.approx(same.first_year.by, abs=1e-15)


def test_a_female_in_two_branches_at_a_time_is_refused(catalogue):
    founders = [CLOWN, PIED, held("second", "1.0 albino")]
    steps = [
        PlannedStep("sire", ("dam",), keep_male="het clown het pied"),
        PlannedStep("second", ("dam",), keep_females="het albino het pied"),
        PlannedStep(1, 2),
    ]
    with pytest.raises(NotExact, match="same female"):
        fixed_plan(steps, read_target("clown pied albino", catalogue), founders, catalogue, biology=Biology())


def test_a_male_with_too_many_females_in_two_branches_is_refused(catalogue):
    dams = [held(f"p{n}", "0.1 pied") for n in range(2)] + [held(f"a{n}", "0.1 albino") for n in range(2)]
    steps = [
        PlannedStep("sire", ("p0", "p1"), keep_male="het clown het pied"),
        PlannedStep("sire", ("a0", "a1"), keep_females="het albino het clown"),
        PlannedStep(1, 2),
    ]
    with pytest.raises(NotExact, match="more than 3 females"):
        fixed_plan(
            steps, read_target("clown pied albino", catalogue), [CLOWN, *dams], catalogue, biology=Biology()
        )


def test_branches_that_wait_for_the_same_young_are_refused(catalogue):
    founders = [CLOWN, PIED, held("al", "0.1 albino"), held("al2", "0.1 albino")]
    steps = [
        PlannedStep("sire", ("dam",), keep_male="het clown het pied"),
        PlannedStep(1, ("al",), keep_male="50% het pied 50% het clown het albino"),
    ]
    target = read_target("clown pied albino", catalogue)
    with pytest.raises(NoSuchYoung):
        fixed_plan(steps, target, founders, catalogue, biology=Biology())
    shared = [
        PlannedStep("sire", ("dam",), keep_male="het clown het pied"),
        PlannedStep(1, ("vis",), keep_male="clown het pied"),
        PlannedStep(1, ("vis2",), keep_females="clown het pied"),
        PlannedStep(2, 3),
    ]
    both = [CLOWN, PIED, held("vis", "0.1 clown pied"), held("vis2", "0.1 clown pied")]
    with pytest.raises(NotExact, match="same young"):
        fixed_plan(shared, read_target("clown pied", catalogue), both, catalogue, biology=Biology())


def test_an_uncertain_animal_used_twice_is_refused(catalogue):
    founders = [held("he", "1.0 66% het clown"), held("she", "0.1 clown")]
    steps = [
        PlannedStep("he", ("she",), keep_females="clown"),
        PlannedStep("he", 1),
    ]
    with pytest.raises(NotExact, match="uncertain"):
        fixed_plan(steps, read_target("clown", catalogue), founders, catalogue, biology=Biology())


def test_two_branches_with_a_shared_male_are_independent(catalogue):
    # sons of one dam and daughters of the other, one coin each a season: both there by season n
    founders = [CLOWN, PIED, held("al", "0.1 albino")]
    steps = [
        PlannedStep("sire", ("dam",), keep_male="het clown het pied"),
        PlannedStep("sire", ("al",), keep_females="het albino het clown"),
        PlannedStep(1, 2),
    ]
    target = read_target("clown", catalogue)
    steps = [
        PlannedStep("sire", ("dam",), keep_male="het clown"),
        PlannedStep("sire", ("al",), keep_females="het clown"),
        PlannedStep(1, 2),
    ]
    plan = fixed_plan(steps, target, founders, catalogue, biology=ONE_EGG)
    n = np.arange(26)
    start = np.diff((1 - 0.5**n) ** 2, prepend=0.0)
    expected = np.cumsum(np.convolve(start, stats.geom.pmf(np.arange(26), 0.25))[:26])[1:]
    assert plan.first_year.by == pytest.approx(expected, abs=1e-12)
