"""The hatchlings of a clutch: what each of them is, and what happened to it."""

from __future__ import annotations

from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.clutches import HatchlingLine, hatchlings_table
from dashboard.figures.component import draw
from dashboard.figures.markup import heading
from dashboard.jobs.clutch_edits import (
    FORMS,
    change_hatchling,
    deeds_for,
    quick_change,
    start_of_record,
    store_hatchling,
)
from dashboard.jobs.clutches import ClutchAnswer, Hatchling
from dashboard.records import AnimalRecord, BookError
from dashboard.screens import hatchling_entry, record_form, row_form
from dashboard.screens.record_form import RecordForm
from dashboard.screens.row_form import Typed
from dashboard.screens.saving import clear, refuse, refused, saved
from dashboard.source_words import plain_refusal
from dashboard.warning_words import animal_marks
from dashboard.words import number_word, own_sum, plural, sex_counts
from econ.money import from_minor
from genetics import Sex

PLACE: Final = "hatchlings"
_GONE: Final = ("sold", "died")


def show(answer: ClutchAnswer) -> None:
    """Show the hatchlings, what happened to one of them, and the ways to enter more."""
    if answer.hatchlings:
        draw(_table(answer), "hatchlings", on_use=lambda: _use(answer))
        refused(PLACE)
        _opened(answer)
    waiting = _waiting(answer)
    if waiting or not answer.hatchlings or session.choice("more_hatchlings", default=False):
        hatchling_entry.show(answer, waiting=waiting)
    elif st.button("Enter another hatchling"):
        session.choose("more_hatchlings", value=True)
        st.rerun()


def _waiting(answer: ClutchAnswer) -> int:
    clutch = answer.line.clutch
    hatched = None if clutch is None else clutch.hatched
    return max((hatched or 0) - len(answer.hatchlings), 0)


def _table(answer: ClutchAnswer) -> str:
    here = [one for one in answer.hatchlings if one.animal.status not in _GONE]
    n = len(answer.hatchlings)
    if not here:
        title = "None of them is here any more"
    elif len(here) == n:
        title = f"All {number_word(n)} are here" if n > 1 else "It is here"
    else:
        title = (
            f"{number_word(len(here), start=True)} of {number_word(n)} {plural(len(here), 'is', 'are')} here"
        )
    reading = "What is likely to be said next stands at the right; “more” opens everything."
    return hatchlings_table(title, reading, rows=[_line(one) for one in answer.hatchlings])


def _line(one: Hatchling) -> HatchlingLine:
    animal, reading = one.animal, one.reading
    said = [animal.name, plain_refusal(reading.fault), animal.note]
    weight = (
        ("not weighed", "") if one.weight is None else (f"{one.weight.grams:g} g", one.weight.on.isoformat())
    )
    quick = [(words, f"{deed}:{animal.id}") for words, deed in deeds_for(animal)]
    return HatchlingLine(
        look=animal.text,
        under=" · ".join(words for words in said if words),
        sex=_sex(animal),
        weight=weight,
        fed="not yet" if animal.fed_since is None else animal.fed_since.isoformat(),
        status=_status(animal),
        actions=(*quick, ("more", f"everything:{animal.id}")),
        marks=animal_marks(reading.harms),
        gone=animal.status in _GONE,
    )


def _sex(animal: AnimalRecord) -> str:
    male, female = animal.sex is Sex.MALE, animal.sex is Sex.FEMALE
    return sex_counts(int(male), int(female), int(not male and not female))


def _status(animal: AnimalRecord) -> tuple[str, str]:
    """Where it stands, and its price, day and place beneath."""
    if animal.status == "sold":
        parts = [_sum(animal.sold_minor, animal.sold_currency)]
        parts.append("" if animal.sold_on is None else animal.sold_on.isoformat())
        parts.append(animal.sold_where)
        return "sold", ", ".join(part for part in parts if part)
    asked = _sum(animal.asked_minor, animal.asked_currency)
    return animal.status, f"asked {asked}" if asked and animal.status != "died" else ""


def _sum(minor: int | None, currency: str | None) -> str:
    if minor is None or currency is None:
        return ""
    return f"{own_sum(from_minor(minor, currency))} {currency}"


def _use(answer: ClutchAnswer) -> None:
    """Do what was asked of a hatchling, or open its form, before the page runs again."""
    deed, _, number = (session.used("hatchlings") or "").partition(":")
    one = _of(answer, int(number)) if number.isdigit() else None
    if one is None:
        return
    clear(PLACE)
    changed = quick_change(deed, today=answer.today)
    if not changed:
        _open(one.id, {"offer": "for sale"}.get(deed, deed))
        return
    try:
        stored = store_hatchling(session.current_book(), one, changed)
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        if stored is not None:
            saved(f"{stored.name} is saved.")


def _of(answer: ClutchAnswer, animal_id: int) -> AnimalRecord | None:
    return next((one.animal for one in answer.hatchlings if one.animal.id == animal_id), None)


def _open(animal_id: int, form: str) -> None:
    session.choose("open_hatchling", (animal_id, form))
    session.put("hatchling_form", form)
    row_form.turn_to(_form_place(animal_id, form))


def _form_place(animal_id: int, form: str) -> str:
    return f"hatchling_{animal_id}_{form.replace(' ', '_')}"


def _close() -> None:
    session.choose("open_hatchling", None)


def _opened(answer: ClutchAnswer) -> None:
    """Show what can be said of the hatchling that was opened."""
    animal_id, form = session.choice("open_hatchling", None) or (0, "")
    animal = _of(answer, animal_id)
    if animal is None:
        return
    draw(heading(f"{animal.name}, {animal.text}", spaced=True), "opened_head")
    session.begin_with("hatchling_form", form)
    chosen = st.radio(
        "What is there to say", list(FORMS), horizontal=True, key="hatchling_form", format_func=_said
    )
    book = session.current_book()
    form = chosen or form
    record_form.show(
        RecordForm(
            place=_form_place(animal.id, form),
            fields=FORMS[form],
            words="Save",
            store=lambda seen, typed: change_hatchling(book, seen, form, typed=typed),
            herd=book.herd(),
            currency=answer.currency,
            start=lambda seen: _start(answer, seen, form),
            done=_close,
        ),
        animal,
    )
    if st.button("Close", type="tertiary"):
        _close()
        st.rerun()


def _said(form: str) -> str:
    return {"sold": "It was sold", "for sale": "It is for sale", "weighed": "It was weighed"}.get(
        form, "Everything"
    )


def _start(answer: ClutchAnswer, animal: AnimalRecord, form: str) -> Typed:
    """What the boxes of a form hold at first; a sale begins with today and with what was asked."""
    today = None if form == "everything" else answer.today
    start = start_of_record(FORMS[form], animal, currency=answer.currency, today=today)
    if form == "sold" and animal.sold_minor is None and animal.asked_minor is not None:
        asked = start_of_record(FORMS["for sale"], animal, currency=answer.currency)
        start |= {"sold_minor": asked["asked_minor"], "sold_currency": asked["asked_currency"]}
    return start
