"""The wait for a hatchling: a curve that starts at nothing, the rule of thumb on it, points in words."""

from __future__ import annotations

import pytest

from dashboard.figures import odds
from dashboard.figures.palette import DARK, LIGHT
from genetics import SeasonOfEggs, by_year, cross, load_catalogue, read_animal

from .reading import rows, tree, words


def chart_of(sire, dam, look, *, years, eggs=6):
    genes = load_catalogue()
    clutch = cross(read_animal(f"1.0 {sire}", genes), read_animal(f"0.1 {dam}", genes), genes)
    return by_year(clutch.kind(look), SeasonOfEggs(eggs), years=years)


@pytest.fixture(scope="module")
def rare():
    """One in 64, six eggs a year: the rule of thumb says 64 / 6, rounded up 11."""
    three = "het clown het pied het hypo"
    return chart_of(three, three, "clown pied hypo", years=30)


def named(figure, name):
    return next(trace for trace in figure.data if trace.name == name)


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_the_rule_of_thumb_stands_on_the_curve_at_its_season(rare, palette):
    """With six eggs a year the chance after eleven years is 1 - (63/64)^66."""
    figure = odds.wait_chart(rare, palette)
    curve, rule = named(figure, "chance"), named(figure, "rule of thumb")
    assert (curve.x[0], curve.y[0]) == (0, 0)
    assert curve.line.color == palette.forecast
    assert list(rule.x) == [11]
    assert rule.y[0] == pytest.approx(100 * (1 - (63 / 64) ** 66))
    assert rule.y[0] == curve.y[11]
    assert rule.marker.color == palette.bg
    assert (figure.layout.shapes[0].x0, figure.layout.shapes[0].y1) == (11, rule.y[0])
    assert figure.layout.shapes[0].line.dash == "dot"
    assert figure.layout.dragmode is False


def test_the_scale_runs_from_nought_to_a_hundred_and_every_season_is_a_dot(rare):
    figure = odds.wait_chart(rare, LIGHT)
    dots = named(figure, "by the end of a season")
    assert list(dots.x) == list(range(1, 31))
    assert all(0 < y < 100 for y in dots.y)
    assert list(dots.y) == sorted(dots.y)
    assert (figure.layout.yaxis.range[0], figure.layout.yaxis.tickvals[-1]) == (0, 100)
    assert figure.layout.xaxis.ticktext == ("1", "5", "10", "15", "20", "25", "30")
    assert dots.text[10] == "after 11: 65 of 100"


def test_words_lean_away_from_the_edge(rare):
    early = odds.wait_chart(chart_of("clown", "het clown", "clown", years=5), LIGHT).layout.annotations[0]
    assert (early.x, early.xanchor) == (1, "left")
    late = odds.wait_chart(
        chart_of("het clown het pied", "het clown het pied", "clown pied", years=4), LIGHT
    ).layout.annotations[0]
    assert (late.x, late.xanchor) == (3, "right")
    assert late.text.startswith("rule of thumb:<br>3 seasons,<br>")


def test_a_rule_beyond_the_chart_is_said_and_not_drawn(rare):
    three = "het clown het pied het hypo"
    short = chart_of(three, three, "clown pied hypo", years=5)
    figure = odds.wait_chart(short, LIGHT)
    assert "rule of thumb" not in {trace.name for trace in figure.data}
    assert not figure.layout.shapes
    assert figure.layout.annotations[0].text == "rule of thumb:<br>11 seasons,<br>beyond this chart"


def test_what_never_hatches_has_no_rule():
    genes = load_catalogue()
    clutch = cross(read_animal("1.0 clown", genes), read_animal("0.1 het clown", genes), genes)
    never = by_year(clutch.kind("clown"), SeasonOfEggs(6, laying=0.0), years=5)
    figure = odds.wait_chart(never, LIGHT)
    assert not figure.layout.annotations
    assert odds.rule_words(never) == ""


def test_the_alternative_text_says_the_message_and_some_points(rare):
    alt = odds.wait_alt("Eleven seasons by the rule of thumb", rare)
    assert alt.startswith("Eleven seasons by the rule of thumb. Of 100 such pairings")
    for season in (1, 15, 30):
        assert f"{100 * (1 - (63 / 64) ** (6 * season)):.0f} after {season}" in alt
    assert alt.endswith("rule of thumb: 11 seasons, 65 of 100")


def test_points_stand_in_rows_with_their_words():
    lines = [odds.WaitLine("Hatchlings", "", ("45", "103", "147", "191"))]
    found = tree(odds.wait_table("Enough", "Rounded up.", rows=lines))
    assert words(found.find("h2")) == "Enough"
    assert rows(found) == [["Hatchlings", "half45", "8 in 10103", "9 in 10147", "19 in 20191"]]
