"""Pairing on screen: the season its address names is the one that is valued, named, kept and planned."""

from __future__ import annotations

import pytest

from dashboard.records import open_book, start_book
from genetics import Sex
from tests.econ.decisions.pairs_by_hand import TODAY, small_prices


@pytest.fixture
def book(home_folder):
    """Two males, a female, prices; one pairing of 2027 and one of 2028."""
    from dashboard import home

    home.write_settings(home.Settings("own"))
    start_book(home.own_book_place(), currency="EUR", name="Small book", as_of=TODAY)
    with open_book(home.own_book_place()) as opened:
        opened.add_observations(small_prices(), "prices")
        basalt = opened.add_animal("Basalt", "clown", sex=Sex.MALE)
        opened.add_animal("Flint", "banana (from sire)", sex=Sex.MALE)
        tansy = opened.add_animal("Tansy", "het clown", sex=Sex.FEMALE)
        opened.add_pairing(2027, basalt.id, tansy.id)
        opened.add_pairing(2028, basalt.id, tansy.id, planned=False)
        yield opened


def couple(book, sire="Basalt", dam="Tansy", **more):
    ids = {animal.name: str(animal.id) for animal in book.animals()}
    return {"sire": ids[sire], "dam": ids[dam], **more}


def planned(book):
    names = {animal.id: animal.name for animal in book.animals()}
    return {(names[p.sire_id], p.season) for p in book.pairings() if p.planned}


def test_the_page_names_its_season_and_puts_that_one_in_the_plan(book, screen):
    shown = screen("pairing", **couple(book, season="2028"))
    assert shown.tables.words("lead").startswith("Season 2028. In 8 of 10 such seasons between ")
    shown.press("Put in the plan")
    assert planned(book) == {("Basalt", 2027), ("Basalt", 2028)}


def test_a_couple_that_is_not_entered_is_planned_for_the_season_of_the_address(book, screen):
    screen("pairing", **couple(book, "Flint", season="2029")).press("Put in the plan")
    assert planned(book) == {("Basalt", 2027), ("Flint", 2029)}


@pytest.mark.parametrize("said", [{}, {"season": "soon"}, {"season": "1066"}, {"season": "²"}])
def test_without_a_season_that_can_be_entered_it_is_the_season_to_come(book, screen, said):
    shown = screen("pairing", **couple(book, **said))
    assert shown.tables.words("lead").startswith("Season 2027.")
    shown.press("Leave out of the plan")
    assert planned(book) == set()


def test_another_sire_keeps_the_season(book, screen):
    shown = screen("pairing", **couple(book, season="2028"))
    box = next(box for box in shown.app.selectbox if box.label == "Sire")
    box.set_value(next(animal for animal in book.animals() if animal.name == "Flint"))
    shown.run()
    went = couple(book, "Flint")
    assert shown.tables.drawn["went to"] == f"pairing?sire={went['sire']}&dam={went['dam']}&season=2028"


def test_what_was_tried_for_one_season_is_let_go_in_another(book, screen):
    shown = screen("pairing", **couple(book, "Flint", season="2029"))
    box = next(box for box in shown.app.number_input if "-clutch." in str(box.key))
    box.set_value(0.5 * (box.value + box.max))
    before = shown.title
    assert shown.run().title != before
    shown.app.query_params["season"] = "2030"
    shown.run()
    shown.app.query_params["season"] = "2029"
    assert shown.run().title == before


def test_one_season_s_answer_is_never_shown_for_another(book, screen):
    for season in ("2027", "2028", "2027"):
        shown = screen("pairing", **couple(book, season=season))
        assert shown.tables.words("lead").startswith(f"Season {season}.")


@pytest.mark.parametrize(("page", "table"), [("season", "table"), ("animals", "pairings")])
def test_links_to_a_pairing_name_its_season(book, screen, page, table):
    shown = screen(page)
    links = [target for target in shown.tables.targets(table) if target.startswith("pairing?")]
    ids = couple(book)
    assert links == [f"pairing?sire={ids['sire']}&dam={ids['dam']}&season=2027"]
