"""The market: price of any combination at any date, what it rests on, and what must not change it."""

from __future__ import annotations

import itertools
import math
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from econ.money import UnknownCurrency
from econ.prices.history import MissingRate, combination_key
from econ.prices.market import BadDate, NoSuchSeries, fit_market
from genetics.genes.traits import Sex, Trait
from tests.econ.prices.cases import GENES, TODAY, days_ago, seen, simulate

DATES = [TODAY + timedelta(days=d) for d in (0, 90, 365, 800)]
CLOWN, PASTEL, NEW = Trait("clown", "visual"), Trait("pastel", "visual"), Trait("newgene", "visual")
FIELDS = ("log_mean", "level_sd", "median", "expected", "low80", "high80", "low95", "high95")


def market_of(observations, **more):
    return fit_market(observations, today=TODAY, currency="EUR", **more)


@pytest.fixture(scope="module")
def simulated():
    return simulate(300, seed=1)


@pytest.fixture(scope="module")
def market(simulated):
    return market_of(simulated.observations)


def combinations(count, seed=0):
    rng = np.random.default_rng(seed)
    return [
        tuple(Trait(GENES[i], "visual") for i in rng.choice(len(GENES), rng.integers(0, 5), replace=False))
        for _ in range(count)
    ]


def test_every_observation_belongs_to_exactly_one_series(market, simulated):
    assert sum(o.n for o in market.traits) == len(simulated.observations)
    assert [o.key for o in market.traits] == sorted(o.key for o in market.traits)
    assert all(o.n == o.sold + o.asked == len(o.points) for o in market.traits)


def test_many_prices_at_once_equal_one_at_a_time(market):
    animals = [*combinations(40), (CLOWN, Trait("pied", "het", 0.5)), (NEW,), (NEW, CLOWN)]
    sexes = [list(Sex)[i % 3] for i in range(len(animals))]
    stages = ["hatchling" if i % 4 else "grown" for i in range(len(animals))]
    together = market.price_many(animals, on=DATES, sexes=sexes, stages=stages)
    for traits, sex, stage, found in zip(animals, sexes, stages, together, strict=True):
        alone = market.price(traits, on=DATES, sex=sex, stage=stage)
        for field in FIELDS:
            np.testing.assert_allclose(getattr(found, field), getattr(alone, field), rtol=1e-10)
        assert (found.lead, found.basis) == (alone.lead, alone.basis)
        assert found.relative_sd == pytest.approx(alone.relative_sd, abs=1e-10)


def test_order_of_traits_and_of_observations_does_not_matter(market, simulated):
    mixed = market_of(simulated.observations[::-1])
    one, other = market.price((CLOWN, PASTEL), on=DATES), mixed.price((PASTEL, CLOWN), on=DATES)
    np.testing.assert_allclose(other.median, one.median, rtol=1e-8)
    assert other.basis == one.basis


def test_a_bare_traits_price_is_its_outlook(market):
    for outlook in market.traits:
        traits = () if outlook.key == "normal" else (Trait(outlook.key, "visual"),)
        price = market.price(traits, on=DATES)
        assert price.lead == outlook.key
        ahead = np.array([(d - TODAY).days / 365.25 for d in DATES])
        np.testing.assert_allclose(price.median, outlook.forecast(ahead).median, rtol=1e-9)
        assert price.median[0] == pytest.approx(outlook.today, rel=1e-9)


def test_ranges_are_in_order_and_the_expected_price_lies_above_the_median(market):
    for price in market.price_many(combinations(30), on=DATES):
        points = (price.low95, price.low80, price.median, price.high80, price.high95)
        assert all((a < b).all() for a, b in itertools.pairwise(points))
        variance = price.level_sd**2 + price.relative_sd**2
        np.testing.assert_allclose(price.expected, np.exp(price.log_mean + variance / 2), rtol=1e-12)


@settings(max_examples=8, deadline=None)
@given(st.integers(2, 400), st.integers(0, 10**6))
def test_a_scaled_currency_scales_every_price(factor, seed):
    rows = simulate(60, seed=seed % 50).observations
    scaled = [o.model_copy(update={"price_minor": o.price_minor * factor}) for o in rows]
    one, other = market_of(rows), market_of(scaled)
    for traits in combinations(6, seed):
        a, b = one.price(traits, on=DATES), other.price(traits, on=DATES)
        np.testing.assert_allclose(b.log_mean, a.log_mean + math.log(factor), rtol=1e-8)
        np.testing.assert_allclose(b.high80, a.high80 * factor, rtol=1e-7)
        np.testing.assert_allclose(b.level_sd, a.level_sd, rtol=1e-7)
        assert b.relative_sd == pytest.approx(a.relative_sd, rel=1e-6, abs=1e-9, nan_ok=True)
    assert [o.status for o in one.traits] == [o.status for o in other.traits]


