from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from scipy import stats

from genetics import read_animal
from genetics.routes.biology import Biology
from genetics.routes.founders import Founder
from genetics.routes.hatching import brood_size
from genetics.routes.matching import matched, promise
from tests.genetics.cases import sex_linked
from tests.genetics.routes.blocks import begin, random_beliefs, season_of
from tests.genetics.routes.projects import LASTING, bayes, covered, held

CLUTCHES = Biology(laying=1.0, adult_deaths=0.0)


def look_counts(young, tables, run, name):
    locus = tables.loci[0]
    number = locus.states.looks.index(name)
    return int(((young.run == run) & (young.sighting[0] == number)).sum())


def test_what_a_clutch_tells_of_a_possible_het_is_bayes():
    # after k normal young from a visual mate the odds of het fall by (1/2)^k: classical (Bayes)
    founders = [held("he", "1.0 clown"), held("she", "0.1 66% het clown")]
    tables, draws, herd = begin("clown", founders, biology=CLUTCHES)
    young = season_of(herd, tables, draws, CLUTCHES)
    states = tables.loci[0].states
    het, normal = states.index[("clown", "+")], states.index[("+", "+")]
    seen = set()
    for run in range(herd.ids.size):
        shown, plain = look_counts(young, tables, run, "clown"), look_counts(young, tables, run, "")
        half = [Fraction(1, 2)] * (shown + plain)
        exact = bayes(
            {"het": Fraction(2, 3), "not": Fraction(1, 3)},
            {"het": half, "not": [Fraction(0)] * shown + [Fraction(1)] * plain},
        )
        assert herd.belief[0][run, 1, het] == pytest.approx(float(exact["het"]), abs=1e-5)
        assert herd.belief[0][run, 1, normal] == pytest.approx(float(exact["not"]), abs=1e-5)
        seen.add((shown > 0, plain))
    assert len(seen) > 5


def test_two_possible_hets_are_judged_together():
    founders = [held("he", "1.0 66% het clown"), held("she", "0.1 50% het clown")]
    tables, draws, herd = begin("clown", founders, biology=CLUTCHES)
    young = season_of(herd, tables, draws, CLUTCHES)
    het = tables.loci[0].states.index[("clown", "+")]
    for run in range(herd.ids.size):
        shown, plain = look_counts(young, tables, run, "clown"), look_counts(young, tables, run, "")
        prior = {"hh": Fraction(1, 3), "hn": Fraction(1, 3), "nh": Fraction(1, 6), "nn": Fraction(1, 6)}
        never = [Fraction(0)] * shown + [Fraction(1)] * plain
        both = [Fraction(1, 4)] * shown + [Fraction(3, 4)] * plain
        exact = bayes(prior, {"hh": both, "hn": never, "nh": never, "nn": never})
        assert herd.belief[0][run, 0, het] == pytest.approx(float(exact["hh"] + exact["hn"]), abs=1e-5)
        assert herd.belief[0][run, 1, het] == pytest.approx(float(exact["hh"] + exact["nh"]), abs=1e-5)


def test_without_updating_young_keep_the_label_of_their_parents():
    founders = [held("he", "1.0 het clown"), held("she", "0.1 50% het clown")]
    tables, draws, herd = begin("clown", founders, biology=CLUTCHES)
    young = season_of(herd, tables, draws, CLUTCHES, updating=False)
    states = tables.loci[0].states
    het = states.index[("clown", "+")]
    assert herd.belief[0][:, 1, het] == pytest.approx(0.5)
    mask = np.zeros(len(states.pairs), dtype=np.float32)
    mask[het] = 1.0
    normal = young.sighting[0] == states.looks.index("")
    # dam het (1/2): 3/4 normal, of all eggs 1/2 het; dam not: all normal, half het -> (1/4 + 1/4) / (7/8)
    assert young.expected_at(0, mask)[normal] == pytest.approx(4 / 7, abs=1e-5)
    assert not young.uncertain()[~normal].any()


