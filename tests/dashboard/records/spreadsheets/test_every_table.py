# ruff: noqa: E501 - a table of cases is read row by row
"""Every table of the breeder's goes out and comes in again; two ways of saying a thing are held apart."""

from __future__ import annotations

import pytest

from dashboard.records.files.packages import ORDER
from dashboard.records.spreadsheets import FIELDS, TABLE_KINDS, TITLES, export_csv, refused_as_csv, sniff
from dashboard.records.spreadsheets.exports import as_workbook, exportable, sheet_of
from dashboard.records.spreadsheets.headers import kind_of_heads


@pytest.mark.parametrize("kind", TABLE_KINDS)
def test_the_heads_of_each_table_say_which_it_is(kind):
    fields = FIELDS[kind]
    assert kind_of_heads([field.header for field in fields]) == kind
    assert kind_of_heads([field.header for field in fields if field.needed]) == kind
    assert kind_of_heads([field.header.upper() + " " for field in reversed(fields)]) == kind
    assert len({field.header for field in fields}) == len(fields)


def test_every_table_has_a_title_and_a_turn():
    assert set(exportable()) == set(TITLES)
    assert set(ORDER) == set(TABLE_KINDS)


@pytest.mark.parametrize("separator", [",", ";"])
def test_what_was_exported_is_known_as_itself_and_there_already(full, separator):
    version = full.data_version
    for kind in TABLE_KINDS:
        data = export_csv(full, kind, separator=separator)
        guess = sniff(data)
        run = full.try_file(data, guess)
        assert (guess.kind, run.refused, run.good) == (kind, (), ())
        assert len(run.duplicates) == run.total > 0
        assert full.add_file(run, kind).added == 0
    assert full.data_version == version


def test_a_workbook_of_each_table_is_there_already_too(full):
    for kind in TABLE_KINDS:
        data = as_workbook([sheet_of(full, kind)])
        run = full.try_file(data, sniff(data))
        assert (run.guess.kind, run.refused, run.good) == (kind, (), ())


def test_table_after_table_fills_another_book_with_the_same_rows(full, other):
    animals = export_csv(full, "animals")
    for kind in ORDER:
        data = animals if kind == "animals" else export_csv(full, kind)
        guess = sniff(data)
        if kind == "animals":  # their clutches are not there yet
            guess.columns.pop("clutch")
        run = other.try_file(data, guess)
        assert run.refused == ()
        other.add_file(run, kind)
        assert other.add_file(other.try_file(data, guess), kind).added == 0
    for kind in TABLE_KINDS:
        if kind != "animals":
            assert export_csv(other, kind) == export_csv(full, kind)
    names = {a.name: (a.sire_id, a.dam_id, a.sold_minor, a.sold_currency) for a in full.animals()}
    assert {a.name: (a.sire_id, a.dam_id, a.sold_minor, a.sold_currency) for a in other.animals()} == names


