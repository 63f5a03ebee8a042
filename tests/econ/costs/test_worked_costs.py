"""Costs against answers worked by hand, tables and a general-purpose finance library."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import numpy_financial as npf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from econ.assumptions import Assumptions
from econ.costs import (
    adult_year_cost,
    breeder_capital,
    capital_recovery,
    clutch_costs,
    death_cost,
    electricity,
    mass_at,
    meal_price,
    net_of_sale,
    place_cost_per_month,
)
from econ.costs.ownership import BadLifetime
from genetics.genes.traits import Sex

BOOK = Assumptions()
WORKED = Path(__file__).parents[2] / "reference" / "costs_hand_worked.csv"
ROWS = list(csv.DictReader(WORKED.open(encoding="utf-8", newline="")))

WAYS = {
    "capital_recovery": capital_recovery,
    "clutch_heat": lambda count: clutch_costs(count, assumptions=BOOK).line("clutch.heat").amount,
    "electricity": lambda watts, hours, tariff: electricity(watts, hours, tariff=tariff),
    "meal_price": lambda grams: float(meal_price(grams, assumptions=BOOK)),
    "female_mass": lambda days: float(mass_at(days, sex=Sex.FEMALE, assumptions=BOOK)),
    "male_mass": lambda days: float(mass_at(days, sex=Sex.MALE, assumptions=BOOK)),
    "female_food": lambda: adult_year_cost(Sex.FEMALE, breeding=True, assumptions=BOOK),
    "male_food": lambda: adult_year_cost(Sex.MALE, breeding=True, assumptions=BOOK),
    "net_of_sale": lambda price: float(net_of_sale(price, assumptions=BOOK)),
    "death_cost": lambda paid: death_cost(paid, assumptions=BOOK).amount,
    "small_tub_month": lambda: place_cost_per_month(BOOK, "hatchling").total,
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["case"])
def test_worked_example(row):
    given_ = [float(part) for part in row["given"].split(";") if part]
    assert row["source"]
    assert WAYS[row["what"]](*given_) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_every_way_of_the_worked_examples_is_used():
    assert {row["what"] for row in ROWS} == set(WAYS)


money = st.floats(0, 1e5)
years = st.integers(1, 40)
interest = st.floats(0, 0.5).filter(lambda rate: rate == 0 or rate > 1e-6)


@given(money, money, years, interest)
def test_capital_recovery_is_the_annuity_of_numpy_financial(purchase, salvage, n, rate):
    ours = capital_recovery(purchase, salvage, n, rate)
    theirs = -npf.pmt(rate, n, purchase, -salvage)
    assert ours == pytest.approx(float(theirs), rel=1e-7, abs=1e-6)


@given(money, st.floats(0, 1), years, interest)
def test_yearly_sums_are_worth_what_was_paid_less_what_is_left(purchase, share, n, rate):
    salvage = purchase * share
    yearly = capital_recovery(purchase, salvage, n, rate)
    worth = npf.npv(rate, [0.0, *[yearly] * (n - 1), yearly + salvage])
    assert float(worth) == pytest.approx(purchase, rel=1e-7, abs=1e-6)


def test_almost_no_interest_is_no_jump():
    assert capital_recovery(1000, 100, 7, 1e-9) == pytest.approx(capital_recovery(1000, 100, 7, 0), abs=1e-5)


@pytest.mark.parametrize(
    "figures", [(-1, 0, 5, 0.1), (1, -1, 5, 0.1), (1, 0, 0, 0.1), (1, 0, 5, -0.1), (np.nan, 0, 5, 0.1)]
)
def test_a_lifetime_that_makes_no_sense_is_refused(figures):
    with pytest.raises(BadLifetime, match="allowed: "):
        capital_recovery(*figures)
    with pytest.raises(BadLifetime, match="allowed: "):
        breeder_capital(-1.0, assumptions=BOOK)
