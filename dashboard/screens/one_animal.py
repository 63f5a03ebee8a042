"""One animal: what it is, what to mind, and its fields to change."""

from __future__ import annotations

from typing import Any

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import marked_note, note
from dashboard.figures.markup import esc, lead, link
from dashboard.jobs.animals import AnimalRow, AnimalsAnswer, paid_amount, with_name
from dashboard.records import AnimalRecord, BookError, Conflict
from dashboard.records.spreadsheets import CellRefused
from dashboard.screens import animal_form
from dashboard.screens.saving import clash, clashed, clear, refuse, refused, saved, undo_line, word_refused
from dashboard.source_words import source_text
from dashboard.warning_words import ASK_A_VET
from dashboard.words import exact
from econ.money import BadAmount, minor_digits

PLACE = "one_animal"
_NAMES = {
    "name": "Name",
    "sex": "Sex",
    "text": "What it shows and carries",
    "hatched": "Hatched",
    "bought_minor": "Bought for",
    "status": "Status",
    "note": "Note",
}


def missing(wanted: str) -> None:
    """Say that the book has no such animal."""
    st.title("This animal is not in the book")
    draw(note("none", f"No animal has the number {esc(wanted)}. It may have been removed since."), "missing")
    if st.button("All animals", type="primary"):
        session.go("animals")


def forget_seen() -> None:
    """Forget which animal was open, so that it is read anew the next time."""
    if session.choice("seen_animal", None) is not None:
        session.choose("seen_animal", None)
        clear(PLACE)


def show(row: AnimalRow, answer: AnimalsAnswer) -> None:
    """Show one animal with its fields."""
    seen = _seen(row.animal)
    _health(row)
    st.title(_title(row))
    draw(lead(_lead(row, answer)), "one_lead")
    undo_line()
    refused("undo")
    _settle_clash(seen)
    round_ = session.choice("edit_round", 0)
    start = session.choice("edit_draft", None) or animal_form.start_of(seen)
    key = f"edit-{seen.id}-{seen.version}-{round_}"
    with st.form(key, border=False):
        values = animal_form.fields(key, start, status=True)
        sent = st.form_submit_button("Save changes", type="primary")
    if sent:
        session.choose("edit_tried", values)
        _change(seen, values)
    name = refused(PLACE)
    if name:
        _use_name(name, values)
    _buttons(seen)


def _seen(animal: AnimalRecord) -> AnimalRecord:
    """Give the animal as it was when this window opened it; what others do since is a clash, not a loss."""
    seen = session.choice("seen_animal", None)
    if seen is None or seen.id != animal.id:
        _open_anew(animal)
        return animal
    return seen


def _open_anew(animal: AnimalRecord | None) -> None:
    session.choose("seen_animal", animal)
    session.choose("edit_draft", None)
    session.choose("edit_round", session.choice("edit_round", 0) + 1)
    clear(PLACE)


def _title(row: AnimalRow) -> str:
    animal, reading = row.animal, row.reading
    if reading.fault:
        return f"{animal.name} can’t be read"
    return f"{animal.name}, {animal.sex.value}, is read as {reading.words}"


def _lead(row: AnimalRow, answer: AnimalsAnswer) -> str:
    """Say what was assumed, where it stands, and which pairings it is in, with links."""
    parts = [esc(row.reading.fault)] if row.reading.fault else [esc(words) for words in row.reading.assumed]
    state = {"sold": "It was sold.", "died": "It has died."}.get(row.animal.status, "")
    parts += [state] if state else []
    mine = [p for p in answer.pairings if row.animal.id in (p.sire.id, p.dam.id)]
    if mine:
        links = ", ".join(
            link(p.name, f"pairing?sire={p.sire.id}&dam={p.dam.id}&season={p.pairing.season}") for p in mine
        )
        parts.append(f"Entered for {answer.season}: {links}.")
    else:
        parts.append(f"It is in no pairing entered for {answer.season}.")
    return " ".join(parts)


def _health(row: AnimalRow) -> None:
    """Say above everything else which harms its genes are tied to, who says so, and whom to ask."""
    if not row.reading.harms:
        return
    notes = []
    for harm in row.reading.harms:
        text = f"{harm.note.what} ({source_text(harm.note.source)})"
        if not harm.itself:
            text += " It concerns young of two such parents, not this animal."
        if harm is row.reading.harms[-1]:
            text += f" {ASK_A_VET}"
        notes.append(marked_note("welfare", f"{harm.gene.capitalize()}.", text=text))
    draw("".join(notes), "health")


def _change(seen: AnimalRecord, values: dict[str, Any]) -> None:
    """Store what differs from what was seen; nothing at all if nothing differs."""
    clear(PLACE)
    try:
        wanted = animal_form.as_record(values, session.current_book().currency)
    except (BadAmount, CellRefused) as fault:
        refuse(PLACE, fault)
        return
    changed = {name: value for name, value in wanted.items() if getattr(seen, name) != value}
    if not changed:
        session.tell("Nothing was changed.")
        return
    _store(seen.id, seen.version, changed)


def _store(animal_id: int, version: int, changed: dict[str, Any]) -> None:
    try:
        stored = session.current_book().change_animal(animal_id, version, **changed)
    except Conflict as fault:
        clash(PLACE, fault, changed=changed)
        st.rerun()
    except BookError as fault:
        refuse(PLACE, fault)
        return
    saved(f"{stored.name} is saved.")
    _open_anew(stored)
    st.rerun()


def _settle_clash(seen: AnimalRecord) -> None:
    """Show both values where another window was faster, and do what the breeder chooses."""
    chosen = clashed(PLACE, names=_NAMES, show=_shown)
    if chosen is None:
        return
    answer, kept = chosen
    if answer == "mine":
        clear(PLACE)
        _store(seen.id, kept.fault.stored_version, dict(kept.again["changed"]))
        return
    _open_anew(None)
    st.rerun()


def _shown(name: str, value: object) -> str:
    if name == "bought_minor" and isinstance(value, int):
        currency = session.current_book().currency
        return f"{exact(paid_amount(value, currency), minor_digits(currency))} {currency}"
    return "not said" if value in (None, "") else str(value)


def _use_name(name: str, values: dict[str, Any]) -> None:
    """Put the nearest name in place of the word that could not be read; it is saved with the button."""
    tried = session.choice("edit_tried", values)
    text = with_name(tried["text"], word_refused(PLACE), name)
    clear(PLACE)
    session.choose("edit_draft", {**tried, "text": text})
    session.choose("edit_round", session.choice("edit_round", 0) + 1)
    st.rerun()


def _buttons(seen: AnimalRecord) -> None:
    with st.container(horizontal=True):
        if seen.status != "sold" and st.button("Mark as sold"):
            clear(PLACE)
            _store(seen.id, seen.version, {"status": "sold"})
        if seen.status != "died" and st.button("Mark as died"):
            clear(PLACE)
            _store(seen.id, seen.version, {"status": "died"})
        if st.button("Remove from the book"):
            _remove(seen)
        if st.button("All animals", type="tertiary"):
            session.go("animals")


def _remove(seen: AnimalRecord) -> None:
    clear(PLACE)
    try:
        session.current_book().remove_animal(seen.id, seen.version)
    except Conflict as fault:
        clash(PLACE, fault, changed={})
        st.rerun()
    except BookError as fault:
        refuse(PLACE, fault)
        st.rerun()
    saved(f"{seen.name} was removed.")
    forget_seen()
    session.go("animals")
