"""Clutch sizes and hatchlings."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics import ImpossibleClutchSize, clutch_size_pmf, hatchling_pmf


def moments(pmf):
    counts = np.arange(pmf.size)
    mean = pmf @ counts
    return mean, np.sqrt(pmf @ (counts - mean) ** 2)


@settings(max_examples=80, deadline=None)
@given(st.floats(4.0, 12.0), st.floats(0.55, 3.0))
def test_mean_and_spread_are_exactly_those_asked(mean, sd):
    pmf = clutch_size_pmf(mean, sd)
    assert pmf.sum() == pytest.approx(1, abs=1e-12)
    assert pmf[0] == 0.0
    assert moments(pmf) == pytest.approx((mean, sd), abs=1e-6)
    assert np.all(np.diff(np.sign(np.diff(pmf[1:]))) <= 0)  # one peak


@pytest.mark.parametrize(
    ("mean", "sd"), [(6.0, 0.0), (6.0, 0.1), (6.02, 0.16), (6.5, 0.5), (8.1, 2.4), (20.0, 0.0)]
)
def test_narrow_spreads(mean, sd):
    assert moments(clutch_size_pmf(mean, sd)) == pytest.approx((mean, sd), abs=1e-6)


def test_a_wide_range_is_near_the_normal_law():
    pmf = clutch_size_pmf(50.0, 4.0, largest=100)
    assert pmf == pytest.approx(stats.norm.pdf(np.arange(101), 50, 4), abs=1e-6)


@pytest.mark.parametrize(
    ("mean", "sd", "range_"),
    [
        (0.5, 0.1, (1, 20)),
        (21.0, 1.0, (1, 20)),
        (6.5, 0.2, (1, 20)),
        (6.0, -1.0, (1, 20)),
        (6.0, 9.0, (1, 20)),
        (10.5, 6.5, (1, 20)),
        (6.0, 1.0, (9, 3)),
        (6.0, float("nan"), (1, 20)),
    ],
)
def test_impossible_wishes_are_refused(mean, sd, range_):
    with pytest.raises(ImpossibleClutchSize):
        clutch_size_pmf(mean, sd, smallest=range_[0], largest=range_[1])


def test_the_answer_can_be_changed_without_changing_the_next():
    first = clutch_size_pmf(6.0, 1.5)
    first[:] = 0.0
    assert clutch_size_pmf(6.0, 1.5).sum() == pytest.approx(1)


def test_hatchlings_are_binomial_as_in_scipy():
    eggs = np.zeros(9)
    eggs[8] = 1.0
    pmf = hatchling_pmf(eggs, laying=1.0, fertile=0.9, hatching=0.8, lost=0.25)
    assert pmf == pytest.approx(stats.binom.pmf(np.arange(9), 8, 0.9 * 0.8 * 0.75), abs=1e-12)
    half = hatchling_pmf(eggs, laying=0.5, fertile=0.9, hatching=0.8, lost=0.25)
    assert half[0] == pytest.approx(0.5 + 0.5 * pmf[0])
    assert half[1:] == pytest.approx(0.5 * pmf[1:])


@pytest.mark.parametrize("name", ["laying", "fertile", "hatching", "lost"])
def test_chances_outside_0_to_1_are_refused(name):
    parts = {"laying": 1.0, "fertile": 1.0, "hatching": 1.0, "lost": 0.0, name: 1.01}
    with pytest.raises(ValueError, match=name):
        hatchling_pmf(np.array([0.0, 1.0]), **parts)
    with pytest.raises(ValueError, match="sum to"):
        hatchling_pmf(np.array([0.5, 0.4]), laying=1, fertile=1, hatching=1)
