"""Where does the book lie and what is it called? Its file is chosen, moved and named here."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import streamlit as st

from dashboard import home, session
from dashboard.book_place import choose_book, move_book
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading, strong
from dashboard.figures.plain import facts_table
from dashboard.jobs.book import BookAnswer
from dashboard.records import BookError, BookInfo
from dashboard.records.store.addresses import read_place
from dashboard.screens.saving import clear, refuse, refused

PLACE: Final = "book_place"
_READING: Final = (
    "A folder on another disk is a good place; one that a program keeps in step with other computers is "
    "not, unless only one of them is used at a time."
)
_MOVE: Final = (
    "The book is copied there, checked, and opened there from now on. The old file stays whole, under a "
    "name with “put-aside” in it; back-ups come along as copies."
)
_OPEN: Final = (
    "The book that lies there is opened as yours from now on, in all windows. The present one stays where "
    "it is and can be opened again the same way. Where there is none, a new, empty one is started."
)


def is_shared(info: BookInfo) -> bool:
    """Say whether the book is a shared one on a server."""
    return not isinstance(info.place, Path)


def show(answer: BookAnswer) -> None:
    """Show where the book lies, with ways to move it, open another one and name it."""
    info = answer.info
    draw(heading("Where it lies", _READING, spaced=True), "place_head")
    draw(facts_table("This book", _facts(info)), "facts")
    if info.is_demo:
        return
    _name(info)
    if home.place_is_told():
        words = "This start was told where the book is, so another place can’t be chosen here."
        draw(note("none", esc(words)), "place_told")
        return
    _choose(info)
    _confirm(info)
    refused(PLACE)


def _facts(info: BookInfo) -> tuple[tuple[str, str], ...]:
    kind = "the demo book: everything in it is invented" if info.is_demo else f"your own, “{info.name}”"
    as_of = "" if info.as_of is None else f"; it counts {info.as_of.isoformat()} as today"
    where = "Shared address" if is_shared(info) else "File"
    return ("Which book", kind + as_of), (where, str(info.place))


def _name(info: BookInfo) -> None:
    with st.form("book_name", border=False):
        left, right = st.columns([3, 5], gap="small", vertical_alignment="bottom")
        name = left.text_input("Name of the book", info.name, key=f"name-{info.name}")
        with right:
            sent = st.form_submit_button("Save the name")
    if not sent or name == info.name:
        return
    clear(PLACE)
    try:
        session.current_book().set_name(name)
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        session.tell(f"The book is called “{name.strip()}”.")
    st.rerun()


def _choose(info: BookInfo) -> None:
    """Take a place as text, and what is to be done with it."""
    with st.form("book_place", border=False):
        said = st.text_input(
            "Another place: a folder or a file",
            key="place_said",
            placeholder=str(info.place.parent) if isinstance(info.place, Path) else "",
        )
        with st.container(horizontal=True):
            move = st.form_submit_button("Move the book there", disabled=is_shared(info))
            other = st.form_submit_button("Open the book there")
    if not (move or other):
        return
    clear(PLACE)
    try:
        _check(said)
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        session.choose("place_wish", ("move" if move else "open", said.strip()))
    st.rerun()


def _check(said: str) -> None:
    """Refuse an empty place, and an address with a password in it: it is neither shown nor kept."""
    if not said.strip():
        raise BookError("Write the path of a folder or of a file first.")
    read_place(said.strip())


def _confirm(info: BookInfo) -> None:
    """Ask once more, saying what happens to the file that is open now."""
    wish = session.choice("place_wish", None)
    if wish is None:
        return
    deed, said = wish
    question = f"Move the book to {said}?" if deed == "move" else f"Open the book at {said} as yours?"
    words = _MOVE if deed == "move" else _OPEN
    draw(note("none", f"<p>{strong(question)} {esc(words)} Now: {esc(info.place)}.</p>"), "ask_place")
    with st.container(horizontal=True):
        if st.button("Move it" if deed == "move" else "Open it", key="place_yes"):
            _turn(deed, said, info)
        if st.button("Leave the book where it is", key="place_no"):
            session.choose("place_wish", None)
            st.rerun()


def _turn(deed: str, said: str, info: BookInfo) -> None:
    """Move the book or open another one; a refusal leaves everything as it was."""
    session.choose("place_wish", None)
    clear(PLACE)
    session.current_book().close()
    session.reopen_book()  # so that nothing holds the old file while it gets another name
    try:
        if deed == "move":
            moved = move_book(said)
            words = f"The book lies at {moved.place} now. The old file was kept as {moved.kept}."
        else:
            place = choose_book(said, start=True, currency=info.currency)
            words = f"The book at {place} is open now."
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        session.reopen_book()
        session.open_own_book()
        session.tell(words)
    st.rerun()
