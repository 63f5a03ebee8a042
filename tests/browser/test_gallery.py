"""The figures in a real browser: readable by all, on a desk and on a phone, in light and in dark."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser
PAGES = ("", "pairing", "prices", "plain")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", ["wide", "phone"])
def test_axe_finds_nothing_in_any_figure_and_nothing_scrolls_sideways(gallery, visit, width, scheme):
    window = visit(gallery, width, scheme)
    for address in PAGES:
        window.open(address)
        window.save(f"gallery-{address or 'season'}-{width}-{scheme}")
        assert window.faults() == []
        assert window.fit()[1] == 0, address
        assert window.axe_findings() == [], address


@pytest.mark.parametrize("across", [320, 640, 768, 1024, 1920])
def test_no_width_scrolls_sideways(gallery, visit, across):
    window = visit(gallery)
    window.page.set_viewport_size({"width": across, "height": 800})
    for address in PAGES:
        window.open(address)
        assert window.fit()[1] == 0, (address, across)


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
