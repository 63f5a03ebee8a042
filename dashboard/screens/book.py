"""Book: what is in it, where does it lie, and what can be brought in, taken out and taken back."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, heading, lead
from dashboard.figures.plain import facts_table
from dashboard.jobs.book import BookAnswer, back_ups_of, book_answer
from dashboard.records import BackUp, BookError
from dashboard.records.spreadsheets import TABLE_KINDS, export_csv, export_workbook, exportable
from dashboard.screens import book_history
from dashboard.screens.import_file import import_panel
from dashboard.screens.saving import refused, undo_line
from dashboard.words import day_words, listed, num, plural
from econ.money import CURRENCIES

_TABLES = {
    "prices": "prices seen",
    "supply": "counts of animals on offer",
    "animals": "animals",
    "pairings": "pairings",
    "info": "what the book says of itself",
    "assumptions": "own cost figures",
    "pairing_assumptions": "own figures of single pairings",
    "own_genes": "own genes",
    "forecasts": "forecasts that were shown",
    "imports": "files brought in",
    "changes": "everything that was changed",
}
_BEFORE = "Before you sell, ship or show"
_CAUTIONS = (
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


def page() -> None:
    """Show the open book and what can be done with it."""
    book = session.current_book()
    answer = session.computed("book", lambda: book_answer(book))
    copies = back_ups_of(book)
    st.title(_title(answer, copies))
    draw(lead(esc(_lead(answer, copies))), "lead")
    undo_line()
    refused("undo")
    facts, deeds = st.container(), st.container()
    trying = import_panel("book", TABLE_KINDS)
    with facts:
        draw(facts_table("This book", _facts(answer)), "facts")
    with deeds:
        book_history.ask_restore()
        refused(book_history.PLACE)
        _deeds(answer, alone=not trying)
    _take_out()
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
        parts = [f"{num(answer.counts)} supply {plural(answer.counts, 'count')}"]
    return f"{whose} holds {listed(parts)}" + ("" if copies else "; it has no back-up yet")


def _lead(answer: BookAnswer, copies: tuple[BackUp, ...]) -> str:
    words = "It is one file on this computer; nothing is sent anywhere."
    if copies:
        words += f" The newest back-up is from {day_words(copies[0].at.date())}, made {copies[0].why}."
    elif not answer.is_empty:
        words += " It has no back-up yet; make one and copy it to another disk."
    return words


def _facts(answer: BookAnswer) -> tuple[tuple[str, str], ...]:
    info = answer.info
    kind = "the demo book: everything in it is invented" if info.is_demo else f"your own, “{info.name}”"
    as_of = "" if info.as_of is None else f"; it counts {info.as_of.isoformat()} as today"
    counts = (
        (answer.animals, "animal"),
        (answer.pairings, "pairing"),
        (answer.prices, "price"),
        (answer.counts, "supply count"),
        (answer.figures, "own cost figure"),
    )
    return (
        ("Which book", kind + as_of),
        ("File", str(info.path)),
        ("Money", info.currency),
        ("It holds", listed([f"{num(n)} {plural(n, word)}" for n, word in counts])),
    )


def _deeds(answer: BookAnswer, *, alone: bool) -> None:
    """Offer a back-up, the demo book, and another currency as long as nothing is counted in this one."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        if st.button("Back up now", type="primary" if alone else "secondary"):
            book_history.back_up()
        if answer.info.is_demo:
            return
        if st.button("Open the demo book"):
            session.open_demo_book()
            st.rerun()
        if answer.can_change_money:
            _money(answer.info.currency)


def _money(now: str) -> None:
    codes = sorted(CURRENCIES)
    code = st.selectbox("Money of this book", codes, codes.index(now), key=f"money-{now}", width=180)
    if code is None or code == now:
        return
    try:
        session.current_book().set_currency(code)
    except BookError as fault:
        session.tell(f"{fault} Nothing was saved.")
    else:
        session.tell(f"This book counts in {code}.")
    st.rerun()


def _take_out() -> None:
    """Offer each table as CSV and all of them as one workbook."""
    reading = "A copy for a spreadsheet or another program. The first four tables can be brought in again."
    draw(heading("Take everything out", reading, spaced=True), "out_head")
    book = session.current_book()
    with st.container(horizontal=True, vertical_alignment="bottom"):
        table = st.selectbox(
            "Table",
            exportable(),
            format_func=lambda name: _TABLES.get(name, name),
            key="out_table",
            width=280,
        )
        st.download_button(
            "This table as CSV",
            data=lambda: export_csv(book, table),
            file_name=f"{table}.csv",
            mime="text/csv",
            on_click="ignore",
        )
        st.download_button(
            "Everything as XLSX",
            data=lambda: export_workbook(book),
            file_name=f"{book.path.stem}.xlsx",
            on_click="ignore",
        )
