"""Growth and feeding against slow second ways."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp, trapezoid

from econ.assumptions import Assumptions, MissingCost
from econ.costs.feeding import (
    PREY,
    adult_meal,
    adult_meals_a_year,
    adult_year_cost,
    diet,
    fast_weeks,
    feeding_cost,
    feeding_until,
    meal_price,
)
from econ.costs.growth import BadAge, growth_curve, mass_at
from genetics.genes.traits import Sex

BOOK = Assumptions()
SEXES = (Sex.MALE, Sex.FEMALE)


@pytest.mark.parametrize("sex", SEXES)
def test_mass_solves_the_growth_equation_of_gompertz(sex):
    curve = growth_curve(sex, BOOK)
    ages = np.linspace(0, 3000, 13)
    solved = solve_ivp(
        lambda _, mass: curve.rate * mass * np.log(curve.grown / mass),
        (0, 3000), [curve.hatchling], t_eval=ages, rtol=1e-10, atol=1e-8,
    )  # fmt: skip
    np.testing.assert_allclose(mass_at(ages, sex=sex, assumptions=BOOK), solved.y[0], rtol=1e-6)


@given(st.floats(20, 120), st.floats(1.6, 6), st.floats(750, 5000), st.lists(st.floats(0, 15000), min_size=2))
def test_mass_never_falls_nor_passes_the_grown_mass(hatchling, times, grown, ages):
    book = Assumptions(
        {
            "growth.hatchling_mass": hatchling,
            "growth.first_year_multiple": times,
            "growth.adult_female_mass": grown,
            "growth.adult_male_mass": 4000,
        }
    )
    mass = mass_at(sorted(ages), sex=Sex.FEMALE, assumptions=book)
    assert np.all(np.diff(mass) >= -1e-9)
    assert mass[0] >= hatchling - 1e-9
    assert mass[-1] <= grown + 1e-6
    assert mass_at(365.25, sex=Sex.FEMALE, assumptions=book) == pytest.approx(hatchling * times, rel=1e-9)


def test_an_unsexed_animal_is_the_mean_of_both_sexes():
    ages = [0.0, 200.0, 2000.0]
    both = [mass_at(ages, sex=sex, assumptions=BOOK) for sex in SEXES]
    np.testing.assert_allclose(mass_at(ages, sex=Sex.UNSEXED, assumptions=BOOK), np.mean(both, axis=0))
    spent = [feeding_cost(0, 700, sex=sex, assumptions=BOOK) for sex in SEXES]
    unsexed = feeding_cost(0, 700, sex=Sex.UNSEXED, assumptions=BOOK)
    assert unsexed == pytest.approx(np.mean(spent), rel=1e-12)
    assert spent[0] < spent[1]


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("until", [90, 365, 1500])
def test_expected_cost_agrees_with_feeding_meal_by_meal(sex, until):
    age, spent, dearest = 0.0, 0.0, 0.0
    while True:
        now = diet(age, sex=sex, assumptions=BOOK)
        age += float(now.interval)
        if age > until:
            break
        price = float(diet(age, sex=sex, assumptions=BOOK).price)
        spent, dearest = spent + price, max(dearest, price)
    assert feeding_cost(0, until, sex=sex, assumptions=BOOK) == pytest.approx(spent, abs=2 * dearest)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize(("start", "end"), [(0, 60), (30, 300), (400, 1300)])
def test_expected_cost_is_the_area_under_the_cost_of_a_day(sex, start, end):
    ages = np.linspace(start, end, 40_001)
    per_day = diet(ages, sex=sex, assumptions=BOOK).cost_per_day
    area = float(trapezoid(per_day, ages))
    assert feeding_cost(start, end, sex=sex, assumptions=BOOK) == pytest.approx(area, abs=0.15)


@given(st.floats(0, 900), st.floats(0, 900), st.floats(0, 900))
def test_adjoining_spans_add_up(one, two, three):
    start, middle, end = sorted((one, two, three))
    parts = [feeding_cost(a, b, sex=Sex.MALE, assumptions=BOOK) for a, b in ((start, middle), (middle, end))]
    whole = feeding_cost(start, end, sex=Sex.MALE, assumptions=BOOK)
    assert sum(parts) == pytest.approx(whole, rel=1e-9, abs=1e-9)
    assert min(parts) >= 0


def test_a_very_old_animal_eats_as_a_grown_one():
    for sex in SEXES:
        year = feeding_cost(14000, 14365.25, sex=sex, assumptions=BOOK)
        assert year == pytest.approx(adult_year_cost(sex, breeding=False, assumptions=BOOK), rel=1e-3)


def test_meals_start_as_a_hatchlings_and_end_as_an_adults():
    first, last = (diet(age, sex=Sex.FEMALE, assumptions=BOOK) for age in (0.0, 30000.0))
    assert (float(first.interval), float(first.meal)) == pytest.approx((6, 58 * 0.12))
    assert (float(last.interval), float(last.meal)) == pytest.approx((14, 1700 * 0.08), rel=1e-4)


@given(st.lists(st.floats(0.5, 2000), min_size=1, max_size=20))
def test_meal_price_agrees_with_choosing_size_by_size(wanted):
    slow = []
    for grams in wanted:
        sizes = [prey for prey in PREY if prey.up_to >= grams]
        if sizes:
            slow.append(BOOK[min(sizes, key=lambda prey: prey.up_to).price_id])
        else:
            count = next(n for n in range(1, 100) if n * PREY[-1].up_to >= grams)
            slow.append(count * BOOK["feeding.large_price"])
    np.testing.assert_allclose(meal_price(wanted, assumptions=BOOK), slow)


def test_prey_sizes_rise_and_say_that_they_are_custom():
    assert [prey.up_to for prey in PREY] == sorted(prey.up_to for prey in PREY)
    assert {prey.source.text for prey in PREY} == {"common practice, no source"}


def test_a_fast_saves_its_meals():
    never = BOOK.with_values({"clutch.laying_chance": 0})
    always = BOOK.with_values({"clutch.laying_chance": 1})
    _, price = adult_meal(Sex.FEMALE, assumptions=BOOK)
    saved = adult_year_cost(Sex.FEMALE, breeding=True, assumptions=never) - adult_year_cost(
        Sex.FEMALE, breeding=True, assumptions=always
    )
    assert saved == pytest.approx(8.7 / 2 * price, rel=1e-9)
    assert adult_meals_a_year(60, assumptions=BOOK) == 0


def test_an_unsexed_breeder_is_refused():
    with pytest.raises(ValueError, match="allowed: male or female"):
        fast_weeks(Sex.UNSEXED, assumptions=BOOK)
    with pytest.raises(ValueError, match="allowed: male or female"):
        growth_curve(Sex.UNSEXED, BOOK)


@pytest.mark.parametrize("age", [-1.0, np.nan, np.inf])
def test_an_age_that_makes_no_sense_is_refused(age):
    with pytest.raises(BadAge, match="allowed: "):
        feeding_until([10.0, age], sex=Sex.MALE, assumptions=BOOK)
    with pytest.raises(BadAge, match="allowed: "):
        mass_at(age, sex=Sex.MALE, assumptions=BOOK)


def test_ages_in_the_wrong_order_are_refused():
    with pytest.raises(ValueError, match="the end not before the start"):
        feeding_cost(20, 10, sex=Sex.MALE, assumptions=BOOK)


def test_a_price_left_empty_is_asked_for():
    with pytest.raises(MissingCost, match="Large rat"):
        feeding_cost(0, 10, sex=Sex.MALE, assumptions=BOOK.with_values({"feeding.large_price": None}))
