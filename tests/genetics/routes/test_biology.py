from __future__ import annotations

from dataclasses import fields
from datetime import date

import numpy as np
import pytest
from scipy import stats

from genetics.routes.biology import SOURCES, BadBiology, Biology, seasons_to_maturity


def test_every_default_says_where_it_comes_from():
    assert {field.name for field in fields(Biology)} == set(SOURCES)
    assert all(source.text for source in SOURCES.values())


def test_young_of_a_female_are_a_thinned_clutch_by_scipy():
    biology = Biology()
    eggs = biology.eggs_pmf
    expected = np.zeros(eggs.size)
    for number, chance in enumerate(eggs):
        expected += chance * stats.binom.pmf(np.arange(eggs.size), number, 0.85 * 0.9)
    expected = 0.75 * expected
    expected[0] += 0.25
    assert biology.young_pmf == pytest.approx(expected, abs=1e-12)
    assert biology.young_pmf @ np.arange(eggs.size) == pytest.approx(0.75 * 6 * 0.85 * 0.9, abs=1e-9)


@pytest.mark.parametrize("months", [6, 8, 9, 15, 16, 21, 27, 31, 33, 34, 45])
def test_seasons_to_maturity_against_the_calendar(months):
    hatched = date(2020, 7, 1)
    season = 1
    while True:
        last_pairing = date(2020 + season, 4, 1)
        age = (last_pairing.year - hatched.year) * 12 + last_pairing.month - hatched.month
        if age >= months:
            break
        season += 1
    assert seasons_to_maturity(months) == season


def test_defaults_are_what_the_customary_ages_give():
    # males from 15 months, females from 33 months: common practice, no source
    assert seasons_to_maturity(15) == Biology().male_maturity
    assert seasons_to_maturity(33) == Biology().female_maturity


@pytest.mark.parametrize(
    ("figure", "value"),
    [("laying", 1.2), ("survival", -0.1), ("male_maturity", 0), ("females_per_male", 1.5), ("male_share", 2)],
)
def test_a_figure_outside_its_range_is_refused(figure, value):
    with pytest.raises(BadBiology, match=figure):
        Biology(**{figure: value})


def test_impossible_months_are_refused():
    with pytest.raises(BadBiology, match="month 13"):
        seasons_to_maturity(15, hatch_month=13)
    with pytest.raises(BadBiology, match="age"):
        seasons_to_maturity(0)


def test_basis_names_every_figure():
    words = " ".join(Biology().described())
    assert "female maturity 3" in words
    assert "laying 0.75" in words
    assert Biology().maturity(male=True) == 2
    assert Biology().maturity(male=False) == 3
