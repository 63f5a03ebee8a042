"""The herd as read: what each animal carries, which harms concern it, which pairings are planned."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date

import pytest

from dashboard.jobs.animals import animals_answer, reading_of, with_name
from dashboard.records.kinds import CLUTCHES, WEIGHTS
from genetics import Sex


@pytest.fixture
def herd(book):
    sire = book.add_animal("Basalt", "pastel clown", sex=Sex.MALE, hatched=date(2023, 7, 19))
    dam = book.add_animal("Sedge", "spider", sex=Sex.FEMALE)
    sold = book.add_animal("Aster", "pied", sex=Sex.FEMALE, status="sold")
    return sire, dam, sold


def test_an_empty_book_has_no_rows_and_next_year_as_season(book, catalogue):
    answer = animals_answer(book, catalogue=catalogue)
    assert (answer.rows, answer.pairings, answer.sexes()) == ((), (), (0, 0, 0))
    assert answer.season == book.today().year + 1


def test_animals_that_are_gone_come_last_and_are_not_counted(book, catalogue, herd):
    answer = animals_answer(book, catalogue=catalogue)
    assert [row.animal.name for row in answer.rows] == ["Basalt", "Sedge", "Aster"]
    assert answer.sexes() == (1, 1, 0)
    assert answer.status_count("sold") == 1
    assert [animal.name for animal in answer.could_be(Sex.FEMALE)] == ["Sedge"]


def test_the_season_shown_is_the_next_one_unless_another_is_asked_for(book, catalogue, herd):
    sire, dam, _ = herd
    year = book.today().year
    for season in (year - 1, year + 2, year + 1):
        book.add_pairing(season, sire.id, dam.id, planned=season != year + 1)
    answer = animals_answer(book, catalogue=catalogue)
    assert answer.season == year + 1
    assert answer.seasons == (year + 2, year + 1, year - 1)
    assert [row.name for row in answer.pairings] == ["Basalt × Sedge"]
    assert answer.planned == 0
    assert animals_answer(book, year + 2, catalogue=catalogue).planned == 1


# The cases: which pairs of alleles an animal has follows from the mode of each gene (classical genetics);
# what each note applies to stands in the catalogue with its source.
@pytest.mark.parametrize(
    ("text", "own", "young"),
    [
        ("normal", set(), set()),
        ("pastel het clown", set(), set()),
        ("spider", {"wobble"}, {"not hatching"}),
        ("black pastel", set(), {"kinked spine or misshapen head"}),
        ("super black pastel", {"kinked spine or misshapen head"}, set()),
    ],
)
def test_a_harm_of_the_animal_itself_is_told_from_one_of_its_young(catalogue, text, own, young):
    harms = reading_of(text, Sex.FEMALE, catalogue).harms
    assert {harm.note.harm for harm in harms if harm.itself} == own
    assert {harm.note.harm for harm in harms if not harm.itself} == young


def test_harms_of_a_possible_het_are_not_harms_of_the_animal_itself(catalogue):
    harms = reading_of("66% het caramel albino", Sex.MALE, catalogue).harms
    assert {harm.itself for harm in harms} == {False}


def test_a_possible_het_of_two_genes_is_said_back_for_each(catalogue):
    reading = reading_of("66% het pied clown", Sex.FEMALE, catalogue)
    assert set(reading.words.split(" 66% ")) == {"66% het clown", "het pied"}


def test_a_word_that_can_t_be_read_gives_a_fault_and_no_genes(catalogue):
    reading = reading_of("pastle", Sex.MALE, catalogue)
    assert reading.written == ""
    assert "pastle" in reading.fault
    assert "pastel" in reading.fault


def test_another_order_of_words_is_not_another_reading(book, catalogue):
    book.add_animal("Juniper", "mojave enchi", sex=Sex.MALE)
    book.add_animal("Rowan", "66% het pied clown", sex=Sex.MALE)
    assert [row.read_otherwise for row in animals_answer(book, catalogue=catalogue).rows] == [False, True]


@pytest.mark.parametrize(
    ("text", "word", "name", "mended"),
    [
        ("pastle het clown", "pastle", "pastel", "pastel het clown"),
        ("Pastle clown", "pastle", "pastel", "pastel clown"),
        ("clown", "pastle", "pastel", "clown"),
        ("clown", "", "pastel", "clown"),
    ],
)
def test_the_word_at_fault_is_replaced_once(text, word, name, mended):
    assert with_name(text, word, name) == mended


def test_young_of_a_clutch_stand_apart_until_they_breed(book, catalogue, herd):
    sire, dam, _ = herd
    pairing = book.add_pairing(2026, sire.id, dam.id)
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id, "hatched_on": date(2026, 8, 1), "hatched": 3})
    for name, status in (("One", "growing"), ("Two", "held back"), ("Three", "breeding"), ("Four", "sold")):
        book.add_animal(name, "pastel", sex=Sex.FEMALE, clutch_id=clutch.id, status=status)
    answer = animals_answer(book, catalogue=catalogue)
    groups = {group: {row.animal.name for row in answer.of(group)} for group in ("breeders", "young", "gone")}
    assert groups == {
        "breeders": {"Basalt", "Sedge", "Three"},
        "young": {"One", "Two"},
        "gone": {"Aster", "Four"},
    }
    assert answer.sexes() == (1, 2, 0)
    # breeders before young where a dam is chosen
    assert [animal.name for animal in answer.could_be(Sex.FEMALE)] == ["Sedge", "Three", "One", "Two"]
    assert answer.clutches == {clutch.id: "2026 Basalt × Sedge"}
    assert {row.animal.name: row.young for row in answer.rows if row.young} == {"Basalt": 4, "Sedge": 4}


def test_the_newest_weight_is_the_one_of_the_latest_day_not_the_one_entered_last(book, catalogue, herd):
    sire, *_ = herd
    for on, grams in ((date(2026, 5, 1), 1400.0), (date(2026, 9, 1), 1500.0), (date(2026, 1, 1), 1300.0)):
        book.add_row(WEIGHTS, {"animal_id": sire.id, "on": on, "grams": grams})
    weights = {row.animal.name: row.weight for row in animals_answer(book, catalogue=catalogue).rows}
    assert weights["Basalt"] is not None
    assert weights["Basalt"].grams == 1500.0
    assert weights["Sedge"] is None


def test_a_female_planned_twice_is_named_with_how_often(book, catalogue, herd):
    sire, dam, _ = herd
    other = book.add_animal("Flint", "pastel", sex=Sex.MALE)
    for male, planned in ((sire, True), (other, True)):
        book.add_pairing(2027, male.id, dam.id, planned=planned)
    answer = animals_answer(book, 2027, catalogue=catalogue)
    assert [(animal.name, times) for animal, times in answer.doubled] == [("Sedge", 2)]
    second = answer.pairings[1].pairing
    book.change_pairing(second.id, second.version, planned=False)
    assert animals_answer(book, 2027, catalogue=catalogue).doubled == ()


def test_a_pairing_names_its_parents_that_are_gone(book, catalogue, herd):
    sire, dam, _ = herd
    book.add_pairing(2027, sire.id, dam.id)
    book.change_animal(sire.id, sire.version, status="sold")
    (row,) = animals_answer(book, 2027, catalogue=catalogue).pairings
    assert [animal.name for animal in row.gone] == ["Basalt"]


def test_a_pairing_carries_the_harms_it_can_do_and_an_unreadable_one_none(book, catalogue):
    sire = book.add_animal("Cobble", "spider", sex=Sex.MALE)
    dams = [book.add_animal(name, "pastel", sex=Sex.FEMALE) for name in ("Marl", "Fern")]
    for dam in dams:
        book.add_pairing(2027, sire.id, dam.id)
    with closing(sqlite3.connect(book.place)) as raw:
        raw.execute("UPDATE animals SET text = 'pastle' WHERE name = 'Fern'")
        raw.commit()
    rows = animals_answer(book, 2027, catalogue=catalogue).pairings
    assert [[harm.note.harm for harm in row.harms] for row in rows] == [["wobble"], []]
