"""The main job as a breeder does it: from a price file and a pairing to what it is expected to earn."""

from __future__ import annotations

import re
import sqlite3

import pytest

pytestmark = pytest.mark.browser

PRICES = """\
date;what;sex;stage;asked or sold;price;currency
2026-01-05;clown;female;hatchling;asked;320,00;EUR
2026-02-05;clown;male;hatchling;sold;280,00;EUR
2026-03-11;pastel;male;hatchling;asked;55,00;EUR
2026-04-11;pastle het clown;male;hatchling;asked;95,00;EUR
2026-05-01;het clown;female;hatchling;asked;110,00;EUR
2026-06-01;pastel clown;female;hatchling;sold;390,50;EUR
2026-06-02;normal;male;hatchling;sold;0;EUR
2026-06-03;normal;male;hatchling;sold;30,00;EUR
2126-06-03;normal;male;hatchling;sold;30,00;EUR
2026-06-04;normal;male;hatchling;sold;30,00;EUX
"""


def title(window) -> str:
    return window.page.locator("h1").inner_text()


def stored(window, query: str) -> list[tuple]:
    """Look into the book itself: what is on the screen may not be what was stored."""
    with sqlite3.connect(window.server.home / "my-book.sqlite") as book:
        return book.execute(query).fetchall()


def stand_still(window) -> None:
    window.page.wait_for_timeout(700)
    window.settle()


def own_book(server, visit):
    """Open a window and start the breeder's own, empty book in it."""
    window = visit(server)
    window.open("season")
    window.page.get_by_role("button", name="Start my own book").click()
    window.page.get_by_role("heading", name="Three small steps").wait_for()
    stand_still(window)
    return window


def put_guide_aside(window) -> None:
    """Leave the guide of an empty book for the plain page."""
    window.page.get_by_role("button", name="Put this guide aside").click()
    window.page.get_by_label("Name", exact=True).first.wait_for()
    stand_still(window)


def test_from_the_season_to_a_pairing_and_back_with_one_figure_changed(fresh_app, visit):
    window = visit(fresh_app)
    window.open("season")
    before = title(window)
    assert re.match(r"Expect about .+ EUR from season 2027", before)
    window.page.get_by_role("link", name="Flint × Marl").first.click()
    window.page.wait_for_url("**/pairing?*")
    stand_still(window)
    margin = title(window)
    assert margin.startswith("Flint × Marl should leave")
    eggs = window.page.get_by_role("spinbutton", name="Eggs in a clutch")
    eggs.fill("9")
    eggs.press("Enter")
    window.page.wait_for_function("old => document.querySelector('h1').innerText !== old", arg=margin)
    stand_still(window)
    changed = title(window)
    assert changed != margin
    window.open("season")
    assert title(window) != before
    row = window.page.get_by_role("row").filter(has_text="Flint × Marl").first.inner_text()
    assert changed.removeprefix("Flint × Marl should leave ").removesuffix(" EUR") in row
    window.open("pairing?sire=2&dam=7")
    assert title(window) == changed  # a fresh window: it was stored, not only shown
    assert window.faults() == []


def test_own_book_from_nothing_to_what_a_pairing_should_earn(fresh_app, visit):
    window = own_book(fresh_app, visit)
    page = window.page
    window.open("prices")
    page.locator('input[type="file"]').set_input_files(
        {"name": "prices.csv", "mimeType": "text/csv", "buffer": PRICES.encode()}
    )
    page.get_by_role("heading", name="6 of 10 rows can be added; 4 were refused").wait_for()
    stand_still(window)
    refused = page.get_by_role("table").filter(has_text="pastle").first.inner_text()
    for words in ("pastel", "future", "zero", "EUX"):
        assert words in refused
    assert stored(window, "select count(*) from price_observations") == [(0,)]
    page.get_by_role("button", name="Add the 6 good rows").click()
    page.get_by_text("6 rows added").first.wait_for()
    assert stored(window, "select count(*) from price_observations") == [(6,)]
    window.open("animals")
    put_guide_aside(window)
    for name, sex, what in (("Ash", "male", "pastel clown"), ("Birch", "female", "66% het clown")):
        page.get_by_label("Name", exact=True).fill(name)
        page.get_by_label("What it shows and carries").fill(what)
        if sex == "female":
            page.get_by_label("Sex").first.click()
            page.get_by_role("option", name="female").click()
        page.get_by_role("button", name="Add this animal").click()
        stand_still(window)
    assert stored(window, "select name, sex from animals order by id") == [
        ("Ash", "male"),
        ("Birch", "female"),
    ]
    window.open("pairing")
    assert re.match(r"Ash × Birch should (leave|lose) .+ EUR", title(window))
    page.get_by_role("button", name="Put in the plan").click()
    stand_still(window)
    assert stored(window, "select count(*) from pairings where planned = 1") == [(1,)]
    window.open("season")
    assert page.get_by_role("link", name="Ash × Birch").first.is_visible()
    assert "Demo book" not in page.locator("body").inner_text()
    assert window.faults() == []


def test_a_word_nobody_knows_is_refused_with_the_nearest_and_nothing_is_stored(fresh_app, visit):
    window = own_book(fresh_app, visit)
    page = window.page
    window.open("animals")
    put_guide_aside(window)
    page.get_by_label("Name", exact=True).fill("Ash")
    page.get_by_label("What it shows and carries").fill("pastle het clown")
    page.get_by_role("button", name="Add this animal").click()
    stand_still(window)
    for words in ("pastle", "pastel", "Nothing was saved"):
        assert page.get_by_text(words).first.is_visible()
    assert stored(window, "select count(*) from animals") == [(0,)]


def test_a_changed_cost_is_still_there_after_a_restart_of_the_window(fresh_app, visit):
    window = visit(fresh_app)
    window.open("costs")
    before = title(window)
    window.page.get_by_label("Figures to look at").click()
    window.page.get_by_role("option", name="Feeding").click()
    stand_still(window)
    field = window.page.get_by_role(
        "spinbutton", name=re.compile("hatchling.*meal|meal.*hatchling", re.IGNORECASE)
    ).first
    field.fill("4")
    field.press("Enter")
    window.page.wait_for_function("old => document.querySelector('h1').innerText !== old", arg=before)
    stand_still(window)
    changed = title(window)
    again = visit(fresh_app)
    again.open("costs")
    assert title(again) == changed != before
