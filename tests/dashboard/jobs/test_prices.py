"""Prices: order of the traits, when own young sell, any animal's price, forecasts remembered once a day."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
import pytest

from dashboard.jobs.market import market_of
from dashboard.jobs.prices import (
    AHEAD_MONTHS,
    HORIZONS,
    ORDER,
    own_young,
    price_of,
    prices_answer,
    remember_shown,
    trait_report,
)
from dashboard.jobs.season import season_answer
from dashboard.records import demo_book
from econ.decisions.look_prices import months_after
from genetics import NotationError, Sex, Trait
from tests.dashboard.jobs.small_book import bare_book, count_clowns, small_book
from tests.econ.decisions.pairs_by_hand import TODAY


@pytest.fixture
def small(tmp_path):
    made = small_book(tmp_path / "book.sqlite")
    count_clowns(made.book)
    yield made
    made.book.close()


@pytest.fixture
def answer(small, catalogue):
    return prices_answer(small.book, catalogue=catalogue)


def test_traits_stand_by_status_and_within_one_by_how_fast_they_move(answer, tmp_path, catalogue):
    with demo_book(tmp_path / "demo.sqlite") as demo:
        demos = prices_answer(demo, catalogue=catalogue)
    for found in (answer, demos):
        places = [ORDER.index(trait.outlook.status) for trait in found.traits]
        assert places == sorted(places)
        for status in ORDER:
            group = found.of(status)
            moves = [abs(trait.yearly) for trait in group]
            assert moves == sorted(moves, reverse=True)
        assert sum(len(found.of(status)) for status in ORDER) == len(found.traits)
    assert len({trait.outlook.status for trait in demos.traits}) > 1


def test_forecasts_run_by_month_from_today_s_level(answer):
    assert answer.today == TODAY
    for trait in answer.traits:
        assert trait.ahead.median.shape == (AHEAD_MONTHS + 1,)
        assert trait.ahead.median[0] == pytest.approx(trait.outlook.today)
        assert trait.yearly == pytest.approx(math.log(trait.ahead.median[12] / trait.ahead.median[0]))
        assert (np.diff(trait.ahead.level_sd) > 0.0).all()
    assert answer.trait("clown").outlook.key == "clown"
    assert answer.trait("no such trait") is None


def test_each_trait_has_its_counts_and_the_worst_flood_of_the_plan(small, answer, catalogue):
    assert answer.trait("clown").supply.offered > 400
    assert answer.trait("pastel").supply is None
    planned = [row.flood for row in season_answer(small.book, catalogue=catalogue).planned]
    for trait in answer.traits:
        chances = [flood.chance for flood in planned if flood.trait == trait.outlook.key]
        assert (trait.flood is None) == (not chances)
        if chances:
            assert trait.flood.chance == max(chances)


def test_own_young_sell_in_the_months_the_chances_of_sale_say(small, answer, catalogue):
    found = own_young(small.book, answer.trait("clown"), catalogue=catalogue)
    # a quarter a month from the third month: .25 by month 3, .4375 by 4, .578 by 5, .684 by 6, .763 by 7,
    # of the .987 that sell at all by month 17: the quarter is passed in month 3, half in 5, three in 7
    assert (found.start, found.end) == (date(2027, 10, 15), date(2028, 2, 15))
    assert found.season == 2027
    ahead = (date(2027, 12, 15) - TODAY).days / 365.25
    level = answer.trait("clown").outlook.forecast(np.array([ahead]))
    assert found.price == pytest.approx(float(level.median[0]))
    assert found.low < found.price < found.high
    assert own_young(small.book, answer.trait("banana"), catalogue=catalogue) is None  # left out of the plan


def test_any_animal_as_written_is_priced_as_the_market_has_it(small, catalogue):
    found = price_of(small.book, "clown", sex=Sex.FEMALE, stage="hatchling", catalogue=catalogue)
    days = [months_after(TODAY, month) for month in (0, *HORIZONS)]
    want = market_of(small.book).price((Trait("clown", "visual"),), on=days, sex=Sex.FEMALE)
    assert found.name == "clown"
    assert list(found.on) == days
    np.testing.assert_allclose(found.forecast.median, want.median)
    male = price_of(small.book, "clown", sex=Sex.MALE, stage="hatchling", catalogue=catalogue)
    assert found.forecast.median[0] > 1.2 * male.forecast.median[0]
    both = price_of(
        small.book, "pastel 66% het clown", sex=Sex.MALE, stage="grown", catalogue=catalogue, months=[6]
    )
    assert both.name == "pastel 66% het clown"
    assert both.on == (date(2027, 5, 20),)
    with pytest.raises(NotationError, match="clwn"):
        price_of(small.book, "clwn", sex=Sex.MALE, stage="hatchling", catalogue=catalogue)


def test_forecasts_are_remembered_once_a_day_and_neither_count_as_an_edit_nor_refit_the_market(small, answer):
    book = small.book
    version, market = book.data_version, market_of(book)
    wanted = len(answer.traits) * len(HORIZONS)
    assert remember_shown(book, answer) == wanted
    assert remember_shown(book, answer) == 0
    kept = book.past_forecasts()
    assert len(kept) == wanted
    for forecast in kept:
        trait = answer.trait(forecast.trait)
        month = HORIZONS[[months_after(TODAY, m) for m in HORIZONS].index(forecast.horizon)]
        assert forecast.made_on == TODAY
        assert forecast.log_mean == pytest.approx(float(trait.ahead.log_mean[month]))
        assert forecast.level_sd == pytest.approx(float(trait.ahead.level_sd[month]))
        assert forecast.sale_sd == trait.outlook.trend.sale_sd
    assert book.data_version == version
    assert market_of(book) is market
    book.set_assumption("sale.fee_share", 0.2)
    assert market_of(book) is market


def test_the_report_card_is_made_once_for_the_same_prices(small, answer):
    clown = answer.trait("clown").outlook
    first = trait_report(small.book, clown)
    assert trait_report(small.book, clown) is first
    assert all(report.n_forecasts >= 0 for report in first)


def test_a_book_without_prices_has_no_traits_and_remembers_nothing(tmp_path, catalogue):
    with bare_book(tmp_path / "book.sqlite").book as book:
        answer = prices_answer(book, catalogue=catalogue)
        assert answer.traits == ()
        assert remember_shown(book, answer) == 0
        found = price_of(book, "clown", sex=Sex.MALE, stage="hatchling", catalogue=catalogue)
        assert not found.forecast.known
        assert found.forecast.basis.kind == "none"
