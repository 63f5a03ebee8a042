"""Animals as a breeder uses them: the first answer by keyboard, many animals in a row, an animal's family."""

from __future__ import annotations

import re
import sqlite3
import time

import pytest

pytestmark = pytest.mark.browser

MOST_SECONDS = 60  # of the machine's share of the three minutes; the rest is for reading and typing


def title(window) -> str:
    return window.page.locator("h1").inner_text()


def stored(window, query: str) -> list[tuple]:
    """Look into the book itself: what is on the screen may not be what was stored."""
    with sqlite3.connect(window.server.home / "my-book.sqlite") as book:
        return book.execute(query).fetchall()


def stand_still(window) -> None:
    window.page.wait_for_timeout(500)
    window.settle()


def own_book(server, visit):
    window = visit(server)
    window.open("animals")
    window.page.get_by_role("button", name="Start my own book").click()
    window.page.get_by_role("heading", name="Three small steps").wait_for()
    stand_still(window)
    return window


def wait_for_focus(window, label: str) -> None:
    """Wait until the keyboard stands in a field: nobody has to reach for the mouse."""
    focused = "label => document.activeElement.getAttribute('aria-label') === label"
    window.page.wait_for_function(focused, arg=label, timeout=30_000)
    window.settle()


def test_the_first_answer_takes_five_fields_and_no_click_after_the_start(fresh_app, visit):
    window = own_book(fresh_app, visit)
    keys = window.page.keyboard
    began, fields = time.monotonic(), 0

    def type_in(words: str) -> None:
        nonlocal fields
        keys.type(words)
        fields += 1

    wait_for_focus(window, "A male, its name")
    type_in("Basalt")
    keys.press("Tab")
    type_in("pastel clown")
    keys.press("Tab")
    type_in("Tansy")
    keys.press("Tab")
    type_in("enchi het clown")
    keys.press("Enter")
    window.page.get_by_role("heading", name="2 of 3: one price").wait_for()
    wait_for_focus(window, "Its price")
    assert stored(window, "select name, sex from animals order by id") == [
        ("Basalt", "male"),
        ("Tansy", "female"),
    ]
    type_in("280")
    keys.press("Enter")
    window.page.get_by_role("heading", name="3 of 3: one pairing").wait_for()
    wait_for_focus(window, "Year of the eggs")
    assert stored(window, "select what, price_minor from price_observations") == [("clown", 28000)]
    keys.press("Enter")
    window.page.wait_for_url("**/pairing?*")
    window.page.get_by_role(
        "heading", name=re.compile("Basalt × Tansy should (leave|lose) .+ EUR")
    ).wait_for()
    stand_still(window)
    took = time.monotonic() - began
    assert fields == 5
    assert took < MOST_SECONDS, took
    assert window.page.get_by_text("In 8 of 10 such seasons between").first.is_visible()
    assert stored(window, "select planned from pairings") == [(1,)]
    assert window.faults() == []
    window.open("animals")
    assert title(window).startswith("You keep two animals")


def test_animals_are_entered_one_after_the_other_from_the_keyboard(fresh_app, visit):
    window = own_book(fresh_app, visit)
    page, keys = window.page, window.page.keyboard
    page.get_by_role("button", name="Put this guide aside").click()
    page.get_by_label("Name", exact=True).first.wait_for()
    stand_still(window)
    page.get_by_label("Name", exact=True).first.focus()
    for number, name in enumerate(("Ash", "Birch", "Cedar"), start=1):
        keys.type(name)
        keys.press("Tab")
        keys.press("Tab")
        keys.type("pastel het pied")
        keys.press("Enter")
        stand_still(window)
        wait_for_focus(window, "Name")
        assert stored(window, "select count(*) from animals") == [(number,)]
    assert stored(window, "select distinct text from animals") == [("pastel het pied",)]


def test_a_family_is_drawn_wide_and_told_as_a_list_on_a_phone(app, visit):
    window = visit(app)
    window.open("animals")
    window.page.get_by_role("link", name="Clover").first.click()
    window.page.get_by_role("heading", name="Clover is from Basalt × Tansy").wait_for()
    stand_still(window)
    picture = window.page.get_by_role("img", name="Pedigree of Clover")
    assert picture.is_visible()
    sire = window.page.get_by_role("link", name="Basalt", exact=True)
    dam = window.page.get_by_role("link", name="Tansy", exact=True)
    above, below = sire.bounding_box(), dam.bounding_box()
    assert above["y"] < below["y"]
    assert above["x"] == pytest.approx(below["x"], abs=2)
    window.turn("phone", "dark")
    assert not picture.is_visible()
    assert window.page.get_by_text("dam of the sire").is_visible()
    assert window.fit()[1] == 0
    assert window.axe_findings() == []
    window.save("animal-phone-dark")
    sire.focus()
    window.page.keyboard.press("Enter")
    window.page.get_by_role("heading", name=re.compile("^Basalt, male")).wait_for()
    assert window.faults() == []


def test_the_guide_has_no_finding_and_nothing_is_cut_off(fresh_app, visit):
    window = own_book(fresh_app, visit)
    for width in ("wide", "phone"):
        for scheme in ("light", "dark"):
            window.turn(width, scheme)
            window.save(f"first-steps-{width}-{scheme}")
            assert window.faults() == []
            assert window.fit()[1] == 0, (width, scheme)
            assert window.axe_findings() == [], (width, scheme)
