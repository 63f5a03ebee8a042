"""Pairing beneath the money: the wait for a look, how the two are related, what is known otherwise."""

from __future__ import annotations

import pytest

from dashboard.jobs.odds import Wanted, odds_answer
from dashboard.jobs.pairing import pairing_answer
from dashboard.jobs.relations import candidate_pairs
from dashboard.records import open_book, start_book
from dashboard.records.spreadsheets.exports import as_csv
from dashboard.screens.pairing_odds import odds_sheet
from dashboard.screens.pairing_relations import pairs_sheet
from genetics import Sex
from tests.econ.decisions.pairs_by_hand import TODAY, small_prices

PARTS = ("pairing-odds", "pairing-related", "pairing-closest")


@pytest.fixture
def book(home_folder):
    """A male, two females, their young; prices; a possible het that her young make less likely."""
    from dashboard import home

    home.write_settings(home.Settings("own"))
    start_book(home.own_book_place(), currency="EUR", name="Small book", as_of=TODAY)
    with open_book(home.own_book_place()) as opened:
        opened.add_observations(small_prices(), "prices")
        basalt = opened.add_animal("Basalt", "clown", sex=Sex.MALE)
        opened.add_animal("Cobble", "spider", sex=Sex.MALE)
        tansy = opened.add_animal("Tansy", "66% het clown", sex=Sex.FEMALE)
        opened.add_animal("Marl", "het clown pastel", sex=Sex.FEMALE)
        for number in (1, 2):
            opened.add_animal(
                f"Tansy {number}", "het clown", sex=Sex.FEMALE, sire_id=basalt.id, dam_id=tansy.id
            )
        yield opened


def couple(book, sire, dam):
    ids = {animal.name: str(animal.id) for animal in book.animals()}
    return {"sire": ids[sire], "dam": ids[dam], "season": "2027"}


def opened(screen, book, sire, dam, *parts):
    return run_open(screen("pairing", **couple(book, sire, dam)), *parts)


def run_open(shown, *parts):
    """Run with some parts open; without a browser nothing keeps them open from run to run."""
    for part in parts:
        shown.app.session_state[part] = True
    return shown.run()


def box(shown, kind, name):
    return next(found for found in getattr(shown.app, kind) if found.label.startswith(name))


def test_closed_parts_say_their_answer_and_draw_nothing(book, screen):
    """By hand: 3/4 lay six, a quarter of 0.85 x 0.9 of the eggs: 0.54 a season; 0.46^3 is under a fifth."""
    shown = opened(screen, book, "Basalt", "Marl")
    assert shown.tables.words("odds-answer").startswith(
        "A pastel clown hatches within three seasons in 8 of 10 such pairings With one female and "
    )
    assert shown.tables.words("related-answer").startswith("Basalt and Marl have no ancestor in common")
    assert [part.label for part in shown.app.expander] == [
        "How long until one hatches: another look, season by season",
        "Pairings by relationship",
    ]
    assert not {"odds-head", "related", "closest", "relatives", "parents-known"} & shown.tables.drawn.keys()


def test_the_wait_follows_what_is_chosen_and_is_kept_when_closed(book, screen):
    shown = opened(screen, book, "Basalt", "Marl", "pairing-odds")
    assert shown.tables.words("odds-head").startswith("The rule of thumb says two seasons; ")
    assert "Enough in 8 in 10: six hatchlings" in shown.tables.words("odds-points")
    box(shown, "selectbox", "Sex").set_value("one of each sex")
    run_open(shown, "pairing-odds")
    assert shown.tables.words("odds-answer").startswith("A male and a female pastel clown hatch within")
    box(shown, "selectbox", "Look").set_value("clown")
    run_open(shown, "pairing-odds")
    box(shown, "number_input", "Females").set_value(3)
    run_open(shown, "pairing-odds")
    assert "three such females" in shown.tables.words("odds-rule")
    said = shown.tables.words("odds-answer")
    shown.app.session_state["pairing-odds"] = False
    shown.run()
    assert said.startswith("A male and a female clown hatch")
    assert "three females" in said
    assert shown.tables.words("odds-answer") == said
    assert "odds-head" not in shown.tables.drawn


