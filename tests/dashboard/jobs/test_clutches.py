"""Clutches of a season: eggs, young and sums counted by hand."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.clutch_edits import (
    add_clutch,
    change_hatchling,
    deeds_for,
    enter_lines,
    quick_change,
    remove_clutch,
    store_hatchling,
)
from dashboard.jobs.clutches import clutch_answer, clutches_answer, pairing_answer
from dashboard.records import NotStored
from dashboard.records.kinds import CLUTCHES, EXCHANGE_RATES, FURTHER_SIRES, WEIGHTS
from genetics import Sex, load_catalogue
from tests.econ.decisions.pairs_by_hand import TODAY

from .small_book import bare_book

GENES = load_catalogue()
EMPTY = {"laid_on": "", "fertile": "", "infertile": "", "hatched_on": "", "hatched": "", "note": ""}


@pytest.fixture
def small(tmp_path):
    made = bare_book(tmp_path / "small.sqlite")
    yield made
    made.book.close()


@pytest.fixture
def hatched(small):
    """Clown × het clown of this year: eight eggs, six hatched, four entered."""
    year = TODAY.year
    pairing = small.pair("Basalt", "Tansy", season=year)
    days = {"laid_on": f"{year}-01-02", "hatched_on": f"{year}-01-05", "fertile": "7", "infertile": "1"}
    clutch = add_clutch(small.book, pairing.id, {**EMPTY, **days, "hatched": "6"})
    stored, faults = enter_lines(small.book, clutch.id, "2 clown m\nclown f\nhet clown")
    assert (len(stored), faults) == (4, ())
    return small.book, pairing, clutch, stored


def sell(book, animal, *, minor, code="EUR", on=TODAY):
    changed = {"status": "sold", "sold_minor": minor, "sold_currency": code, "sold_on": on}
    return store_hatchling(book, animal, changed)


def test_sums_of_a_season_are_those_counted_by_hand(hatched):
    book, _, _, young = hatched
    sell(book, young[0], minor=23050)
    sell(book, young[1], minor=10000, code="CHF")
    sell(book, young[2], minor=None)
    answer = clutches_answer(book, catalogue=GENES)
    (line,) = answer.laid
    assert (answer.season, answer.hatched, line.eggs, len(line.young)) == (TODAY.year, 6, 8, 4)
    assert (answer.sold.count, answer.sold.amount) == (3, 230.5)
    assert (answer.sold.unpriced, answer.sold.without_rate) == (1, 1)
    book.add_row(EXCHANGE_RATES, {"on": date(2020, 1, 1), "currency": "CHF", "rate": "1.06"})
    sold = clutches_answer(book, catalogue=GENES).sold
    assert (sold.amount, sold.without_rate) == (pytest.approx(336.5, abs=1e-9), 0)


def test_the_looks_of_clown_with_het_clown_are_mendel_s_halves(hatched):
    book, _, clutch, _ = hatched
    looks = {look.label: look for look in clutch_answer(book, clutch.id, catalogue=GENES).looks}
    assert set(looks) == {"clown", "het clown"}
    assert looks["clown"].chance == pytest.approx(0.5, abs=1e-12)
    assert looks["clown"].males == pytest.approx(0.25, abs=1e-12)
    assert (looks["clown"].entered, looks["het clown"].entered) == (3, 1)


def test_a_further_sire_is_taken_as_likely_as_the_first(hatched):
    book, pairing, clutch, _ = hatched
    other = book.add_animal("Quill", "normal", sex=Sex.MALE)
    book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": other.id})
    answer = clutch_answer(book, clutch.id, catalogue=GENES)
    looks = {look.label: look.chance for look in answer.looks}
    # by the clown: half clown, half het; by the normal one: half of all carry it, so 50% possible het
    assert looks == pytest.approx({"clown": 0.25, "het clown": 0.25, "50% het clown": 0.5}, abs=1e-12)
    assert answer.line.further == ("Quill",)


def test_lines_with_one_fault_store_nothing(hatched):
    book, _, clutch, _ = hatched
    version = book.data_version
    stored, faults = enter_lines(book, clutch.id, "clown m\npastle f")
    assert (stored, len(faults), book.data_version) == ((), 1, version)


def test_hatchlings_are_numbered_after_the_dam_and_know_their_parents(hatched):
    _, pairing, _, young = hatched
    assert [animal.name for animal in young] == [f"Tansy {TODAY.year}-{n}" for n in (1, 2, 3, 4)]
    assert {(animal.sire_id, animal.dam_id) for animal in young} == {(pairing.sire_id, pairing.dam_id)}


def test_a_sale_sets_the_status_and_a_weight_is_a_row_of_its_own(hatched):
    book, _, clutch, young = hatched
    sale = {"sold_minor": "180", "sold_currency": "EUR", "sold_on": TODAY.isoformat(), "sold_where": "show"}
    stored = change_hatchling(book, young[0], "sold", typed=sale)
    assert (stored.status, stored.sold_minor, stored.sold_where) == ("sold", 18000, "show")
    change_hatchling(book, young[1], "weighed", typed={"on": TODAY.isoformat(), "grams": "72"})
    assert [row.grams for row in book.rows(WEIGHTS)] == [72.0]
    answer = clutch_answer(book, clutch.id, catalogue=GENES)
    assert [one.weight.grams if one.weight else None for one in answer.hatchlings] == [None, 72.0, None, None]


def test_what_is_said_next_follows_from_what_is_known(hatched):
    book, _, _, young = hatched
    male, unsexed = young[0], young[3]
    assert [deed for _, deed in deeds_for(unsexed)] == ["male", "female"]
    assert [deed for _, deed in deeds_for(male)] == ["feeds", "died"]
    feeding = store_hatchling(book, male, quick_change("feeds", today=TODAY))
    assert feeding.fed_since == TODAY
    assert [deed for _, deed in deeds_for(feeding)] == ["offer", "hold"]
    assert deeds_for(sell(book, feeding, minor=100)) == ()


def test_a_pairing_without_a_clutch_waits_and_a_clutch_with_young_stays(hatched):
    book, pairing, clutch, _ = hatched
    bare = pairing_answer(book, pairing.id, catalogue=GENES)
    assert (bare.line.clutch, bare.line.young) == (None, ())
    with pytest.raises(NotStored, match="4 animals need it"):
        remove_clutch(book, clutch)
    with pytest.raises(NotStored):
        clutch_answer(book, clutch.id + 1, catalogue=GENES)


def test_the_page_opens_with_the_newest_season_that_has_begun(small):
    year = TODAY.year
    small.pair("Basalt", "Tansy", season=year + 1)
    assert clutches_answer(small.book, catalogue=GENES).season == year + 1
    small.pair("Basalt", "Tansy", season=year - 1)
    assert clutches_answer(small.book, catalogue=GENES).season == year - 1
    small.pair("Basalt", "Tansy", season=year)
    assert clutches_answer(small.book, catalogue=GENES).season == year
    assert len(small.book.rows(CLUTCHES)) == 0


def test_harms_of_the_pair_stand_with_its_clutch(small):
    small.pair("Cobble", "Sedge", season=TODAY.year)
    (line,) = clutches_answer(small.book, catalogue=GENES).waiting
    assert {harm.gene for harm in line.harms} >= {"spider"}
