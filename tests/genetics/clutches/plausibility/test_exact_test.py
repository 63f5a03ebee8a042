"""The exact test of a hatched clutch against scipy's exact tests, published counts and slow counting."""

from __future__ import annotations

import csv
from fractions import Fraction
from itertools import product
from math import factorial
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics import Sex, read_animal
from genetics.clutches.plausibility import exact_test
from genetics.clutches.plausibility.counts import BadCounts, Hatched
from genetics.clutches.plausibility.exact_test import goes_with_sex, plausibility
from genetics.clutches.queries.pattern import Pattern
from genetics.clutches.sires.several import cross_of_several
from tests.genetics.cases import invented, pair

REFERENCE = Path(__file__).parents[3] / "reference" / "genetics_counts.csv"
WRINKLED, GREEN = ("wrinkled",), ("green",)
KINDS = (
    Pattern(not_showing=(*WRINKLED, *GREEN)),
    Pattern(shows=GREEN, not_showing=WRINKLED),
    Pattern(shows=WRINKLED, not_showing=GREEN),
    Pattern(shows=(*WRINKLED, *GREEN)),
)
PARENTS = {
    "3:1": ("het wrinkled", "het wrinkled", (Pattern(not_showing=WRINKLED), Pattern(shows=WRINKLED))),
    "9:3:3:1": ("het wrinkled het green", "het wrinkled het green", KINDS),
    "1:1:1:1": ("het wrinkled het green", "wrinkled green", KINDS),
}


def rows():
    with REFERENCE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["counts"])
def test_mendels_counts_are_as_plausible_as_their_chi_square_says(row):
    # Large counts: the exact p value is close to that of the chi square in print (facts: Mendel 1866).
    sire, dam, kinds = PARENTS[row["ratio"]]
    counts = [int(count) for count in row["counts"].split(":")]
    hatched = [Hatched(kind, unsexed=count) for kind, count in zip(kinds, counts, strict=True)]
    found = plausibility(pair(sire, dam, catalogue=invented("wrinkled", "green")), hatched, seed=3)
    asymptotic = stats.chi2.sf(float(row["chi2"]), len(counts) - 1)
    assert found.p_value == pytest.approx(asymptotic, abs=0.03 + 4 * found.error)
    assert [kind.seen for kind in found.kinds] == [*counts, 0]
    assert sum(kind.expected for kind in found.kinds) == pytest.approx(sum(counts))
    if len(counts) == 2:
        exact = stats.binomtest(counts[0], sum(counts), 0.75).pvalue
        assert found.method == "exact"
        assert found.p_value == pytest.approx(exact, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 12), st.integers(0, 12))
def test_two_kinds_are_scipys_exact_binomial_test(clowns, normals):
    if not clowns + normals:
        return
    hatched = [Hatched("clown", unsexed=clowns), Hatched("66% het clown", unsexed=normals)]
    found = plausibility(pair("het clown", "het clown"), hatched)
    expected = stats.binomtest(clowns, clowns + normals, 0.25).pvalue
    assert (found.method, found.error) == ("exact", 0.0)
    assert found.p_value == pytest.approx(expected, rel=1e-9)


def slow_p(weights, chances, counts):
    """Chance of all outcomes at most as likely, gone through one by one with scipy's multinomial."""
    total = sum(counts)

    def law(outcome):
        return sum(
            w * stats.multinomial.pmf(outcome, total, p) for w, p in zip(weights, chances, strict=True)
        )

    limit = law(counts) * (1 + 1e-9)
    outcomes = (o for o in product(range(total + 1), repeat=len(counts)) if sum(o) == total)
    return sum(p for p in map(law, outcomes) if p <= limit)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(0, 3), min_size=3, max_size=3))
def test_uncertain_parents_are_a_mixture_over_all_their_young(counts):
    if not sum(counts):
        return
    # Both parents het with 2/3: with 4/9 a quarter is clown, else none; a pastel each second.
    clutch = pair("66% het clown pastel", "66% het clown")
    kinds = (
        Pattern(shows=("clown",)),
        Pattern(shows=("pastel",), not_showing=("clown",)),
        Pattern(not_showing=("pastel", "clown")),
    )
    hatched = [Hatched(kind, unsexed=n) for kind, n in zip(kinds, counts, strict=True)]
    expected = slow_p([4 / 9, 5 / 9], [[1 / 4, 3 / 8, 3 / 8], [0, 1 / 2, 1 / 2]], counts)
    assert plausibility(clutch, hatched).p_value == pytest.approx(min(1.0, expected), rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(0, 2), min_size=6, max_size=6))
