"""Rows of a table: order, search, what stands in words, and what a change did; hand-worked."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.book import book_answer
from dashboard.jobs.boxes import NotRead
from dashboard.jobs.change_details import change_details
from dashboard.jobs.row_tables import ROW_TABLES, table_named
from dashboard.jobs.rows import add_typed, change_typed, options, rows_answer, start_of
from dashboard.records import Conflict, NotStored
from dashboard.records.kinds import WEIGHTS
from dashboard.records.spreadsheets import TABLE_KINDS

from .small_book import bare_book

PRICE = {
    "on": "2025-04-30", "what": "clown", "sex": "female", "stage": "hatchling", "kind": "asked",
    "price_minor": "200", "currency": "CHF", "channel": "show", "quantity": "",
}  # fmt: skip


@pytest.fixture
def small(tmp_path):
    made = bare_book(tmp_path / "small.sqlite")
    yield made
    made.book.close()


def test_every_table_of_the_files_that_has_rows_of_its_own_has_an_editor():
    elsewhere = {"animals", "pairings", "figures", "figures of pairings", "own genes"}
    assert set(ROW_TABLES) == set(TABLE_KINDS) - elsewhere
    with pytest.raises(NotStored, match="there are: prices"):
        table_named("beasts")


def test_rows_stand_newest_first_and_are_found_by_any_of_their_words(small):
    prices = ROW_TABLES["prices"]
    add_typed(small.book, prices, PRICE)
    add_typed(small.book, prices, {**PRICE, "on": "2025-06-01", "what": "pastel", "currency": "EUR"})
    add_typed(small.book, prices, {**PRICE, "on": "2025-05-01", "what": "pastel clown"})
    answer = rows_answer(small.book, prices)
    assert [entry.values["what"] for entry in answer.entries] == ["pastel", "pastel clown", "clown"]
    assert [entry.values["what"] for entry in answer.found("CLOWN chf")] == ["pastel clown", "clown"]
    assert [entry.values["what"] for entry in answer.found("2025-06")] == ["pastel"]
    assert answer.shown(prices.field("price_minor"), answer.entries[2]) == "200.00 CHF"


def test_animals_and_pairings_stand_by_name(small):
    pairing = small.pair("Basalt", "Tansy")
    sires = ROW_TABLES["further sires"]
    entry = add_typed(small.book, sires, {"pairing_id": pairing.id, "sire_id": small.animals["Flint"].id})
    answer = rows_answer(small.book, sires)
    shown = [answer.shown(field, entry) for field in sires.fields]
    assert shown == ["2027 Basalt × Tansy", "Flint"]
    names = [words for _, words in options(sires.field("sire_id"), answer.herd, currency="EUR")]
    assert names == ["Basalt", "Cobble", "Flint", "Marl", "Sedge", "Tansy"]


def test_a_field_that_may_be_left_out_offers_none_and_money_of_the_book_comes_first(small):
    herd = small.book.herd()
    spending = ROW_TABLES["spending"]
    assert options(spending.field("animal_id"), herd, currency="EUR")[0] == ("", "none")
    codes = [code for code, _ in options(spending.field("currency"), herd, currency="SEK")]
    assert codes[:3] == ["SEK", "AUD", "CAD"]
    rates = [
        code for code, _ in options(ROW_TABLES["exchange rates"].field("currency"), herd, currency="EUR")
    ]
    assert "EUR" not in rates


def test_what_a_form_starts_with_is_read_back_as_the_same_row(small):
    prices = ROW_TABLES["prices"]
    entry = add_typed(small.book, prices, PRICE)
    start = start_of(rows_answer(small.book, prices), entry)
    assert (start["price_minor"], start["currency"], start["quantity"]) == ("200.00", "CHF", "1")
    assert change_typed(small.book, prices, entry, typed=start) is None


def test_a_change_that_meets_another_carries_both_values(small):
    weights = ROW_TABLES["weights"]
    typed = {"animal_id": small.animals["Basalt"].id, "on": "2025-04-30", "grams": "164"}
    seen = add_typed(small.book, weights, typed)
    small.book.change_row(WEIGHTS, seen.id, seen.version, {"grams": 170.0})
    with pytest.raises(Conflict) as met:
        change_typed(small.book, weights, seen, typed={**typed, "grams": "1640"})
    assert (met.value.yours, met.value.stored) == ({"grams": 1640.0}, {"grams": 170.0})


def test_a_day_before_hatching_is_refused_for_the_row_a_word_at_its_box(small):
    tests = ROW_TABLES["gene tests"]
    typed = {
        "animal_id": small.animals["Tansy"].id, "on": "2025-04-30", "gene": "clwn", "result": "one copy",
        "right_if_carried": "", "right_if_not": "", "fee_minor": "", "currency": "EUR", "note": "",
    }  # fmt: skip
    with pytest.raises(NotRead) as caught:
        add_typed(small.book, tests, typed)
    assert "clown" in caught.value.faults["gene"].nearest
    with pytest.raises(NotStored, match="not one gene"):
        add_typed(small.book, tests, {**typed, "gene": "pastel clown"})


def test_a_change_says_field_by_field_what_was_there_before(small):
    weights = ROW_TABLES["weights"]
    typed = {"animal_id": small.animals["Basalt"].id, "on": "2025-04-30", "grams": "164"}
    seen = add_typed(small.book, weights, typed)
    change_typed(small.book, weights, seen, typed={**typed, "grams": "1640"})
    tansy = small.animals["Tansy"]
    small.book.change_animal(tansy.id, tansy.version, bought_minor=12050, note="calm")
    changes = {change.edit: change for change in small.book.changes()}
    newest = max(changes)
    (animal,) = change_details(small.book, changes[newest])
    assert animal.what == "Tansy"
    assert [(field.name, field.before, field.after) for field in animal.fields] == [
        ("paid", "", "120.50 EUR"),
        ("note", "", "calm"),
    ]
    (weight,) = change_details(small.book, changes[newest - 1])
    assert (weight.what, weight.was_there, weight.is_there) == ("weight of Basalt", True, True)
    assert [(field.name, field.before, field.after) for field in weight.fields] == [
        ("grams", "164 g", "1640 g")
    ]


def test_the_book_page_counts_every_table_and_prices_without_a_rate(small):
    add_typed(small.book, ROW_TABLES["prices"], PRICE)
    add_typed(small.book, ROW_TABLES["prices"], {**PRICE, "on": "2025-05-02"})
    answer = book_answer(small.book)
    counts = {content.name: (content.count, content.newest) for content in answer.contents}
    assert counts["animals"] == (6, None)
    assert counts["prices"] == (2, date(2025, 5, 2))
    assert answer.left_out == 2
    add_typed(
        small.book, ROW_TABLES["exchange rates"], {"on": "2025-01-01", "currency": "CHF", "rate": "1.0600"}
    )
    answer = book_answer(small.book)
    assert answer.left_out == 0
    assert [(money.currency, money.rate, money.on) for money in answer.monies] == [
        ("CHF", "1.0600", date(2025, 1, 1))
    ]
