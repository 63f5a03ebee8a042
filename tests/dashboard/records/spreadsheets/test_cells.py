from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard.records.spreadsheets.cells import (
    CellRefused,
    decimal_evidence,
    order_evidence,
    read_amount,
    read_day,
    read_whole,
)


@pytest.mark.parametrize(
    ("written", "order", "expected"),
    [
        # year first: ISO 8601, whatever the order of other dates in the file
        ("2025-04-03", "", date(2025, 4, 3)),
        ("2025-04-03", "month first", date(2025, 4, 3)),
        ("2025/4/3", "", date(2025, 4, 3)),
        ("2025-04-03T10:00:00", "", date(2025, 4, 3)),
        ("03/04/2025", "day first", date(2025, 4, 3)),
        ("03/04/2025", "month first", date(2025, 3, 4)),
        ("3.4.2025", "day first", date(2025, 4, 3)),
        ("23/04/2025", "", date(2025, 4, 23)),
        ("04-23-2025", "", date(2025, 4, 23)),
        ("04/04/2025", "", date(2025, 4, 4)),
        ("3 Apr 2025", "", date(2025, 4, 3)),
        ("April 3, 2025", "", date(2025, 4, 3)),
        ("29/02/2024", "", date(2024, 2, 29)),
    ],
)
def test_days_that_can_be_read_in_one_way(written, order, expected):
    assert read_day(written, order) == expected


@pytest.mark.parametrize(
    ("written", "order", "why"),
    [
        ("03/04/2025", "", "3 April or 4 March"),
        ("3.4.2025", "", "3 April or 4 March"),
        ("23/04/2025", "month first", "no day 4 of month 23"),
        ("29/02/2025", "", "no day 29 of month 2"),
        ("03/04/25", "day first", "four digits"),
        ("", "", "missing"),
        ("soon", "", "no date"),
        ("3 Foo 2025", "", "no month"),
        ("2025-13-01", "", "no day"),
    ],
)
def test_days_that_are_refused(written, order, why):
    with pytest.raises(CellRefused, match=why):
        read_day(written, order)


def test_a_number_is_no_day():
    with pytest.raises(CellRefused, match="number"):
        read_day(Decimal(45000), "")


@pytest.mark.parametrize(
    ("written", "decimal", "expected"),
    [
        ("120", "", ("120", "")),
        ("1234", "", ("1234", "")),
        ("12.50", "", ("12.50", "")),
        ("12,50", "", ("12.50", "")),
        ("1,234.50", "", ("1234.50", "")),
        ("1.234,50", "", ("1234.50", "")),
        ("1.234.567", "", ("1234567", "")),
        ("0.125", "", ("0.125", "")),
        ("1234.567", "", ("1234.567", "")),
        ("1.234", ",", ("1234", "")),
        ("1.234", ".", ("1.234", "")),
        ("1 234,50", "", ("1234.50", "")),
        ("1\u202f234", "", ("1234", "")),
        ("1'234.50", "", ("1234.50", "")),
        ("€ 120", "", ("120", "EUR")),
        ("120 €", "", ("120", "EUR")),
        ("£1,250.00", "", ("1250.00", "GBP")),
        ("99 chf", "", ("99", "CHF")),
        ("$80", "", ("80", "$")),
        ("120,-", "", ("120", "")),
        ("-5", "", ("-5", "")),
    ],
)
def test_amounts_that_can_be_read_in_one_way(written, decimal, expected):
    amount, sign = read_amount(written, decimal)
    assert (amount, sign) == (Decimal(expected[0]), expected[1])


@pytest.mark.parametrize(
    ("written", "decimal", "why"),
    [
        ("1.234", "", "1234 or 1.234"),
        ("1,234", "", "1234 or 1.234"),
        ("€ 1.234", "", "Say which"),
        ("12.5", ",", "decimal mark is the comma"),
        ("1,23,456", ".", "decimal mark"),
        ("", "", "missing"),
        ("ask", "", "no amount"),
        ("about 100", "", "no currency"),
        ("€ 5 £", "", "no amount"),
        ("1e5", "", "no amount|no currency"),
        ("12 34", "", "."),
    ],
)
def test_amounts_that_are_refused(written, decimal, why):
    with pytest.raises(CellRefused, match=why):
        read_amount(written, decimal)


@given(st.dates(date(1980, 1, 1), date(2100, 12, 31)), st.sampled_from(["day first", "month first"]))
def test_a_day_written_in_the_order_of_the_file_is_read_back(day, order):
    text = day.strftime("%d/%m/%Y" if order == "day first" else "%m/%d/%Y")
    assert read_day(text, order) == day
    proved = order_evidence(text)
    assert proved in ("", order)
    if proved:
        assert read_day(text, "") == day


@given(st.decimals(min_value=0, max_value=10**7, places=2), st.sampled_from([".", ","]))
def test_an_amount_written_with_the_mark_of_the_file_is_read_back(amount, mark):
    plain = f"{amount:,.2f}"
    text = plain if mark == "." else plain.translate(str.maketrans(",.", ".,"))
    assert read_amount(text, mark)[0] == amount
    assert decimal_evidence(text) == mark  # two decimals prove it
    assert read_amount(text, "")[0] == amount


def test_whole_numbers():
    assert read_whole("12", what="It", decimal="") == 12
    assert read_whole("1.234", what="It", decimal=",") == 1234
    assert read_whole(Decimal("3.0"), what="It", decimal="") == 3
    for bad in ("1.5", "two", "", "1.234"):
        with pytest.raises(CellRefused):
            read_whole(bad, what="It", decimal="")


def test_a_day_stored_by_a_workbook_is_taken_as_it_is():
    assert read_day(datetime(2025, 4, 3).date(), "month first") == date(2025, 4, 3)  # noqa: DTZ001
