from __future__ import annotations

import csv
import io
import zipfile
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from openpyxl import Workbook

from dashboard.records import NotStored
from dashboard.records.market.price_rows import price_as_row
from dashboard.records.spreadsheets import FileRefused, check_prices, refused_as_csv, sniff, workbooks
from dashboard.records.spreadsheets import grid as grid_module
from genetics import Sex

MIXED = """\
# INVENTED: rows of a test
Datum;Was;Geschlecht;Preis;Währung;Farbe
2025-01-03;pastel;m;1.234,50;EUR;blau
03/04/2025;clown;w;120;;
2025-01-03;pastle het clown;m;99;EUR;
2027-01-03;pastel;m;12;EUR;
2025-01-03;pastel;m;0;EUR;
2025-01-03;pastel;q;10;EUR;
2025-01-03;pastel;m;10;EUX;
2025-01-03;mojave lesser phantom;m;10;EUR;

2025-01-03;"enchi
pastel";f;80;EUR;
2025-01-03;enchi;f;80;EUR;x;y
"""
TODAY = date(2026, 11, 20)


@pytest.fixture
def check(reader):
    def run(data, guess=None, **more):
        plan = guess or sniff(data)
        return check_prices(data, plan, today=TODAY, currency="EUR", reader=reader, **more)

    return run


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_every_encoding_and_separator_gives_the_same_rows(check, encoding, separator):
    rows = [
        ["date", "what", "price", "sex", "channel"],
        ["2025-04-13", "clown", "1234.50", "f", "Börse"],
        ["2025-05-01", "pastel", "45", "m", "a, b; c"],
    ]
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator).writerows(rows)
    data = out.getvalue().encode(encoding)
    run = check(data)
    assert (run.guess.kind, run.guess.separator, run.guess.decimal) == ("prices", separator, ".")
    assert [(r.on, r.what, r.price_minor, r.sex, r.channel) for r in run.records] == [
        (date(2025, 4, 13), "clown", 123450, Sex.FEMALE, "Börse"),
        (date(2025, 5, 1), "pastel", 4500, Sex.MALE, "a, b; c"),
    ]


def test_what_was_guessed_is_shown(check):
    guess = sniff(MIXED.encode("cp1252"))
    assert guess.kind == "prices"
    assert (guess.encoding, guess.separator, guess.decimal, guess.date_order) == ("cp1252", ";", ",", "")
    assert guess.columns == {"on": 0, "what": 1, "sex": 2, "price_minor": 3, "currency": 4}
    assert guess.unused == ("Farbe",)
    assert guess.invented
    assert guess.header_line == 2


def test_each_refused_row_says_its_line_what_was_written_and_why(check):
    run = check(MIXED.encode("cp1252"))
    found = {row.line: (row.written, row.why) for row in run.refused}
    assert found[4][0] == "03/04/2025"
    assert found[4][1] == "3 April or 4 March? Say which order this file uses."
    assert found[5][0] == "pastle het clown"
    assert "pastel" in next(row for row in run.refused if row.line == 5).nearest
    assert "future" in found[6][1]
    assert found[7] == ("0", "The price is not above zero.")
    assert "male, female, unsexed" in found[8][1]
    assert "EUX" in found[9][1]
    assert found[10][0] == "mojave lesser phantom"
    assert "more cells than heads" in found[14][1]
    assert sorted(found) == [4, 5, 6, 7, 8, 9, 10, 14]
    assert [row.line for row in run.good] == [3, 12]
    assert run.good[1].record.what == "enchi pastel"


def test_good_refused_and_duplicate_rows_add_up(check, price):
    data = MIXED.encode()
    run = check(data, stored=[price_as_row(check(data).records[0])])
    assert run.total == len(run.good) + len(run.refused) + len(run.duplicates) == 10
    assert [row.line for row in run.duplicates] == [3]
    assert run.sentence == "1 of 10 rows can be added; 8 were refused; 1 is in the book already"


def test_saying_the_order_lets_the_refused_date_in(check):
    data = MIXED.encode()
    for order, day in (("day first", date(2025, 4, 3)), ("month first", date(2025, 3, 4))):
        run = check(data, replace(sniff(data), date_order=order))
        assert next(row.record.on for row in run.good if row.line == 4) == day


def test_a_lone_1_234_is_refused_until_the_mark_is_said(check):
    data = b"date,what,price\n2025-01-03,clown,1.234\n2025-01-03,clown,120\n"
    guess = sniff(data)
    assert guess.decimal == ""
    run = check(data, guess)
    assert [(row.line, row.written) for row in run.refused] == [(2, "1.234")]
    assert check(data, replace(guess, decimal=",")).records[0].price_minor == 123400
    (refused,) = check(data, replace(guess, decimal=".")).refused  # a third decimal is no cent
    assert "decimals" in refused.why


