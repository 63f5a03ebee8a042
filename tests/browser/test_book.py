"""Records by hand as a breeder enters them, in a real browser: prices, weights, a clutch and its young."""

from __future__ import annotations

import re
import sqlite3

import pytest

from tests.browser.test_main_job import own_book, stand_still, stored, title

pytestmark = pytest.mark.browser


def sound(window) -> None:
    """Nothing is cut off, nothing fails, and axe finds nothing serious."""
    stand_still(window)
    assert window.faults() == []
    assert window.fit()[1] == 0
    assert [f for f in window.axe_findings() if f.startswith(("serious", "critical"))] == []


def demo_rows(server, query: str) -> list[tuple]:
    with sqlite3.connect(server.home / "demo-book.sqlite") as book:
        return book.execute(query).fetchall()


def test_prices_are_entered_with_the_keyboard_alone(fresh_app, visit):
    window = own_book(fresh_app, visit)
    page = window.page
    window.open("book?table=prices")
    assert title(window) == "No price yet: enter the first"
    page.get_by_label("Date", exact=True).fill("03/04/2025")
    page.get_by_label("What", exact=True).fill("pastel clown")
    price = page.get_by_label("Price", exact=True)
    price.fill("320.50")
    price.press("Enter")
    page.get_by_text("3 April or 4 March? Write the year first").first.wait_for()
    stand_still(window)
    sound(window)
    window.save("book-refused")
    assert stored(window, "select count(*) from price_observations") == [(0,)]
    day = page.get_by_label("Date", exact=True)
    day.fill("2025-04-03")
    day.press("Enter")
    page.get_by_role("heading", name="The book holds 1 price").wait_for()
    stand_still(window)
    assert page.get_by_label("Date", exact=True).input_value() == "2025-04-03"
    assert page.get_by_label("Price", exact=True).input_value() == ""
    page.wait_for_function("() => document.activeElement.getAttribute('aria-label') === 'What'")
    page.keyboard.type("clown")
    page.keyboard.press("Tab")
    page.get_by_label("Price", exact=True).fill("200")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="The book holds 2 prices").wait_for()
    assert stored(window, 'select "on", what, price_minor from price_observations order by id') == [
        ("2025-04-03", "pastel clown", 32050),
        ("2025-04-03", "clown", 20000),
    ]


def test_a_row_is_changed_removed_and_taken_back(fresh_app, visit):
    window = visit(fresh_app)
    page = window.page
    window.open("book")
    page.get_by_role("link", name="Weights").click()
    page.get_by_role("heading", name="The book holds 11 weights").wait_for()
    stand_still(window)
    row = page.get_by_role("row").filter(has_text="Schist").first
    row.get_by_role("button", name="Change").click()
    page.get_by_role("heading", name="Change a weight").wait_for()
    stand_still(window)
    grams = page.get_by_label("Grams, g")
    assert grams.input_value() == "1520"
    grams.fill("1530")
    grams.press("Enter")
    page.get_by_role("heading", name="The book holds 11 weights").wait_for()
    stand_still(window)
    newest = "select grams from weights where \"on\" = '2026-10-30' and animal_id = 11"
    assert demo_rows(fresh_app, newest) == [(1530.0,)]
    page.get_by_role("button", name="Undo").first.click()
    stand_still(window)
    assert demo_rows(fresh_app, newest) == [(1520.0,)]
    page.get_by_role("row").filter(has_text="Schist").first.get_by_role("button", name="Remove").click()
    page.get_by_role("heading", name="The book holds 10 weights").wait_for()
    sound(window)


def test_a_clutch_from_its_pairing_to_a_sale(fresh_app, visit):
    window = visit(fresh_app)
    page = window.page
    window.open("clutch?season=2027")
    row = page.get_by_role("row").filter(has_text="Flint × Marl")
    row.get_by_role("link", name="Enter its clutch").click()
    page.get_by_role("heading", name="Flint × Marl of 2027 has no clutch yet").wait_for()
    stand_still(window)
    page.get_by_label("Laid", exact=True).fill("2026-11-19")
    page.get_by_label("Fertile eggs", exact=True).fill("4")
    page.get_by_label("Hatched", exact=True).fill("4")
    page.get_by_role("button", name="Enter this clutch").click()
    page.wait_for_url(re.compile(r"clutch\?clutch=\d+"))
    page.get_by_role("heading", name="Flint × Marl of 2027: four hatched").wait_for()
    stand_still(window)
    page.get_by_role("row").filter(has_text="banana het pied").first.get_by_role(
        "button", name="male", exact=True
    ).click()
    page.get_by_role("row").filter(has_text="Marl 2027-1").wait_for()
    stand_still(window)
    page.get_by_label("Hatchlings").fill("1.1 pied\nhet pied f")
    page.get_by_role("button", name="Enter these hatchlings").click()
    page.get_by_role("row").filter(has_text="Marl 2027-4").wait_for()
    stand_still(window)
    sound(window)
    query = "select text, sex from animals where name like 'Marl 2027-%' order by id"
    assert demo_rows(fresh_app, query) == [
        ("banana het pied", "male"),
        ("pied", "male"),
        ("pied", "female"),
        ("het pied", "female"),
    ]
    page.get_by_role("row").filter(has_text="Marl 2027-2").get_by_role("button", name="more").click()
    page.get_by_role("heading", name="Marl 2027-2, pied").wait_for()
    stand_still(window)
    page.get_by_role("radio", name="It was sold").check(force=True)
    stand_still(window)
    page.get_by_label("Sold for", exact=True).fill("380")
    window.save("clutch-sale")
    sound(window)
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_role("heading", name="one sold for 380 EUR").wait_for()
    sold = "select status, sold_minor, sold_on from animals where name = 'Marl 2027-2'"
    assert demo_rows(fresh_app, sold) == [("sold", 38000, "2026-11-20")]


def test_a_book_moves_to_a_folder_of_its_own(fresh_app, visit):
    window = own_book(fresh_app, visit)
    page = window.page
    window.open("book")
    folder = fresh_app.home / "elsewhere"
    folder.mkdir()
    page.get_by_label("Another place: a folder or a file").fill(str(folder))
    page.get_by_role("button", name="Move the book there").click()
    page.get_by_text("The old file stays whole").first.wait_for()
    stand_still(window)
    sound(window)
    window.save("book-move")
    page.get_by_role("button", name="Move it").click()
    page.get_by_text("lies at").first.wait_for()
    stand_still(window)
    assert (folder / "my-book.sqlite").exists()
    assert page.get_by_text(str(folder / "my-book.sqlite")).first.is_visible()
    sound(window)
