"""Animals: the sentence on top is true for any herd; an animal is entered, mended, changed, taken back."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard import home
from genetics import Sex


@pytest.fixture
def couple(book):
    return (
        book.add_animal("Basalt", "pastel clown", sex=Sex.MALE, hatched=date(2023, 7, 19)),
        book.add_animal("Tansy", "enchi het clown", sex=Sex.FEMALE),
    )


@pytest.mark.parametrize(
    ("animals", "title"),
    [
        ([], "No animals yet: write the first one as on its label"),
        ([("male", "kept")], "You keep one animal, one male"),
        (
            [("female", "kept"), ("unsexed", "for sale")],
            "You keep two animals: one female and one unsexed one",
        ),
        ([("male", "sold")], "The one animal of this book is no longer with you"),
        ([("male", "sold"), ("female", "died")], "No animal of this book is with you"),
        (
            [("female", "kept")] * 13 + [("male", "held back")] * 2,
            "You keep 15 animals: two males and 13 females",
        ),
    ],
)
def test_the_title_counts_the_animals_that_are_here(book, screen, animals, title):
    for number, (sex, status) in enumerate(animals):
        book.add_animal(f"A{number}", "pastel", sex=Sex(sex), status=status)
    shown = screen("animals")
    assert shown.title == title
    assert shown.primary == 1


def test_three_hundred_animals_are_shown_in_part_until_all_are_asked_for(book, screen):
    for number in range(300):
        book.add_animal(f"A{number:03}", "pastel", sex=Sex.FEMALE)
    shown = screen("animals")
    assert shown.title == "You keep 300 animals: 300 females"
    assert len(shown.tables.targets("animals")) == 25
    shown.press("Show all 300 animals")
    assert len(shown.tables.targets("animals")) == 300


def test_an_animal_is_entered_and_what_was_read_is_said_back(book, screen):
    shown = screen("animals")
    shown.fill(name="Marl", sex="female", text="66% het pied clown", hatched="2024-05-01", paid=120.5)
    shown.press("Add this animal")
    (stored,) = book.animals()
    assert (stored.name, stored.sex, stored.hatched, stored.bought_minor) == (
        "Marl", Sex.FEMALE, date(2024, 5, 1), 12050,
    )  # fmt: skip
    assert shown.tables.words("said_back") == "Marl was read as: 66% het clown 66% het pied ."
    assert "Marl is in the book" in shown.said()
    assert shown.title == "You keep one animal, one female"


@pytest.mark.parametrize(
    ("hatched", "why"), [("03/04/2024", "3 April or 4 March?"), ("2099-01-01", "after today")]
)
def test_a_day_that_can_t_be_is_refused_in_a_sentence(book, screen, hatched, why):
    shown = screen("animals").fill(name="Marl", text="pied", hatched=hatched).press("Add this animal")
    assert why in shown.tables.words("refused-add_animal")
    assert book.animals() == ()


def test_undo_takes_the_new_animal_back_and_the_offer_goes(book, screen):
    shown = screen("animals").fill(name="Marl", text="pied").press("Add this animal")
    shown.use("undo_line", "undo")
    assert book.animals() == ()
    assert "undo_line" not in shown.tables.drawn
    assert "said_back" not in shown.tables.drawn


def test_a_word_that_can_t_be_read_is_quoted_and_mended_with_one_click(book, screen):
    shown = screen("animals").fill(name="Fern", text="pastle het pied").press("Add this animal")
    assert book.animals() == ()
    words = shown.tables.words("refused-add_animal")
    assert "“pastle”" in words
    assert words.endswith("Nothing was saved.")
    shown.use("refused-add_animal", "use:pastel")
    assert "refused-add_animal" not in shown.tables.drawn
    shown.press("Add this animal")
    assert [(a.name, a.text) for a in book.animals()] == [("Fern", "pastel het pied")]


def test_what_was_typed_stays_after_a_refusal(couple, book, screen):
    shown = screen("animals").fill(name="Basalt", text="pied").press("Add this animal")
    assert "already an animal called Basalt" in shown.tables.words("refused-add_animal")
    assert [field.value for field in shown.app.text_input if str(field.key).endswith("-name")] == ["Basalt"]


def test_an_animal_with_a_health_note_is_marked_and_the_note_stands_on_its_page(book, screen):
    sedge = book.add_animal("Sedge", "spider", sex=Sex.FEMALE)
    assert "Welfare: wobble" in screen("animals").tables.words("animals")
    shown = screen("animals", id=str(sedge.id))
    assert "Starck JM" in shown.tables.words("health")
    assert "veterinarian who knows reptiles" in shown.tables.words("health")


def test_one_animal_is_changed_and_marked_as_sold(couple, book, screen):
    shown = screen("animals", id=str(couple[0].id))
    assert shown.title == "Basalt, male, is read as pastel clown"
    shown.fill(text="pastel clown het pied").press("Save changes")
    assert book.animal(couple[0].id).text == "pastel clown het pied"
    shown.press("Mark as sold")
    assert book.animal(couple[0].id).status == "sold"
    assert len(book.changes()) == 4


def test_saving_without_a_change_is_no_edit(couple, book, screen):
    version = book.data_version
    shown = screen("animals", id=str(couple[0].id)).press("Save changes")
    assert book.data_version == version
    assert "Nothing was changed" in shown.said()


@pytest.mark.parametrize(
    ("button", "kept"), [("Save mine all the same", "mine"), ("Keep what the book holds", "theirs")]
)
def test_two_windows_never_overwrite_each_other_silently(couple, book, screen, button, kept):
    shown = screen("animals", id=str(couple[0].id))
    book.change_animal(couple[0].id, couple[0].version, note="theirs")
    shown.fill(note="mine").press("Save changes")
    assert book.animal(couple[0].id).note == "theirs"
    assert "Yours was not saved" in shown.tables.words("clash-one_animal")
    words = shown.tables.words("clash-table-one_animal")
    assert "mine" in words
    assert "theirs" in words
    shown.press(button)
    assert book.animal(couple[0].id).note == kept
    assert "clash-one_animal" not in shown.tables.drawn
    assert [f.value for f in shown.app.text_input if str(f.key).endswith("-note")] == [kept]


def test_an_animal_a_pairing_needs_can_t_be_removed(couple, book, screen):
    book.add_pairing(2027, couple[0].id, couple[1].id)
    shown = screen("animals", id=str(couple[0].id)).press("Remove from the book")
    assert "1 pairing needs Basalt" in shown.tables.words("refused-one_animal")
    assert len(book.animals()) == 2


def test_an_animal_that_is_not_there_is_said_to_be_missing(book, screen):
    assert screen("animals", id="77").title == "This animal is not in the book"


def test_a_pairing_is_entered_left_out_and_removed(couple, book, screen):
    shown = screen("animals").press("Add this pairing")
    (pairing,) = book.pairings()
    assert (pairing.sire_id, pairing.dam_id, pairing.planned) == (couple[0].id, couple[1].id, True)
    assert f"The one pairing entered for {pairing.season} is in the plan" in shown.tables.words("pairings")
    shown.use("pairings", f"plan:{pairing.id}:{pairing.version}:0")
    (pairing,) = book.pairings()
    assert not pairing.planned
    assert "is left out of the plan" in shown.tables.words("pairings")
    shown.use("pairings", f"remove:{pairing.id}:{pairing.version}:0")
    assert book.pairings() == ()
    shown.use("undo_line", "undo")
    assert len(book.pairings()) == 1


@pytest.mark.parametrize(
    ("planned", "words"),
    [
        ([True, True], "All two pairings entered for 2027 are in the plan"),
        ([False, False], "None of the two pairings entered for 2027 is in the plan"),
        ([True, False], "One of the two pairings entered for 2027 is in the plan"),
    ],
)
def test_the_plan_is_said_in_a_sentence_that_is_true(couple, book, screen, planned, words):
    other = book.add_animal("Marl", "pied", sex=Sex.FEMALE)
    for dam, stands in zip((couple[1], other), planned, strict=True):
        book.add_pairing(2027, couple[0].id, dam.id, planned=stands)
    shown = screen("animals")
    assert words in shown.tables.words("lead")
    assert words in shown.tables.words("pairings")


def test_the_same_pairing_twice_is_refused(couple, book, screen):
    shown = screen("animals").press("Add this pairing").press("Add this pairing")
    assert "already entered" in shown.tables.words("refused-pairings")
    assert len(book.pairings()) == 1


def test_a_pairing_another_window_changed_is_not_overwritten(couple, book, screen):
    stored = book.add_pairing(2027, couple[0].id, couple[1].id)
    shown = screen("animals")
    book.change_pairing(stored.id, stored.version, note="theirs", planned=True)
    shown.tables.used["pairings"] = f"plan:{stored.id}:{stored.version}:0"
    shown.run()
    assert book.pairing(stored.id).planned
    shown.press("Save mine all the same")
    assert not book.pairing(stored.id).planned
    assert book.pairing(stored.id).note == "theirs"


def test_without_a_female_the_page_says_what_is_lacking(book, screen):
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    shown = screen("animals")
    assert "enter a female first" in shown.tables.words("lacking")


def test_the_demo_book_opens_with_all_its_animals_read(home_folder, screen):
    home.write_settings(home.Settings("demo"))
    shown = screen("animals")
    assert "You keep" in shown.title
    assert "can’t be read" not in shown.tables.words("animals")