def test_a_price_in_another_currency_counts_at_its_rate():
    rows = [seen("clown", 100 + i, days_ago(40 * i), currency="USD") for i in range(14)]
    foreign = market_of(rows, rates={"USD": 0.5})
    own = market_of([seen("clown", (100 + i) / 2, days_ago(40 * i)) for i in range(14)])
    np.testing.assert_allclose(
        foreign.price((CLOWN,), on=DATES).median, own.price((CLOWN,), on=DATES).median, rtol=1e-4
    )
    with pytest.raises(MissingRate, match="USD"):
        market_of(rows)
    with pytest.raises(UnknownCurrency):
        fit_market([], today=TODAY, currency="XXQ")


def test_what_comes_after_today_is_left_aside():
    rows = [seen("clown", 300, days_ago(30 * i)) for i in range(1, 15)]
    later = [seen("clown", 30, TODAY + timedelta(days=5))]
    np.testing.assert_array_equal(
        market_of(rows + later).price((CLOWN,), on=DATES).median,
        market_of(rows).price((CLOWN,), on=DATES).median,
    )


def test_a_book_without_prices_says_so_instead_of_a_number():
    empty = market_of([])
    price = empty.price((CLOWN,), on=DATES)
    assert price.basis.kind == "none"
    assert not price.known
    assert np.isnan(price.median).all()
    assert "No price for clown" in price.basis.words
    assert empty.traits == ()
    assert "no sold price" in empty.asked_to_sold.words
    with pytest.raises(NoSuchSeries, match="none yet"):
        empty.outlook("clown")


def test_an_animal_of_which_nothing_is_known_has_no_price():
    market = market_of([seen("clown", 300, days_ago(30 * i)) for i in range(1, 15)])
    assert market.price((NEW,), on=DATES).basis.kind == "none"
    assert market.price((), on=DATES).basis.kind == "none"
    both = market.price_many([(NEW,), (CLOWN,)], on=DATES)
    assert [p.known for p in both] == [False, True]
    with pytest.raises(NoSuchSeries, match="clown"):
        market.outlook("newgene")


def test_a_trait_without_price_is_worth_nothing_extra_and_widens_the_range(market):
    without, with_new = market.price((CLOWN,), on=DATES), market.price((CLOWN, NEW), on=DATES)
    assert with_new.basis.unpriced == ("newgene",)
    assert "No price for newgene" in with_new.basis.words
    assert with_new.lead == "clown"
    assert with_new.relative_sd > without.relative_sd + 0.3
    # no price of "clown newgene" exists, so its own combination effect is unknown too
    assert with_new.log_mean == pytest.approx(without.log_mean, abs=0.15)
    assert (with_new.high80 > without.high80).all()


def test_one_price_takes_the_markets_drift_and_says_so(simulated):
    row = seen("lonely", 500, days_ago(10))
    price = market_of([*simulated.observations, row]).price((Trait("lonely", "visual"),), on=DATES)
    assert price.basis.kind == "market drift"
    assert "1 price of lonely" in price.basis.words
    assert "your other traits stands in" in price.basis.words
    alone = market_of([row]).price((Trait("lonely", "visual"),), on=DATES)
    assert alone.basis.kind == "market drift"
    assert "the usual drift of novelties stands in" in alone.basis.words
    assert alone.median[2] < alone.median[0]


def test_several_prices_of_one_day_take_the_markets_drift():
    market = market_of([seen("clown", p, days_ago(3)) for p in range(200, 340, 10)])
    outlook = market.outlook("clown")
    assert outlook.basis.kind == "market drift"
    assert outlook.status == "can't say"
    assert "all from" in outlook.basis.words


def fading(rate, count=24, years=3.0, start=900.0, seed=0):
    rng = np.random.default_rng(seed)
    days = np.linspace(years * 365.25, 5, count)
    prices = start * (1 + rate) ** (years - days / 365.25) * np.exp(rng.normal(0, 0.05, count))
    return [seen("clown", p, days_ago(d)) for p, d in zip(prices, days, strict=True)]


