"""Costs in other currencies: decimals of the book's money, and a word about defaults of euro size."""

from __future__ import annotations

import pytest

from dashboard import home
from dashboard.records import open_book, start_book
from dashboard.words import figure, money_digits, unit_in
from econ.assumptions import ASSUMPTIONS

VET, PUP, TARIFF = "breeder.vet", "feeding.pup_price", "housing.tariff"
STILL = "money figures are still defaults made for a currency worth about one euro: enter your own."
SUMS = {id_ for id_, entry in ASSUMPTIONS.items() if entry.is_money and entry.value != 0}


@pytest.fixture
def costs(home_folder, screen):
    """Give the Costs page of a new book in a currency, with some figures the breeder's own."""

    def show(currency, group=None, **own):
        home.write_settings(home.Settings("own"))
        start_book(home.own_book_place(), currency=currency, name="My book")
        with open_book(home.own_book_place()) as book:
            for id_, value in own.items():
                book.set_assumption(id_, value)
        shown = screen("costs")
        if group:
            shown.app.selectbox[0].set_value(group)
            shown.run()
        return shown

    return show


def box(shown, id_):
    return next(box for box in shown.app.number_input if str(box.key).startswith(f"figure-{id_}-"))


# ISO 4217 (put down from memory): JPY has no smaller unit in use, EUR two decimals, KWD three
@pytest.mark.parametrize(
    ("currency", "form", "step", "ends"),
    [("JPY", "%.0f", 5, "8 to 60 JPY"), ("EUR", "%.2f", 5, "8.00 to 60.00 EUR"),
     ("KWD", "%.3f", 5, "8.000 to 60.000 KWD")],
)  # fmt: skip
def test_inputs_and_printed_figures_have_the_decimals_of_the_currency(costs, currency, form, step, ends):
    shown = costs(currency, ASSUMPTIONS[VET].group)
    assert box(shown, VET).proto.format == form
    assert box(shown, VET).step == step
    assert box(shown, VET).label.endswith(f", {currency} a year")
    assert f"{ends} a year" in shown.tables.words(f"row-{VET}")


def test_no_step_is_finer_than_the_smallest_coin(costs):
    shown = costs("JPY", ASSUMPTIONS[PUP].group)
    assert box(shown, PUP).step == 1


def test_what_is_saved_is_said_in_whole_yen(costs):
    shown = costs("JPY", ASSUMPTIONS[VET].group)
    box(shown, VET).set_value(3000.0)
    shown.run()
    assert "is 3\u202f000." in shown.said()
    assert "3000.0" not in shown.tables.words(f"row-{VET}")
    assert "back to 20," in shown.tables.words(f"row-{VET}").replace(" ,", ",")


def test_a_refused_figure_is_written_in_whole_yen(costs):
    shown = costs("JPY", ASSUMPTIONS[VET].group)
    box(shown, VET).set_value(500_000_000.0)
    shown.run()
    assert "can’t be 500 000 000; allowed: 0 to 100 000 000." in shown.tables.words("refused-costs")


@pytest.mark.parametrize("currency", ["JPY", "KWD", "SEK"])
def test_defaults_of_euro_size_are_counted_in_any_other_currency(costs, currency):
    words = costs(currency).tables.words("euro_size")
    assert words == f"{len(SUMS)} {STILL}"


def test_own_figures_are_not_counted_and_the_last_one_ends_the_note(costs):
    assert costs("JPY", **{VET: 3000.0}).tables.words("euro_size") == f"{len(SUMS) - 1} {STILL}"


def test_the_last_default_is_one_and_then_none(costs):
    own = {id_: ASSUMPTIONS[id_].high for id_ in SUMS - {VET}}
    shown = costs("JPY", ASSUMPTIONS[VET].group, **own)
    assert shown.tables.words("euro_size").startswith("One money figure is still a default made for")
    box(shown, VET).set_value(3000.0)
    shown.run()
    assert "euro_size" not in shown.tables.drawn


@pytest.mark.parametrize("currency", ["EUR", "USD", "GBP", "CHF", "CAD", "AUD"])
def test_no_such_note_where_the_money_is_of_euro_size(costs, currency):
    assert "euro_size" not in costs(currency).tables.drawn


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (1.25, "money each", "1.25"),
        (1.25, "EUR each", "1.25"),
        (125.0, "JPY each", "125"),
        (0.3, "JPY a kWh", "0.30"),
        (0.0, "JPY a kWh", "0"),
        (0.0254, "KWD a kWh", "0.025"),
        (0.24, "share a month", "24\u202f%"),
        (2.5, "months", "2.5"),
    ],
)
def test_a_figure_is_printed_by_its_unit(value, unit, text):
    assert figure(value, unit) == text


def test_the_currency_stands_in_for_money_alone():
    assert unit_in("money a year", "JPY") == "JPY a year"
    assert unit_in("money", "JPY") == "JPY"
    assert unit_in("share a month", "JPY") == "share a month"
    assert {money_digits(1.0, unit_in(entry.unit, "KWD")) for entry in ASSUMPTIONS.values()} == {3, None}
