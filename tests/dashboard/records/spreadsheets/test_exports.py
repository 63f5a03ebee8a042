from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from dashboard.records import NotStored, open_book
from dashboard.records.spreadsheets import as_csv, export_csv, export_workbook, exportable, sheet_of, sniff
from dashboard.records.spreadsheets.exports import Sheet, as_workbook
from dashboard.records.spreadsheets.grid import shield, unshield
from econ.prices.observations import SupplyCount
from genetics import Sex


@pytest.fixture
def filled(book, herd, price):
    basalt, tansy = herd
    book.add_animal(
        "Clover",
        "enchi clown",
        sex=Sex.FEMALE,
        hatched=date(2025, 8, 12),
        bought_minor=0,
        note='=HYPERLINK("x")\nsecond, "line"',
        status="held back",
        sire_id=basalt.id,
        dam_id=tansy.id,
    )
    book.add_pairing(2027, basalt.id, tansy.id, planned=False, note="-maybe")
    book.add_observations([price(minor=m, channel="@show; a, b") for m in (4500, 4500, 123456)], "x")
    book.add_observation(price("66% het clown", kind="sold", stage="grown", quantity=3))
    book.add_supply_count(SupplyCount(on=date(2026, 1, 1), what="clown", traits=(), offered=12))
    return book


def content(book):
    drop = {"id", "version", "import_id", "sire_id", "dam_id"}
    found = {}
    for table in ("animals", "pairings", "price_observations", "supply_counts"):
        names, rows = book.plain_rows(table)
        found[table] = sorted(
            tuple(str(v) for n, v in zip(names, r, strict=True) if n not in drop) for r in rows
        )
    names = {animal.id: animal.name for animal in book.animals()}
    found["parents"] = [(a.name, names.get(a.sire_id), names.get(a.dam_id)) for a in book.animals()]
    found["couples"] = [(names[p.sire_id], names[p.dam_id]) for p in book.pairings()]
    return found


@pytest.mark.parametrize("separator", [",", ";"])
def test_what_was_exported_as_csv_comes_back_as_the_same_rows(filled, tmp_path, reader, separator):
    with open_book(tmp_path / "other.sqlite", reader=reader) as other:
        for table in ("animals", "pairings", "prices", "supply"):
            data = export_csv(filled, table, separator=separator)
            run = other.try_file(data, sniff(data))
            assert (run.refused, run.guess.kind) == ((), table)
            other.add_file(run, table)
        assert content(other) == content(filled)


def test_what_was_exported_as_a_workbook_comes_back_as_the_same_rows(filled, tmp_path, reader):
    from dataclasses import replace

    data = export_workbook(filled)
    with open_book(tmp_path / "other.sqlite", reader=reader) as other:
        for table in ("animals", "pairings", "prices", "supply"):
            first = sniff(data, table)
            assert table in first.sheets
            rows = replace(
                sniff(as_workbook([sheet_of(filled, table)]), table), sheet=table, sheets=first.sheets
            )
            run = other.try_file(data, rows)
            assert run.refused == ()
            other.add_file(run, table)
        assert content(other) == content(filled)


def test_no_cell_is_a_formula_and_numbers_stay_numbers(filled):
    book = load_workbook(io.BytesIO(export_workbook(filled)))
    assert tuple(book.sheetnames) == exportable()
    kinds = {cell.data_type for page in book for row in page.iter_rows() for cell in row}
    assert "f" not in kinds
    prices = list(book["prices"].iter_rows(values_only=True))
    assert prices[3][5] == 1234.56
    assert prices[3][7] == "'@show; a, b"
    assert prices[1][0].date() == date(2026, 3, 1)
    rows = list(csv.reader(io.StringIO(export_csv(filled, "animals").decode("utf-8-sig"))))
    assert rows[3][-1].startswith("'=HYPERLINK")


def test_every_table_can_be_exported_and_no_other(filled):
    for table in exportable():
        rows = list(csv.reader(io.StringIO(export_csv(filled, table).decode("utf-8-sig"))))
        assert len({len(row) for row in rows}) == 1
    assert len(list(csv.reader(io.StringIO(export_csv(filled, "changes").decode("utf-8-sig"))))) > 6
    with pytest.raises(NotStored, match="prices"):
        export_csv(filled, "sqlite_master")


@given(st.text(alphabet="'=+-@ \ta1\r＝", max_size=8))
def test_the_apostrophe_that_is_put_on_is_taken_off_again(text):
    guarded = shield(text)
    assert unshield(guarded) == text
    assert not guarded.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\r"))


def test_a_negative_number_gets_no_apostrophe():
    from decimal import Decimal

    sheet = Sheet("x", ("a", "b"), ((Decimal("-60.00"), "-60"),))
    assert as_csv(sheet).decode("utf-8-sig").splitlines()[1] == "-60.00,'-60"


def test_a_sheet_of_results_may_hold_plain_numbers_and_gaps():
    """Tables of results carry floats; they leave as plain decimals, a gap as an empty cell."""
    rows = (("=clown", 0.25, 3, None), ("pied", 1e-7, 0, 2.5))
    sheet = Sheet("looks", ("look", "share", "young", "price"), rows)
    lines = as_csv(sheet).decode("utf-8-sig").splitlines()
    assert lines == ["look,share,young,price", "'=clown,0.25,3,", "pied,0.0000001,0,2.5"]
    assert as_workbook([sheet])[:2] == b"PK"
