"""Clutch: from a pairing to its clutch, hatchlings in a few clicks, and what happened to each."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard import home
from dashboard.records.herd.hatchlings import HatchlingDraft
from dashboard.records.kinds import CLUTCHES, WEIGHTS
from genetics import Sex

YEAR = date.today().year  # noqa: DTZ011 - the book counts the calendar's day


@pytest.fixture
def pairing(book):
    sire = book.add_animal("Basalt", "clown", sex=Sex.MALE)
    dam = book.add_animal("Tansy", "het clown", sex=Sex.FEMALE)
    return book.add_pairing(YEAR, sire.id, dam.id)


@pytest.fixture
def clutch(book, pairing):
    values = {"pairing_id": pairing.id, "laid_on": date(YEAR, 1, 2), "hatched_on": date(YEAR, 1, 3)}
    return book.add_row(CLUTCHES, {**values, "fertile": 4, "infertile": 1, "hatched": 4})


@pytest.fixture
def young(book, clutch):
    drafts = [
        HatchlingDraft("clown", Sex.MALE),
        HatchlingDraft("clown", Sex.FEMALE),
        HatchlingDraft("het clown"),
    ]
    return book.add_hatchlings(clutch.id, drafts)


def box(shown, end):
    widgets = [*shown.app.text_input, *shown.app.selectbox, *shown.app.text_area]
    return next(widget for widget in widgets if str(widget.key).endswith(end))


def test_without_a_pairing_the_page_leads_to_one(book, screen):
    shown = screen("clutch")
    assert shown.title == "No clutches yet: they begin with a pairing"
    shown.press("Enter a pairing")
    assert shown.tables.drawn["went to"] == "animals"


def test_a_season_without_clutches_lists_its_pairings(book, pairing, screen):
    shown = screen("clutch")
    assert shown.title == f"No clutch of {YEAR} yet"
    shown.use("waiting", f"clutch?pairing={pairing.id}")
    assert shown.tables.drawn["went to"] == f"clutch?pairing={pairing.id}"


def test_a_clutch_is_entered_from_its_pairing(book, pairing, screen):
    shown = screen("clutch", pairing=str(pairing.id))
    assert shown.title == f"Basalt × Tansy of {YEAR} has no clutch yet"
    assert shown.primary == 1
    shown.fill(laid_on=f"{YEAR}-01-02", fertile="6").press("Enter this clutch")
    (stored,) = book.rows(CLUTCHES)
    assert (stored.pairing_id, stored.laid_on, stored.fertile, stored.number) == (
        pairing.id,
        date(YEAR, 1, 2),
        6,
        1,
    )
    assert shown.tables.drawn["went to"] == f"clutch?clutch={stored.id}"


def test_a_day_that_can_t_be_is_refused_and_stays(book, pairing, screen):
    shown = screen("clutch", pairing=str(pairing.id))
    shown.fill(laid_on="03/04/2025").press("Enter this clutch")
    assert book.rows(CLUTCHES) == ()
    assert "Write the year first" in shown.tables.words(f"faults-new_clutch_{pairing.id}")
    assert box(shown, "-laid_on").value == "03/04/2025"


def test_days_of_a_pairing_are_kept(book, pairing, screen):
    shown = screen("clutch", pairing=str(pairing.id))
    shown.fill(introduced_on=f"{YEAR - 1}-11-20").press("Save these days")
    assert book.pairing(pairing.id).introduced_on == date(YEAR - 1, 11, 20)
    assert f"Put together {YEAR - 1}-11-20" in shown.tables.words("lead")


def test_what_another_page_did_to_the_pairing_is_no_clash_while_nothing_was_typed(book, pairing, screen):
    shown = screen("clutch", pairing=str(pairing.id))
    book.change_pairing(pairing.id, pairing.version, planned=False)
    shown.run().fill(introduced_on=f"{YEAR - 1}-11-20").press("Save these days")
    stored = book.pairing(pairing.id)
    assert (stored.introduced_on, stored.planned) == (date(YEAR - 1, 11, 20), False)


def test_days_typed_in_two_windows_are_both_shown(book, pairing, screen):
    shown = screen("clutch", pairing=str(pairing.id)).fill(introduced_on=f"{YEAR - 1}-11-20")
    book.change_pairing(pairing.id, pairing.version, introduced_on=date(YEAR - 1, 12, 1))
    shown.press("Save these days")
    words = shown.tables.words(f"clash-table-pairing_days_{pairing.id}")
    assert f"{YEAR - 1}-11-20" in words
    assert f"{YEAR - 1}-12-01" in words
    shown.press("Save mine all the same")
    assert book.pairing(pairing.id).introduced_on == date(YEAR - 1, 11, 20)


def test_the_season_says_what_was_laid_hatched_and_sold(book, clutch, young, screen):
    sold = {"status": "sold", "sold_minor": 18000, "sold_currency": "EUR"}
    book.change_animal(young[0].id, young[0].version, **sold)
    shown = screen("clutch")
    assert shown.title == f"One clutch of {YEAR}: 4 hatched, 1 sold for 180 EUR"
    words = shown.tables.words("clutches")
    assert "4 of 5 eggs were good" in words
    assert "1 not entered" in words
    assert "1 of 3" in words


def test_a_look_is_one_click_a_hatchling(book, clutch, screen):
    shown = screen("clutch", clutch=str(clutch.id))
    assert "50 in 100, 2.0 of 4" in shown.tables.words("look_choices")
    shown.use("look_choices", "0:male")
    (stored,) = book.hatchlings(clutch.id)
    assert (stored.text, stored.sex, stored.name) == ("clown", Sex.MALE, f"Tansy {YEAR}-1")
    assert "Enter three more" in shown.tables.words("look_choices")
    shown.use("undo_line", "undo")
    assert book.hatchlings(clutch.id) == ()


def test_lines_are_pasted_and_entered_in_one_edit(book, clutch, screen):
    shown = screen("clutch", clutch=str(clutch.id))
    version = book.data_version
    box(shown, "hatchling_lines").set_value("2 clown m\nhet clown f\n1 like this")
    shown.press("Enter these hatchlings")
    assert [animal.text for animal in book.hatchlings(clutch.id)] == [
        "clown",
        "clown",
        "het clown",
        "het clown",
    ]
    assert book.data_version == version + 1
    assert not shown.app.text_area  # all that hatched are entered: the page is done with asking
    shown.press("Enter another hatchling")
    assert box(shown, "hatchling_lines").value == ""


def test_a_line_that_can_t_be_read_stays_with_the_nearest_name(book, clutch, screen):
    shown = screen("clutch", clutch=str(clutch.id))
    box(shown, "hatchling_lines").set_value("clown m\npastle f")
    shown.press("Enter these hatchlings")
    assert book.hatchlings(clutch.id) == ()
    assert "Line 2" in shown.tables.words("line_faults")
    shown.use("line_faults", "0:pastel")
    assert box(shown, "hatchling_lines").value == "clown m\npastel f"
    shown.press("Enter these hatchlings")
    assert len(book.hatchlings(clutch.id)) == 2


@pytest.mark.parametrize(
    ("place", "deed", "column", "value"),
    [
        (2, "female", "sex", Sex.FEMALE),
        (0, "feeds", "fed_since", date.today()),  # noqa: DTZ011 - the book counts the calendar's day
        (0, "died", "status", "died"),
    ],
)
def test_what_happened_is_one_click(book, clutch, young, screen, place, deed, column, value):
    animal = young[place]
    screen("clutch", clutch=str(clutch.id)).use("hatchlings", f"{deed}:{animal.id}")
    assert getattr(book.animal(animal.id), column) == value


def test_a_sale_begins_with_today_and_what_was_asked(book, clutch, young, screen):
    asked = {
        "status": "for sale",
        "asked_minor": 20000,
        "asked_currency": "EUR",
        "fed_since": date(YEAR, 1, 3),
    }
    book.change_animal(young[0].id, young[0].version, **asked)
    shown = screen("clutch", clutch=str(clutch.id)).use("hatchlings", f"sold:{young[0].id}")
    assert box(shown, "-sold_minor").value == "200.00"
    shown.fill(sold_minor="180", sold_where="show").press("Save")
    sold = book.animal(young[0].id)
    assert (sold.status, sold.sold_minor, sold.sold_where, sold.asked_minor) == ("sold", 18000, "show", 20000)
    assert sold.sold_on == date.today()  # noqa: DTZ011 - the book counts the calendar's day
    assert "180 EUR" in shown.tables.words("hatchlings")


def test_a_weight_is_entered_beside_its_hatchling(book, clutch, young, screen):
    shown = screen("clutch", clutch=str(clutch.id)).use("hatchlings", f"everything:{young[0].id}")
    shown.app.radio(key="hatchling_form").set_value("weighed")
    shown.run().fill(grams="72").press("Save")
    assert [(row.animal_id, row.grams) for row in book.rows(WEIGHTS)] == [(young[0].id, 72.0)]
    assert "72 g" in shown.tables.words("hatchlings")


@pytest.mark.parametrize(
    ("button", "note"), [("Save mine all the same", "mine"), ("Keep what the book holds", "theirs")]
)
def test_two_windows_on_one_hatchling_show_both_values(book, clutch, young, screen, button, note):
    shown = screen("clutch", clutch=str(clutch.id)).use("hatchlings", f"everything:{young[0].id}")
    own = [widget for widget in shown.app.text_input if "everything" in widget.key]
    next(widget for widget in own if widget.key.endswith("-note")).set_value("mine")
    book.change_animal(young[0].id, young[0].version, note="theirs")
    place = f"hatchling_{young[0].id}_everything"
    next(b for b in shown.app.button if b.label == "Save").click()
    shown.run()
    assert book.animal(young[0].id).note == "theirs"
    words = shown.tables.words(f"clash-table-{place}")
    assert "mine" in words
    assert "theirs" in words
    shown.press(button)
    assert book.animal(young[0].id).note == note


def test_a_clutch_with_young_can_t_be_removed_an_empty_one_can(book, clutch, young, screen):
    shown = screen("clutch", clutch=str(clutch.id)).press("Remove this clutch")
    assert "3 animals need it" in shown.tables.words("refused-one_clutch")
    for animal in book.hatchlings(clutch.id):
        book.remove_animal(animal.id, animal.version)
    screen("clutch", clutch=str(clutch.id)).press("Remove this clutch")
    assert book.rows(CLUTCHES) == ()


def test_more_young_than_hatched_is_said(book, clutch, young, screen):
    book.change_row(CLUTCHES, clutch.id, clutch.version, {"hatched": 2})
    shown = screen("clutch", clutch=str(clutch.id))
    assert "3 hatchlings are entered, but the clutch says that 2 hatched" in shown.tables.words("unfinished")


def test_a_known_harm_stands_above_everything(book, screen):
    sire = book.add_animal("Cobble", "spider", sex=Sex.MALE)
    dam = book.add_animal("Sedge", "normal", sex=Sex.FEMALE)
    pairing = book.add_pairing(YEAR, sire.id, dam.id)
    shown = screen("clutch", pairing=str(pairing.id))
    assert next(iter(shown.tables.drawn)) == "harms"
    assert "Ask a veterinarian" in shown.tables.words("harms")
    assert "Welfare" in screen("clutch").tables.words("waiting")


def test_a_clutch_that_is_not_there_says_so(book, screen):
    assert screen("clutch", clutch="99").title == "This clutch is not in the book"


def test_the_demo_book_opens_with_its_clutches_of_the_last_season(home_folder, screen):
    home.write_settings(home.Settings("demo"))
    assert screen("clutch").title == "Four clutches of 2026: 17 hatched, 5 sold for 1\u202f230 EUR"
