"""One pairing's figures: fifty dots, what it needs, a budget that adds up, looks by money."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from dashboard.figures import pairing
from dashboard.figures.palette import DARK, LIGHT

from .reading import having, labels, rows, tree, words

OUTCOMES = [*np.linspace(-90, -10, 60), *np.linspace(10, 3000, 940)]
LINES = (
    pairing.BudgetLine("Sales", "5.8 young at 262", 1520, "income"),
    pairing.BudgetLine("Feeding", "", -300, "cost"),
    pairing.BudgetLine("Housing", "", -90, "cost"),
    pairing.BudgetLine("Margin", "", 1130, "margin"),
)
LOOK = pairing.LookLine("enchi clown", "shows it", 310, 0.7, 0.4, 0.3, 0.54, 430, 300, 560)


def percent(text: str) -> float:
    return float(text.removesuffix("%"))


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_fifty_dots_in_the_colours_of_their_meaning(palette):
    figure = pairing.outcome_dots(OUTCOMES, "EUR", palette)
    kept, lost = figure.data
    assert len(kept.x) + len(lost.x) == 50
    assert len(lost.x) == 3
    assert (kept.marker.color, lost.marker.line.color, lost.marker.color) == (
        palette.forecast,
        palette.loss,
        palette.bg,
    )
    assert max(lost.x) < 0 < min(kept.x)
    assert figure.layout.shapes[0].line.color == palette.ink
    assert figure.layout.dragmode is False


def test_the_title_and_the_alternative_text_say_how_many_end_above_break_even():
    assert pairing.outcome_title([1.0] + [-1.0] * 49).startswith("1 of 50 equally likely outcomes ends")
    assert pairing.outcome_title(OUTCOMES) == "47 of 50 equally likely outcomes end above break-even"
    alt = pairing.outcome_alt(OUTCOMES, "EUR")
    assert alt.startswith(pairing.outcome_title(OUTCOMES))
    assert "EUR" in alt


@pytest.mark.parametrize("values", [[0.0], [-5.0] * 9, [1e-3], [4e11, -2e11]])
def test_dots_are_drawn_whatever_the_outcomes(values):
    figure = pairing.outcome_dots(values, "IDR", LIGHT)
    low, high = figure.layout.xaxis.range
    assert all(low <= x <= high for trace in figure.data for x in trace.x)


def needs(needed, **more):
    return tree(pairing.needs_strip(needed, 262, q10=168, q25=208, q75=325, q90=388, currency="EUR", **more))


def test_the_price_needed_is_the_upright_line_on_an_axis_from_0():
    found = needs(68)
    assert words(found.find("h2")) == "Needs 68 a hatchling; forecast is 262"
    assert labels(found) == ["needs 68, forecast 262, 8 in 10 from 168 to 388 EUR"]
    line, dot = having(found, "upright")[0], having(found, "dot")[0]
    assert percent(line.get("x1")) / percent(dot.get("cx")) == pytest.approx(68 / 262, abs=1e-3)


def test_a_pairing_that_can_t_break_even_says_so_and_has_no_line():
    found = needs(None)
    assert words(found.find("h2")) == "No price breaks even; forecast is 262"
    assert having(found, "upright") == []


def test_other_ways_to_break_even_stand_beneath():
    facts = [pairing.NeedFact("Or by number: young that must sell", "1.5", "of 5.8")]
    assert rows(needs(68, facts=facts)) == [["Or by number: young that must sell", "1.5 of 5.8"]]


def budget(lines, low=420, high=2010):
    return tree(
        pairing.budget_table("Budget", "EUR.", lines=lines, margin_low=low, margin_high=high, currency="EUR")
    )


def test_each_cost_hangs_where_the_line_above_ended_and_the_margin_starts_at_zero():
    bars = having(budget(LINES), "bar")
    left = [percent(bar.get("x")) for bar in bars]
    right = [percent(bar.get("x")) + percent(bar.get("width")) for bar in bars]
    assert right[1] == pytest.approx(right[0], abs=0.02)
    assert right[2] == pytest.approx(left[1], abs=0.02)
    assert right[3] == pytest.approx(left[2], abs=0.02)
    assert left[3] == left[0] == 0
    assert [bar.get("class") for bar in bars] == ["bar income", "bar cost", "bar cost", "bar margin"]


def test_the_budget_prints_every_amount_and_the_range_of_the_margin():
    assert [row[2] for row in rows(budget(LINES))] == [
        "1\u202f520",
        "−300",
        "−90",
        "1\u202f1308 in 10: 420 to 2\u202f010",
    ]


def test_a_negative_margin_lies_left_of_the_line_and_is_drawn_as_a_loss():
    lines = (LINES[0], replace(LINES[1], amount=-1700), replace(LINES[3], amount=-180))
    found = budget(lines, -400, 100)
    zero = float(found.find("table").get("style").removeprefix("--zero:").removesuffix("%"))
    bar = having(found, "bar")[-1]
    assert bar.get("class") == "bar loss"
    assert percent(bar.get("x")) + percent(bar.get("width")) == pytest.approx(zero, abs=0.02)


def test_an_assumption_shows_what_the_margin_becomes_in_either_order():
    line = pairing.AssumptionLine("Months until sold", "3", "14", 1190, -80)
    scale = pairing.assumption_scale([line], 1130)
    found = tree(pairing.assumption_row(line, scale, now=1130, currency="EUR"))
    assert rows(found) == [["Months until sold3 to 14", "", "−80 to 1\u202f190"]]
    assert labels(found) == ["Months until sold from 3 to 14: margin from −80 to 1\u202f190 EUR"]
    assert [percent(part.get("x1")) for part in having(found, "now")] == [
        pytest.approx(scale(1130), abs=0.01)
    ]


def looks(*lines, others=None):
    return tree(pairing.looks_table("Looks", "Expected.", rows=lines, currency="EUR", others=others))


def test_a_look_says_money_number_sexes_chance_and_price():
    assert rows(looks(LOOK))[0] == [
        "enchi clownshows it",
        "310",
        "Expected0.7",
        "0.4 m, 0.3 f",
        "At least one54 in 100",
        "Price each430300 to 560",
    ]


def test_a_look_without_a_price_is_can_t_say_and_never_0():
    found = rows(looks(LOOK, replace(LOOK, brings=None, price=None, price_low=None, price_high=None)))
    assert (found[1][1], found[1][5]) == ("can't say", "Price eachcan't say")


def test_the_rest_is_one_row_that_opens():
    found = looks(LOOK, others=pairing.OtherLooks(19, 40, 0.3, 0.2, "others"))
    button = next(found.iter("button"))
    assert (words(button), button.get("data-go")) == ("19 others", "others")
    assert rows(looks(LOOK, others=pairing.OtherLooks(None, None, 0.3)))[1][:2] == ["all others", "can't say"]


@pytest.mark.parametrize(
    ("share", "said"), [(0.75, "three quarters"), (0.51, "half"), (0.8, "four fifths"), (0.1, "10\u202f%")]
)
def test_shares_in_words(share, said):
    assert pairing.share_words(share) == said
