"""Book and files: what it holds, back-ups in two clicks, files tried before they are added, undo."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard import home
from dashboard.jobs.row_tables import ROW_TABLES
from dashboard.records.kinds import EXCHANGE_RATES, WEIGHTS
from dashboard.records.spreadsheets import export_csv
from genetics import Sex

PRICES = b"date,what,price\n2025-05-01,pastel,45\n2025-05-02,pastle,80\n2025-05-03,clown,230\n"
UNSURE = b"date,what,price\n03/04/2025,pastel,45\n"


def bring(shown, name, data):
    shown.app.file_uploader[0].upload(name, data, "text/csv")
    return shown.run()


def test_an_empty_book_says_so(book, screen):
    shown = screen("book")
    assert shown.title == "Your book is empty: start with an animal or a file"
    assert shown.primary == 1
    assert str(book.place) in shown.tables.words("facts")


def test_the_title_counts_what_is_there(book, screen):
    shown = screen("book")
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    shown.run()
    assert shown.title == "Your book holds 1 animal; it has no back-up yet"
    assert "It has no back-up yet; make one" in shown.tables.words("lead")
    assert "Ball pythons are in CITES Appendix II" in shown.tables.words("cautions")


def test_a_book_is_backed_up_on_start_and_the_page_says_so(book, screen):
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    shown = screen("book")
    assert shown.title == "Your book holds 1 animal"
    assert "made when the program started" in shown.tables.words("lead")


def test_the_demo_book_is_called_so(home_folder, screen):
    home.write_settings(home.Settings("demo"))
    shown = screen("book")
    assert shown.title.startswith("The demo book holds ")
    assert "everything in it is invented" in shown.tables.words("facts")


def test_a_back_up_is_made_and_restored_in_two_clicks(book, screen):
    shown = screen("book")
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    shown.run().press("Back up now")
    assert shown.title == "Your book holds 1 animal"
    book.add_animal("Tansy", "enchi", sex=Sex.FEMALE)
    (copy,) = book.back_ups()
    shown.run().use("copies", f"copy:{copy.path.name}")
    assert len(book.animals()) == 2
    shown.press("Restore it")
    assert [animal.name for animal in book.animals()] == ["Basalt"]
    assert {other.path for other in book.back_ups()} > {copy.path}  # the state before is put aside


def test_a_restore_can_be_left(book, screen):
    copy = book.back_up()
    shown = screen("book").use("copies", f"copy:{copy.path.name}").press("Leave the book as it is")
    assert "ask_restore" not in shown.tables.drawn
    assert len(book.back_ups()) == 1


def test_a_file_is_tried_added_and_taken_back(book, screen):
    shown = bring(screen("book"), "seen.csv", PRICES)
    assert "2 of 3 rows can be added; 1 was refused" in shown.tables.words("outcome-book")
    assert "“pastle”" in shown.tables.words("outcome-book")
    assert shown.primary == 1
    assert book.price_observations() == ()
    shown.press("Add the 2 good rows")
    assert len(book.price_observations()) == 2
    assert shown.title.startswith("Your book holds 2 prices")
    (brought,) = book.imports()
    shown.use("imports", f"import:{brought.id}")
    assert book.price_observations() == ()
    assert shown.tables.targets("imports") == []
    assert "2 prices; rows taken out" in shown.tables.words("imports")


def test_leaving_a_file_changes_nothing(book, screen):
    version = book.data_version
    shown = bring(screen("book"), "seen.csv", PRICES).press("Leave everything as it was")
    assert book.data_version == version
    assert "outcome-book" not in shown.tables.drawn


def test_what_can_be_read_in_two_ways_waits_for_the_breeder(book, screen):
    shown = bring(screen("book"), "seen.csv", UNSURE)
    assert "0 of 1 rows can be added" in shown.tables.words("outcome-book")
    order = next(box for box in shown.app.selectbox if box.label == "Dates such as 03/04/2025")
    order.set_value("day first")
    shown.run()
    assert "1 of 1 rows can be added" in shown.tables.words("outcome-book")
    shown.press("Add the one good row")
    assert book.price_observations()[0].on.isoformat() == "2025-04-03"


def test_a_column_is_named_by_the_breeder(book, screen):
    data = b"date,beast,price\n2025-05-01,pastel,45\n"
    shown = bring(screen("book"), "seen.csv", data)
    assert "No column for what" in shown.tables.words("outcome-book")
    column = next(box for box in shown.app.selectbox if box.label == "Column for what (needed)")
    column.set_value(1)
    shown.run()
    assert "1 of 1 rows can be added" in shown.tables.words("outcome-book")


@pytest.mark.parametrize("data", [b"\x00\x01", b"   "])
def test_a_file_that_is_none_is_refused_and_put_away(book, screen, data):
    shown = bring(screen("book"), "odd.csv", data)
    assert "can’t be read" in shown.tables.words("bad-book")
    shown.press("Leave everything as it was")
    assert "bad-book" not in shown.tables.drawn


def test_a_file_that_is_there_already_adds_nothing(book, screen):
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    shown = bring(screen("book"), "animals.csv", export_csv(book, "animals"))
    assert "0 of 1 rows can be added; 1 is in the book already" in shown.tables.words("outcome-book")
    assert not [button for button in shown.app.button if button.label.startswith("Add the")]


def test_a_change_is_taken_back_from_the_list(book, screen):
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    shown = screen("book").use("changes", "edit:1")
    assert book.animals() == ()
    assert "taken back" in shown.tables.words("changes")


def test_a_change_that_others_rest_on_says_so(book, screen):
    stored = book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    book.change_animal(stored.id, stored.version, note="eager")
    shown = screen("book").use("changes", "edit:1")
    assert len(book.animals()) == 1
    assert "Nothing was saved." in shown.tables.words("refused-undo")


def test_figures_are_called_by_their_plain_names(book, screen):
    book.set_assumption("clutch.eggs_mean", 7.0)
    assert "Set “Eggs in a clutch”" in screen("book").tables.words("changes")


def test_money_can_be_chosen_as_long_as_no_sum_is_stored(book, screen):
    shown = screen("book")
    money = next(box for box in shown.app.selectbox if box.label == "Money of this book")
    money.set_value("USD")
    shown.run()
    assert book.currency == "USD"
    book.set_assumption("clutch.eggs_mean", 7.0)
    assert not [box for box in screen("book").app.selectbox if box.label == "Money of this book"]


def test_law_health_and_money_are_named_before_anything_is_sold(book, screen):
    words = screen("book").tables.words("cautions")
    for part in ("CITES Appendix II", "Ask your own authority", "Wash your hands", "under 5", "no advice"):
        assert part in words


def test_every_table_is_listed_with_its_rows_and_leads_to_them(book, screen):
    basalt = book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    book.add_row(WEIGHTS, {"animal_id": basalt.id, "on": date(2025, 4, 30), "grams": 1640.0})
    shown = screen("book")
    assert "Weights 2025-04-30 1" in shown.tables.words("contents")
    targets = shown.tables.targets("contents")
    assert {"animals", "costs", "book?table=gene%20tests", "book?table=weights"} <= set(targets)
    shown.use("contents", "book?table=weights")
    assert shown.tables.drawn["went to"] == "book?table=weights"


def test_a_change_is_opened_to_see_what_was_there_before(book, screen):
    basalt = book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    weight = book.add_row(WEIGHTS, {"animal_id": basalt.id, "on": date(2025, 4, 30), "grams": 164.0})
    book.change_row(WEIGHTS, weight.id, weight.version, {"grams": 1640.0})
    shown = screen("book")
    assert "from 164 g" not in shown.tables.words("changes")
    shown.use("changes", "show:3")
    assert "Weight of Basalt: grams from 164 g to 1640 g" in shown.tables.words("changes")
    shown.use("changes", "show:2")
    assert "Weight of Basalt is new: animal Basalt, date 2025-04-30, grams 164 g" in shown.tables.words(
        "changes"
    )
    shown.use("changes", "show:2")
    assert "is new" not in shown.tables.words("changes")


def test_prices_left_out_for_want_of_a_rate_are_said_and_a_rate_is_entered_in_one_line(book, screen):
    enter = ROW_TABLES["prices"].add
    price = {"on": date(2025, 4, 30), "what": "clown", "stage": "hatchling", "kind": "asked"}
    enter(
        book, {**price, "sex": "male", "price_minor": 20000, "currency": "CHF", "channel": "", "quantity": 1}
    )
    shown = screen("book")
    words = "1 price is left out of every forecast for want of a rate: 1 in CHF."
    assert shown.tables.words("left_out") == words
    shown.fill(on="2025-01-01", rate="1.0600").press("Enter this exchange rate")
    assert [(row.currency, row.rate) for row in book.rows(EXCHANGE_RATES)] == [("CHF", "1.0600")]
    assert "left_out" not in shown.tables.drawn
    assert "1 CHF is 1.0600 EUR from 2025-01-01" in shown.tables.words("monies")


def test_the_book_is_named(book, screen):
    shown = screen("book")
    name = next(box for box in shown.app.text_input if box.label == "Name of the book")
    name.set_value("Cellar")
    shown.press("Save the name")
    assert book.info.name == "Cellar"
    assert "Cellar" in shown.tables.words("facts")


def test_the_book_is_moved_after_a_question_that_says_what_happens(book, home_folder, screen):
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    new = home_folder / "elsewhere" / "records.sqlite"
    new.parent.mkdir()
    shown = screen("book")
    place = next(box for box in shown.app.text_input if box.key == "place_said")
    place.set_value(str(new))
    shown.press("Move the book there")
    words = shown.tables.words("ask_place")
    assert f"Move the book to {new}?" in words
    assert "The old file stays whole" in words
    assert not new.exists()
    shown.press("Move it")
    assert new.exists()
    assert home.own_book_place() == new
    assert str(new) in shown.tables.words("facts")
    assert shown.title.startswith("Your book holds 1 animal")


def test_a_place_that_can_t_be_is_refused_and_the_book_stays(book, home_folder, screen):
    other = home_folder / "notes.sqlite"
    other.write_text("not a book")
    shown = screen("book")
    place = next(box for box in shown.app.text_input if box.key == "place_said")
    place.set_value(str(other))
    shown.press("Open the book there").press("Open it")
    assert "Nothing was saved" in shown.tables.words("refused-book_place")
    assert str(book.place) in shown.tables.words("facts")
