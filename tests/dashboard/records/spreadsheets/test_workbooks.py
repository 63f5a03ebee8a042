"""Workbooks that lie, swell, declare entities or hold formulas: refused or read, never followed."""

from __future__ import annotations

import io
import time
import zipfile
from datetime import date
from decimal import Decimal

import pytest
from openpyxl import Workbook, load_workbook

from dashboard.records.spreadsheets import FileRefused, export_csv, export_workbook, sniff, workbooks
from dashboard.records.spreadsheets.grid import FormulaOnly
from dashboard.records.spreadsheets.workbooks import check_archive, sheet_lines, workbook_sheets

HEADS = ["date", "what", "price"]


def saved(*rows, sheets=("Sheet1",)):
    book = Workbook()
    book.active.title = sheets[0]
    for name in sheets[1:]:
        book.create_sheet(name)
    for row in rows:
        book.worksheets[-1].append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def changed(data, **replacements):
    """Workbook with some parts replaced or added."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, replacements.pop(name, None) or old.read(name))
        for name, part in replacements.items():
            new.writestr(name, part)
    return out.getvalue()


SHEET = "xl/worksheets/sheet1.xml"


def test_an_honest_bomb_is_refused_before_it_is_opened():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive, archive.open(SHEET, "w") as part:
        for _ in range(workbooks.MOST_UNZIPPED // 2**20 + 1):
            part.write(b"0" * 2**20)
    assert len(out.getvalue()) < 2**20
    start = time.process_time()
    with pytest.raises(FileRefused, match="when opened"):
        sniff(out.getvalue())
    assert time.process_time() - start < 1


def test_a_bomb_that_lies_about_its_size_is_cut_off_and_refused():
    data = saved(HEADS)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheet = archive.read(SHEET)
    swollen = sheet.replace(b"<sheetData>", b"<sheetData>" + b" " * 5_000_000)
    lying = bytearray(changed(data, **{SHEET: swollen}))
    size, small = len(swollen).to_bytes(4, "little"), (900).to_bytes(4, "little")
    assert lying.count(size) == 2  # in the part's own head and in the list at the end
    at = lying.find(size)
    while at >= 0:
        lying[at : at + 4] = small
        at = lying.find(size)
    with pytest.raises(FileRefused, match="can't be opened"):
        sniff(bytes(lying))


def test_an_archive_inside_an_archive_is_never_opened():
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("bomb", b"0" * 10_000_000)
    data = changed(saved(HEADS, ["2025-01-03", "clown", 5]), **{"xl/media/inner.zip": inner.getvalue()})
    assert sniff(data).kind == "prices"


def test_an_archive_of_too_many_parts_is_refused(monkeypatch):
    monkeypatch.setattr(workbooks, "MOST_PARTS", 3)
    with pytest.raises(FileRefused, match="when opened"):
        sniff(saved(HEADS))


@pytest.mark.parametrize("part", [SHEET, "xl/workbook.xml", "xl/_rels/workbook.xml.rels"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_entities_are_refused_wherever_they_are_declared(part, encoding):
    laughs = '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "&b;&b;&b;">]><a>&c;</a>'
    with pytest.raises(FileRefused, match="entities"):
        check_archive(changed(saved(HEADS), **{part: laughs.encode(encoding)}))


def test_a_sheet_that_says_less_than_it_holds_is_read_whole():
    data = saved(HEADS, ["2025-01-03", "clown", 5], ["2025-01-04", "clown", 6])
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheet = archive.read(SHEET)
    assert b'<dimension ref="A1:C3"' in sheet
    short = changed(data, **{SHEET: sheet.replace(b"A1:C3", b"A1:B2")})
    assert [line.number for line in sheet_lines(short, "Sheet1")] == [1, 2, 3]


def test_a_cell_far_away_costs_no_time():
    book = Workbook()
    book.active.append(HEADS)
    book.active.cell(1_048_576, 16_384, "x")
    out = io.BytesIO()
    book.save(out)
    start = time.process_time()
    with pytest.raises(FileRefused, match="goes on beyond"):
        sniff(out.getvalue())
    assert time.process_time() - start < 5


@pytest.mark.parametrize("part", ["xl/workbook.xml", SHEET, "[Content_Types].xml", "xl/styles.xml"])
@pytest.mark.parametrize("content", [b"<broken", b"\xff\xfe\x00", b"<a/>"])
def test_a_broken_part_is_a_refusal_or_harmless(part, content):
    data = changed(saved(HEADS, ["2025-01-03", "clown", 5]), **{part: content})
    try:
        guess = sniff(data)
    except FileRefused as fault:
        assert str(fault).endswith(".")  # noqa: PT017 - either way is right
    else:
        assert guess.headers


def test_a_formula_without_its_result_is_not_read_as_empty():
    data = saved(HEADS, ["2025-01-03", "clown", "=2*60"], [None, None, "=3"])
    lines = sheet_lines(data, "Sheet1")
    assert [line.number for line in lines] == [1, 2, 3]
    assert lines[1].cells[2] == FormulaOnly("=2*60")
    assert isinstance(lines[1].cells[2], FormulaOnly)


def test_a_formula_with_a_stored_result_gives_that_result(book):
    data = saved(HEADS, ["2025-01-03", "clown", "=2*60"])
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheet = archive.read(SHEET)
    assert b"<f>2*60</f><v />" in sheet or b"<f>2*60</f><v></v>" in sheet or b"<f>2*60</f><v/>" in sheet
    for empty in (b"<v />", b"<v></v>", b"<v/>"):
        sheet = sheet.replace(b"<f>2*60</f>" + empty, b"<f>2*60</f><v>999</v>")
    kept = changed(data, **{SHEET: sheet})
    assert book.try_file(kept, sniff(kept)).records[0].price_minor == 99900  # as stored, not as reckoned


def test_an_error_of_the_spreadsheet_is_no_value(book):
    data = b"date,what,price,channel\n2025-01-03,clown,5,#REF!\n2025-01-03,clown,#N/A,x\n"
    run = book.try_file(data, sniff(data))
    assert [(row.column, row.written) for row in run.refused] == [("channel", "#REF!"), ("price", "#N/A")]


def test_macros_and_links_to_other_files_are_left_alone():
    link = b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"/>'
    data = changed(
        saved(HEADS, ["2025-01-03", "clown", 5]),
        **{"xl/vbaProject.bin": b"MZ macro", "xl/externalLinks/_rels/externalLink1.xml.rels": link},
    )
    assert sniff(data).kind == "prices"


def test_the_first_sheet_that_holds_anything_is_read_and_another_can_be_asked_for():
    data = saved(HEADS, ["2025-01-03", "clown", 5], sheets=("Empty", "Mine"))
    assert workbook_sheets(data) == ("Empty", "Mine")
    assert sniff(data).sheet == "Mine"
    with pytest.raises(FileRefused, match="no sheet “Other”"):
        sheet_lines(data, "Other")


def test_each_sheet_of_everything_as_xlsx_comes_back_by_its_name(full):
    data = export_workbook(full)
    for kind in ("weights", "shows", "gene tests"):
        guess = sniff(data, kind)
        assert (guess.sheet, full.try_file(data, guess).good) == (kind, ())


FORMULAS = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "'=1", "''=1", '=HYPERLINK("x")')


def test_texts_that_a_spreadsheet_would_run_come_back_as_they_were(book, other):
    for number, text in enumerate(FORMULAS):
        book.add_animal(f"A{number}", "clown", note=text)
    kept = [animal.note for animal in book.animals()]
    for data in (export_csv(book, "animals"), export_workbook(book)):
        page = sniff(data, "animals")
        run = other.try_file(data, page)
        assert [draft.note for draft in run.records] == kept
    workbook = load_workbook(io.BytesIO(export_workbook(book)))
    assert "f" not in {cell.data_type for page in workbook for row in page for cell in row}


def test_numbers_and_days_of_a_workbook_are_exact(tmp_path):
    data = saved(["date", "what", "price"], [date(2025, 4, 3), "clown", 0.1])
    assert sheet_lines(data, "Sheet1")[1].cells == (date(2025, 4, 3), "clown", Decimal("0.1"))