@pytest.mark.parametrize(
    ("kind", "text", "written", "column", "why"),
    [
        ("weights", "animal,date,grams\nClovre,2024-08-09,60", "Clovre", "animal", "No animal"),
        ("weights", "animal,date,grams\nClover,2024-08-09,0", "0", "grams", "above 0"),
        ("weights", "animal,date,grams\nClover,2023-08-09,60", "2023-08-09", "date", "hatched on"),
        ("weights", "animal,date,grams\nClover,2024-08-01,62", "62", "grams", "another entry"),
        ("gene tests", "animal,date,gene,result\nClover,2025-02-09,clwn,no copy", "clwn", "gene", "clwn"),
        ("gene tests", "animal,date,gene,result\nClover,2025-02-09,clown,odd", "odd", "result", "allowed"),
        ("clutches", "pairing,fertile eggs,hatched\n2026 Basalt × Clover,3,4", "4", "hatched", "only 3"),
        ("clutches", "pairing\n2025 Basalt × Clover", "2025 Basalt × Clover", "pairing", "Enter the pairing"),
        ("further sires", "pairing,further sire\n2024 Basalt x =Tansy,Clover", "Clover", "further sire", "male"),
        ("exchange rates", "date,currency,rate\n2026-01-02,EUR,1", "EUR", "currency", "money of this book"),
        ("exchange rates", "date,currency,rate\n2026-01-02,USD,-1", "-1", "rate", "above 0"),
        ("pipeline", "date,what,season,young expected\n2026-01-02,clown,27,4", "27", "season", "whole number"),
        ("shows", "show,first day,days\nFair,2027-01-01,0", "0", "days", "1 to 14"),
        ("spending", "date,kind,amount\n2026-01-02,bribe,3", "bribe", "kind", "allowed"),
        ("spending", "date,kind,amount\n2026-01-02,feeding,-3", "-3", "amount", "zero"),
        ("figures", "figure,value\nclutch.laying_chance,2", "2", "value", "allowed"),
        ("figures", "figure,value\nEggs in a clutsh,6", "Eggs in a clutsh", "figure", "No figure"),
        ("figures of pairings", "pairing,figure,value\n2026 Basalt × Clover,clutch.eggs_mean,", "", "value",
         "missing"),
        ("own genes", "gene,definition\nodd,{", "{", "definition", "no JSON"),
        ("own genes", 'gene,definition\nodd,"{""kind"": ""gene""}"', '{"kind": "gene"}', "definition", "mode"),
        ("animals", "name,what,clutch\nReed,clown,2030 A × B", "2030 A × B", "clutch", "No clutch"),
        ("animals", "name,what,status\nClover,clown,died", "died", "status", "another entry"),
        ("animals", "name,what,sire\nReed,clown,Clover", "Clover", "sire", "must be male"),
        ("animals", "name,what,sold on\nReed,clown,2030-01-01", "2030-01-01", "sold on", "after today"),
        ("pairings", "season,sire,dam,note\n2026,Basalt,Clover,other", "other", "note", "another entry"),
        ("pairings", "season,sire,dam,locked\n2027,Basalt,Clover,2030-01-01", "2030-01-01", "locked", "after"),
    ],
)  # fmt: skip
def test_a_refused_row_says_column_what_was_written_and_why(full, kind, text, written, column, why):
    data = (text + "\n").encode()
    run = full.try_file(data, sniff(data, kind))
    (row,) = run.refused
    assert (row.line, row.written, row.column) == (2, written, column)
    assert why in row.why
    assert row.why.endswith(".")
    assert refused_as_csv(run).decode("utf-8-sig").splitlines()[0].endswith(",why")


def test_nearest_names_are_offered(full):
    data = b"animal,date,grams\nClovr,2024-08-09,60\n"
    assert full.try_file(data, sniff(data)).refused[0].nearest == ("Clover",)
    data = b"figure,value\nclutch.eggs_men,6\n"
    assert "clutch.eggs_mean" in full.try_file(data, sniff(data)).refused[0].nearest


def test_a_row_that_is_twice_in_the_file_is_taken_once(full):
    data = b"animal,date,grams\nClover,2025-01-01,300\nclover,2025-01-01,300\nClover,2025-01-01,301\n"
    run = full.try_file(data, sniff(data))
    assert [row.line for row in run.good] == [2]
    assert [row.why for row in run.refused] == [
        "Line 2 of the file says this already.",
        "Line 2 has a weight for this.",
    ]
    assert full.add_file(run, "w").added == 1


def test_equal_sums_on_one_day_count_each(full):
    data = b"date,kind,for,amount\n2025-05-01,feeding,rats,25.50\n" + b"2025-05-01,feeding,rats,25.50\n" * 2
    run = full.try_file(data, sniff(data))
    assert (len(run.duplicates), len(run.good)) == (2, 1)


def test_a_figure_may_go_by_its_plain_name_and_two_that_contradict_are_refused(other):
    data = b"figure,value\nEggs in a clutch,7\n"
    assert other.try_file(data, sniff(data)).records == ({"assumption": "clutch.eggs_mean", "value": 7.0},)


def test_an_import_of_any_table_is_taken_back_in_one_step(full):
    before = {kind: export_csv(full, kind) for kind in TABLE_KINDS}
    data = b"animal,date,grams\nClover,2025-01-01,300\nClover,2025-02-01,320\n"
    receipt = full.add_file(full.try_file(data, sniff(data)), "w")
    assert export_csv(full, "weights") != before["weights"]
    assert full.undo_import(receipt.import_id) == 2
    assert {kind: export_csv(full, kind) for kind in TABLE_KINDS} == before
