"""A book that does not open: why, and what can be done; nothing of it was written."""

from __future__ import annotations

import streamlit as st

from dashboard import home, session
from dashboard.book_place import choose_book
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, strong
from dashboard.records import BackUp, BookDamaged, BookError, newest_sound, restore
from dashboard.words import copy_reason, day_words


def show(fault: BookError) -> None:
    """Say why the book did not open, and offer the newest back-up, another book or the demo."""
    st.title("This book can’t be opened", anchor=False)
    draw(note("none", f"{strong('Nothing was changed.')} {esc(fault)}"), "refused")
    if session.is_demo():
        if st.button("Build the demo book again", type="primary"):
            session.put_demo_aside()
            st.rerun()
        return
    copy = newest_sound(session.book_place()) if isinstance(fault, BookDamaged) else None
    if copy is not None:
        draw(f"<p>{_copy_words(copy)}</p>", "newest_copy")
    with st.container(horizontal=True):
        if copy is not None and st.button("Restore the newest back-up", type="primary"):
            _restore(copy)
        if st.button("Open the demo book"):
            session.open_demo_book()
            st.rerun()
        if st.button("Try again"):
            st.rerun()
    if not home.place_is_told():
        _elsewhere()


def _copy_words(copy: BackUp) -> str:
    when = f"{day_words(copy.at.date())}, {copy.at:%H:%M} UTC"
    return (
        f"The newest back-up that is sound was made on {strong(when)}, {esc(copy_reason(copy.why))}: "
        f"{esc(copy.path)}. The damaged file is kept under another name when it takes its place."
    )


def _restore(copy: BackUp) -> None:
    try:
        restore(session.book_place(), copy.path)
    except BookError as fault:
        session.tell(f"{fault} Nothing was changed.")
    else:
        session.reopen_book()
        session.tell(f"The book is as it was on {copy.at:%Y-%m-%d %H:%M} UTC.")
    st.rerun()


def _elsewhere() -> None:
    """Offer to open a book that lies at another place, such as on a disk that is plugged in again."""
    with st.form("elsewhere", border=False):
        said = st.text_input("Or open a book at another place: a file or a folder", key="elsewhere_said")
        sent = st.form_submit_button("Open the book there")
    if not sent:
        return
    try:
        choose_book(said.strip())
    except BookError as fault:
        draw(note("none", f"{esc(fault)} {strong('Nothing was changed.')}"), "elsewhere_refused")
        return
    session.reopen_book()
    session.open_own_book()
    st.rerun()
