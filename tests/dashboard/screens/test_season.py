"""Season and Pairing: nothing is made up where nothing can be valued; harms stand where one decides."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from genetics import Sex
from tests.econ.decisions.pairs_by_hand import small_prices


@pytest.fixture
def herd(book):
    """Three pairings of the year to come in the breeder's own book; two of them can bring spiders."""
    sires = [book.add_animal(*words, sex=Sex.MALE) for words in (("Basalt", "clown"), ("Cobble", "spider"))]
    dams = [book.add_animal(name, "pastel", sex=Sex.FEMALE) for name in ("Marl", "Fern", "Tansy")]
    season = book.today().year + 1
    couples = ((sires[0], dams[0]), (sires[1], dams[1]), (sires[1], dams[2]))
    return season, [book.add_pairing(season, sire.id, dam.id) for sire, dam in couples]


@pytest.fixture
def priced(book, herd):
    book.add_observations(small_prices(), "prices")
    return herd


def spoil(book, name):
    """Leave an animal as an older catalogue might have left it."""
    with closing(sqlite3.connect(book.place)) as raw:
        raw.execute("UPDATE animals SET text = 'pastle' WHERE name = ?", (name,))
        raw.commit()


def test_without_prices_no_total_is_made_up(herd, screen):
    shown = screen("season")
    assert shown.title == f"Season {herd[0]} can’t be valued yet"
    assert shown.primary == 1
    assert "lead" not in shown.tables.drawn
    assert "table" not in shown.tables.drawn
    assert "There is no price in this book yet" in shown.tables.words("fault-0")
    assert "Basalt × Marl" in shown.tables.words("fault-0")
    assert shown.press("Load prices").tables.drawn["went to"] == "prices"


def test_where_some_fail_the_lead_says_so(book, priced, screen):
    spoil(book, "Fern")
    shown = screen("season")
    assert "without the one pairing that can’t be valued" in shown.tables.words("lead")
    assert "Cobble × Fern can’t be valued" in shown.tables.words("fault-0")


def test_pairings_with_a_harm_are_one_thing_to_decide(priced, screen):
    words = screen("season").tables.words("decisions")
    assert words.count("Welfare") == 1
    assert "Two pairings in your plan." in words
    assert "of 100 young 50 may wobble." in words
    assert "Cobble × Fern" in words
    assert "Cobble × Tansy" in words


def test_more_than_three_things_are_counted_before_they_are_cut(book, priced, screen):
    season, _ = priced
    more = [book.add_animal(name, "pastel", sex=Sex.MALE) for name in ("Flint", "Slate", "Loam")]
    for sire, dam in zip(more, (a for a in book.animals() if a.sex is Sex.FEMALE), strict=True):
        book.add_pairing(season, sire.id, dam.id)
    words = screen("season").tables.words("decisions")
    assert words.startswith("Three of ")
    assert "things to decide" in words
    assert "□ To decide" in words


def test_a_pairing_with_a_harm_is_marked_where_it_is_put_in_the_plan(herd, screen):
    words = screen("animals").tables.words("pairings")
    assert words.count("Welfare: may wobble") == 2


def test_looks_with_a_health_note_are_marked_on_the_pairing(priced, screen):
    _, pairings = priced
    shown = screen("pairing", sire=str(pairings[1].sire_id), dam=str(pairings[1].dam_id))
    assert "Welfare: wobble" in shown.tables.words("looks")
    plain = screen("pairing", sire=str(pairings[0].sire_id), dam=str(pairings[0].dam_id))
    assert "Welfare" not in plain.tables.words("looks")


def inputs(shown):
    return {widget.label: widget for widget in shown.app.number_input}


def test_a_share_is_typed_in_percent_as_its_row_prints_it(book, priced, screen):
    _, (pairing, *_) = priced
    shown = screen("pairing", sire=str(pairing.sire_id), dam=str(pairing.dam_id))
    label, widget = next((label, w) for label, w in inputs(shown).items() if "percent" in label)
    assert widget.value > 1
    typed = widget.value - 4.5
    widget.set_value(typed)
    shown.run()
    (kept,) = book.pairing_assumptions(pairing.id).values()
    assert kept == pytest.approx(typed / 100)
    assert inputs(shown)[label].value == pytest.approx(typed)


def test_own_figures_become_the_book_s_in_one_step_and_are_given_back_in_one(book, priced, screen):
    _, (pairing, *_) = priced
    book.set_pairing_assumption(pairing.id, "clutch.eggs_mean", 9)
    book.set_pairing_assumption(pairing.id, "clutch.laying_chance", 0.6)
    shown = screen("pairing", sire=str(pairing.sire_id), dam=str(pairing.dam_id))
    version = book.data_version
    shown.press("Save these figures as mine")
    assert book.data_version == version + 1
    assert book.assumptions() == {"clutch.eggs_mean": 9.0, "clutch.laying_chance": 0.6}
    book.undo_last()
    assert book.assumptions() == {}
    shown.run().press("Back to my book’s figures")
    assert book.pairing_assumptions(pairing.id) == {}
    book.undo_last()
    assert len(book.pairing_assumptions(pairing.id)) == 2
