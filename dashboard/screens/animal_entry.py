"""Enter animals one after the other: as on the label, like the last one, without leaving the keyboard."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, heading, strong
from dashboard.jobs.animals import AnimalsAnswer, reading_of, with_name
from dashboard.jobs.catalogue import catalogue_of
from dashboard.records import BookError
from dashboard.records.spreadsheets import CellRefused
from dashboard.screens import animal_form
from dashboard.screens.focus import focus_on
from dashboard.screens.saving import clear, refuse, refused, saved, word_refused
from genetics import Sex

PLACE = "add_animal"
_OWN = ("name", "note", "sold", "sold_on", "sold_where")  # never the same for the next one


def add(herd: AnimalsAnswer) -> None:
    """Offer to enter an animal; what was read is said back."""
    reading = "As on its label; every word is checked. Enter adds it and goes back to the name."
    draw(heading("Add an animal", reading, spaced=True), "add_head")
    round_ = session.choice("add_round", 0)
    draft = session.choice("add_draft", animal_form.NEW)
    key = f"add-{round_}"
    with st.form(key, border=False):
        values = animal_form.first_fields(key, draft)
        with st.expander(
            "More of it: status, parents, origin", expanded=session.choice("add_more", default=False)
        ):
            values |= animal_form.further_fields(key, draft, herd)
        with st.container(horizontal=True):
            sent = st.form_submit_button("Add this animal", type="primary")
            copied = herd.newest is not None and st.form_submit_button(
                f"Copy {herd.newest.name}, the last one"
            )
    if sent:
        _enter(values)
    elif copied:
        _copy(herd, values)
    name = refused(PLACE)
    if name:
        tried = session.choice("add_tried", values)
        _fresh({**tried, "text": with_name(tried["text"], word_refused(PLACE), name)})
    focus_on(f"{key}-name", session.choice("add_turn", 0), place=PLACE)
    _said_back()


def _enter(values: dict[str, Any]) -> None:
    """Store a new animal, or keep the refusal; what was typed stays either way."""
    clear(PLACE)
    session.choose("add_tried", values)
    book = session.current_book()
    try:
        stored = book.add_animal(**animal_form.as_record(values, book.currency))
    except (BookError, CellRefused) as fault:
        refuse(PLACE, fault)
        return
    session.choose("add_read", (stored.name, stored.text, stored.sex, stored.version))
    saved(f"{stored.name} is in the book.")
    _fresh(animal_form.NEW, turn=True)


def _copy(herd: AnimalsAnswer, values: Mapping[str, Any]) -> None:
    """Fill the fields with those of the animal entered last; a name that was typed stays."""
    if herd.newest is None:
        return
    copied = animal_form.start_of(herd.newest)
    kept = {name: value for name, value in copied.items() if name not in _OWN}
    if kept["status"] in ("sold", "died"):
        kept["status"] = animal_form.NEW["status"]
    _fresh({**animal_form.NEW, **kept, "name": values["name"]}, turn=True)


def _fresh(draft: Mapping[str, Any], *, turn: bool = False) -> None:
    """Show the form anew with other values in it; `turn` puts the keyboard into the name."""
    clear(PLACE)
    session.choose("add_draft", dict(draft))
    session.choose("add_round", session.choice("add_round", 0) + 1)
    if turn:
        session.choose("add_turn", session.choice("add_turn", 0) + 1)
    st.rerun()


def _said_back() -> None:
    """Say how the newest animal was read, so that a slip shows at once."""
    book = session.current_book()
    name, text, sex, edit = session.choice("add_read", ("", "", Sex.UNSEXED, 0))
    if not name or edit != book.data_version:
        return
    reading = reading_of(text, sex, catalogue_of(book))
    words = f"{strong(name)} was read as: {strong(reading.words)}. " + esc(" ".join(reading.assumed))
    draw(f"<p>{words}</p>", "said_back")
