"""Files as they come: each is read right, or refused with its reason; never misread and never an error."""

from __future__ import annotations

import io
from datetime import date

import pytest
from openpyxl import Workbook

from dashboard.records.spreadsheets import sniff

HEAD = "date,what,price,currency,channel\n"


def xlsx(*rows, merge=""):
    book = Workbook()
    for row in rows:
        book.active.append(row)
    if merge:
        book.active.merge_cells(merge)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


# name: (bytes, {line: price in cents or a part of the reason})
DIRTY = {
    "semicolons and decimal commas": (
        b"Datum;Was;Preis\n03.04.2025;clown;1.234,50\n23.04.2025;pastel;45\n",
        {2: 123450, 3: 4500},
    ),
    "UTF-16 with tabs, as a spreadsheet saves Unicode text": (
        "date\twhat\tprice\tchannel\n2025-01-03\tclown\t12\tBörse\n".encode("utf-16"),
        {2: 1200},
    ),
    "Western European bytes without a mark": (
        "date;what;price;channel\n2025-01-03;clown;€ 12;Börse\n".encode("cp1252"),
        {2: 1200},
    ),
    "a byte order mark and Windows line ends": (
        "\ufeffdate,what,price\r\n2025-01-03,clown,12.50\r\n".encode(),
        {2: 1250},
    ),
    "days in two orders": (
        (HEAD + "03/04/2025,clown,12,,\n25/04/2025,clown,12,,\n04/25/2025,clown,12,,\n").encode(),
        {2: "which order", 3: 1200, 4: 1200},
    ),
    "a lone 1.234": ((HEAD + "2025-01-03,clown,1.234,,\n").encode(), {2: "which mark"}),
    "line breaks and quotes inside cells": (
        b'date,what,price,channel\n2025-01-03,"enchi\nclown",12,"a ""b"", c"\n2025-01-04,clown,13,x\n',
        {2: 1200, 4: 1300},
    ),
    "blank lines, cells of blanks, comments above": (
        b"# made up\n\n , ,\ndate,what,price\n\n , , \n2025-01-03, clown ,12\n,,\n",
        {7: 1200},
    ),
    "empty columns at the end, and cells beyond the heads": (
        b"date,what,price,,\n2025-01-03,clown,12,,\n2025-01-03,clown,13,,,,,\n2025-01-03,clown,14,,,x\n",
        {2: 1200, 3: 1300, 4: "more cells than heads"},
    ),
    "rows that are too short": (
        b"what,date,price\nclown,2025-01-03\nclown\nclown,2025-01-03,12\n",
        {2: "price is missing", 3: "date is missing", 4: 1200},
    ),
    "the same head twice": (b"date,what,price,price\n2025-01-03,clown,12,99\n", {2: 1200}),
    "merged cells over the heads and in the rows": (
        xlsx(["date", "what", "price"], [date(2025, 1, 3), "clown", 12], [None, "pastel", 13], merge="A2:A3"),
        {2: 1200, 3: "date is missing"},
    ),
    "serial numbers in place of days": (
        xlsx(["date", "what", "price"], [45660, "clown", 12], [date(2025, 1, 3), "clown", 12]),
        {2: "a number, not a date", 3: 1200},
    ),
    "formulas without results": (
        xlsx(["date", "what", "price"], ["2025-01-03", "clown", "=6*2"], ["2025-01-03", "clown", 12]),
        {2: "no formula is run here", 3: 1200},
    ),
    "signs, codes and thin blanks in sums": (
        (HEAD + "2025-01-03,clown,£5,EUR,\n2025-01-03,clown,$5\n2025-01-03,clown,1\u202f250 €,,\n").encode(),
        {2: "currency column", 3: "Which dollar", 4: 125000},
    ),
    "years of two digits and days that are not": (
        (HEAD + "03.04.25,clown,5,,\n2025-02-29,clown,5,,\nsoon,clown,5,,\n").encode(),
        {2: "four digits", 3: "no day 29", 4: "no date"},
    ),
    "a bell inside a word": (
        (HEAD + "2025-01-03,clo\u0007wn,5,,\n2025-01-03,clown,5,,ok\n").encode(),
        {2: "can't be shown", 3: 500},
    ),
    "a quote that is never closed": (
        b'date,what,price\n2025-01-03,"clown,12\n2025-01-04,pastel,13\n',
        {2: "missing"},
    ),
}  # fmt: skip


def test_there_are_twelve_at_least():
    assert len(DIRTY) >= 12


@pytest.mark.parametrize("name", DIRTY)
def test_a_dirty_file_is_read_right_or_refused_with_its_reason(name, book):
    data, expected = DIRTY[name]
    run = book.try_file(data, sniff(data))
    good = {row.line: row.record.price_minor for row in run.good}
    refused = {row.line: row.why for row in run.refused}
    assert set(good) | set(refused) == set(expected)
    assert run.total == len(run.good) + len(run.refused) + len(run.duplicates)
    for line, what in expected.items():
        if isinstance(what, int):
            assert good[line] == what
        else:
            assert what in refused[line]
            assert refused[line].endswith((".", "?"))


def test_heads_that_stand_twice_are_said():
    guess = sniff(DIRTY["the same head twice"][0])
    assert (guess.twice, guess.unused) == (("price",), ("price",))
