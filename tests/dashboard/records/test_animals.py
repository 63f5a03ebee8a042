from __future__ import annotations

from datetime import date, timedelta

import pytest

from dashboard.records import Conflict, NotStored, Unreadable
from genetics import Sex


def test_an_animal_is_given_back_as_it_was_written(book):
    stored = book.add_animal(
        "Larch",
        "66% het pied  pastel",
        sex=Sex.FEMALE,
        hatched=date(2024, 2, 29),
        bought_minor=12050,
        note="two lines\nof note",
        status="held back",
    )
    assert stored == book.animal(stored.id)
    assert (stored.name, stored.text, stored.sex) == ("Larch", "66% het pied pastel", Sex.FEMALE)
    assert (stored.hatched, stored.bought_minor) == (date(2024, 2, 29), 12050)
    assert (stored.note, stored.status) == ("two lines\nof note", "held back")


def test_a_word_no_gene_has_is_refused_with_the_nearest_names_and_nothing_is_stored(book):
    version = book.data_version
    with pytest.raises(Unreadable) as refused:
        book.add_animal("Larch", "pastle het clown", sex=Sex.MALE)
    assert "pastel" in refused.value.nearest
    assert "pastle" in str(refused.value)
    assert book.animals() == ()
    assert book.data_version == version


def test_an_impossible_animal_is_refused(book):
    # an animal has two alleles at a locus, so three of one complex can't be (Mendel)
    with pytest.raises(Unreadable):
        book.add_animal("Larch", "mojave lesser phantom", sex=Sex.FEMALE)
    assert book.animals() == ()
    assert book.add_animal("Larch", "mojave lesser", sex=Sex.FEMALE).id == 1


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"name": "  "}, "empty"),
        ({"name": "a" * 81}, "80"),
        ({"name": "BASALT"}, "already"),
        ({"sex": "1.0"}, "unsexed"),
        ({"bought_minor": -1}, "below zero"),
        ({"status": "flown"}, "growing"),
        ({"hatched": date(1700, 1, 1)}, "1980"),
        ({"sire_id": 999}, "not in this book"),
    ],
)
def test_values_that_are_not_allowed_are_refused_with_what_is(book, herd, change, word):
    before = book.animals()
    values = {"name": "Larch", "text": "normal", "sex": Sex.MALE} | change
    with pytest.raises(NotStored, match=word):
        book.add_animal(values.pop("name"), values.pop("text"), **values)
    assert book.animals() == before


def test_a_day_in_the_future_is_refused_and_today_is_not(book):
    today = book.today()
    assert book.add_animal("Larch", "normal", hatched=today).hatched == today
    with pytest.raises(NotStored, match="after today"):
        book.add_animal("Quill", "normal", hatched=today + timedelta(days=1))


def test_parents_must_be_of_the_right_sex_older_and_no_descendants(book, herd):
    basalt, tansy = herd
    with pytest.raises(NotStored, match="can't be the sire"):
        book.add_animal("Clover", "normal", sire_id=tansy.id)
    with pytest.raises(NotStored, match="not before"):
        book.add_animal("Clover", "normal", hatched=date(2022, 1, 1), sire_id=basalt.id)
    young = book.add_animal(
        "Clover", "clown", sex=Sex.FEMALE, hatched=date(2025, 8, 1), sire_id=basalt.id, dam_id=tansy.id
    )
    old = book.change_animal(tansy.id, tansy.version, hatched=None)
    with pytest.raises(NotStored, match="own ancestor"):
        book.change_animal(tansy.id, old.version, dam_id=young.id)


def test_an_animal_in_use_keeps_its_sex_and_its_place(book, herd):
    basalt, tansy = herd
    book.add_pairing(2027, basalt.id, tansy.id)
    with pytest.raises(NotStored, match="must be male"):
        book.change_animal(basalt.id, basalt.version, sex=Sex.FEMALE)
    with pytest.raises(NotStored, match="pairing needs it"):
        book.remove_animal(basalt.id, basalt.version)
    assert book.animal(basalt.id) == basalt


def test_a_stale_version_is_refused_with_both_values(book, herd):
    basalt, _ = herd
    book.change_animal(basalt.id, basalt.version, note="first")
    with pytest.raises(Conflict) as refused:
        book.change_animal(basalt.id, basalt.version, note="second")
    assert refused.value.yours == {"note": "second"}
    assert refused.value.stored == {"note": "first"}
    again = book.change_animal(basalt.id, refused.value.stored_version, note="second")
    assert again.note == "second"


def test_removing_frees_the_name_but_not_the_number(book, herd):
    basalt, _ = herd
    book.remove_animal(basalt.id, basalt.version)
    assert book.add_animal("basalt", "normal").id > basalt.id + 1
