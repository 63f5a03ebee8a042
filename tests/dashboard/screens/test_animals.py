"""Animals: the sentence on top is true for any herd; an animal is entered, mended, changed, taken back."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard import home
from dashboard.records.kinds import CLUTCHES, WEIGHTS
from genetics import Sex

ASIDE = "Put this guide aside"


@pytest.fixture
def couple(book):
    return (
        book.add_animal("Basalt", "pastel clown", sex=Sex.MALE, hatched=date(2023, 7, 19)),
        book.add_animal("Tansy", "enchi het clown", sex=Sex.FEMALE),
    )


def listed(shown):
    """The list itself, where the guide of a small book stands in its place."""
    return shown.press(ASIDE) if any(b.label == ASIDE for b in shown.app.button) else shown


@pytest.mark.parametrize(
    ("animals", "title"),
    [
        ([("male", "growing")], "You keep one animal, one male"),
        (
            [("female", "breeding"), ("unsexed", "for sale")],
            "You keep two animals: one female and one unsexed one",
        ),
        ([("male", "sold")], "The one animal of this book is no longer with you"),
        ([("male", "sold"), ("female", "died")], "No animal of this book is with you"),
        (
            [("female", "resting")] * 13 + [("male", "held back")] * 2,
            "You keep 15 animals: two males and 13 females",
        ),
    ],
)
def test_the_title_counts_the_animals_that_are_here(book, screen, animals, title):
    for number, (sex, status) in enumerate(animals):
        book.add_animal(f"A{number}", "pastel", sex=Sex(sex), status=status)
    shown = listed(screen("animals"))
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
    shown = listed(screen("animals"))
    assert shown.title == "No animals yet: write the first one as on its label"
    shown.fill(name="Marl", sex="female", text="66% het pied clown", hatched="2024-05-01", bought="120,50")
    shown.fill(status="breeding", origin="a show")
    shown.press("Add this animal")
    (stored,) = book.animals()
    assert (stored.name, stored.sex, stored.hatched, stored.status, stored.origin) == (
        "Marl", Sex.FEMALE, date(2024, 5, 1), "breeding", "a show",
    )  # fmt: skip
    assert (stored.bought_minor, stored.bought_currency) == (12050, "EUR")
    assert shown.tables.words("said_back") == "Marl was read as: 66% het clown 66% het pied ."
    assert "Marl is in the book" in shown.said()
    assert shown.title == "You keep one animal, one female"


@pytest.mark.parametrize(
    ("hatched", "why"), [("03/04/2024", "3 April or 4 March?"), ("2099-01-01", "after today")]
)
def test_a_day_that_can_t_be_is_refused_in_a_sentence(book, screen, hatched, why):
    shown = listed(screen("animals"))
    shown.fill(name="Marl", text="pied", hatched=hatched).press("Add this animal")
    assert why in shown.tables.words("refused-add_animal")
    assert book.animals() == ()


def test_undo_takes_the_new_animal_back_and_the_offer_goes(book, screen):
    shown = listed(screen("animals")).fill(name="Marl", text="pied").press("Add this animal")
    shown.use("undo_line", "undo")
    assert book.animals() == ()
    assert "undo_line" not in shown.tables.drawn
    assert "said_back" not in shown.tables.drawn


def test_a_word_that_can_t_be_read_is_quoted_and_mended_with_one_click(book, screen):
    shown = listed(screen("animals")).fill(name="Fern", text="pastle het pied").press("Add this animal")
    assert book.animals() == ()
    words = shown.tables.words("refused-add_animal")
    assert "“pastle”" in words
    assert words.endswith("Nothing was saved.")
    shown.use("refused-add_animal", "use:pastel")
    assert "refused-add_animal" not in shown.tables.drawn
    shown.press("Add this animal")
    assert [(a.name, a.text) for a in book.animals()] == [("Fern", "pastel het pied")]


def test_what_was_typed_stays_after_a_refusal(couple, book, screen):
    shown = listed(screen("animals")).fill(name="Basalt", text="pied").press("Add this animal")
    assert "already an animal called Basalt" in shown.tables.words("refused-add_animal")
    assert [field.value for field in shown.app.text_input if str(field.key).endswith("-name")] == ["Basalt"]


def test_an_animal_with_a_health_note_is_marked_and_the_note_stands_on_its_page(book, screen):
    sedge = book.add_animal("Sedge", "spider", sex=Sex.FEMALE)
    assert "Welfare: wobble" in listed(screen("animals")).tables.words("animals")
    shown = screen("animals", id=str(sedge.id))
    assert "Starck JM" in shown.tables.words("health")
    assert "veterinarian who knows reptiles" in shown.tables.words("health")


def test_one_animal_is_changed_and_marked_as_sold(couple, book, screen):
    shown = screen("animals", id=str(couple[0].id))
    assert shown.title == "Basalt, male, is read as pastel clown"
    shown.fill(text="pastel clown het pied").press("Save changes")
    assert book.animal(couple[0].id).text == "pastel clown het pied"
    shown.press("Mark as died")
    assert book.animal(couple[0].id).status == "died"
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
    assert "1 pairing needs it" in shown.tables.words("refused-one_animal")
    assert len(book.animals()) == 2


def test_an_animal_that_is_not_there_is_said_to_be_missing(book, screen):
    assert screen("animals", id="77").title == "This animal is not in the book"


def test_a_pairing_is_entered_left_out_and_removed(couple, book, screen):
    shown = listed(screen("animals")).press("Add this pairing")
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
    shown = listed(screen("animals")).press("Add this pairing").press("Add this pairing")
    assert "already entered" in shown.tables.words("refused-pairings")
    assert len(book.pairings()) == 1


def test_a_pairing_another_window_changed_is_not_overwritten(couple, book, screen):
    stored = book.add_pairing(2027, couple[0].id, couple[1].id)
    shown = listed(screen("animals"))
    book.change_pairing(stored.id, stored.version, note="theirs", planned=True)
    shown.tables.used["pairings"] = f"plan:{stored.id}:{stored.version}:0"
    shown.run()
    assert book.pairing(stored.id).planned
    shown.press("Save mine all the same")
    assert not book.pairing(stored.id).planned
    assert book.pairing(stored.id).note == "theirs"


def test_without_a_female_the_page_says_what_is_lacking(book, screen):
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    shown = listed(screen("animals"))
    assert "enter a female first" in shown.tables.words("lacking")


def test_the_demo_book_opens_with_all_its_animals_read(home_folder, screen):
    home.write_settings(home.Settings("demo"))
    shown = screen("animals")
    assert "You keep" in shown.title
    assert "can’t be read" not in shown.tables.words("animals")


def test_the_next_animal_starts_as_a_copy_of_the_last_one_but_for_its_name(couple, book, screen):
    book.change_animal(couple[1].id, couple[1].version, bought_minor=31_000, origin="a show", note="shy")
    shown = listed(screen("animals")).fill(name="Marl").press("Copy Tansy, the last one")
    shown.press("Add this animal")
    marl = book.animals()[-1]
    assert (marl.name, marl.text, marl.sex, marl.bought_minor, marl.origin, marl.note) == (
        "Marl", "enchi het clown", Sex.FEMALE, 31_000, "a show", "",
    )  # fmt: skip


def test_rows_from_a_spreadsheet_are_looked_at_before_they_are_added(book, screen):
    shown = listed(screen("animals"))
    shown.app.text_area[0].set_value("Ash\tmale\tpastel\nFern\tfemale\tpastle\nBirch\tfemale\thet pied")
    shown.press("Look at these rows")
    assert book.animals() == ()
    words = shown.tables.words("paste_outcome")
    assert "2 of 3 rows can be added" in words
    assert "pastle" in words
    shown.press("Add the 2 good animals")
    assert [animal.name for animal in book.animals()] == ["Ash", "Birch"]
    assert "paste_outcome" not in shown.tables.drawn
    shown.use("undo_line", "undo")
    assert book.animals() == ()


@pytest.fixture
def herd(book, couple):
    """Fourteen breeders, three young of a clutch and one that died."""
    for number in range(12):
        sex = Sex.FEMALE if number % 3 else Sex.MALE
        book.add_animal(f"B{number:02}", "pied" if number < 4 else "hypo", sex=sex, status="breeding")
    pairing = book.add_pairing(2026, couple[0].id, couple[1].id)
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id, "hatched": 3})
    for number in range(3):
        book.add_animal(f"Y{number}", "clown", clutch_id=clutch.id)
    book.add_animal("Gone", "pied", status="died")
    return clutch


def names(shown):
    return [row.split(" ")[0] for row in shown.tables.drawn["animals"].split("<b>")[1:]]


def choose(shown, key, start):
    box = next(widget for widget in [*shown.app.radio, *shown.app.selectbox] if widget.key == key)
    box.set_value(next(option for option in box.options if option.startswith(start)))
    return shown.run()


def test_young_and_gone_are_listed_when_they_are_asked_for(herd, screen):
    shown = screen("animals")
    assert (
        shown.title
        == "You keep 14 animals: five males and nine females; and three young of your own clutches"
    )
    assert "Of the young there are 0.0.3." in shown.tables.words("lead")
    assert len(shown.tables.targets("animals")) == 14
    choose(shown, "find_group", "young")
    assert "Y0" in shown.tables.words("animals")
    assert len(shown.tables.targets("animals")) == 3
    choose(shown, "find_group", "gone")
    assert len(shown.tables.targets("animals")) == 1
    choose(shown, "find_group", "all")
    assert len(shown.tables.targets("animals")) == 18


def test_the_list_is_narrowed_by_sex_words_and_young(herd, screen):
    shown = choose(screen("animals"), "find_sex", "male")
    assert len(shown.tables.targets("animals")) == 5
    shown.app.text_input(key="find_animal").set_value("pied")
    shown.run()
    assert len(shown.tables.targets("animals")) == 2
    shown.app.text_input(key="find_animal").set_value("")
    choose(shown, "find_young", "with young")
    assert len(shown.tables.targets("animals")) == 1
    shown.app.text_input(key="find_animal").set_value("axanthic")
    shown.run()
    assert "No animal fits" in shown.tables.words("no_fit")


def test_weights_stand_in_the_list_once_one_is_known(couple, book, screen):
    shown = listed(screen("animals"))
    assert "not weighed" not in shown.tables.words("animals")
    book.add_row(WEIGHTS, {"animal_id": couple[0].id, "on": date(2026, 5, 1), "grams": 1620})
    words = listed(screen("animals")).tables.words("animals")
    assert "1 620 g 2026-05-01" in words
    assert "not weighed" in words


def test_what_is_missing_stands_above_the_list_with_its_link(couple, book, screen):
    book.add_animal("Marl", "pied", sex=Sex.FEMALE)
    season = book.today().year + 1
    for dam in book.animals()[1:]:
        book.add_pairing(season, couple[0].id, dam.id)
    book.change_animal(couple[0].id, couple[0].version, status="sold")
    shown = screen("animals")
    words = shown.tables.words("missing")
    assert words.startswith("Six things missing for your answers")
    assert "No price at all" in words
    assert f"Basalt was sold Basalt × Tansy and Basalt × Marl still stand in the plan of {season}" in words
    assert len(shown.tables.targets("missing")) == 5
    shown.press("Show one more thing that is missing")
    assert len(shown.tables.targets("missing")) == 6
    shown.use("missing", "book?table=prices")
    assert shown.tables.drawn["went to"] == "book?table=prices"


def test_a_pairing_whose_sire_was_sold_is_no_link_and_can_only_leave_the_plan(couple, book, screen):
    stored = book.add_pairing(2027, couple[0].id, couple[1].id)
    book.change_animal(couple[0].id, couple[0].version, status="sold")
    shown = listed(screen("animals"))
    assert "in the plan; Basalt was sold" in shown.tables.words("pairings")
    assert shown.tables.targets("pairings") == [
        f"plan:{stored.id}:{stored.version}:0",
        f"remove:{stored.id}:{stored.version}:0",
    ]
    shown.use("pairings", f"plan:{stored.id}:{stored.version}:0")
    assert not book.pairing(stored.id).planned
    assert [target.split(":")[0] for target in shown.tables.targets("pairings")] == ["remove"]


def test_a_female_planned_twice_is_said_beneath_the_pairings(couple, book, screen):
    other = book.add_animal("Flint", "pied", sex=Sex.MALE)
    for sire in (couple[0], other):
        book.add_pairing(2027, sire.id, couple[1].id)
    words = screen("animals").tables.words("pairings")
    assert "Tansy. She stands in the plan twice, but lays a single clutch a season" in words


@pytest.mark.parametrize("status", ["sold", "died"])
def test_a_link_to_a_pairing_never_shows_another_animal_in_place_of_one_that_is_gone(
    couple, book, screen, status
):
    book.add_animal("Flint", "pied", sex=Sex.MALE)
    book.change_animal(couple[0].id, couple[0].version, status=status)
    shown = screen("pairing", sire=str(couple[0].id), dam=str(couple[1].id))
    assert shown.title == f"Basalt × Tansy: Basalt {'was sold' if status == 'sold' else 'has died'}"
    assert shown.tables.targets("gone") == [f"animals?id={couple[0].id}"]
    assert "Flint" not in shown.tables.words("gone")
    assert shown.press("Change the plan").tables.drawn["went to"] == "animals"


def test_a_link_to_a_pairing_of_a_removed_animal_says_so(couple, screen):
    shown = screen("pairing", sire="77", dam=str(couple[1].id))
    assert shown.title == "This pairing is not in the book"
