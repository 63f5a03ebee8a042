"""Money, chances, ranges, counts and dates read as the design says; "from memory" is nothing here."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard import words

NB, MINUS = "\u202f", "\u2212"
NOTHING = (None, math.nan, math.inf, -math.inf)


@pytest.mark.parametrize(
    ("value", "printed"),
    [
        (1130, f"1{NB}130"),
        (-60, f"{MINUS}60"),
        (0, "0"),
        (-0.2, "0"),
        (2.5, "3"),
        (-2.5, f"{MINUS}3"),
        (1234567, f"1{NB}234{NB}567"),
    ],
)
def test_a_number_has_thin_thousands_and_a_true_minus_and_halves_go_away_from_zero(value, printed):
    assert words.num(value) == printed


@pytest.mark.parametrize("value", NOTHING)
@pytest.mark.parametrize(
    "show",
    [
        words.num, words.money, words.total, words.price, words.exact, words.freq, words.percent,
        words.yearly_rate, words.count,
    ],
)  # fmt: skip
def test_what_is_not_known_is_never_printed_as_a_number(show, value):
    assert show(value) == words.CANT_SAY


def test_a_range_with_an_unknown_end_says_so():
    assert words.rng(1, None) == words.CANT_SAY
    assert words.rng(math.nan, 5) == words.CANT_SAY
    assert words.sexes(0.4, None) == words.CANT_SAY


@pytest.mark.parametrize(
    ("value", "printed"),
    [
        (1134, f"1{NB}130"),
        (4, "4"),
        (-4, f"{MINUS}4"),
        (9.6, "10"),
        (57, "60"),
        (9_994, f"9{NB}990"),
        (12_345, f"12{NB}300"),
        (1_234_567, f"1{NB}230{NB}000"),
        (1e12, f"1{NB}000{NB}000{NB}000{NB}000"),
    ],
)
def test_an_estimate_is_rounded_to_tens_under_ten_thousand_and_then_to_three_figures(value, printed):
    assert words.money(value) == printed


@pytest.mark.parametrize(
    ("value", "printed"), [(3_689, f"3{NB}700"), (730, "730"), (-1_249, f"{MINUS}1{NB}200")]
)
def test_a_total_is_rounded_to_hundreds_from_a_thousand_on(value, printed):
    assert words.total(value) == printed


@pytest.mark.parametrize(
    ("value", "printed"),
    [(262.4, "262"), (4.56, "4.6"), (9.94, "9.9"), (9.96, "10"), (1234, f"1{NB}230"), (0, "0.0")],
)
def test_a_price_keeps_whole_units_under_a_thousand(value, printed):
    assert words.price(value) == printed


def test_a_change_has_its_sign_and_nothing_has_none():
    assert words.money(140, sign=True) == "+140"
    assert words.money(-710, sign=True) == f"{MINUS}710"
    assert words.money(0, sign=True) == "0"


def test_own_records_keep_their_decimals():
    assert words.exact(1.25) == "1.25"
    assert words.exact(1500, 0) == f"1{NB}500"
    assert words.exact(12.3456, 3) == "12.346"


def test_a_range_has_no_dash_because_a_minus_may_stand_there():
    assert words.rng(-180, 140) == f"{MINUS}180 to 140"
    assert words.rng(420, 2010) == f"420 to 2{NB}010"


@pytest.mark.parametrize(
    ("chance", "printed"),
    [
        (0, "under 1 in 100"),
        (0.0099, "under 1 in 100"),
        (0.01, "1 in 100"),
        (0.125, "13 in 100"),
        (0.61, "61 in 100"),
        (0.9949, "99 in 100"),
        (0.995, "over 99 in 100"),
        (1, "100 in 100"),
        (1 + 1e-12, "100 in 100"),
    ],
)
def test_a_chance_always_has_the_same_denominator(chance, printed):
    assert words.freq(chance) == printed


@pytest.mark.parametrize("chance", [-0.01, 1.01])
def test_a_chance_outside_0_to_1_is_refused(chance):
    with pytest.raises(ValueError, match="allowed: 0 to 1"):
        words.freq(chance)


def test_the_chance_of_a_loss_as_a_sentence():
    assert words.loss_sentence(0.06) == "Of 100 such seasons 6 would end with a loss."
    assert words.loss_sentence(0.001) == "Of 100 such seasons fewer than 1 would end with a loss."
    assert (
        words.loss_sentence(0.999, "clutches") == "Of 100 such clutches more than 99 would end with a loss."
    )
    assert words.CANT_SAY in words.loss_sentence(math.nan)


def test_rates_and_shares_are_percent_with_a_thin_space():
    assert words.percent(0.83) == f"83{NB}%"
    assert words.yearly_rate(math.log(0.76)) == f"{MINUS}24{NB}% a year"
    assert words.yearly_rate(math.log(1.15)) == f"+15{NB}% a year"


def test_expected_numbers_have_one_decimal_and_whole_counts_none():
    assert words.count(0.72) == "0.7"
    assert words.count(0.01) == "under 0.1"
    assert words.count(0) == "0.0"
    assert words.sexes(0.36, 0.38) == "0.4 m, 0.4 f"
    assert words.sex_counts(1, 0) == "1.0"
    assert words.sex_counts(2, 3, 1) == "2.3.1"


def test_dates_are_unambiguous():
    on = dt.date(2027, 7, 4)
    assert words.day(on) == "2027-07-04"
    assert words.month(on) == "2027-07"
    assert words.month_words(on) == "July 2027"
    assert words.day_words(on) == "4 July 2027"
    assert {words.day(None), words.month(None), words.month_words(None), words.day_words(None)} == {
        words.CANT_SAY
    }


def test_counts_in_words_up_to_twelve():
    assert words.number_word(0) == "no"
    assert words.number_word(6, start=True) == "Six"
    assert words.number_word(13) == "13"
    assert words.plural(1, "price") == "price"
    assert words.plural(2, "clutch", "clutches") == "clutches"
    assert words.listed(["a"]) == "a"
    assert words.listed(["a", "b", "c"]) == "a, b and c"


def test_a_rounding_step_must_be_above_0():
    with pytest.raises(ValueError, match="above 0"):
        words.num(5, 0)


@given(st.floats(min_value=-1e14, max_value=1e14))
def test_an_estimate_stays_within_its_rounding_step(value):
    printed = words.money(value).replace(NB, "").replace(MINUS, "-")
    assert abs(float(printed) - value) <= words.money_step(value) / 2 * (1 + 1e-9) + 1e-9


@pytest.mark.parametrize(
    ("share", "printed"),
    [(0.045, "4.5"), (0.75, "75"), (0.1234, "12.34"), (0.123456, "12.35"), (0.07, "7"), (0, "0"), (1, "100")],
)
def test_a_share_keeps_two_decimals_at_most_and_no_zeros_at_its_end(share, printed):
    assert words.figure(share, "share a month") == f"{printed}{NB}%"


def test_a_chance_as_a_number_of_a_hundred():
    assert [words.of_hundred(p) for p in (0.06, 0.001, 0.999)] == ["6", "fewer than 1", "more than 99"]


def test_what_a_hatchling_needs_is_a_price_or_none():
    assert words.needs_words(68.2) == "needs 68"
    assert words.needs_words(None) == "no price breaks even"


def test_a_sum_of_the_own_records_is_exact_and_whole_where_it_is_whole():
    assert words.own_sum(2310.0) == "2\u202f310"
    assert words.own_sum(62.5) == "62.50"
    assert words.own_sum(None) == "can't say"


def test_whole_numbers_in_a_sentence_get_thin_spaces():
    said = words.grouped("100000 of 120000 rows can be added; 950 were refused")
    assert said == "100\u202f000 of 120\u202f000 rows can be added; 950 were refused"


def test_why_a_copy_was_put_aside_reads_as_part_of_a_sentence():
    assert words.copy_reason("before import") == "before a file was brought in"
    assert words.copy_reason("by hand") == "by hand"
