"""Book: what is in it, where does it lie, and what can be brought in, taken out and taken back."""

from __future__ import annotations

from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, heading, lead
from dashboard.figures.plain import facts_table
from dashboard.figures.records import ContentLine, contents_table
from dashboard.jobs.book import BookAnswer, Content, back_ups_of, book_answer
from dashboard.records import BackUp
from dashboard.records.spreadsheets import TABLE_KINDS
from dashboard.screens import book_history, book_money, book_out, book_place, rows
from dashboard.screens.import_file import import_panel
from dashboard.screens.saving import refused, undo_line
from dashboard.words import copy_reason, day_words, listed, num, plural

_BEFORE: Final = "Before you sell, ship or show"
_CAUTIONS: Final = (
    (
        "The law",
        (
            "Ball pythons are in CITES Appendix II, so selling across a border needs papers. Permits, "
            "licences and rules for enclosures differ by country and place. Ask your own authority first."
        ),
    ),
    (
        "Salmonella",
        (
            "Any snake may carry it. Wash your hands after every contact. Children under 5, adults over 65 "
            "and people with weak immunity should avoid contact (CDC). Tell buyers and visitors."
        ),
    ),
    (
        "The animals",
        (
            "Ask authority and carrier for their rules before a live animal travels. If one is unwell, ask a "
            "veterinarian who knows reptiles before it goes anywhere."
        ),
    ),
    ("The money", "All sums are estimates from your own figures; no advice on investment or tax."),
)
_OWN_PAGES: Final = {"animals": "animals", "pairings": "animals", "costs": "costs"}


def page() -> None:
    """Show the open book and what can be done with it, or one of its tables."""
    table = session.asked_for("table")
    if table is not None:
        rows.show(table)
        return
    book = session.current_book()
    answer = session.computed("book", lambda: book_answer(book))
    copies = back_ups_of(book)
    st.title(_title(answer, copies), anchor=False)
    draw(lead(esc(_lead(answer, copies))), "lead")
    undo_line()
    refused("undo")
    above = st.container()
    trying = import_panel("book", TABLE_KINDS)
    with above:
        book_history.ask_restore()
        refused(book_history.PLACE)
        _deeds(answer, alone=not trying)
        _contents(answer)
    book_out.show(answer)
    book_place.show(answer)
    book_money.show(answer)
    book_history.back_ups(copies)
    book_history.imports(answer)
    book_history.changes(answer)
    draw(heading(_BEFORE, spaced=True) + facts_table(_BEFORE, _CAUTIONS, plain=True), "cautions")


def _title(answer: BookAnswer, copies: tuple[BackUp, ...]) -> str:
    whose = "The demo book" if answer.info.is_demo else "Your book"
    if answer.is_empty:
        return f"{whose} is empty: start with an animal or a file"
    counts = ((answer.animals, "animal"), (answer.pairings, "pairing"), (answer.prices, "price"))
    parts = [f"{num(n)} {plural(n, word)}" for n, word in counts if n]
    if not parts:
        rest = next(content for content in answer.contents if content.count)
        parts = [_counted(rest)]
    return f"{whose} holds {listed(parts)}" + ("" if copies else "; it has no back-up yet")


def _counted(content: Content) -> str:
    one = rows.one_of(content.name)
    return f"{num(content.count)} {plural(content.count, one, content.many)}"


def _lead(answer: BookAnswer, copies: tuple[BackUp, ...]) -> str:
    shared = book_place.is_shared(answer.info)
    words = "It is shared by several people." if shared else "It is one file on this computer."
    words += " Nothing is sent anywhere else." if shared else " Nothing is sent anywhere."
    if copies:
        made = f"{day_words(copies[0].at.date())}, made {copy_reason(copies[0].why)}"
        words += f" The newest back-up is from {made}."
    elif not answer.is_empty:
        words += " It has no back-up yet; make one and copy it to another disk."
    return words


def _contents(answer: BookAnswer) -> None:
    """List the tables of the book, each a link to its rows."""
    lines = [
        ContentLine(
            content.many[:1].upper() + content.many[1:],
            _OWN_PAGES.get(content.name) or rows.address(content.name),
            num(content.count),
            "" if content.newest is None else content.newest.isoformat(),
        )
        for content in answer.contents
    ]
    reading = "Each name leads to its rows, to enter, change or remove them."
    target = draw(contents_table("What is in it", reading, rows=lines), "contents")
    if target is not None:
        session.go(target)


def _deeds(answer: BookAnswer, *, alone: bool) -> None:
    """Offer a back-up and the demo book."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        if st.button("Back up now", type="primary" if alone else "secondary"):
            book_history.back_up()
        if not answer.info.is_demo and st.button("Open the demo book"):
            session.open_demo_book()
            st.rerun()
