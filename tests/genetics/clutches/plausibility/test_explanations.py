"""Which assumption the young speak against, with closed forms for every ratio."""

from __future__ import annotations

from fractions import Fraction
from math import comb, inf, log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from scipy.special import betaln, xlogy

from genetics import Sex, make_animal
from genetics.clutches.plausibility.alternatives import other_parents, with_pair
from genetics.clutches.plausibility.counts import BadCounts, Hatched
from genetics.clutches.plausibility.explanations import explanations
from genetics.clutches.plausibility.recombination import estimate, estimate_males, ratio
from genetics.clutches.queries.pattern import Pattern
from tests.genetics.cases import invented, pair

CLOWN, NOT_CLOWN = Pattern(shows=("clown",)), Pattern(not_showing=("clown",))


def by_change(found):
    return {item.change: item for item in found}


def test_a_sire_that_is_no_het_bayes():
    # Seven normal young of a visual dam: no het is (1/2)^-7 times as likely as het, 66% het between them.
    seen = [Hatched(NOT_CLOWN, 3, 4)]
    found = by_change(explanations(pair("66% het clown", "clown"), seen))
    recorded = 1 / 3 + 2 / 3 / 2**7
    none = next(item for change, item in found.items() if change.startswith("the sire were no clown"))
    het = found["the sire were het clown"]
    assert none.bayes_factor == pytest.approx(1 / recorded, rel=1e-9)
    assert het.bayes_factor == pytest.approx(0.5**7 / recorded, rel=1e-9)
    assert none.what == "genotype"
    assert none.sentence.startswith("What hatched would be 3.0 times as likely if the sire were no clown")
    assert het.sentence.startswith("What hatched would be only 1/43 as likely")


def test_an_unexpected_visual_names_two_hets():
    found = explanations(pair("pastel", "normal"), [Hatched("pastel", 1, 1), Hatched(CLOWN, 1)])
    assert found[0].change == "the sire were het clown and the dam were het clown"
    assert found[0].bayes_factor == inf
    assert "can't be as recorded" in found[0].sentence
    alone = by_change(found)["the dam were het clown"]
    assert alone.bayes_factor == 0.0
    assert "could not be" in alone.sentence


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 8), st.integers(1, 8))
def test_recombination_by_counts_of_recombinants_is_a_binomial(recombinant, kept):
    # Phase known, wild-type dam: each young is a recombinant with chance r (derived from the gametes).
    n = recombinant + kept
    seen = [Hatched("banana", males=kept, females=recombinant)]
    found = explanations(pair("banana (from sire)", "normal", r="0.1"), seen)
    (item,) = [item for item in found if item.what == "recombination"]
    best = min(recombinant / n, 0.5)
    assert item.estimate.value == pytest.approx(best, abs=1e-5)

    def logs(r):
        return float(xlogy(recombinant, r) + xlogy(kept, 1 - r))

    assert item.likelihood_ratio == pytest.approx(np.exp(logs(best) - logs(0.1)), rel=1e-6)
    drop = logs(best) - stats.chi2.ppf(0.95, 1) / 2
    for end in (item.estimate.low, item.estimate.high):
        if 0.0 < end < 0.5:
            assert logs(end) == pytest.approx(drop, abs=1e-6)
        else:
            assert logs(end) >= drop
    # Averaged over all r from 0 to 1/2: an incomplete beta function.
    average = 2 * np.exp(betaln(recombinant + 1, kept + 1)) * stats.beta.cdf(0.5, recombinant + 1, kept + 1)
    assert item.bayes_factor == pytest.approx(average / np.exp(logs(0.1)), rel=1e-6)


def test_the_other_maker_type_is_named_first():
    seen = [Hatched("banana", 1, 6), Hatched("normal", 5, 1)]
    found = explanations(pair("banana (from sire)", "normal", r="0.1"), seen)
    assert (found[0].what, found[0].change) == ("maker type", "the sire were banana from dam")
    # Two of thirteen fit the male maker, eleven the female maker.
    assert found[0].bayes_factor == pytest.approx(9.0 ** (11 - 2), rel=1e-9)


def test_two_copies_that_do_not_hatch():
    seen = [Hatched("pastel", unsexed=15), Hatched("normal", unsexed=7)]
    item = next(i for i in explanations(pair("pastel", "pastel"), seen) if i.what == "losses")
    assert item.change == "eggs with two copies of pastel did not hatch"
    assert item.bayes_factor == pytest.approx((2 / 3 / 0.5) ** 15 * (1 / 3 / 0.25) ** 7, rel=1e-9)


