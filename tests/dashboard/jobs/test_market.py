"""The market fit: kept while no price changes, made anew when one does; counts; own past forecasts."""

from __future__ import annotations

import math
from datetime import date, timedelta

import numpy as np
import pytest

from dashboard.jobs.market import MATCH_DAYS, checked_forecasts, market_of, supplies_of
from dashboard.jobs.season import season_answer
from dashboard.records import ShownForecast
from econ.prices.market import fit_market
from econ.prices.observations import PriceObservation, SupplyCount
from genetics import Sex, Trait
from tests.dashboard.jobs.small_book import bare_book, count_clowns, small_book
from tests.econ.decisions.pairs_by_hand import TODAY

CLOWN = (Trait("clown", "visual"),)


@pytest.fixture
def small(tmp_path):
    made = small_book(tmp_path / "book.sqlite")
    yield made
    made.book.close()


def test_edits_that_are_no_prices_keep_the_very_same_fit(small, catalogue):
    before, supplies = market_of(small.book), supplies_of(small.book)
    small.book.set_assumption("sale.fee_share", 0.1)
    basalt = small.animals["Basalt"]
    small.book.change_animal(basalt.id, basalt.version, note="eager")
    small.pair("Flint", "Sedge")
    season_answer(small.book, catalogue=catalogue)
    assert market_of(small.book) is before
    assert supplies_of(small.book) is supplies


def test_a_new_changed_or_removed_price_makes_a_new_fit_as_fitted_from_scratch(small):
    book = small.book

    def level() -> float:
        found = market_of(book).price(CLOWN, on=[TODAY])
        scratch = fit_market(book.price_observations(), today=TODAY, currency="EUR").price(CLOWN, on=[TODAY])
        assert found.median[0] == pytest.approx(scratch.median[0], rel=1e-12)
        return float(found.median[0])

    seen = [level()]
    first = next(o for o in book.price_observations() if o.what == "clown")
    stored = book.add_observation(
        first.model_copy(update={"id": None, "on": date(2026, 11, 1), "price_minor": 9000})
    )
    seen.append(level())
    dear = stored.model_copy(update={"price_minor": 90_000})
    book.change_observation(dear, book.price_versions()[stored.id])
    seen.append(level())
    assert seen[1] < seen[0] < seen[2]
    book.remove_observation(stored.id, book.price_versions()[stored.id])
    assert level() == pytest.approx(seen[0], rel=1e-12)


def test_two_books_never_share_a_fit(small, tmp_path):
    with small_book(tmp_path / "other.sqlite").book as other:
        other.add_observation(
            other.price_observations()[0].model_copy(update={"id": None, "price_minor": 99_900})
        )
        assert market_of(other) is not market_of(small.book)


def test_a_book_without_prices_has_a_market_that_prices_nothing(tmp_path):
    with bare_book(tmp_path / "book.sqlite").book as book:
        assert market_of(book).model is None
        assert not market_of(book).price(CLOWN, on=[TODAY]).known
        assert dict(supplies_of(book).traits) == {}
        assert supplies_of(book).now("clown") is None


def test_counts_that_grow_by_half_a_year_are_read_so(small):
    count_clowns(small.book)
    found = supplies_of(small.book).traits["clown"]
    assert found.growth == pytest.approx(math.log(1.5), abs=0.03)
    assert found.offered == pytest.approx(200 * 1.5 ** (30 / 12), rel=0.05)
    now = supplies_of(small.book).now("clown")
    assert now.growth_share == pytest.approx(0.5, abs=0.05)
    low, middle, high = now.flexibility
    assert low < middle < high
    assert supplies_of(small.book).now("pastel") is None


def test_growth_of_less_than_a_year_of_counts_is_still_a_year_s_growth(small):
    for month in range(7):
        offered = round(1000 * 1.5 ** (month / 12))
        small.book.add_supply_count(
            SupplyCount(on=date(2026, 1 + month, 1), what="clown", traits=CLOWN, offered=offered)
        )
    assert supplies_of(small.book).traits["clown"].growth == pytest.approx(math.log(1.5), abs=0.03)


def test_one_count_has_no_growth_and_an_edit_of_it_is_seen(small):
    stored = small.book.add_supply_count(SupplyCount(on=TODAY, what="clown", traits=CLOWN, offered=12))
    found = supplies_of(small.book).traits["clown"]
    assert found.growth == 0.0
    assert found.offered == pytest.approx(
        12.5, rel=0.01
    )  # half an offer is added so that none can be counted
    version = small.book.supply_versions()[stored.id]
    small.book.change_supply_count(stored.model_copy(update={"offered": 99}), version)
    assert supplies_of(small.book).traits["clown"].offered == pytest.approx(99.5, rel=0.01)


