"""What was typed: days, sums, weights and shares are read one way, or refused with what to write."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.typed import day_of, day_text, grams_of, share_of, sum_of, sum_text
from dashboard.records.spreadsheets import CellRefused
from econ.money import BadAmount


# ISO 4217: the euro has two decimals, the yen none, the dinar of Kuwait three
@pytest.mark.parametrize(
    ("text", "home", "found"),
    [
        ("540", "EUR", (54000, "EUR")),
        ("540.10", "EUR", (54010, "EUR")),
        ("540,5", "EUR", (54050, "EUR")),
        ("1 540", "JPY", (1540, "JPY")),
        ("120 USD", "EUR", (12000, "USD")),
        ("USD 120", "EUR", (12000, "USD")),
        ("€ 99.90", "GBP", (9990, "EUR")),
        ("$80", "CAD", (8000, "CAD")),
        ("0", "EUR", (0, "EUR")),
        ("1.5 KWD", "EUR", (1500, "KWD")),
        ("  ", "EUR", (None, None)),
    ],
)
def test_a_sum_is_kept_to_the_smallest_unit_with_its_currency(text, home, found):
    assert sum_of(text, home) == found


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("cheap", "no amount"),
        ("1.234", "1234 or 1.234? Write it without the mark"),
        ("-5", "below zero"),
        ("$80", "which dollar?"),
        ("12 XXQ", "XXQ"),
    ],
)
def test_a_sum_that_can_be_read_in_two_ways_or_none_is_refused(text, why):
    with pytest.raises(CellRefused) as refused:
        sum_of(text, "EUR")
    assert why in str(refused.value)


def test_a_sum_with_more_decimals_than_its_currency_is_refused():
    with pytest.raises(BadAmount):
        sum_of("12.5", "JPY")


@pytest.mark.parametrize("text", ["540", "540.10", "0", "120 USD", "80.50 GBP", ""])
def test_a_sum_stands_in_its_field_as_it_was_typed(text):
    assert sum_text(*sum_of(text, "EUR"), home="EUR") == text


def test_a_day_is_read_and_written_the_iso_way():
    assert day_of("2024-05-30") == date(2024, 5, 30)
    assert day_of("30 May 2024") == date(2024, 5, 30)
    assert day_text(day_of("2024-05-30")) == "2024-05-30"
    assert (day_of(" "), day_text(None)) == (None, "")
    with pytest.raises(CellRefused, match="Write the year first"):
        day_of("03/04/2024")


@pytest.mark.parametrize(
    ("text", "grams"),
    [("1540", 1540), ("1 540 g", 1540), ("62.5", 62.5), ("1.54 kg", 1540), ("1.540kg", 1540), ("2 KG", 2000)],
)
def test_a_weight_is_read_in_grams(text, grams):
    assert grams_of(text) == pytest.approx(grams)


@pytest.mark.parametrize("text", ["", "g", "heavy", "12 EUR", "1.540"])
def test_a_weight_that_is_none_or_can_be_read_in_two_ways_is_refused(text):
    with pytest.raises(CellRefused, match="no weight"):
        grams_of(text)


@pytest.mark.parametrize(
    ("text", "share"),
    [("97", 0.97), ("97 %", 0.97), ("0.97", 0.97), ("100", 1), ("1", 1), ("0.5%", 0.005), ("", None)],
)
def test_a_share_is_read_from_percent_or_as_it_is(text, share):
    assert share_of(text) == (None if share is None else pytest.approx(share))


@pytest.mark.parametrize("text", ["120", "-3", "most", "50 EUR"])
def test_what_is_no_share_is_refused(text):
    with pytest.raises(CellRefused, match="no share"):
        share_of(text)
