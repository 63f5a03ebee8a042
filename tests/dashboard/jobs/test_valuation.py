"""One couple's value: kept pieces give the same sums as everything made anew."""

from __future__ import annotations

import dataclasses

import pytest

from dashboard.jobs.market import market_of
from dashboard.jobs.valuation import Couple, NoPrices, expected_margin_of, hatch_looks, value_couple
from dashboard.records import AnimalRecord
from econ.assumptions import Assumptions, MissingCost
from genetics import NotationError, PairingError, Sex
from tests.dashboard.jobs.small_book import bare_book
from tests.econ.decisions.pairs_by_hand import COUPLES, budget_of, small_market


def animal(id_: int, name: str, text: str, sex: Sex, **more) -> AnimalRecord:
    return AnimalRecord(id=id_, version=1, name=name, sex=sex, text=text, **more)


def couple(sire="66% het clown", dam="66% het clown", *, females=3, sexes=(Sex.MALE, Sex.FEMALE), **figures):
    return Couple(
        sire=animal(1, "Ash", sire, sexes[0]),
        dam=animal(2, "Elm", dam, sexes[1]),
        season=2027,
        females=females,
        assumptions=Assumptions(figures),
    )


CHANGES = [
    {},
    {"price.level": 1.4},
    {"sale.first_month": 5.0},
    {"sale.last_month": 7.0},
    {"sale.last_month": 60.0},
    {"clutch.hatch_month": 10.0},
    {"clutch.laying_chance": 0.2},
    {"price.level": 0.7, "sale.first_month": 0.0},
    {"price.common_share": 0.9, "sale.fee_share": 0.3},
]


@pytest.mark.parametrize("names", COUPLES)
def test_values_from_kept_pieces_are_those_made_from_scratch(names, catalogue):
    sire, dam, _ = COUPLES[names]
    market = small_market()
    for figures in [*CHANGES, *reversed(CHANGES)]:
        asked = couple(sire, dam, **figures)
        scratch = budget_of(sire, dam, Assumptions(figures), market, females=3.0)
        found = value_couple(asked, market, catalogue=catalogue, currency="EUR")
        assert found.budget.margin == pytest.approx(scratch.margin, rel=1e-12)
        assert found.budget.margin_sd() == pytest.approx(scratch.margin_sd(), rel=1e-12)
        quick = expected_margin_of(asked, market, catalogue=catalogue, currency="EUR")
        assert quick == pytest.approx(scratch.margin, rel=1e-12)
        assert found.outcomes.mean == pytest.approx(scratch.margin, rel=1e-9)


def test_the_same_question_gives_the_very_same_answer_and_another_market_another(catalogue):
    one = value_couple(couple(), small_market(), catalogue=catalogue, currency="EUR")
    assert value_couple(couple(), small_market(), catalogue=catalogue, currency="EUR") is one
    dearer = value_couple(couple(), small_market(times=2), catalogue=catalogue, currency="EUR")
    assert dearer.budget.sales == pytest.approx(2 * one.budget.sales, rel=1e-6)


def test_prices_paid_are_read_in_the_book_s_currency(catalogue):
    def margin(paid: int | None, currency: str) -> float:
        asked = couple()
        asked = dataclasses.replace(asked, dam=dataclasses.replace(asked.dam, bought_minor=paid))
        return value_couple(asked, small_market(), catalogue=catalogue, currency=currency).budget.margin

    default = couple().assumptions["breeder.purchase"]
    assert margin(None, "EUR") == pytest.approx(margin(round(default * 100), "EUR"))
    assert margin(round(default), "JPY") == pytest.approx(
        margin(round(default * 100), "EUR")
    )  # no minor unit
    assert margin(0, "EUR") > margin(None, "EUR")


def test_what_cannot_be_valued_is_refused_with_its_reason(catalogue, tmp_path):
    market = small_market()
    with pytest.raises(NotationError, match="clwn"):
        value_couple(couple("clwn"), market, catalogue=catalogue, currency="EUR")
    with pytest.raises(PairingError, match="males"):
        value_couple(couple(sexes=(Sex.MALE, Sex.MALE)), market, catalogue=catalogue, currency="EUR")
    emptied = dataclasses.replace(couple(), assumptions=Assumptions({"clutch.eggs_mean": None}))
    with pytest.raises(MissingCost, match="Eggs in a clutch"):
        value_couple(emptied, market, catalogue=catalogue, currency="EUR")
    with bare_book(tmp_path / "book.sqlite").book as book, pytest.raises(NoPrices, match="no price"):
        value_couple(couple(), market_of(book), catalogue=catalogue, currency="EUR")


def test_harms_of_the_young_come_with_the_value(catalogue):
    found = value_couple(couple("spider", "spider"), small_market(), catalogue=catalogue, currency="EUR")
    harms = {harm.note.harm: harm.share for harm in found.harms}
    assert harms["not hatching"] == pytest.approx(0.25)
    assert harms["wobble"] == pytest.approx(2 / 3)
    assert hatch_looks(found.couple.sire, found.couple.dam, catalogue=catalogue)[0] is found.looks


def test_looks_without_a_price_are_named(catalogue):
    market = small_market(without=("normal", "spider"))
    found = value_couple(couple("spider", "pastel"), market, catalogue=catalogue, currency="EUR")
    assert set(found.unpriced) == {"spider", "normal"}
    known = value_couple(couple("spider", "pastel"), small_market(), catalogue=catalogue, currency="EUR")
    assert known.unpriced == ()
