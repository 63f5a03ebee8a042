"""Strips: what lies left of break-even is drawn as a loss, and every picture says its message."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard.figures import strips
from dashboard.figures.scales import Scale

from .reading import having, labels, tree

SCALE = Scale(-100.0, 300.0, (-100.0, 0.0, 100.0, 200.0, 300.0))


def percent(text: str) -> float:
    return float(text.removesuffix("%"))


def ends(part) -> tuple[float, float]:
    return percent(part.get("x1")), percent(part.get("x2"))


def test_a_range_across_break_even_is_cut_there():
    found = tree(strips.interval(SCALE, (-60, -20, 20, 60, 140), mean=30, currency="EUR"))
    lost = [part for part in having(found, "most") if "loss" in part.get("class")]
    kept = [part for part in having(found, "most") if "loss" not in part.get("class")]
    assert [ends(part) for part in lost] == [(10, 25)]
    assert [ends(part) for part in kept] == [(25, 60)]
    assert [ends(part) for part in having(found, "half")] == [(20, 25), (25, 40)]
    assert labels(found) == ["expected 30, 8 in 10 outcomes from −60 to 140 EUR"]


def test_the_dot_is_the_expected_amount_and_hollow_when_it_is_a_loss():
    kept = having(tree(strips.interval(SCALE, (0, 10, 20, 30, 40), mean=100)), "dot")[0]
    lost = having(tree(strips.interval(SCALE, (-50, -40, -30, -20, -10), mean=-20)), "dot")[0]
    assert percent(kept.get("cx")) == 50
    assert (kept.get("class"), lost.get("class")) == ("dot", "dot loss")


def test_five_quantiles_are_needed():
    with pytest.raises(ValueError, match="five"):
        strips.interval(SCALE, (1, 2, 3), mean=2)


@given(st.lists(st.floats(-1e9, 1e9), min_size=5, max_size=5).map(sorted))
def test_no_interval_leaves_its_picture(points):
    scale = Scale.around(points)
    found = tree(strips.interval(scale, points, mean=points[2]))
    for part in found.iter("line"):
        start, end = ends(part)
        assert 0 <= start <= end <= 100


def test_a_swing_takes_either_order_and_marks_now():
    there = strips.swing(SCALE, 200, -50, now=100, label="x")
    found = tree(there)
    assert there == strips.swing(SCALE, -50, 200, now=100, label="x")
    assert ends(having(found, "now")[0]) == (50, 50)
    assert [ends(part) for part in having(found, "swing")] == [(12.5, 25), (25, 75)]


def test_a_change_goes_from_a_hollow_dot_to_a_filled_one():
    found = tree(strips.change(SCALE, 200, 100, label="from 200 to 100"))
    before, now = having(found, "before")[0], having(found, "dot")[1]
    assert (percent(before.get("cx")), percent(now.get("cx"))) == (75, 50)
    assert labels(found) == ["from 200 to 100"]


def test_a_bar_lies_between_its_amounts_in_any_order():
    for start, end in ((0, 100), (100, 0)):
        bar = having(tree(strips.bar(SCALE, start, end, css="cost", label="x")), "bar")[0]
        assert (percent(bar.get("x")), percent(bar.get("width"))) == (25, 25)


def test_the_axis_names_break_even_and_leans_inwards_at_the_ends():
    found = tree(strips.axis(SCALE))
    texts = list(found.iter("text"))
    assert [t.text for t in texts] == ["−100", "break-even", "100", "200", "300"]
    assert [t.get("text-anchor") for t in texts] == ["start", "middle", "middle", "middle", "end"]
    assert texts[1].get("class") == "zero-name"


def test_fifty_dots_are_all_drawn_and_losses_are_hollow_and_counted():
    values = [-30.0, -10.0, *[20.0 + k for k in range(48)]]
    found = tree(strips.dots50(values, currency="EUR"))
    dots = having(found, "outcome")
    assert len(dots) == 50
    assert len(having(found, "loss")) == 2
    assert labels(found) == [
        "50 equally likely season outcomes from −30 to 70 EUR; 2 of them end with a loss"
    ]
    line = percent(having(found, "upright")[0].get("x1"))
    assert all((percent(dot.get("cx")) < line) == ("loss" in dot.get("class").split()) for dot in dots)


@pytest.mark.parametrize("values", [[5.0] * 50, [0.0] * 50, [-5.0] * 50, [1e9, -1e9], [0.01] * 49 + [900.0]])
def test_dots_stay_low_whatever_the_outcomes(values):
    picture = next(tree(strips.dots50(values, currency="IDR")).iter("svg"))
    assert float(picture.get("height")) <= 190