# ---- own past forecasts


def hand_market(prices: dict[date, float], *, kind="sold", sex=Sex.UNSEXED):
    rows = [
        PriceObservation(
            on=on,
            what="clown",
            traits=CLOWN,
            sex=sex,
            kind=kind,
            price_minor=round(100 * price),
            currency="EUR",
        )
        for on, price in prices.items()
    ]
    return fit_market(rows, today=TODAY, currency="EUR")


def shown(horizon: date, log_mean: float, *, made: date | None = None, trait="clown") -> ShownForecast:
    return ShownForecast(
        made_on=made or horizon - timedelta(days=365),
        trait=trait,
        horizon=horizon,
        log_mean=log_mean,
        level_sd=0.2,
        sale_sd=0.1,
    )


DAYS = {date(2026, 3, 1): 200.0, date(2026, 6, 1): 180.0, date(2026, 9, 1): 150.0}


def test_a_forecast_is_held_against_the_nearest_price_within_a_month():
    market = hand_market(DAYS)
    near = shown(date(2026, 6, 20), math.log(200.0))
    found = checked_forecasts([near], market)
    assert len(found) == 1
    assert found[0].error == pytest.approx(math.log(180 / 200), abs=0.02)
    assert (found[0].level_sd, found[0].sale_sd) == (0.2, 0.1)
    for far in (MATCH_DAYS + 1, -MATCH_DAYS - 1):
        late = shown(date(2026, 6, 1) + timedelta(days=far), 5.0)
        gaps = [abs((on - late.horizon).days) for on in DAYS]
        assert len(checked_forecasts([late], market)) == (1 if min(gaps) <= MATCH_DAYS else 0)


def test_forecasts_of_days_to_come_and_of_unseen_traits_are_not_held_against_anything():
    market = hand_market({**DAYS, TODAY: 140.0})
    assert checked_forecasts([shown(TODAY + timedelta(days=1), 5.0)], market) == ()
    assert checked_forecasts([shown(date(2026, 6, 1), 5.0, trait="pied")], market) == ()
    assert len(checked_forecasts([shown(TODAY, 5.0)], market)) == 1


def test_forecasts_of_one_thing_made_day_by_day_count_once_for_each_span_ahead():
    market = hand_market(DAYS)
    daily = [shown(date(2026, 6, 1) + timedelta(days=step), 5.0 + step / 100) for step in range(-20, 21)]
    found = checked_forecasts(daily, market)
    assert len(found) == 1
    assert found[0].error == pytest.approx(math.log(180) - 5.0, abs=0.02)  # of the one whose day is nearest
    early = shown(date(2026, 6, 1), 5.5, made=date(2025, 9, 1))
    assert len(checked_forecasts([*daily, early], market)) == 2


def test_an_asked_price_is_first_brought_to_a_sold_one():
    market = hand_market(DAYS, kind="asked")
    error = checked_forecasts([shown(date(2026, 6, 1), math.log(180.0))], market)[0].error
    assert error == pytest.approx(math.log(market.asked_to_sold.value), abs=0.03)
    assert error < -0.05


def test_ten_bad_forecasts_of_its_own_widen_the_bands_and_nine_do_not(small):
    book = small.book
    before = market_of(book).price(CLOWN, on=[date(2027, 11, 20)])
    days = sorted({o.on for o in book.price_observations() if o.what == "clown"})[:5]
    bad = [
        ShownForecast(on - timedelta(days=span), "clown", on, 2.0, 0.1, 0.1)
        for on in days
        for span in (274, 365)
    ]
    book.remember_forecasts(bad[:9])
    book.set_assumption("sale.fee_share", 0.06)  # what is remembered of past days is read after an edit
    nine = market_of(book).price(CLOWN, on=[date(2027, 11, 20)])
    book.remember_forecasts(bad)
    book.set_assumption("sale.fee_share", 0.07)
    ten = market_of(book).price(CLOWN, on=[date(2027, 11, 20)])
    assert nine.level_sd[0] == pytest.approx(before.level_sd[0], rel=1e-12)
    # ten errors of over three spreads: k = sqrt((10 x 9 + 20) / (10 + 20))
    assert ten.level_sd[0] == pytest.approx(before.level_sd[0] * math.sqrt(110 / 30), rel=1e-9)
    np.testing.assert_allclose(ten.log_mean, before.log_mean)
