"""The figures in a real browser: readable by all, on a desk and on a phone, in light and in dark."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser
PAGES = ("", "pairing", "prices", "plain")


@pytest.mark.parametrize("address", PAGES)
def test_axe_finds_nothing_in_any_figure_and_nothing_scrolls_sideways(gallery, visit, address):
    window = visit(gallery, "wide", "light")
    window.open(address)
    for width in ("wide", "phone"):
        for scheme in ("light", "dark"):
            window.turn(width, scheme)
            window.save(f"gallery-{address or 'season'}-{width}-{scheme}")
            assert window.faults() == []
            assert window.fit()[1] == 0, (width, scheme)
            assert window.axe_findings() == [], (width, scheme)
    for across in (320, 640, 768, 1024, 1920):
        window.page.set_viewport_size({"width": across, "height": 800})
        window.page.wait_for_timeout(250)
        assert window.fit()[1] == 0, across


def test_axe_would_find_a_text_too_pale_inside_a_figure(gallery, visit):
    window = visit(gallery)
    window.open("plain")
    window.page.get_by_role("cell", name="03/04/2025").evaluate("cell => { cell.style.color = '#DDDDDD'; }")
    assert [line for line in window.axe_findings() if "color-contrast" in line]


def test_a_link_in_a_table_is_found_by_its_name_and_tells_the_page_its_target(gallery, visit):
    window = visit(gallery)
    window.open("")
    window.page.get_by_role("link", name="Quill × Nettle").click()
    window.settle()
    assert window.page.get_by_text("went to pairing?id=4").is_visible()


def test_a_link_works_from_the_keyboard_and_is_a_real_address(gallery, visit):
    window = visit(gallery)
    window.open("prices")
    link = window.page.get_by_role("link", name="Desert ghost")
    assert link.get_attribute("href") == "prices?trait=desert%20ghost"
    link.focus()
    window.page.keyboard.press("Enter")
    window.settle()
    assert window.page.get_by_text("went to prices?trait=desert%20ghost").is_visible()


def test_tables_keep_their_meaning_on_a_phone(gallery, visit):
    window = visit(gallery, "phone")
    window.open("")
    table = window.page.get_by_role("table", name="Six of seven pairings")
    assert table.get_by_role("row").count() >= 10
    assert table.get_by_role("rowheader").count() == 10
    assert table.get_by_role("img").count() == 7


def test_a_text_from_the_book_is_never_read_as_html(gallery, visit):
    window = visit(gallery)
    window.open("plain")
    assert window.page.get_by_text("Juniper <b>").is_visible()


def test_charts_follow_when_the_system_turns_dark(gallery, visit):
    window = visit(gallery)
    window.open("pairing")
    fill = "() => getComputedStyle(document.querySelector('.js-plotly-plot .scatterlayer path.point')).fill"
    assert window.page.evaluate(fill) == "rgb(14, 90, 107)"
    window.page.emulate_media(color_scheme="dark")
    window.page.wait_for_timeout(1200)
    window.settle()
    assert window.page.evaluate(fill) == "rgb(114, 199, 214)"