@pytest.mark.parametrize(("rate", "status"), [(-0.285, "falling"), (0.0, "holding"), (0.35, "rising")])
def test_status_of_a_clear_market(rate, status):
    # -28.5 % a year: rare bulbs of the 18th century, Garber (1989), see the reference rows
    assert market_of(fading(rate)).outlook("clown").status == status


def test_status_needs_twelve_prices():
    assert market_of(fading(-0.5, count=11)).outlook("clown").status == "can't say"
    assert market_of(fading(-0.5, count=12)).outlook("clown").status == "falling"


def test_asked_prices_count_at_what_sold_ones_bring():
    rng = np.random.default_rng(3)
    rows = []
    for i in range(80):
        sold = i % 3 == 0
        price = 300 * (0.8 if sold else 1.0) * math.exp(rng.normal(0, 0.08))
        rows.append(seen("clown", price, days_ago(12 * i), kind="sold" if sold else "asked"))
    market = market_of(rows)
    factor = market.asked_to_sold
    assert factor.low < 0.8 < factor.high
    assert factor.value == pytest.approx(0.8, abs=0.04)
    assert (factor.sold, factor.asked) == (27, 53)
    assert "27 sold prices" in factor.words
    assert market.price((CLOWN,), on=[TODAY]).median[0] == pytest.approx(240, rel=0.1)


def test_without_sold_prices_the_factor_is_the_stated_custom():
    market = market_of(fading(0.0))
    assert market.asked_to_sold.value == pytest.approx(math.exp(-0.10), abs=0.005)
    assert "no source" in market.asked_to_sold.words
    # what is not known of the factor is in the range of the price when sold
    assert market.price((CLOWN,), on=[TODAY]).relative_sd > 0.09


def test_a_possible_het_is_worth_a_share_of_the_het():
    rows = []
    for i in range(30):
        rows.append(seen("normal", 40 + i % 3, days_ago(30 * i), kind="sold"))
        rows.append(
            seen("het clown", 120 + i % 5, days_ago(30 * i), traits=(Trait("clown", "het"),), kind="sold")
        )
    market = market_of(rows)
    prices = [market.price((Trait("clown", "het", c),), on=[TODAY]).median[0] for c in (0.5, 2 / 3, 1.0)]
    normal = market.price((), on=[TODAY]).median[0]
    assert normal < prices[0] < prices[1] < prices[2]
    assert prices[0] == pytest.approx(math.sqrt(normal * prices[2]), rel=0.12)


def test_two_forms_of_one_gene_have_prices_of_their_own():
    rows = []
    for i in range(20):
        rows.append(seen("pastel", 60 + i % 3, days_ago(40 * i)))
        rows.append(seen("super pastel", 110 + i % 3, days_ago(40 * i), traits=(Trait("pastel", "super"),)))
    market = market_of(rows)
    assert [o.key for o in market.traits] == ["pastel", "super pastel"]
    assert market.outlook("super pastel").today > 1.5 * market.outlook("pastel").today


