"""Rows by hand: one form for every table, refusals beside the box, the next one like this, two windows."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.row_tables import ROW_TABLES
from dashboard.records.kinds import EXCHANGE_RATES, GENE_TESTS, WEIGHTS
from genetics import Sex


@pytest.fixture
def herd(book):
    basalt = book.add_animal("Basalt", "pastel clown", sex=Sex.MALE)
    tansy = book.add_animal("Tansy", "enchi het clown", sex=Sex.FEMALE)
    return basalt, tansy


def box(shown, end):
    widgets = [*shown.app.text_input, *shown.app.selectbox]
    return next(widget for widget in widgets if str(widget.key).endswith(f"-{end}"))


def enter(shown, one, **fields):
    return shown.fill(**fields).press(f"Enter this {one}")


@pytest.mark.parametrize("name", ROW_TABLES)
def test_every_table_opens_empty_and_asks_for_its_first_row(book, screen, name):
    shown = screen("book", table=name)
    assert shown.title == f"No {ROW_TABLES[name].one} yet: enter the first"
    assert shown.primary == 1


def test_a_table_that_is_not_there_names_those_that_are(book, screen):
    shown = screen("book", table="beasts")
    assert shown.title == "The book has no such table"
    assert "prices" in shown.tables.words("no_table")


def test_a_price_is_entered_by_hand_and_the_next_one_keeps_day_and_choices(book, screen):
    shown = screen("book", table="prices")
    enter(shown, "price", on="2025-04-30", what="pastel clown", sex="female", price_minor="320.50")
    (stored,) = book.price_observations()
    assert (stored.on, stored.what, stored.price_minor) == (date(2025, 4, 30), "pastel clown", 32050)
    assert (stored.sex, stored.stage, stored.kind, stored.currency) == (
        Sex.FEMALE,
        "hatchling",
        "asked",
        "EUR",
    )
    assert (box(shown, "on").value, box(shown, "sex").value) == ("2025-04-30", "female")
    assert (box(shown, "what").value, box(shown, "price_minor").value) == ("", "")
    assert shown.title == "The book holds 1 price"
    assert "Saved." in shown.said()
    enter(shown, "price", what="clown", price_minor="200")
    assert [row.what for row in book.price_observations()] == ["pastel clown", "clown"]


@pytest.mark.parametrize(
    ("boxes", "said"),
    [
        ({"on": "03/04/2025"}, "3 April or 4 March? Write the year first"),
        ({"price_minor": "1.234"}, "1234 or 1.234?"),
        ({"price_minor": ""}, "The price is missing. Write 120"),
        ({"price_minor": "0"}, "The price is not above zero"),
        ({"on": "2125-01-01"}, "lies in the future"),
        ({"quantity": "half"}, "no whole number"),
    ],
)
def test_a_box_that_can_t_be_read_is_refused_beside_it_and_keeps_what_was_typed(book, screen, boxes, said):
    shown = screen("book", table="prices")
    good = {"on": "2025-04-30", "what": "clown", "price_minor": "200"}
    enter(shown, "price", **{**good, **boxes})
    assert book.price_observations() == ()
    assert said in shown.tables.words("faults-rows-add-prices")
    assert "Nothing was saved." in shown.tables.words("faults-rows-add-prices")
    beside = [text.value.replace("\\", "") for text in shown.app.markdown if text.value.startswith("**?**")]
    assert len(beside) == 1
    assert said in beside[0]
    (name,) = boxes
    assert box(shown, name).value == boxes[name]


def test_a_word_nobody_knows_offers_the_nearest_which_one_click_puts_in(book, screen):
    shown = screen("book", table="prices")
    enter(shown, "price", on="2025-04-30", what="pastle het clown", price_minor="90")
    assert book.price_observations() == ()
    shown.use("faults-rows-add-prices", "use:what:pastel")
    assert box(shown, "what").value == "pastel het clown"
    assert box(shown, "price_minor").value == "90"
    shown.press("Enter this price")
    assert book.price_observations()[0].what == "pastel het clown"


def test_weighing_goes_on_with_the_next_animal_of_the_day(book, herd, screen):
    basalt, tansy = herd
    shown = screen("book", table="weights")
    enter(shown, "weight", on="2025-04-30", grams="1640")
    assert box(shown, "animal_id").value == tansy.id
    enter(shown, "weight", grams="2210,5")
    assert [(row.animal_id, row.grams) for row in book.rows(WEIGHTS)] == [
        (basalt.id, 1640.0),
        (tansy.id, 2210.5),
    ]
    enter(shown, "weight", grams="2300")
    assert "already" in shown.tables.words("refused-rows-add-weights")


def test_a_row_is_changed_and_the_change_taken_back(book, herd, screen):
    stored = book.add_row(WEIGHTS, {"animal_id": herd[0].id, "on": date(2025, 4, 30), "grams": 164.0})
    shown = screen("book", table="weights").use("rows-rows-weights", f"change:{stored.id}")
    assert shown.title == "Change a weight"
    assert box(shown, "grams").value == "164"
    shown.fill(grams="1640").press("Save changes")
    assert book.row(WEIGHTS, stored.id).grams == 1640.0
    assert shown.title == "The book holds 1 weight"
    shown.use("undo_line", "undo")
    assert book.row(WEIGHTS, stored.id).grams == 164.0


def test_a_row_is_removed_and_comes_back(book, herd, screen):
    stored = book.add_row(WEIGHTS, {"animal_id": herd[0].id, "on": date(2025, 4, 30), "grams": 1640.0})
    shown = screen("book", table="weights").use("rows-rows-weights", f"remove:{stored.id}")
    assert book.rows(WEIGHTS) == ()
    shown.use("undo_line", "undo")
    assert len(book.rows(WEIGHTS)) == 1


@pytest.mark.parametrize(
    ("button", "grams"), [("Save mine all the same", 170.0), ("Keep what the book holds", 180.0)]
)
def test_two_windows_on_one_row_show_both_values(book, herd, screen, button, grams):
    stored = book.add_row(WEIGHTS, {"animal_id": herd[0].id, "on": date(2025, 4, 30), "grams": 164.0})
    shown = screen("book", table="weights").use("rows-rows-weights", f"change:{stored.id}")
    book.change_row(WEIGHTS, stored.id, stored.version, {"grams": 180.0})
    shown.fill(grams="170").press("Save changes")
    assert book.row(WEIGHTS, stored.id).grams == 180.0
    words = shown.tables.words("clash-table-rows-change-weights")
    assert "170 g" in words
    assert "180 g" in words
    shown.press(button)
    assert book.row(WEIGHTS, stored.id).grams == grams


def test_a_price_changed_in_two_windows_shows_both_values(book, screen):
    shown = screen("book", table="prices")
    enter(shown, "price", on="2025-04-30", what="clown", price_minor="200")
    (price,) = book.price_observations()
    shown.use("rows-rows-prices", f"change:{price.id}")
    other = price.model_copy(update={"price_minor": 21000})
    book.change_observation(other, book.price_versions()[price.id])
    shown.fill(price_minor="190").press("Save changes")
    assert "190.00 EUR" in shown.tables.words("clash-table-rows-change-prices")
    assert "210.00 EUR" in shown.tables.words("clash-table-rows-change-prices")
    shown.press("Save mine all the same")
    assert book.price_observations()[0].price_minor == 19000


def test_a_test_result_is_chosen_and_an_unknown_gene_refused_at_its_box(book, herd, screen):
    shown = screen("book", table="gene tests")
    enter(shown, "gene test", on="2025-04-30", gene="clwn", result="one copy")
    assert "clown" in shown.tables.words("faults-rows-add-gene-tests")
    shown.use("faults-rows-add-gene-tests", "use:gene:clown").press("Enter this gene test")
    (stored,) = book.rows(GENE_TESTS)
    assert (stored.gene, stored.result, stored.fee_minor) == ("clown", "one copy", None)


def test_a_rate_of_three_decimals_is_asked_for_with_one_more_zero(book, screen):
    shown = screen("book", table="exchange rates")
    enter(shown, "exchange rate", on="2025-04-30", currency="CHF", rate="1.045")
    assert "Write 1045, or 1.0450" in shown.tables.words("faults-rows-add-exchange-rates")
    enter(shown, "exchange rate", rate="1.0450")
    assert book.rows(EXCHANGE_RATES)[0].rate == "1.0450"


def test_rows_are_found_and_shown_twenty_five_at_a_time(book, herd, screen):
    for day in range(1, 31):
        book.add_row(WEIGHTS, {"animal_id": herd[0].id, "on": date(2025, 4, day), "grams": 1600.0 + day})
    shown = screen("book", table="weights")
    assert len(shown.tables.targets("rows-rows-weights")) == 50
    assert "2025-04-30" in shown.tables.words("rows-rows-weights")
    assert "2025-04-05" not in shown.tables.words("rows-rows-weights")
    shown.press("Older")
    assert len(shown.tables.targets("rows-rows-weights")) == 10
    box(shown, "weights").set_value("1612")
    shown.run()
    assert "1 weight with “1612”" in shown.tables.words("rows-rows-weights")


def test_the_address_names_what_a_new_row_starts_with(book, herd, screen):
    shown = screen("book", table="weights", animal_id=str(herd[1].id))
    assert box(shown, "animal_id").value == herd[1].id