def test_beliefs_are_calibrated_after_several_seasons():
    founders = [
        held("he", "1.0 66% het clown"),
        held("a", "0.1 66% het clown"),
        held("b", "0.1 50% het clown"),
    ]
    tables, draws, herd = begin("clown", founders, biology=LASTING, runs=4000)
    for season in range(1, 6):
        season_of(herd, tables, draws, LASTING, season=season)
    het = tables.loci[0].states.index[("clown", "+")]
    for place in range(3):
        said = herd.belief[0][:, place, het].astype(float)
        true = herd.genotype[0][:, place] == het
        # of all animals said to be het with chance p, a share p is: a z-test of the sum
        z = (true.sum() - said.sum()) / np.sqrt((said * (1 - said)).sum() + 1e-9)
        assert abs(z) < 4.0


def test_a_pair_that_is_paired_again_is_judged_together():
    # three seasons of the same two possible hets are one long clutch: the exact answer is one Bayes step
    founders = [held("he", "1.0 66% het clown"), held("she", "0.1 50% het clown")]
    tables, draws, herd = begin("clown", founders, biology=CLUTCHES)
    totals = np.zeros((herd.ids.size, 2), dtype=int)
    for season in (1, 2, 3):
        young = season_of(herd, tables, draws, CLUTCHES, season=season)
        for run in range(herd.ids.size):
            totals[run] += [look_counts(young, tables, run, "clown"), look_counts(young, tables, run, "")]
    het = tables.loci[0].states.index[("clown", "+")]
    for run in range(herd.ids.size):
        shown, plain = totals[run].tolist()
        prior = {"hh": Fraction(1, 3), "hn": Fraction(1, 3), "nh": Fraction(1, 6), "nn": Fraction(1, 6)}
        never = [Fraction(0)] * shown + [Fraction(1)] * plain
        both = [Fraction(1, 4)] * shown + [Fraction(3, 4)] * plain
        exact = bayes(prior, {"hh": both, "hn": never, "nh": never, "nn": never})
        assert herd.belief[0][run, 0, het] == pytest.approx(float(exact["hh"] + exact["hn"]), abs=1e-4)
        assert herd.belief[0][run, 1, het] == pytest.approx(float(exact["hh"] + exact["nh"]), abs=1e-4)


def test_a_male_maker_is_told_from_his_sons_by_bayes():
    genes = sex_linked("glow", r="0.1")
    founders = [
        Founder("he", read_animal("1.0 glow", genes)),
        Founder("she", read_animal("0.1 normal", genes)),
    ]
    tables, draws, herd = begin("glow", founders, biology=CLUTCHES, catalogue=genes)
    locus = tables.loci[0]
    on_y, on_x = locus.states.index[("+", "glow")], locus.states.index[("glow", "+")]
    assert herd.belief[0][0, 0, [on_y, on_x]].tolist() == [0.5, 0.5]
    young = season_of(herd, tables, draws, CLUTCHES)
    glow = locus.states.looks.index("glow")
    for run in range(50):
        of_run = young.run == run
        shows = (young.sighting[0] % locus.looks) == glow
        fits = int((of_run & (shows == young.male)).sum())
        not_fits = int((of_run & (shows != young.male)).sum())
        nine, one = Fraction(9, 10), Fraction(1, 10)
        exact = bayes(
            {"y": Fraction(1, 2), "x": Fraction(1, 2)},
            {"y": [nine] * fits + [one] * not_fits, "x": [one] * fits + [nine] * not_fits},
        )
        assert herd.belief[0][run, 0, on_y] == pytest.approx(float(exact["y"]), abs=1e-5)


def test_covered_young_tell_nothing_of_what_lies_beneath():
    genes = covered()
    founders = [
        Founder("he", read_animal("1.0 white 66% het spot", genes)),
        Founder("she", read_animal("0.1 white spot", genes)),
    ]
    tables, draws, herd = begin("white spot", founders, biology=CLUTCHES, catalogue=genes)
    spot = next(n for n, each in enumerate(tables.loci) if ("spot", "spot") in each.states.pairs)
    before = herd.belief[spot][:, 0].copy()
    young = season_of(herd, tables, draws, CLUTCHES)
    assert young.run.size > 100
    assert (young.sighting[spot] == tables.loci[spot].looks).all()
    assert herd.belief[spot][:, 0] == pytest.approx(before)
    assert young.uncertain().all()
    carries = tables.loci[spot].carries[0]
    assert young.expected_at(spot, carries) == pytest.approx(1.0)