def test_one_date_with_a_day_over_12_settles_the_order_and_two_that_disagree_settle_nothing(check):
    head = "date,what,price\n03/04/2025,clown,10\n"
    assert sniff((head + "25/04/2025,clown,10\n").encode()).date_order == "day first"
    assert sniff((head + "04/25/2025,clown,10\n").encode()).date_order == "month first"
    both = (head + "25/04/2025,clown,10\n04/25/2025,clown,10\n").encode()
    assert sniff(both).date_order == ""
    assert [row.line for row in check(both).refused] == [2]


def test_refused_rows_come_back_as_a_file_that_can_be_mended_and_imported(check):
    data = MIXED.encode()
    run = check(data)
    back = refused_as_csv(run)
    rows = list(csv.reader(io.StringIO(back.decode("utf-8-sig")), delimiter=";"))
    assert rows[0] == ["Datum", "Was", "Geschlecht", "Preis", "Währung", "Farbe", "why"]
    assert len(rows) == len(run.refused) + 1
    assert rows[2][-1] == run.refused[1].why
    mended = back.replace(b"pastle", b"pastel")
    again = check(mended)
    assert [row.record.what for row in again.good] == ["pastel het clown"]
    assert len(again.refused) == len(run.refused) - 1


def test_a_missing_column_refuses_the_file_and_names_what_is_there(check):
    data = b"day,animal,cash\n2025-01-03,clown,12\n"
    guess = sniff(data, "prices")
    assert guess.missing == ("price",)
    with pytest.raises(FileRefused, match=r"No column for price.*cash"):
        check(data, guess)
    assert (
        check(data, replace(guess, columns={**guess.columns, "price_minor": 2})).records[0].price_minor
        == 1200
    )


def test_currency_comes_from_the_sign_the_column_or_the_book(check):
    data = "date,what,price,currency\n2025-01-03,clown,£5,\n2025-01-03,clown,5,usd\n2025-01-03,clown,5,\n"
    assert [r.currency for r in check(data.encode()).records] == ["GBP", "USD", "EUR"]
    bad = "date,what,price,currency\n2025-01-03,clown,£5,EUR\n2025-01-03,clown,$5,\n"
    assert [row.line for row in check(bad.encode()).refused] == [2, 3]


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "empty"),
        (b"  \n\n", "empty"),
        (b"\x00\x01\x02\x03" * 100, "no text file"),
        (b"PK\x03\x04" + b"garbage" * 50, "can't be opened"),
        (b"# only\n# comments\n", "no rows"),
    ],
)
def test_files_that_are_no_tables_are_refused(data, why):
    with pytest.raises(FileRefused, match=why):
        sniff(data)


def test_caps_on_size_rows_columns_cells_and_unzipped_size(monkeypatch):
    head = b"date,what,price\n"
    row = b"2025-01-03,clown,12\n"
    monkeypatch.setattr(grid_module, "MOST_LINES", 10)
    assert sniff(head + 10 * row).kind == "prices"
    with pytest.raises(FileRefused, match="over 10 rows"):
        sniff(head + 11 * row)
    with pytest.raises(FileRefused, match="columns"):
        sniff(b"date,what,price" + b",x" * 300 + b"\n", "prices")
    with pytest.raises(FileRefused, match="letters"):
        sniff(head + b"2025-01-03," + b"x" * 6000 + b",12\n")
    monkeypatch.setattr(grid_module, "MOST_BYTES", 100)
    with pytest.raises(FileRefused, match="MB"):
        sniff(head * 20)
    monkeypatch.setattr(grid_module, "MOST_BYTES", 10**7)
    monkeypatch.setattr(workbooks, "MOST_UNZIPPED", 10**6)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * 2 * 10**6)
    with pytest.raises(FileRefused, match="when opened"):
        sniff(out.getvalue())


def workbook(rows, title="Sheet1"):
    book = Workbook()
    book.active.title = title
    for row in rows:
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_a_workbook_keeps_its_numbers_and_days(check):
    data = workbook(
        [
            ["Date", "What", "Price", "Sex"],
            [datetime(2025, 4, 3, tzinfo=UTC).replace(tzinfo=None), "clown", 120.5, "f"],
            [date(2025, 4, 3), "pastel", 45, "m"],
            ["03/04/2025", "pastel", "1.234", "m"],
            [45000, "pastel", 45, "m"],
        ]
    )
    run = check(data)
    assert [(r.on, r.price_minor) for r in run.records] == [
        (date(2025, 4, 3), 12050),
        (date(2025, 4, 3), 4500),
    ]
    assert [row.line for row in run.refused] == [4, 5]
    assert Decimal("120.5") == Decimal(run.records[0].price_minor) / 100