def test_stage_sex_and_channel_are_taken_out_of_the_trend():
    rng = np.random.default_rng(7)
    rows = []
    for i in range(90):
        stage = ("hatchling", "grown", "proven breeder")[i % 3]
        sex = list(Sex)[(i // 3) % 3]
        channel = ("", "online", "show")[(i // 9) % 3]
        factor = {"hatchling": 1.0, "grown": 1.5, "proven breeder": 2.0}[stage]
        factor *= {Sex.FEMALE: 1.2, Sex.MALE: 1.0, Sex.UNSEXED: 1.0}[sex]
        factor *= {"": 1.0, "online": 0.9, "show": 1.1}[channel]
        price = 200 * factor * math.exp(rng.normal(0, 0.05))
        rows.append(
            seen("clown", price, days_ago(10 * i), stage=stage, sex=sex, channel=channel, kind="sold")
        )
    market = market_of(rows)
    base = market.price((CLOWN,), on=[TODAY]).median[0]
    assert base == pytest.approx(200, rel=0.05)
    for stage, factor in (("grown", 1.5), ("proven breeder", 2.0)):
        assert market.price((CLOWN,), on=[TODAY], stage=stage).median[0] / base == pytest.approx(
            factor, rel=0.08
        )
    female = market.price((CLOWN,), on=[TODAY], sex=Sex.FEMALE).median[0]
    assert female / base == pytest.approx(1.2, rel=0.06)
    adjusted = np.array([p.adjusted for p in market.outlook("clown").points])
    raw = np.array([p.raw for p in market.outlook("clown").points])
    assert np.log(adjusted).std() < 0.3 * np.log(raw).std()


def clown_alone_and_with_pastel():
    rows = [seen("clown", 400 + i, days_ago(25 * i), kind="sold") for i in range(20)]
    return rows + [seen("clown pastel", 440 + i, days_ago(25 * i), kind="sold") for i in range(20)]


def test_a_trait_seen_only_beside_dearer_ones_is_carried_by_another_series():
    normals = [seen("normal", 40 + i % 3, days_ago(25 * i), kind="sold") for i in range(20)]
    market = market_of(clown_alone_and_with_pastel() + normals)
    price = market.price((PASTEL,), on=[TODAY])
    assert price.lead == "normal"
    assert price.basis.of_this_combination == 0
    assert "set against normal" in price.basis.words
    assert price.relative_sd > market.price((CLOWN,), on=[TODAY]).relative_sd
    # a normal with what the pastel added to the clown
    assert price.median[0] == pytest.approx(40 * 1.1, rel=0.15)


def test_a_trait_that_can_not_be_told_from_another_has_a_wide_range():
    # every animal shows clown, so nothing says what a pastel is worth without it
    market = market_of(clown_alone_and_with_pastel())
    price = market.price((PASTEL,), on=[TODAY])
    assert price.relative_sd > 0.3
    assert price.high80[0] / price.low80[0] > 2.5


def test_chance_below_a_price_runs_from_none_to_all(market):
    outlook = market.outlook("clown")
    years = np.array([0.5, 2.0])
    forecast = outlook.trend.level(np.array([TODAY.toordinal() / 365.25 + 0.5]))
    assert outlook.chance_below(float(np.exp(forecast[0][0])), years)[0] == pytest.approx(0.5, abs=0.06)
    chances = [outlook.chance_below(p, years)[0] for p in (1e-3, 1e6)]
    assert chances == pytest.approx([0.0, 1.0], abs=1e-6)
    with pytest.raises(ValueError, match="above zero"):
        outlook.chance_below(0.0, years)


def test_a_typed_price_has_a_range_of_half_to_double_and_the_markets_drift(market):
    price = market.typed_price(200.0, on=DATES, name="clown")
    assert price.basis.kind == "typed"
    assert price.median[0] == pytest.approx(200.0, abs=1e-9)
    assert (price.low80[0], price.high80[0]) == pytest.approx((100.0, 400.0), rel=1e-9)
    assert price.median[2] < price.median[0]
    assert price.high80[2] / price.low80[2] > 4.0
    for bad in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="above zero"):
            market.typed_price(bad, on=DATES, name="clown")


def test_a_price_on_no_day_is_refused(market):
    for ask in (market.price, lambda traits, on: market.typed_price(1.0, on=on, name="x")):
        with pytest.raises(BadDate, match="one date or more"):
            ask((CLOWN,), on=[])


def test_sexes_must_be_as_many_as_combinations(market):
    with pytest.raises(ValueError, match="as many sexes"):
        market.price_many([(CLOWN,)], on=DATES, sexes=[])


def test_an_outlook_looks_ahead_only(market):
    with pytest.raises(ValueError, match="looks ahead"):
        market.outlook("clown").forecast(np.array([-0.1]))


def test_fitted_line_runs_from_first_price_to_last_and_meets_the_forecast(market):
    outlook = market.outlook("clown")
    days, values = outlook.fitted
    assert (days[0], days[-1]) == (outlook.first, outlook.last)
    assert len(days) == len(values)
    price = market.price((CLOWN,), on=[outlook.last])
    assert values[-1] == pytest.approx(price.median[0], rel=1e-6)


def test_a_trait_left_out_does_not_teach_the_market(market, simulated):
    other = market_of(simulated.observations, leave_out=["clown"])
    assert "clown" in market.drift.traits_used
    assert "clown" not in other.drift.traits_used
    assert other.outlook("clown").n == market.outlook("clown").n


def test_basis_counts_prices_of_the_series_and_of_the_combination(simulated, market):
    for traits in combinations(20, seed=4):
        price = market.price(traits, on=DATES)
        key = combination_key(traits)
        exact = sum(combination_key(o.traits) == key for o in simulated.observations)
        assert price.basis.of_this_combination == exact
        outlook = market.outlook(price.lead)
        assert (price.basis.observations, price.basis.sold) == (outlook.n, outlook.sold)
        assert (price.basis.first, price.basis.last) == (outlook.first, outlook.last)
