# ruff: noqa: E501 - a table of cases is read row by row
"""Ten thousand rows that hypothesis made up: no error reaches the breeder, and every row is accounted for."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dashboard.records.spreadsheets import FIELDS, TABLE_KINDS, refused_as_csv, sniff

ROWS_AT_ONCE = 35
LIKELY = (
    "", " ", "0", "1", "-1", "1.5", "1,5", "1.234", "12%", "1e5", "٣", "½", "9" * 45, "2025-01-03", "03/04/2025",
    "1 Jan 2025", "0000-00-00", "EUR", "€", "$5", "£ 5", "yes", "x", "male", "f", "clown", "het clown", "pastle",
    "66% het pied", "Basalt", "=Tansy", "Clover", "2024 Basalt × =Tansy", "2026 Basalt x Clover", "sold",
    "asked", "two copies", "feeding", "clutch.eggs_mean", "Eggs in a clutch", '{"kind": "gene"}', "[1]", "{",
    "=1+1", "'@x", "#REF!", "\u202e", "\ufdfa" * 30, "ß" * 90, "a\nb", "nan", "inf", "-0", "NaN%",
)  # fmt: skip
CELL = st.one_of(st.sampled_from(LIKELY), st.text(st.characters(exclude_characters="\x00"), max_size=20))
made: dict[str, int] = {}


@pytest.mark.parametrize("kind", TABLE_KINDS)
@settings(
    max_examples=20,
    deadline=None,
    suppress_health_check=[
        HealthCheck.function_scoped_fixture,
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
    ],
)
@given(data=st.data())
def test_rows_of_any_table(made_book, kind, data):
    heads = [field.header for field in FIELDS[kind]]
    columns = [data.draw(st.lists(CELL, min_size=5, max_size=5)) for _ in heads]
    rows = [[column[(i * (1 + j)) % 5] for j, column in enumerate(columns)] for i in range(ROWS_AT_ONCE)]
    out = io.StringIO(newline="")
    csv.writer(out).writerows([heads, *rows])
    content = out.getvalue().encode("utf-8", "replace")
    guess = sniff(content, kind)
    run = made_book.try_file(content, guess)
    assert run.total == len(run.good) + len(run.refused) + len(run.duplicates)
    assert all(row.why and row.line for row in run.refused)
    refused_as_csv(run)
    made[kind] = made.get(kind, 0) + len(rows)


def test_that_were_ten_thousand():
    if len(made) == len(TABLE_KINDS):  # all tables ran in this process
        assert sum(made.values()) >= 10_000


def test_what_was_called_good_can_be_stored(made_book):
    """Good means good: rows of the likely cells that were taken are stored without a refusal."""
    texts = {
        "prices": [["2025-01-03", what, price] for what in LIKELY for price in ("5", "1,5", "0", "9" * 14)],
        "weights": [["Clover", day, grams] for day in LIKELY for grams in ("61", "0.1", "20000", "1e5")],
        "shows": [[name, "2027-01-01"] for name in LIKELY],
        "animals": [[name, "clown"] for name in LIKELY],
    }
    heads = {"prices": ["date", "what", "price"], "weights": ["animal", "date", "grams"],
             "shows": ["show", "first day"], "animals": ["name", "what"]}  # fmt: skip
    for kind, rows in texts.items():
        out = io.StringIO(newline="")
        csv.writer(out).writerows([heads[kind], *rows])
        content = out.getvalue().encode("utf-8", "replace")
        run = made_book.try_file(content, sniff(content, kind))
        assert run.good
        assert run.refused
        receipt = made_book.add_file(run, kind, put_aside=False)
        assert receipt.added == len(run.good)
        again = made_book.try_file(content, sniff(content, kind))
        assert again.good == ()
        made_book.undo_import(receipt.import_id)