def test_the_dearest_look_comes_first_and_each_couple_keeps_its_own(book, screen):
    shown = opened(screen, book, "Basalt", "Marl", "pairing-odds")
    look = box(shown, "selectbox", "Look")
    assert (look.value, set(look.options)) == (
        "pastel clown",
        {"pastel clown", "clown", "pastel het clown", "het clown"},
    )
    other = opened(screen, book, "Cobble", "Marl", "pairing-odds")
    assert set(box(other, "selectbox", "Look").options) != set(look.options)


def test_a_look_with_a_known_harm_says_so_above_its_odds(book, screen):
    shown = opened(screen, book, "Cobble", "Marl", "pairing-odds")
    look = box(shown, "selectbox", "Look")
    look.set_value(next(option for option in look.options if "spider" in option))
    run_open(shown, "pairing-odds")
    assert "▲ Welfare" in shown.tables.words("odds-welfare")
    assert "veterinarian" in shown.tables.words("odds-welfare")
    looks = shown.tables.words("looks")
    assert "▲ Welfare: wobble, from spider" in looks


def test_close_relatives_are_told_above_the_profit_with_the_source(book, screen):
    shown = opened(screen, book, "Basalt", "Tansy 1", "pairing-related")
    note = shown.tables.words("relatives")
    assert note.startswith("▲ Welfare: close relatives The young would be 25 % inbred.")
    assert "Basalt is a parent of Tansy 1." in note
    assert "Biological Conservation 75(2):113-118, 1996" in note
    assert list(shown.tables.drawn).index("relatives") < list(shown.tables.drawn).index("lead")
    assert "Basalt → Tansy 1" in shown.tables.words("related")


def test_the_closest_pairings_lead_to_their_pages(book, screen):
    book.add_pairing(2027, *(int(couple(book, "Basalt", "Tansy 2")[key]) for key in ("sire", "dam")))
    shown = opened(screen, book, "Basalt", "Marl", "pairing-closest")
    ids = couple(book, "Basalt", "Tansy 2")
    target = f"pairing?sire={ids['sire']}&dam={ids['dam']}&season=2027"
    assert shown.tables.targets("closest")[0] == target
    assert "2 of 8 possible pairings are of close relatives, one in the plan" in shown.tables.words("closest")
    assert "▲ Welfare: close relatives Basalt × Tansy 2 in the plan for 2027" in shown.tables.words("closest")
    shown.tables.used["closest"] = target
    assert run_open(shown, "pairing-closest").tables.drawn["went to"] == target


def test_a_parent_known_otherwise_is_said_in_a_line_that_leads_to_it(book, screen):
    """Odds of 2 halved by each of two normal young: a third."""
    shown = opened(screen, book, "Basalt", "Tansy")
    assert shown.tables.words("parents-known") == (
        "Tansy is written 66% het clown; all records together make her 33% het clown, and the sums use that."
    )
    target = f"animals?id={couple(book, 'Basalt', 'Tansy')['dam']}"
    assert shown.use("parents-known", target).tables.drawn["went to"] == target


def test_one_primary_button_stays(book, screen):
    assert opened(screen, book, "Basalt", "Marl", *PARTS).primary == 1


def test_the_wait_and_the_relations_can_be_taken_away_as_tables(book):
    """The half chance of a quarter is at three hatchlings; parent and young give a quarter."""
    catalogue = book.catalogue().catalogue
    ids = [int(couple(book, "Basalt", "Marl")[key]) for key in ("sire", "dam")]
    valued = pairing_answer(book, *ids, catalogue=catalogue).valued
    found = odds_answer(valued.couple, valued.looks, Wanted("clown"), catalogue=catalogue)
    lines = as_csv(odds_sheet(found)).decode("utf-8-sig").splitlines()
    assert lines[0] == "waited for,counted,number,chance"
    assert "a clown,hatchlings needed,3,0.5" in lines
    assert len(lines) == 1 + len(found.chart.years) + 4 * 4 + 1
    tansy = [int(couple(book, "Basalt", "Tansy")[key]) for key in ("sire", "dam")]
    valued = pairing_answer(book, *tansy, catalogue=catalogue).valued
    open_het = odds_answer(valued.couple, valued.looks, Wanted("clown"), catalogue=catalogue)
    assert "a clown,seasons needed,,0.8" in as_csv(odds_sheet(open_het)).decode("utf-8-sig").splitlines()
    relations = as_csv(pairs_sheet(candidate_pairs(book, 2027))).decode("utf-8-sig").splitlines()
    assert relations[1] == 'Basalt,Tansy 1,0.25,"full sibs, or parent and young",no'
