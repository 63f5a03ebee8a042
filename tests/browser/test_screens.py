"""Every page of the program with the demo book: no error, no finding, nothing cut off."""

from __future__ import annotations

import pytest

from dashboard.words import DEMO_WORDS, PAGES

pytestmark = pytest.mark.browser
FRAME = ("stApp", "stMain", "stMainBlockContainer", "stHeader")


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("width", ["wide", "phone"])
def test_screens(app, visit, width, name):
    window = visit(app, width, "light")
    window.open(name.lower())
    for scheme in ("light", "dark"):
        window.turn(width, scheme)
        window.save(f"{name.lower()}-{width}-{scheme}")
        assert window.faults() == []
        assert window.fit()[1] == 0
        assert [f for f in window.axe_findings() if f.startswith(("serious", "critical"))] == []


def test_the_bare_address_leads_to_the_first_page_and_says_that_all_is_invented(app, visit):
    window = visit(app)
    window.open("")
    window.page.wait_for_url("**/season")
    assert window.page.get_by_text(DEMO_WORDS).first.is_visible()
    assert window.page.get_by_role("link", name="Season").count() == 1


def test_the_address_of_a_page_works_as_the_first_thing_asked_of_a_fresh_server(fresh_app, visit):
    window = visit(fresh_app)
    window.open("prices")
    assert window.faults() == []
    links = window.page.locator('[data-testid="stHeader"] a').all_inner_texts()
    assert [words.strip() for words in links if words.strip()] == list(PAGES)


def test_the_navigation_holds_the_pages_in_order(app, visit):
    window = visit(app)
    window.open("season")
    links = window.page.locator('[data-testid="stHeader"] a').all_inner_texts()
    assert [words.strip() for words in links if words.strip()] == list(PAGES)


def test_the_parts_that_the_page_style_names_are_there(app, visit):
    window = visit(app)
    window.open("season")
    assert {name: window.page.get_by_test_id(name).count() for name in FRAME} == dict.fromkeys(FRAME, 1)
    assert window.page.locator(".st-key-demo").count() == 1