def test_sexes_and_genotypes_come_in_mendels_shares_by_scipy():
    founders = [held("he", "1.0 het clown"), held("she", "0.1 het clown")]
    tables, draws, herd = begin("clown", founders, biology=CLUTCHES, runs=3000)
    young = season_of(herd, tables, draws, CLUTCHES)
    states = tables.loci[0].states
    order = [states.index[pair] for pair in (("clown", "clown"), ("clown", "+"), ("+", "+"))]
    counts = np.bincount(young.genotype[0], minlength=3)[order]
    assert stats.chisquare(counts, young.run.size * np.array([0.25, 0.5, 0.25])).pvalue > 0.001
    assert stats.binomtest(int(young.male.sum()), young.run.size, 0.5).pvalue > 0.001
    sizes = np.bincount(np.bincount(young.run, minlength=3000), minlength=16)
    expected = np.zeros(16)
    expected[: CLUTCHES.young_pmf.size] = CLUTCHES.young_pmf[:16]
    likely = expected * 3000 >= 5
    assert (
        stats.chisquare(
            np.append(sizes[likely], sizes[~likely].sum()),
            3000 * np.append(expected[likely], 1 - expected[likely].sum()),
        ).pvalue
        > 0.001
    )


def test_clutch_sizes_are_cut_only_where_next_to_nothing_is_left():
    limits = brood_size(Biology())
    pmf = Biology().young_pmf
    assert pmf[limits.size :].sum() < 1e-8
    assert limits[:-1] == pytest.approx(np.cumsum(pmf)[: limits.size - 1], abs=1e-6)


def test_young_are_numbered_within_their_run():
    founders = [held("he", "1.0 clown"), held("a", "0.1 pied"), held("b", "0.1 pied")]
    tables, draws, herd = begin("clown pied", founders, biology=CLUTCHES, runs=30)
    young = season_of(herd, tables, draws, CLUTCHES)
    table = young.spread(np.arange(young.run.size), -1)
    assert sorted(table[table >= 0].tolist()) == list(range(young.run.size))
    assert young.widest == np.bincount(young.run).max()
    for run in range(30):
        assert (young.run[table[run][table[run] >= 0]] == run).all()


def test_pairs_are_the_most_promising_the_males_have_room_for():
    founders = [held(f"m{n}", "1.0 clown") for n in range(2)] + [held(f"f{n}", "0.1 pied") for n in range(4)]
    biology = Biology(females_per_male=3)
    tables, _, herd = begin("clown pied", founders, biology=biology, runs=40, places=7)
    random_beliefs(herd, tables, np.random.default_rng(2))
    herd.ready[:, 5] = 2  # one female is not grown yet
    value = promise(herd, tables)
    pairs = matched(herd, tables, season=1, females_per_male=3)
    for run in range(40):
        left = {(m, f): float(value[run, m, f]) for m in (0, 1) for f in (2, 3, 4)}
        used = {0: 0, 1: 0}
        expected = []
        while left:
            best = max(left, key=left.get)
            expected.append(best)
            used[best[0]] += 1
            left = {k: v for k, v in left.items() if k[1] != best[1] and used[k[0]] < 3}
        found = [
            (int(s), int(d))
            for s, d, there in zip(pairs.sire[run], pairs.dam[run], pairs.there[run], strict=True)
            if there
        ]
        assert found == expected


def test_promise_of_a_pair_is_the_expected_worth_of_an_egg():
    founders = [held("he", "1.0 het clown"), held("she", "0.1 clown")]
    tables, _, herd = begin("clown", founders, biology=LASTING, runs=1)
    worth = tables.loci[0].states.worth
    index = tables.loci[0].states.index
    half = (worth[index[("clown", "clown")]] + worth[index[("clown", "+")]]) / 2
    assert promise(herd, tables)[0, 0, 1] == pytest.approx(half, abs=1e-6)