def test_sexed_and_unsexed_hatchlings_together(counts):
    if not sum(counts):
        return
    clutch = pair("banana (from sire)", "normal", r="0.1")
    hatched = [Hatched("banana", *counts[:3]), Hatched("normal", *counts[3:])]
    sexed = [counts[0], counts[1], counts[3], counts[4]]
    plain = [counts[2], counts[5]]
    law = [0.45, 0.05, 0.05, 0.45]
    limit = stats.multinomial.pmf(sexed, sum(sexed), law) * stats.binom.pmf(plain[0], sum(plain), 0.5)
    total = 0.0
    for outcome in product(range(sum(sexed) + 1), repeat=4):
        if sum(outcome) == sum(sexed):
            first = stats.multinomial.pmf(outcome, sum(sexed), law)
            for count in range(sum(plain) + 1):
                chance = first * stats.binom.pmf(count, sum(plain), 0.5)
                total += chance if chance <= limit * (1 + 1e-9) else 0.0
    assert plausibility(clutch, hatched).p_value == pytest.approx(min(1.0, total), rel=1e-9)


def test_what_can_not_hatch_has_a_p_value_of_nothing():
    clutch = pair("pastel", "normal")
    found = plausibility(clutch, [Hatched("pastel", 2, 1), Hatched(Pattern(shows=("clown",)), 1)])
    assert (found.p_value, found.method) == (0.0, "exact")
    tied = plausibility(
        pair("66% het clown", "clown"), [Hatched("clown", 1), Hatched("het clown", unsexed=1)]
    )
    assert tied.p_value > 0.0


def test_young_that_exclude_each_other_by_their_parents(catalogue):
    # One sire for all: a clown and a pied can't come from one clutch of a het clown or a het pied.
    dam = read_animal("clown pied", catalogue, sex=Sex.FEMALE)
    sires = [(read_animal(text, catalogue, sex=Sex.MALE), "1/2") for text in ("het clown", "het pied")]
    clown = Hatched(Pattern(shows=("clown",), not_showing=("pied",)), unsexed=1)
    pied = Hatched(Pattern(shows=("pied",), not_showing=("clown",)), unsexed=1)
    whole = cross_of_several(sires, dam, catalogue, each="clutch")
    eggs = cross_of_several(sires, dam, catalogue, each="egg")
    assert plausibility(whole, [clown, pied]).p_value == 0.0
    assert plausibility(eggs, [clown, pied]).p_value > 0.1


def test_lost_eggs_are_no_evidence():
    found = plausibility(
        pair("spider", "spider"), [Hatched("spider", unsexed=4), Hatched("normal", unsexed=2)]
    )
    assert found.p_value == pytest.approx(stats.binomtest(4, 6, 2 / 3).pvalue)


def test_drawn_p_values_agree_with_exact_ones_within_their_error(monkeypatch):
    clutch = pair("het clown pastel", "het clown pastel")
    hatched = [
        Hatched(Pattern(shows=("clown",)), 1, 2),
        Hatched(Pattern(shows=("super pastel",), not_showing=("clown",)), 4, 3),
        Hatched(Pattern(not_showing=("clown", "super pastel")), 2, 3),
    ]
    exact = plausibility(clutch, hatched)
    monkeypatch.setattr(exact_test, "MOST_OUTCOMES", 10)
    drawn = plausibility(clutch, hatched, seed=5)
    again = plausibility(clutch, hatched, seed=5)
    assert (exact.method, drawn.method, drawn.outcomes) == ("exact", "drawn", 20_000)
    assert drawn.p_value == pytest.approx(exact.p_value, abs=4 * drawn.error)
    assert drawn == again
    assert 0.0 < drawn.error < 0.01


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(0, 9), min_size=4, max_size=4))
def test_going_with_the_sex_is_fishers_exact_test_of_scipy(counts):
    expected = stats.fisher_exact([counts[:2], counts[2:]]).pvalue
    found = goes_with_sex(Hatched("banana", *counts[:2]), [Hatched("normal", *counts[2:])])
    assert found == pytest.approx(expected, rel=1e-7, abs=1e-12)


def test_all_outcomes_sum_to_one():
    # The likeliest outcome is at most as likely as itself: every outcome counts.
    found = plausibility(
        pair("pastel", "normal"), [Hatched("pastel", unsexed=3), Hatched("normal", unsexed=3)]
    )
    assert found.p_value == pytest.approx(1.0)
    assert found.outcomes == 7
    assert factorial(6) // (factorial(3) ** 2) * 0.5**6 == pytest.approx(stats.binom.pmf(3, 6, 0.5))
    assert np.isclose(found.kinds[0].expected, 3.0)
    assert pair("pastel", "normal").kind("pastel").per_hatchling == Fraction(1, 2)


@pytest.mark.parametrize(
    "call",
    [
        lambda: Hatched("clown", -1),
        lambda: Hatched(Pattern(sex=Sex.MALE), 1),
        lambda: plausibility(pair("pastel", "normal"), []),
        lambda: plausibility(
            pair("pastel", "normal"), [Hatched("pastel", 1), Hatched(Pattern(carries=("pastel",)), 1)]
        ),
    ],
)
def test_counts_that_can_not_be_are_refused(call):
    with pytest.raises(BadCounts, match=r"allowed|give|no hatchling"):
        call()
