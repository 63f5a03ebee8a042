"""The guide of an empty own book: each step saved at once, found again in a new window, gone when done."""

from __future__ import annotations

import pytest

from dashboard import home
from genetics import Sex

TITLE = "Three small steps to your first answer"


def write(shown, **typed):
    for end, value in typed.items():
        key = end.replace("_", "-")
        found = [f for f in shown.app.text_input if str(f.key).endswith(f"-{key}")]
        assert len(found) == 1, [f.key for f in shown.app.text_input]
        found[0].set_value(value)
    return shown


def test_three_steps_lead_from_an_empty_book_to_a_pairing_with_an_estimate(book, screen):
    shown = screen("animals")
    assert (shown.title, shown.primary) == (TITLE, 1)
    assert "1 of 3: two animals" in shown.tables.words("first_lead")
    write(shown, male_name="Basalt", male_text="pastel clown", female_name="Tansy", female_text="het clown")
    shown.press("Save both animals")
    assert [(a.name, a.sex, a.status) for a in book.animals()] == [
        ("Basalt", Sex.MALE, "breeding"),
        ("Tansy", Sex.FEMALE, "breeding"),
    ]
    assert "2 of 3: one price In your book: Basalt and Tansy." in shown.tables.words("first_lead")
    assert "Tansy , female, was read as: het clown" in shown.tables.words("first_read")
    write(shown, price="280").press("Save this price")
    (price,) = book.price_observations()
    assert (price.what, price.price_minor, price.currency, price.kind) == ("clown", 28_000, "EUR", "asked")
    assert "3 of 3: one pairing" in shown.tables.words("first_lead")
    shown.press("Pair them and see the estimate")
    (pairing,) = book.pairings()
    assert shown.tables.drawn["went to"] == (
        f"pairing?sire={pairing.sire_id}&dam={pairing.dam_id}&season={pairing.season}"
    )
    estimate = screen("pairing", sire=str(pairing.sire_id), dam=str(pairing.dam_id))
    assert "EUR" in estimate.title
    assert "In 8 of 10 such seasons between" in estimate.tables.words("lead")
    assert screen("animals").title != TITLE


def test_it_goes_on_in_a_new_window_where_the_book_stands(book, screen):
    write(screen("animals"), male_name="Basalt", male_text="clown").press("Save both animals")
    again = screen("animals")
    assert again.title == TITLE
    assert [f.label for f in again.app.text_input][:1] == ["A female, its name"]
    write(again, female_name="Tansy", female_text="het clown").press("Save the female")
    assert "2 of 3" in screen("animals").tables.words("first_lead")


def test_a_word_at_fault_is_named_what_was_right_is_kept_and_one_click_mends_it(book, screen):
    shown = screen("animals")
    write(shown, male_name="Basalt", male_text="clown", female_name="Tansy", female_text="pastle")
    shown.press("Save both animals")
    assert [animal.name for animal in book.animals()] == ["Basalt"]
    assert "“pastle”" in shown.tables.words("refused-first_steps")
    shown.use("refused-first_steps", "use:pastel")
    assert [f.value for f in shown.app.text_input] == ["Tansy", "pastel"]
    shown.press("Save the female")
    assert [animal.text for animal in book.animals()] == ["clown", "pastel"]


@pytest.mark.parametrize(
    ("price", "why"), [("", "The price is missing"), ("dear", "no amount"), ("0", "missing")]
)
def test_a_price_that_is_none_is_refused_and_stays_typed(book, screen, price, why):
    book.add_animal("Basalt", "clown", sex=Sex.MALE)
    book.add_animal("Tansy", "clown", sex=Sex.FEMALE)
    shown = write(screen("animals"), price=price).press("Save this price")
    assert why in shown.tables.words("refused-first_steps")
    assert book.price_observations() == ()
    assert [f.value for f in shown.app.text_input] == ["clown", price]


def test_the_money_of_the_book_is_chosen_with_the_first_price(book, screen):
    book.add_animal("Basalt", "clown", sex=Sex.MALE)
    book.add_animal("Tansy", "clown", sex=Sex.FEMALE)
    shown = write(screen("animals"), price="120 USD").press("Save this price")
    assert "The price is in USD, the money of this book is EUR" in shown.tables.words("refused-first_steps")
    assert (book.currency, book.price_observations()) == ("EUR", ())
    box = next(box for box in shown.app.selectbox if box.label == "Money of this book")
    box.set_value("USD")
    shown.press("Save this price")
    assert book.currency == "USD"
    assert [(row.price_minor, row.currency) for row in book.price_observations()] == [(12_000, "USD")]


def test_nothing_typed_is_refused_in_a_sentence(book, screen):
    shown = screen("animals").press("Save both animals")
    assert "Nothing was saved" in shown.tables.words("refused-first_steps")
    assert book.animals() == ()


def test_a_step_can_be_skipped_and_the_guide_put_aside(book, screen):
    shown = screen("animals").press("Skip this step")
    assert "2 of 3" in shown.tables.words("first_lead")
    shown.press("Skip this step")
    assert "needs a male and a female" in shown.tables.words("first_lacking")
    shown.press("Back to the animals")
    assert "1 of 3" in shown.tables.words("first_lead")
    shown.press("Put this guide aside")
    assert shown.title == "No animals yet: write the first one as on its label"


def test_the_demo_book_never_shows_the_guide(home_folder, screen):
    home.write_settings(home.Settings("demo"))
    assert screen("animals").title.startswith("You keep ")
