"""The wait in words: a sentence with its number, what is never reached, and why the rule is no promise."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dashboard import odds_words as said
from dashboard.jobs.odds import Needed, OddsAnswer, Wanted
from genetics import ByYear

CHART = ByYear((1, 2, 3), (0.4, 0.64, 0.784), 1.6, 2, 0.56, 0.64, (), 1.0)
POINTS = (0.5, 0.8, 0.9, 0.95)


def answer(*, seasons=(2, 3, 5, 6), ever=1.0, **wanted):
    needed = (
        Needed("hatchlings", tuple(zip(POINTS, (6, 13, 18, 23), strict=True))),
        Needed("eggs", tuple(zip(POINTS, (7, 15, 21, 27), strict=True))),
        Needed("clutches", tuple(zip(POINTS, (1, 3, 4, 5), strict=True))),
        Needed("seasons", tuple(zip(POINTS, seasons, strict=True))),
    )
    return OddsAnswer(Wanted("clown pied", **wanted), 2027, 0.125, ever, 0.63, needed, CHART)


def test_the_title_is_the_answer():
    assert said.title(answer()) == "A clown pied hatches within three seasons in 8 of 10 such pairings"
    assert said.title(answer(sex="a female")).startswith("A female clown pied hatches within three seasons")
    assert said.title(answer(sex="one of each sex")) == (
        "A male and a female clown pied hatch within three seasons in 8 of 10 such pairings"
    )
    assert "within one season in" in said.title(answer(seasons=(1, 1, 2, 2)))


def test_where_8_in_10_is_never_reached_the_half_is_said_or_that_it_can_not_be():
    half = answer(seasons=(4, None, None, None), ever=2 / 3)
    assert said.title(half) == "A clown pied hatches within four seasons in half of such pairings"
    few = answer(seasons=(None,) * 4, ever=1 / 3)
    assert said.title(few) == "Of 100 such pairings 67 can’t give a clown pied at all"
    assert said.title(answer(ever=0.0)) == "A clown pied can’t hatch from this pairing"


@pytest.mark.parametrize(
    ("label", "words"),
    [("enchi clown", "an enchi clown"), ("pastel", "a pastel"), ("80% het pied", "an 80% het pied"),
     ("50% het clown", "a 50% het clown"), ("11% het pied", "an 11% het pied")],
)  # fmt: skip
def test_a_or_an(label, words):
    assert said.subject(Wanted(label)) == words


def test_the_rule_of_thumb_is_reckoned_before_the_reader_s_eyes():
    """0.63 a season: one divided by that is 1.6, so two seasons; by then 64 of 100 have one."""
    assert (
        said.chart_title(answer()) == "The rule of thumb says two seasons; 36 of 100 are still waiting then"
    )
    words = said.rule_sentence(answer())
    assert "a season brings 0.63 of them" in words
    assert "divides one by that, 1.6, and says two seasons. By then 64 of 100 have one" in words
    assert "either sex" in said.rule_sentence(answer(sex="one of each sex"))
    assert "In 33 of 100 cases it never hatches" in said.rule_sentence(answer(ever=2 / 3))
    none = replace(answer(ever=0.0), chart=replace(CHART, rule_years=None, rule_year=None))
    assert said.rule_sentence(none) == ""
    assert said.chart_title(none) == said.title(none)


def test_points_in_words():
    assert said.points_title(answer()) == "Enough in 8 in 10: 13 hatchlings, 15 eggs or three clutches"
    assert "12.5\u202f%" in said.points_reading(answer())
    assert "Never" not in said.points_reading(answer())
    assert "“Never”: the chance" in said.points_reading(answer(seasons=(4, None, None, None)))
    assert (said.number(None), said.number(1234)) == ("never", "1\u202f234")


def test_seasons_name_their_first_year_and_the_females():
    assert said.counted_under("seasons", answer()) == "from 2027 on; a female may not lay"
    assert "each of three females" in said.counted_under("seasons", answer(females=3))
