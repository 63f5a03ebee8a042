"""A scale holds every amount and zero, whatever the currency; its labels never lie on one another."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard.figures.scales import Scale, labelled_ticks, nice_step, tick_words

AMOUNTS = st.lists(st.floats(-1e13, 1e13).filter(lambda v: v == 0 or abs(v) > 1e-6), min_size=1, max_size=12)


@given(AMOUNTS)
def test_every_amount_and_zero_lie_on_the_scale(amounts):
    scale = Scale.around(amounts)
    assert scale.low <= min([*amounts, 0]) <= max([*amounts, 0]) <= scale.high
    assert scale.low < scale.high
    assert all(0 <= scale(v) <= 100 for v in amounts)


@given(AMOUNTS)
def test_ticks_are_few_round_even_and_hold_zero(amounts):
    scale = Scale.around(amounts)
    assert 2 <= len(scale.ticks) <= 8
    assert 0.0 in scale.ticks
    steps = [b - a for a, b in zip(scale.ticks, scale.ticks[1:], strict=False)]
    assert all(step == pytest.approx(scale.step, rel=1e-6) for step in steps)
    figure = scale.step / 10 ** math.floor(math.log10(scale.step) + 1e-9)
    assert any(figure == pytest.approx(round_one, rel=1e-6) for round_one in (1, 2, 2.5, 5, 10))


@given(AMOUNTS)
def test_labels_keep_clear_of_each_other_and_zero_always_has_its_own(amounts):
    scale = Scale.around(amounts)
    width = 300.0
    labels = labelled_ticks(scale, zero_name="break-even", width=width)
    assert (0.0, "break-even") in labels
    ends = [(scale(v) / 100 * width - 3.2 * len(w), scale(v) / 100 * width + 3.2 * len(w)) for v, w in labels]
    assert all(right <= left for (_, right), (left, _) in itertools.pairwise(ends))


def test_order_is_kept_and_ends_are_held():
    scale = Scale(-100, 300, (0.0, 100.0, 200.0))
    assert scale(-100) == 0
    assert scale.zero == 25
    assert scale(300) == 100
    assert scale(-1000) == 0
    assert scale(1000) == 100


@pytest.mark.parametrize("amounts", [[], [0], [0, 0], [math.nan], [math.inf, -math.inf]])
def test_nothing_to_show_still_gives_a_scale(amounts):
    scale = Scale.around(amounts)
    assert (scale.low, scale.zero) == (0, 0)
    assert scale.high > 0


@pytest.mark.parametrize(
    ("rough", "step"), [(0.9, 1), (1.0, 1), (1.1, 2), (21, 25), (260, 500), (0.03, 0.05)]
)
def test_the_nice_step_is_the_next_round_one(rough, step):
    assert nice_step(rough) == pytest.approx(step)


@pytest.mark.parametrize(
    ("high", "value", "words"),
    [
        (1, 0.25, "0.25"),
        (6, 2.0, "2"),
        (4000, 1000.0, "1\u202f000"),
        (45e6, 10e6, "10 million"),
        (9e10, 2e10, "20 billion"),
    ],
)
def test_a_tick_shows_the_figures_its_step_needs(high, value, words):
    assert tick_words(Scale.around([high]), value) == words


def test_no_tick_at_all_is_refused():
    with pytest.raises(ValueError, match="1 and more"):
        Scale.around([1], ticks=0)
