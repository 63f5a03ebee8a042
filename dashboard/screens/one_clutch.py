"""One clutch: its dates and eggs, and what became of every hatchling."""

from __future__ import annotations

from datetime import date
from functools import partial

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import mark, note
from dashboard.figures.markup import esc, heading, lead, link, strong
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.clutch_edits import (
    CLUTCH_FIELDS,
    PAIRING_FIELDS,
    add_clutch,
    change_clutch,
    change_pairing,
    remove_clutch,
)
from dashboard.jobs.clutches import ClutchAnswer, ClutchLine, clutch_answer, pairing_answer
from dashboard.records import Book, BookError, NotStored
from dashboard.screens import hatchlings, record_form, row_form
from dashboard.screens.record_form import RecordForm
from dashboard.screens.row_form import Form, Typed
from dashboard.screens.saving import clear, refuse, refused, saved, undo_line
from dashboard.warning_words import harm_sentence, harm_text
from dashboard.words import num, number_word, own_sum, plural

PLACE = "one_clutch"


def show(clutch: str | None, pairing: str | None) -> None:
    """Show the clutch of a number, or a pairing that has none yet."""
    book = session.current_book()
    try:
        answer = session.computed("clutch", partial(_answer, book, clutch, pairing), parts=(clutch, pairing))
    except NotStored:
        _missing()
        return
    _harms(answer.line)
    st.title(_title(answer), anchor=False)
    target = draw(lead(_lead(answer)), "lead")
    if target is not None:
        session.go(target)
    undo_line()
    refused("undo")
    if answer.line.clutch is None:
        _first(answer)
    else:
        _unfinished(answer)
        hatchlings.show(answer)
        _dates(answer)


def _answer(book: Book, clutch: str | None, pairing: str | None) -> ClutchAnswer:
    genes = catalogue_of(book)
    said = clutch if clutch is not None else pairing
    if said is None or not said.isdigit():
        raise NotStored("No clutch has this number.")
    return (clutch_answer if clutch is not None else pairing_answer)(book, int(said), catalogue=genes)


def _missing() -> None:
    st.title("This clutch is not in the book", anchor=False)
    draw(note("none", "It may have been removed since."), "missing")
    if st.button("All clutches", type="primary"):
        session.go("clutch")


def _harms(line: ClutchLine) -> None:
    """Say above everything else what harm the pairing can do, and whom to ask."""
    if line.harms:
        words = f"{mark('welfare')} {strong(harm_sentence(line.harms))} {esc(harm_text(line.harms))}"
        draw(note("welfare", words), "harms")


def _title(answer: ClutchAnswer) -> str:
    line, clutch = answer.line, answer.line.clutch
    if clutch is None:
        return f"{line.name} of {line.pairing.season} has no clutch yet"
    name = f"{line.name} of {line.pairing.season}"
    if line.hatched is None:
        eggs = line.clutch.fertile if line.clutch is not None else None
        return (
            f"{name}: not hatched yet"
            if eggs is None
            else f"{name}: {number_word(eggs)} good {plural(eggs, 'egg')}"
        )
    if line.hatched == 0:
        return f"{name}: none hatched"
    hatched = f"{name}: {number_word(line.hatched)} hatched"
    sold = line.sold
    if not sold.count:
        return f"{hatched}, none sold yet" if line.young else hatched
    return f"{hatched}, {number_word(sold.count)} sold for {own_sum(sold.amount)} {answer.currency}"


def _lead(answer: ClutchAnswer) -> str:
    """Say the days and the eggs in one sentence, with links to the pairing and to the other clutches."""
    line, clutch = answer.line, answer.line.clutch
    days: list[tuple[str, date | None]] = [
        ("put together", line.pairing.introduced_on),
        ("locked", line.pairing.locked_on),
    ]
    if clutch is not None:
        days += [("laid", clutch.laid_on), ("hatched", clutch.hatched_on)]
    said = [f"{words} {on.isoformat()}" for words, on in days if on is not None]
    if clutch is not None and line.eggs is not None:
        said.append(f"{num(clutch.fertile or 0)} of {num(line.eggs)} eggs good")
    text = ", ".join(said)
    text = f"{text[:1].upper()}{text[1:]}. " if text else ""
    if line.further:
        text += f"{' and '.join(line.further)} was with her too, so the sire is not sure. "
    pair = f"pairing?sire={line.sire.id}&dam={line.dam.id}&season={line.pairing.season}"
    ways = f"{link('What the pairing was expected to earn', pair)} · "
    ways += link(f"All clutches of {line.pairing.season}", f"clutch?season={line.pairing.season}")
    parents = f"{line.sire.text} × {line.dam.text}. "
    return esc(parents + text) + ways


