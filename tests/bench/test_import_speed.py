"""Speed of bringing in a file: a hundred thousand prices checked and stored, with a bar that moves."""

from __future__ import annotations

import csv
import io
import random
import time
from datetime import date, timedelta

import pytest

from dashboard.records import open_book
from dashboard.records.spreadsheets import sniff

pytestmark = pytest.mark.bench

ROWS = 100_000
LOOKS = (
    "pastel",
    "clown",
    "het clown",
    "66% het pied",
    "banana",
    "enchi pastel",
    "pastel het clown",
    "mojave",
)
HEADS = ("date", "what", "sex", "stage", "asked or sold", "price", "currency", "channel", "how many")
MOST_SECONDS = 15.0  # of the processor, so that a busy machine does not count


def made_up(rows):
    """Invented prices as CSV."""
    draw = random.Random(20261120)
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(HEADS)
    for _ in range(rows):
        on = date(2010, 1, 1) + timedelta(days=draw.randrange(5_700))
        sex, price = draw.choice(("male", "female")), draw.randrange(1_000, 90_000) / 100
        writer.writerow((on, draw.choice(LOOKS), sex, "hatchling", "asked", f"{price:.2f}", "EUR", "fair", 1))
    return out.getvalue().encode()


def test_a_hundred_thousand_prices_are_checked_and_stored(tmp_path):
    data, told = made_up(ROWS), []
    spent = {}

    def timed(name, work):
        wall, used = time.perf_counter(), time.process_time()
        result = work()
        spent[name] = (time.perf_counter() - wall, time.process_time() - used)
        return result

    def on_progress(done, total):
        told.append((time.perf_counter(), done, total))

    with open_book(tmp_path / "book.sqlite") as book:
        guess = timed("guess how it is written", lambda: sniff(data))
        run = timed("check", lambda: book.try_file(data, guess, on_progress=on_progress))
        checked = len(told)
        receipt = timed("store", lambda: book.add_file(run, "prices.csv", on_progress=on_progress))
        again = timed("check again", lambda: book.try_file(data, guess))
    print(f"\n{ROWS} prices brought in")
    for name, (wall, used) in spent.items():
        print(f"  {name:<30}{wall:8.2f} s{used:8.2f} s of the processor")
    total = sum(used for name, (_, used) in spent.items() if name != "check again")
    print(f"  {'in all':<30}{'':10}{total:8.2f} s of the processor, at most {MOST_SECONDS}")
    assert receipt.added == ROWS
    assert (again.good, len(again.duplicates)) == ((), ROWS)
    assert total < MOST_SECONDS
    assert 3 < checked <= 20 * spent["check"][0] + 2  # at most twenty times a second
    assert told[checked - 1][1:] == (ROWS, ROWS)
