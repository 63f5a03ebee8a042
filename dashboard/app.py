"""The frame around every page: navigation, the line that marks invented data, a book that won't open."""

from __future__ import annotations

import logging
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any, Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw, palette_now, scheme_watch
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, strong
from dashboard.figures.page_style import PAGE_CSS, logo
from dashboard.home import log_path
from dashboard.records import BookError
from dashboard.words import BACK_TO_OWN, DEMO_NAME, DEMO_WORDS, PAGES, START_OWN

_LOG: Final = logging.getLogger("hatchmargin")
_ICON: Final = str(Path(__file__).resolve().parent / "icon.png")


def _run_page(name: str) -> Callable[[], None]:
    """Give a function that opens the page's module only when the page is asked for."""

    def run() -> None:
        import_module(f"dashboard.screens.{name}").page()

    run.__name__ = name
    return run


def _start() -> None:
    """Lead from the bare address to the first page."""
    session.go(PAGES[0].lower())


def main() -> None:
    """Draw the frame and the page asked for."""
    st.set_page_config(page_title="Hatchmargin", page_icon=_ICON, layout="wide")
    pages = {
        name.lower(): st.Page(_run_page(name.lower()), title=name, url_path=name.lower()) for name in PAGES
    }
    session.keep_pages(pages)
    start = st.Page(_start, title="Hatchmargin", url_path="start", default=True, visibility="hidden")
    chosen = st.navigation([start, *pages.values()], position="top")
    st.logo(logo(palette_now()), size="medium")
    st.html(f"<style>{PAGE_CSS}</style>")
    try:
        session.current_book()
    except BookError as fault:
        import_module("dashboard.screens.refused_book").show(fault)
    else:
        if session.is_demo():
            _demo_line()
        _run(chosen)
    session.show_told()
    scheme_watch()


def _run(chosen: Any) -> None:
    """Run the page; if it breaks, say so in plain words and put the trace in the log."""
    try:
        chosen.run()
    except BookError as fault:  # such as a server that went away in the midst of a page
        st.title("The book can’t be reached just now", anchor=False)
        draw(note("none", f"{strong('Nothing was changed.')} {esc(fault)}"), "unreachable")
        st.button("Try again", type="primary")
    except Exception:  # noqa: BLE001 - whatever a page raises, its trace belongs in the log, not on screen
        _LOG.exception("the page %s broke", chosen.url_path)
        with st.container(key="broken"):
            st.title("This page could not be drawn", anchor=False)
            said = f"Your records are as they were. What went wrong is written in {log_path()}."
            draw(note("none", esc(said)), "broken_note")


def _demo_line() -> None:
    """Say that everything is invented, and offer the way to the breeder's own book."""
    with st.container(key="demo", horizontal=True, vertical_alignment="center", gap="small"):
        st.markdown(f"**{DEMO_NAME}** {DEMO_WORDS}", width="stretch")
        words = BACK_TO_OWN if session.own_book_exists() else START_OWN
        if st.button(words, type="tertiary", key="own_book"):
            session.open_own_book()
            st.rerun()


if __name__ == "__main__":  # so the server runs it; an import draws nothing
    main()
