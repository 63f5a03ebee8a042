"""Fifty dots stand for equally likely outcomes, and none lies on both sides of break-even."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard.figures.quantile_dots import OutcomesError, fifty, stack

OUTCOMES = st.lists(st.floats(-1e9, 1e9).map(lambda v: round(v, 3)), min_size=1, max_size=50)


def test_fifty_are_the_odd_percentiles():
    # For 0, 1, ... 100 the p-th percentile is p itself.
    assert fifty(range(101)) == pytest.approx([float(p) for p in range(1, 100, 2)])


def test_fifty_pass_over_what_is_no_number_but_not_over_all():
    assert fifty([5.0, np.nan, np.inf]) == (5.0,) * 50
    with pytest.raises(OutcomesError):
        fifty([np.nan])
    with pytest.raises(OutcomesError):
        stack([])
    with pytest.raises(OutcomesError):
        stack([1.0, float("nan")])


@given(OUTCOMES)
def test_every_outcome_has_its_dot_on_its_side_of_break_even(values):
    stacks = stack(values)
    assert sorted(dot.value for dot in stacks.dots) == sorted(values)
    assert all((dot.at < 0) == dot.is_loss for dot in stacks.dots)
    assert stacks.losses == sum(v < 0 for v in values)


@given(OUTCOMES)
def test_a_dot_lies_in_a_bin_around_its_outcome_and_dots_of_a_bin_stand_on_each_other(values):
    stacks = stack(values)
    assert all(abs(dot.at - dot.value) <= stacks.width * (0.5 + 1e-6) for dot in stacks.dots)
    places = [(dot.at, dot.height) for dot in stacks.dots]
    assert len(set(places)) == len(places)
    assert stacks.tallest == max(dot.height for dot in stacks.dots) + 1
    assert stacks.low <= 0 <= stacks.high


def test_a_narrow_heap_takes_narrower_bins():
    values = fifty(np.random.default_rng(1).normal(100, 4, 5000))
    assert stack(values, bins=28).bins >= 28
    wide = fifty(np.random.default_rng(1).normal(0, 100, 5000))
    assert stack(wide).tallest <= 10


def test_fifty_times_the_same_is_one_stack():
    assert stack([40.0] * 50).tallest == 50
    assert stack([0.0] * 50).losses == 0
    assert stack([-3.0] * 50).losses == 50
