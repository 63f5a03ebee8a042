from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics.routes.biology import Biology
from genetics.routes.first_year import first_year
from genetics.routes.waiting import BadWait, Case, after, enough_by, season_counts, steps
from tests.genetics.routes.projects import ONE_EGG, two_sexes_by_counting


def test_one_egg_a_season_is_geometric_by_scipy():
    by = enough_by([Case(1.0, ((0.2, 0.0),))], (1, 0), ONE_EGG, seasons=30)
    assert by == pytest.approx(stats.geom.cdf(np.arange(31), 0.2), abs=1e-12)


def test_several_wanted_are_negative_binomial_by_scipy():
    by = enough_by([Case(1.0, ((0.0, 0.3),))], (0, 3), ONE_EGG, seasons=40)
    assert by == pytest.approx(stats.nbinom.cdf(np.arange(41) - 3, 3, 0.3), abs=1e-12)


def test_one_in_64_needs_45_hatchlings_for_a_half_chance_and_147_for_90_percent():
    # 1/64: 45 and 147 hatchlings, n with 1 - (63/64)^n >= 1/2 and 9/10: the closed form
    by = enough_by([Case(1.0, ((1 / 64, 0.0),))], (1, 0), ONE_EGG, seasons=400)
    found = first_year(steps(by)[1:], seasons=400)
    assert (found.median, found.quantile(0.9)) == (45, 147)
    assert 1 - (63 / 64) ** 44 < 0.5 <= 1 - (63 / 64) ** 45
    assert 1 - (63 / 64) ** 146 < 0.9 <= 1 - (63 / 64) ** 147


def test_a_random_clutch_is_its_generating_function_not_its_mean():
    biology = Biology()
    p = 1 / 64
    eggs = biology.eggs_pmf
    miss = 0.25 + 0.75 * sum(chance * (1 - p * 0.85 * 0.9) ** n for n, chance in enumerate(eggs))
    by = enough_by([Case(1.0, ((p, 0.0), (p, 0.0)))], (1, 0), biology, seasons=20)
    assert by == pytest.approx(1 - miss ** (2 * np.arange(21)), abs=1e-12)
    mean_clutch = (1 - p) ** (0.75 * 6 * 0.85 * 0.9 * 2)
    assert abs(1 - miss**2 - (1 - mean_clutch)) > 1e-4


def test_counts_of_a_season_are_multinomial_by_scipy():
    eggs = Biology(laying=1.0, eggs_mean=6.0, eggs_sd=0.0, fertile=1.0, hatching=1.0)
    table = season_counts(((0.2, 0.3),), (6, 6), eggs)
    for sons in range(7):
        for daughters in range(7 - sons):
            left = 6 - sons - daughters
            expected = stats.multinomial.pmf([sons, daughters, left], 6, [0.2, 0.3, 0.5])
            assert table[sons, daughters] == pytest.approx(expected, abs=1e-12)
    assert table.sum() == pytest.approx(1.0, abs=1e-12)


@settings(deadline=None, max_examples=25)
@given(
    male=st.fractions(0, Fraction(1, 2), max_denominator=12),
    female=st.fractions(0, Fraction(1, 2), max_denominator=12),
    needs=st.sampled_from([(1, 1), (2, 1), (1, 2), (0, 2), (2, 0)]),
)
def test_both_sexes_from_one_pairing_against_counting_egg_by_egg(male, female, needs):
    biology = Biology(laying=1.0, eggs_mean=2.5, eggs_sd=0.5, fertile=1.0, hatching=1.0)
    slow = two_sexes_by_counting({2: Fraction(1, 2), 3: Fraction(1, 2)}, male, female, needs, 4)
    by = enough_by([Case(1.0, ((float(male), float(female)),))], needs, biology, seasons=4)
    assert by == pytest.approx([float(part) for part in slow], abs=1e-10)


def test_one_of_each_sex_is_not_two_independent_events():
    case = Case(1.0, ((0.5, 0.5),))
    by = enough_by([case], (1, 1), ONE_EGG, seasons=4)
    # one hatchling a season, half of them sons: both sexes by season n with 1 - 2 / 2^n
    assert by == pytest.approx([0, 0, 1 / 2, 3 / 4, 7 / 8], abs=1e-12)
    alone = enough_by([case], (1, 0), ONE_EGG, seasons=4)
    assert by[2] != pytest.approx(alone[2] ** 2)


def test_uncertain_parents_are_a_mixture_of_waits():
    cases = [Case(2 / 3, ((0.25, 0.0),)), Case(1 / 3, ((0.0, 0.0),))]
    by = enough_by(cases, (1, 0), ONE_EGG, seasons=60)
    assert by == pytest.approx(2 / 3 * stats.geom.cdf(np.arange(61), 0.25), abs=1e-12)
    assert by[-1] < 2 / 3
    average = stats.geom.cdf(3, 2 / 3 * 0.25)
    assert by[3] != pytest.approx(average, abs=1e-3)


@pytest.mark.parametrize("delays", [(2, 3), (3, 2), (1, 1), (0, 4)])
def test_sexes_count_after_their_own_delay(delays):
    # only sons hatch from one dam, only daughters from the other: two independent geometric waits
    case = Case(1.0, ((0.3, 0.0), (0.0, 0.4)))
    by = enough_by([case], (1, 1), ONE_EGG, seasons=20, delays=delays)
    time = np.arange(21)
    expected = stats.geom.cdf(time - delays[0], 0.3) * stats.geom.cdf(time - delays[1], 0.4)
    assert by == pytest.approx(expected, abs=1e-12)


def test_one_sex_of_several_counts_after_its_delay():
    by = enough_by([Case(1.0, ((0.0, 0.4),))], (0, 2), ONE_EGG, seasons=20, delays=(9, 3))
    assert by == pytest.approx(stats.nbinom.cdf(np.arange(21) - 3 - 2, 2, 0.4), abs=1e-12)
    one = enough_by([Case(1.0, ((0.0, 0.4),))], (0, 1), ONE_EGG, seasons=20, delays=(9, 3))
    assert one == pytest.approx(stats.geom.cdf(np.arange(21) - 3, 0.4), abs=1e-12)


def test_waits_one_after_the_other_are_convolved():
    geometric = stats.geom.pmf(np.arange(31), 0.3)
    both = after(geometric, geometric)
    assert both == pytest.approx(stats.nbinom.pmf(np.arange(31) - 2, 2, 0.3), abs=1e-12)


def test_impossible_waits_are_refused():
    with pytest.raises(BadWait, match="at least one"):
        enough_by([Case(1.0, ((0.1, 0.1),))], (0, 0), ONE_EGG, seasons=3)
    with pytest.raises(BadWait, match="sum to"):
        enough_by([Case(0.5, ((0.1, 0.1),))], (1, 0), ONE_EGG, seasons=3)
    with pytest.raises(BadWait, match="0 to 1"):
        enough_by([Case(1.0, ((0.7, 0.7),))], (1, 0), ONE_EGG, seasons=3)
