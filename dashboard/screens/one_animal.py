"""One animal: what it is, what to mind, its fields to change, its weights, tests, forebears and young."""

from __future__ import annotations

from typing import Any

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import marked_note, note
from dashboard.figures.markup import esc, lead, link
from dashboard.jobs.animals import AnimalRow, AnimalsAnswer, with_name
from dashboard.jobs.typed import sum_text
from dashboard.records import AnimalRecord, BookError, Conflict
from dashboard.records.spreadsheets import CellRefused
from dashboard.screens import animal_facts, animal_form, animal_knowledge, animal_sale, pedigree_part
from dashboard.screens.saving import clash, clashed, clear, refuse, refused, saved, undo_line, word_refused
from dashboard.source_words import source_text
from dashboard.warning_words import ASK_A_VET

PLACE = "one_animal"
_NAMES = {
    "name": "Name",
    "sex": "Sex",
    "text": "What it shows and carries",
    "hatched": "Hatched",
    "bought_minor": "Bought for",
    "status": "Status",
    "sire_id": "Sire",
    "dam_id": "Dam",
    "clutch_id": "Clutch it hatched from",
    "origin": "Origin",
    "fed_since": "Fed since",
    "asked_minor": "Asked for",
    "sold_minor": "Sold for",
    "sold_on": "Sold on",
    "sold_where": "Where",
    "note": "Note",
}


def missing(wanted: str) -> None:
    """Say that the book has no such animal."""
    st.title("This animal is not in the book", anchor=False)
    draw(note("none", f"No animal has the number {esc(wanted)}. It may have been removed since."), "missing")
    if st.button("All animals", type="primary"):
        session.go("animals")


def forget_seen() -> None:
    """Forget which animal was open, so that it is read anew the next time."""
    if session.choice("seen_animal", None) is not None:
        session.choose("seen_animal", None)
        clear(PLACE)
        animal_sale.close()
        animal_facts.close()


def show(row: AnimalRow, answer: AnimalsAnswer) -> None:
    """Show one animal with its fields and all that is known of it."""
    seen = _seen(row.animal)
    _health(row)
    st.title(_title(row), anchor=False)
    target = draw(lead(_lead(row, answer)), "one_lead")
    if target:
        session.go(target)
    undo_line()
    refused("undo")
    _settle_clash(seen, answer)
    sale = animal_sale.ask(seen)
    if sale is not None:
        _change(seen, sale)
    _edit(seen, answer)
    _buttons(seen)
    animal_knowledge.show(row.animal)
    pedigree_part.show(row.animal)
    animal_facts.weights(seen)
    animal_facts.tests(seen)


def _edit(seen: AnimalRecord, answer: AnimalsAnswer) -> None:
    round_ = session.choice("edit_round", 0)
    start = session.choice("edit_draft", None) or animal_form.start_of(seen)
    key = f"edit-{seen.id}-{seen.version}-{round_}"
    with st.form(key, border=False):
        values = animal_form.first_fields(key, start)
        values |= animal_form.further_fields(key, start, answer)
        if seen.status == "sold":
            values |= animal_form.sale_fields(key, start)
        sent = st.form_submit_button("Save changes", type="primary")
    if sent:
        session.choose("edit_tried", values)
        _change(seen, values)
    name = refused(PLACE)
    if name:
        _use_name(name, {**start, **values})


def _seen(animal: AnimalRecord) -> AnimalRecord:
    """Give the animal as it was when this window opened it; what others do since is a clash, not a loss."""
    seen = session.choice("seen_animal", None)
    if seen is None or seen.id != animal.id:
        _open_anew(animal)
        animal_sale.close()
        animal_facts.close()
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
    animal = row.animal
    parts = [esc(row.reading.fault)] if row.reading.fault else [esc(words) for words in row.reading.assumed]
    parts += [esc(_gone(animal))] if row.gone else []
    if animal.clutch_id is not None and animal.clutch_id in answer.clutches:
        where = link(answer.clutches[animal.clutch_id], f"clutch?clutch={animal.clutch_id}")
        parts.append(f"It hatched from clutch {where}.")
    mine = [p for p in answer.pairings if animal.id in (p.sire.id, p.dam.id)]
    if mine:
        links = ", ".join(
            esc(p.name)
            if p.gone
            else link(p.name, f"pairing?sire={p.sire.id}&dam={p.dam.id}&season={p.pairing.season}")
            for p in mine
        )
        parts.append(f"Entered for {answer.season}: {links}.")
    elif not row.gone:
        parts.append(f"It is in no pairing entered for {answer.season}.")
    return " ".join(parts)


def _gone(animal: AnimalRecord) -> str:
    """Say that it was sold or has died, and what is known of the sale."""
    if animal.status == "died":
        return "It has died."
    words = "It was sold"
    if animal.sold_minor is not None:
        words += f" for {_money(animal.sold_minor, animal.sold_currency)}"
    words += "" if animal.sold_on is None else f" on {animal.sold_on.isoformat()}"
    words += f", {animal.sold_where}" if animal.sold_where else ""
    return words + ("." if animal.sold_minor is not None else "; for how much is not said.")


def _money(minor: int, code: str | None) -> str:
    home = session.current_book().currency
    text = sum_text(minor, code, home=home)
    return text if text[-1:].isalpha() else f"{text} {home}"


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
    except CellRefused as fault:
        refuse(PLACE, fault)
        return
    changed = animal_form.changed_of(seen, wanted)
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
    animal_sale.close()
    if changed.get("status") == "sold" and stored.sold_minor is None:
        animal_sale.open_for(stored)  # sold by its status alone: ask what it brought
    st.rerun()


def _settle_clash(seen: AnimalRecord, answer: AnimalsAnswer) -> None:
    """Show both values where another window was faster, and do what the breeder chooses."""
    chosen = clashed(PLACE, names=_NAMES, show=lambda name, value: _shown(name, value, answer))
    if chosen is None:
        return
    which, kept = chosen
    if which == "mine":
        clear(PLACE)
        _store(seen.id, kept.fault.stored_version, dict(kept.again["changed"]))
        return
    _open_anew(None)
    st.rerun()


def _shown(name: str, value: object, answer: AnimalsAnswer) -> str:
    if value in (None, ""):
        return "not said"
    if name.endswith("_minor") and isinstance(value, int):
        return _money(value, None)
    if name in ("sire_id", "dam_id"):
        return next((row.animal.name for row in answer.rows if row.animal.id == value), str(value))
    if name == "clutch_id" and isinstance(value, int):
        return answer.clutches.get(value, str(value))
    return str(value)


def _use_name(name: str, values: dict[str, Any]) -> None:
    """Put the nearest name in place of the word that could not be read; it is saved with the button."""
    tried = {**values, **session.choice("edit_tried", values)}
    text = with_name(tried["text"], word_refused(PLACE), name)
    clear(PLACE)
    session.choose("edit_draft", {**tried, "text": text})
    session.choose("edit_round", session.choice("edit_round", 0) + 1)
    st.rerun()


def _buttons(seen: AnimalRecord) -> None:
    with st.container(horizontal=True):
        if seen.status != "sold" and st.button("Mark as sold"):
            clear(PLACE)
            animal_sale.open_for(seen)
            st.rerun()
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
