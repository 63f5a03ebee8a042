"""Tables with one column per month: heads that name one, cells that become rows dated the first of it."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from dashboard.records.spreadsheets import FileRefused, check_prices, check_supply, refused_as_csv, sniff
from dashboard.records.spreadsheets.months import month_columns, month_number, short_years

TODAY = date(2026, 11, 20)
JAN, FEB = date(2025, 1, 1), date(2025, 2, 1)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("2025-01", "2025-02"),  # ISO 8601, reduced to the month
        ("2025/1", "2025/2"),
        ("01/2025", "02/2025"),
        ("1.2025", "2.2025"),
        ("Jan 2025", "Feb 2025"),
        ("January 2025", "FEBRUARY 2025"),
        ("Jan. 2025", "Feb. 2025"),
        ("Januar 2025", "Februar 2025"),
        ("janvier 2025", "février 2025"),
        ("enero 2025", "febrero 2025"),
        ("2025 Jan", "2025 Feb"),
        ("2025-01-01", "2025-02-01"),
        ("2025-01-01 00:00:00", "2025-02-01 00:00:00"),
        ("01.01.2025", "01.02.2025"),
        ("1/1/2025", "2/1/2025"),
        (date(2025, 1, 1), date(2025, 2, 1)),
    ],
)
def test_heads_that_name_a_month(first, second):
    assert month_columns(["what", first, second]) == {1: JAN, 2: FEB}


@pytest.mark.parametrize(
    "heads",
    [
        ["what", "2025-01"],  # one alone may be anything
        ["2025-01", "Jan 2025"],  # the same month twice
        ["2025-01-15", "2025-02-15"],
        ["Jan-25", "Feb-25"],
        ["2025-13", "2025-14"],
        ["price 2025", "sold 2025"],
        ["Ju 2025", "Ma 2025"],
        ["03/04/2025", "05/04/2025"],
    ],
)
def test_heads_that_name_none_or_could_mean_two(heads):
    assert month_columns(heads) == {}


def test_months_of_the_calendar_are_found_by_name():
    # names as the Unicode CLDR lists them for English, German, French and Spanish; from memory
    german = "Januar Februar März April Mai Juni Juli August September Oktober November Dezember"
    french = "janvier février mars avril mai juin juillet août septembre octobre novembre décembre"
    spanish = "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre"
    for names in (german, french, spanish):
        assert [month_number(name) for name in names.split()] == list(range(1, 13))
    assert [month_number(word) for word in ("ju", "jui", "xyz")] == [None, None, None]


WIDE = """\
# INVENTED: rows of a test
what;Jan 2025;Feb 2025;März 2025;2025-04
clown;300;280,50;;-
pastel;45;about 40;;44
pastle;1;;;
;;;;
het clown;;;;120
"""


def test_each_filled_cell_is_a_row_of_the_first_of_its_month(reader):
    data = WIDE.encode()
    guess = sniff(data)
    assert (guess.kind, guess.by_month, len(guess.months), guess.missing) == ("prices", True, 4, ())
    assert guess.unused == ()
    run = check_prices(data, guess, today=TODAY, currency="EUR", reader=reader)
    assert [(r.record.on, r.record.what, r.record.price_minor) for r in run.good] == [
        (JAN, "clown", 30000),
        (FEB, "clown", 28050),
        (JAN, "pastel", 4500),
        (date(2025, 4, 1), "pastel", 4400),
        (date(2025, 4, 1), "het clown", 12000),
    ]
    assert [(r.line, r.column, r.written) for r in run.refused] == [
        (3, "2025-04", "-"),
        (4, "Feb 2025", "about 40"),
        (5, "Jan 2025", "pastle"),
    ]
    filled = sum(bool(cell) for row in WIDE.splitlines()[2:] for cell in row.split(";")[1:])
    assert run.total == filled == len(run.good) + len(run.refused) + len(run.duplicates)
    assert run.sentence.startswith("5 of 8 cells")


def test_refused_months_come_back_alone_and_can_be_mended(reader):
    data = WIDE.encode()
    run = check_prices(data, sniff(data), today=TODAY, currency="EUR", reader=reader)
    back = refused_as_csv(run)
    rows = list(csv.reader(io.StringIO(back.decode("utf-8-sig")), delimiter=";"))
    assert [row[:5] for row in rows[1:]] == [
        ["clown", "", "", "", "'-"],
        ["pastel", "", "about 40", "", ""],
        ["pastle", "1", "", "", ""],
    ]
    assert rows[2][-1].startswith("Feb 2025: ")
    mended = back.replace(b"about 40", b"40").replace(b"pastle", b"pastel")
    again = check_prices(mended, sniff(mended), today=TODAY, currency="EUR", reader=reader)
    assert [(r.record.what, r.record.price_minor) for r in again.good] == [("pastel", 4000), ("pastel", 100)]


def test_months_can_be_switched_off(reader):
    data = WIDE.encode()
    guess = replace(sniff(data), by_month=False)
    assert guess.missing == ("date", "price")
    with pytest.raises(FileRefused, match="No column for date and price"):
        check_prices(data, guess, today=TODAY, currency="EUR", reader=reader)


def test_a_head_without_its_whole_year_is_named():
    data = b"what,Jan-25,Feb-25\nclown,3,4\n"
    guess = sniff(data, "prices")
    assert short_years(guess.headers) == ("Jan-25", "Feb-25")
    assert not guess.by_month
    assert "“Jan-25” does not say its whole year" in guess.missing_sentence


def test_a_file_with_a_day_of_its_own_is_not_read_by_month():
    assert not sniff(b"date,what,price,2025-01,2025-02\n2025-03-01,clown,9,1,2\n").by_month


def test_weights_by_month_and_twice_adds_nothing(full):
    data = b"Animal\tJan 2025\tFeb 2025\nClover\t310\t335\nClovre\t1\t\n"
    guess = sniff(data)
    assert (guess.kind, guess.by_month) == ("weights", True)
    run = full.try_file(data, guess)
    assert [row["grams"] for row in run.records] == [310, 335]
    assert [(row.line, row.column) for row in run.refused] == [(3, "Jan 2025")]
    assert full.add_file(run, "w").added == 2
    again = full.try_file(data, guess)
    assert (len(again.good), len(again.duplicates), len(again.refused)) == (0, 2, 1)


def test_a_workbook_whose_heads_are_days_holds_counts_by_month(reader):
    book = Workbook()
    book.active.append(["what", date(2025, 1, 1), date(2025, 2, 1)])
    book.active.append(["clown", 12, 15])
    out = io.BytesIO()
    book.save(out)
    guess = sniff(out.getvalue(), "supply")
    assert guess.by_month
    run = check_supply(out.getvalue(), guess, today=TODAY, reader=reader)
    assert [(r.on, r.offered) for r in run.records] == [(JAN, 12), (FEB, 15)]


CELL = st.one_of(st.just(""), st.integers(0, 10**7).map(str), st.sampled_from(["x", "1.234", "-5", "12,50"]))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(CELL, min_size=5, max_size=5), max_size=8))
def test_good_refused_and_duplicate_cells_add_up_to_the_filled_ones(reader, table):
    rows = [["what", "2025-01", "2025-02", "2025-03", "2025-04", "2025-05"]]
    rows += [["clown", *cells] for cells in table]
    out = io.StringIO(newline="")
    csv.writer(out, delimiter="\t").writerows(rows)
    data = out.getvalue().encode()
    run = check_prices(data, sniff(data, "prices"), today=TODAY, currency="EUR", reader=reader)
    filled = sum(bool(cell) for cells in table for cell in cells)
    assert run.total == filled == len(run.good) + len(run.refused) + len(run.duplicates)