def _unfinished(answer: ClutchAnswer) -> None:
    """Say where the numbers of a clutch don't meet."""
    line = answer.line
    if line.clutch is None or line.clutch.hatched is None:
        return
    missing = line.clutch.hatched - len(line.young)
    if missing < 0:
        words = (
            f"{num(len(line.young))} hatchlings are entered, but the clutch says that "
            f"{num(line.clutch.hatched)} hatched. Mend the number under “Dates and eggs”."
        )
        draw(note("none", esc(words)), "unfinished")


def _first(answer: ClutchAnswer) -> None:
    """Offer to enter the clutch of a pairing, and its days."""
    pairing_id = answer.line.pairing.id
    herd = session.current_book().herd()
    draw(heading("Enter its clutch", "What is not known yet can stay empty.", spaced=True), "first_head")

    def send(typed: Typed) -> None:
        stored = add_clutch(session.current_book(), pairing_id, typed)
        saved("The clutch is in the book.")
        session.choose("new_clutch", stored.id)

    form = Form(f"new_clutch_{pairing_id}", CLUTCH_FIELDS, herd, answer.currency, "Enter this clutch", send)
    start: dict[str, object] = {field.name: "" for field in CLUTCH_FIELDS}
    start["number"] = str(_next_number(answer))
    row_form.show(form, start)
    stored = session.choice("new_clutch", None)
    if stored is not None:
        session.choose("new_clutch", None)
        session.go(f"clutch?clutch={stored}")
    _pairing_form(answer)


def _next_number(answer: ClutchAnswer) -> int:
    """Number of the next clutch of the pairing."""
    herd = session.current_book().herd()
    own = [c.number for c in herd.clutches.values() if c.pairing_id == answer.line.pairing.id]
    return max(own, default=0) + 1


def _pairing_form(answer: ClutchAnswer) -> None:
    draw(heading("While they were together", spaced=True), "together_head")
    book = session.current_book()
    form = RecordForm(
        place=f"pairing_days_{answer.line.pairing.id}",
        fields=PAIRING_FIELDS,
        words="Save these days",
        store=lambda seen, typed: change_pairing(book, seen, typed),
        herd=book.herd(),
        currency=answer.currency,
    )
    record_form.show(form, answer.line.pairing)


def _dates(answer: ClutchAnswer) -> None:
    """Offer the days and eggs of the clutch to be changed, and the clutch to be removed."""
    clutch, book = answer.line.clutch, session.current_book()
    assert clutch is not None  # noqa: S101 - asked for a clutch only
    draw(heading("Dates and eggs", spaced=True), "dates_head")
    form = RecordForm(
        place=f"clutch_{clutch.id}",
        fields=CLUTCH_FIELDS,
        words="Save the clutch",
        store=lambda seen, typed: change_clutch(book, seen, typed),
        herd=book.herd(),
        currency=answer.currency,
    )
    record_form.show(form, clutch)
    _pairing_form(answer)
    refused(PLACE)
    with st.container(horizontal=True):
        if st.button("Enter another clutch of this pairing"):
            session.go(f"clutch?pairing={answer.line.pairing.id}")
        if st.button("Remove this clutch"):
            _remove(answer)


def _remove(answer: ClutchAnswer) -> None:
    clutch = answer.line.clutch
    assert clutch is not None  # noqa: S101 - asked for a clutch only
    clear(PLACE)
    try:
        remove_clutch(session.current_book(), clutch)
    except BookError as fault:
        refuse(PLACE, fault)
        st.rerun()
    saved("The clutch was removed.")
    session.go(f"clutch?season={answer.line.pairing.season}")
