"""A link to a pairing whose sire or dam is no longer there: say so, and show no other animal in its place."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, link
from dashboard.jobs.animals import GONE
from dashboard.records import AnimalRecord
from dashboard.words import listed

_WENT = {"sold": "was sold", "died": "has died"}


def show() -> bool:
    """Say that a parent the address names is gone or was removed; gives whether there was one."""
    book = session.current_book()
    asked = [wanted for wanted in (session.asked_for("sire"), session.asked_for("dam")) if wanted is not None]
    if not asked:
        return False
    animals = session.computed("animals of the book", book.animals)
    herd = {str(animal.id): animal for animal in animals}
    gone = [herd[wanted] for wanted in asked if wanted in herd and herd[wanted].status in GONE]
    removed = [wanted for wanted in asked if wanted not in herd]
    if not gone and not removed:
        return False
    st.title(_title(asked, herd, gone), anchor=False)
    words = (
        "No more eggs come of this pairing, so nothing is valued. If it stands in a plan, take it out there."
    )
    if removed:
        words = "An animal of this address was removed from the book, so nothing is valued here."
    names = " ".join(f"{link(f'See {animal.name}', f'animals?id={animal.id}')}." for animal in gone)
    target = draw(note("none", f"{esc(words)} {names}"), "gone")
    if target:
        session.go(target)
    with st.container(horizontal=True):
        if st.button("Change the plan", type="primary"):
            session.go("animals")
        if st.button("Another pairing"):
            session.go("pairing")
    return True


def _title(asked: list[str], herd: dict[str, AnimalRecord], gone: list[AnimalRecord]) -> str:
    if not gone:
        return "This pairing is not in the book"
    name = " × ".join(herd[wanted].name for wanted in asked if wanted in herd)
    went = listed([f"{animal.name} {_WENT[animal.status]}" for animal in gone])
    return f"{name}: {went}" if len(asked) > 1 else went
