"""Boxes of a form: read by the readers of files, refused in the words of a form; hand-worked values."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.boxes import NotRead, box_text, read_boxes
from dashboard.records.fields import Field

DAY = Field("on", "date", "day", "", needed=True)
PRICE = Field("price", "price", "money", "", needed=True, currency="currency")
CODE = Field("currency", "currency", "currency", "")
FIELDS = (DAY, PRICE, CODE)
# One unit of a currency has the decimals ISO 4217 gives it: EUR two, JPY none, KWD three.
GOOD = {"on": "2025-04-30", "price": "120.50", "currency": "EUR"}


def read(*, fields=FIELDS, **typed):
    return read_boxes(fields, {**GOOD, **typed}, currency="EUR")


def refusal(name="price", *, fields=FIELDS, **typed):
    with pytest.raises(NotRead) as caught:
        read(fields=fields, **typed)
    assert list(caught.value.faults) == [name]
    return caught.value.faults[name].reason


def test_days_and_money_become_what_the_records_keep():
    assert read() == {"on": date(2025, 4, 30), "price": 12050, "currency": "EUR"}
    assert read(on="30 April 2025", price="€ 1 234,50") == {
        "on": date(2025, 4, 30),
        "price": 123450,
        "currency": "EUR",
    }


@pytest.mark.parametrize(
    ("code", "text", "minor"), [("JPY", "1200", 1200), ("KWD", "1.2345", None), ("KWD", "12.5", 12500)]
)
def test_sums_have_the_decimals_of_their_currency_iso_4217(code, text, minor):
    if minor is None:
        assert "decimals" in refusal(price=text, currency=code)
    else:
        assert read(price=text, currency=code)["price"] == minor


def test_what_can_be_read_in_two_ways_is_refused_with_the_way_out():
    assert refusal("on", on="03/04/2025") == "3 April or 4 March? Write the year first, as in 2025-04-30."
    assert refusal(price="1.234") == "1234 or 1.234? Write 1234, or 1.2340 with one more zero."
    assert "no currency" in refusal(price="12 quids")
    assert refusal(price="12 USD") == "“12 USD” says USD, but EUR is chosen beside it."


def test_all_boxes_at_fault_are_named_at_once():
    with pytest.raises(NotRead) as caught:
        read(on="soon", price="")
    assert set(caught.value.faults) == {"on", "price"}
    assert "The price is missing" in caught.value.faults["price"].reason


@pytest.mark.parametrize(("text", "share"), [("25%", 0.25), ("0.25", 0.25), ("62,5 %", 0.625)])
def test_shares_are_typed_as_shares_or_percent(text, share):
    field = Field("within", "right within", "share", "", least=0, most=1)
    assert read_boxes((field,), {"within": text}, currency="EUR") == {
        "within": pytest.approx(share, abs=1e-12)
    }


@pytest.mark.parametrize("text", ["150%", "-0.1", "2"])
def test_a_share_beyond_one_is_refused(text):
    field = Field("within", "right within", "share", "", least=0, most=1)
    with pytest.raises(NotRead):
        read_boxes((field,), {"within": text}, currency="EUR")


def test_numbers_keep_to_their_ends_and_say_them():
    field = Field("grams", "grams", "number", "", needed=True, unit="g", least=0.1, most=20_000.0)
    assert read_boxes((field,), {"grams": "1640.5"}, currency="EUR") == {"grams": 1640.5}
    with pytest.raises(NotRead, match=r"allowed: 0\.1 to 20000 g"):
        read_boxes((field,), {"grams": "20001"}, currency="EUR")


def test_an_empty_box_means_what_its_field_says():
    fields = (
        Field("number", "clutch", "whole", "", least=1, most=9, empty=1),
        Field("note", "note", "note", "", empty=""),
        Field("animal_id", "animal", "animal", ""),
        Field("going", "going", "answer", ""),
    )
    typed = {"number": "", "note": "", "animal_id": "", "going": 1}
    assert read_boxes(fields, typed, currency="EUR") == {
        "number": 1,
        "note": "",
        "animal_id": None,
        "going": 1,
    }


@pytest.mark.parametrize("minor", [0, 5, 12050, 100000])
def test_what_a_box_shows_is_read_back_as_the_same_sum(minor):
    assert read(price=box_text(PRICE, minor, "EUR"))["price"] == minor