def test_two_copies_that_do_hatch_after_all():
    seen = [Hatched("spider", unsexed=15), Hatched("normal", unsexed=2)]
    item = next(i for i in explanations(pair("spider", "spider"), seen) if i.what == "losses")
    assert item.change == "eggs with two copies of spider did hatch"
    assert item.bayes_factor == pytest.approx((3 / 4 / (2 / 3)) ** 15 * (1 / 4 / (1 / 3)) ** 2, rel=1e-9)


def test_a_pair_that_a_parent_has_itself_is_not_called_lost():
    found = explanations(pair("super pastel", "pastel"), [Hatched("pastel", 3, 3)])
    assert all(item.what != "losses" for item in found)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 20), st.integers(0, 20))
def test_share_of_males_with_its_exact_interval_as_scipy(males, females):
    if not males + females:
        return
    found = estimate_males(males, females)
    interval = stats.binomtest(males, males + females).proportion_ci(0.95, method="exact")
    assert (found.low, found.high) == pytest.approx((interval.low, interval.high), abs=1e-9)
    (item,) = [
        item
        for item in explanations(pair("pastel", "normal"), [Hatched("pastel", males, females)])
        if item.what == "sex ratio"
    ]
    # Uniform over all shares: 1 / ((n + 1) C(n, males)) against (1/2)^n.
    n = males + females
    assert item.bayes_factor == pytest.approx(2**n / ((n + 1) * comb(n, males)), rel=1e-9)


def test_unsexed_young_say_nothing_of_the_sexes():
    found = explanations(pair("pastel", "normal"), [Hatched("pastel", unsexed=4)])
    assert all(item.what != "sex ratio" for item in found)


def test_changing_one_locus_keeps_what_is_known_of_the_others():
    genes = invented("one", "two")
    half = Fraction(1, 2)
    tied = {(("one", "+"), ("two", "+")): half, (("+", "+"), ("+", "+")): half}
    animal = make_animal(Sex.MALE, [(("one", "two"), tied)])
    changed = with_pair(animal, genes.locus("one"), ("one", "one"))
    beliefs = {factor.loci: dict(factor.table) for factor in changed.belief}
    assert beliefs == {
        ("one",): {(("one", "one"),): 1},
        ("two",): {(("two", "+"),): half, (("+", "+"),): half},
    }


def test_only_genotypes_that_look_the_same_are_tried():
    clutch = pair("pinstripe", "clown", catalogue=None)
    genes = clutch.catalogue
    tried = [given for _, given, _ in other_parents(clutch, [genes.locus_of("pinstripe")], asked=())]
    assert tried == [{Sex.MALE: ("pinstripe", "pinstripe")}]
    assert list(other_parents(clutch, [genes.locus_of("hypo")], asked=())) == []


def test_look_alikes_may_be_each_other():
    found = by_change(explanations(pair("lesser", "butter"), [Hatched("normal", 1, 1)]))
    assert any("butter" in change and "sire" in change for change in found)


def test_labels_are_understood_where_a_further_locus_is_tried():
    clutch = pair("pastel", "normal")
    found = by_change(explanations(clutch, [Hatched("normal", 2, 1), Hatched(CLOWN, unsexed=1)]))
    both = found["the sire were het clown and the dam were het clown"]
    assert both.bayes_factor == inf
    # "normal" now also asks that no clown shows.
    sole = by_change(
        explanations(
            clutch,
            [Hatched("normal", 2, 1), Hatched(Pattern(carries=("clown",), shows=("pastel",)), unsexed=1)],
        )
    )
    assert sole["the dam were het clown"].bayes_factor == inf


def test_an_estimate_needs_counts_that_can_be():
    with pytest.raises(BadCounts, match="no value"):
        estimate(lambda _: -inf, highest=0.5)
    flat = estimate(lambda value: 0.0 * value, highest=0.5)
    assert (flat.low, flat.high) == (0.0, 0.5)
    assert flat.log_average == pytest.approx(0.0)
    assert ratio(1000.0) == inf
    assert ratio(log(3.0)) == pytest.approx(3.0)


def test_a_dam_says_nothing_about_the_recombination_of_sires():
    found = explanations(pair("normal", "banana"), [Hatched("banana", 1, 2), Hatched("normal", 2, 1)])
    assert all(item.what != "recombination" for item in found)


def test_eggs_that_would_all_be_lost_could_not_have_hatched():
    item = next(
        item
        for item in explanations(pair("super black pastel", "super cinnamon"), [Hatched("eight ball", 1, 1)])
        if item.what == "losses"
    )
    assert item.change == "eggs with black pastel with cinnamon did not hatch"
    assert item.bayes_factor == 0.0


def test_what_the_counts_do_not_touch_is_not_listed():
    found = explanations(pair("pastel", "pastel"), [Hatched(NOT_CLOWN, unsexed=5)])
    assert all(item.what != "losses" for item in found)