def test_a_formula_in_a_workbook_is_not_run_and_its_apostrophe_is_taken_off(check):
    data = workbook([["Date", "What", "Price"], ["2025-01-03", "'=1+1", 5], ["2025-01-03", "=1+1", 5]])
    run = check(data)
    assert [row.written for row in run.refused] == ["=1+1", "=1+1"]
    assert "no formula is run here" in run.refused[1].why


def test_nothing_of_a_file_is_stored_when_one_row_is_refused_later(book):
    data = b"date,what,price\n2025-01-03,clown,12\n2025-01-04,pastel,12\n"
    run = book.try_file(data, sniff(data))
    assert len(run.good) == 2
    book.use_reader(lambda text, sex: _refuse_pastel(text))
    with pytest.raises(NotStored):
        book.add_file(run, "x.csv")
    assert book.price_observations() == ()
    assert book.imports() == ()


def _refuse_pastel(text):
    if text == "pastel":
        raise NotStored("The gene pastel was removed.")
    return ()


def test_a_file_is_added_once_after_a_copy_was_put_aside(book):
    data = b"date,what,price\n2025-01-03,clown,12\n2025-01-04,pastel,12\n2025-01-04,pastel,12\n"
    run = book.try_file(data, sniff(data))
    receipt = book.add_file(run, "x.csv")
    assert (receipt.added, receipt.duplicates) == (3, 0)
    assert [copy.why for copy in book.back_ups()] == ["before import"]
    again = book.try_file(data, sniff(data))
    assert again.sentence == "0 of 3 rows can be added; 3 are in the book already"
    assert book.add_file(again, "x.csv").added == 0
    assert book.add_file(run, "x.csv").duplicates == 3  # an old dry run adds nothing either
    assert len(book.price_observations()) == 3
    assert len(book.back_ups()) == 2


def test_supply_animals_and_pairings_come_from_files(book):
    animals = (
        b"name,sex,what,hatched,paid,status,sire,dam\n"
        b"Clover,f,enchi clown,2025-08-12,0,held back,Basalt,Tansy\n"
        b"Basalt,m,pastel clown,2023-07-19,540,,,\n"
        b"Tansy,f,enchi het clown,2021-08-14,,,,\n"
        b"basalt,m,normal,,,,,\n"
        b"Reed,m,pastle,,,,,\n"
    )
    run = book.try_file(animals, sniff(animals))
    assert [row.line for row in run.refused] == [5, 6]
    assert book.add_file(run, "animals.csv").added == 3
    clover = next(a for a in book.animals() if a.name == "Clover")
    assert (book.animal(clover.sire_id).name, book.animal(clover.dam_id).name) == ("Basalt", "Tansy")
    assert clover.bought_minor == 0
    pairings = (
        b"season,sire,dam,planned\n2027,Basalt,Tansy,yes\n2027,Tansy,Basalt,yes\n2027,Basalt,Nobody,yes\n"
        b"2027,Basalt,Clover,no\n27,Basalt,Clover,no\n"
    )
    guess = sniff(pairings)
    assert guess.kind == "pairings"
    run = book.try_file(pairings, guess)
    assert [row.line for row in run.refused] == [3, 4, 6]
    book.add_file(run, "pairings.csv")
    assert [pairing.planned for pairing in book.pairings()] == [True, False]
    supply = b"date,what,offered\n2025-01-03,clown,12\n2025-01-03,clown,-1\n2025-01-03,clown,1.5\n"
    guess = sniff(supply)
    assert guess.kind == "supply"
    run = book.try_file(supply, guess)
    assert [row.line for row in run.refused] == [3, 4]
    book.add_file(run, "supply.csv")
    assert [count.offered for count in book.supply_counts()] == [12]
    with pytest.raises(NotStored, match="2 pairings need them"):
        book.undo_import(1)
    assert book.undo_import(2) == 2
    assert book.undo_import(1) == 3


def test_an_animal_whose_parent_is_nowhere_is_refused_and_so_are_its_young(book):
    data = b"name,sex,what,sire\nClover,m,enchi,Basalt\nReed,m,normal,\nFern,f,normal,Clover\n"
    run = book.try_file(data, sniff(data))
    assert {row.line: row.written for row in run.refused} == {2: "Basalt", 4: "Clover"}
    book.add_file(run, "animals.csv")
    assert [animal.name for animal in book.animals()] == ["Reed"]
