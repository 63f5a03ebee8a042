"""The fields of an animal: to enter one as on its label, or to change one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, heading, strong
from dashboard.jobs.animals import day_of, paid_amount, paid_minor, reading_of, with_name
from dashboard.jobs.catalogue import catalogue_of
from dashboard.records import STATUSES, AnimalRecord, BookError
from dashboard.records.spreadsheets import CellRefused
from dashboard.screens.saving import clear, refuse, refused, saved, word_refused
from econ.money import BadAmount, minor_digits
from genetics import Sex

PLACE = "add_animal"
EXAMPLE = "pastel 66% het clown"
_SEXES = tuple(sex.value for sex in (Sex.MALE, Sex.FEMALE, Sex.UNSEXED))
_NEW: Mapping[str, Any] = {
    "name": "", "sex": Sex.MALE, "text": "", "hatched": "", "paid": None, "note": "",
}  # fmt: skip


def add() -> None:
    """Offer to enter an animal; what was read is said back."""
    draw(heading("Add an animal", "Write it as you would on its label; every word is checked."), "add_head")
    round_ = session.choice("add_round", 0)
    draft = session.choice("add_draft", _NEW)
    with st.form(f"add-{round_}", border=False):
        values = fields(f"add-{round_}", draft)
        sent = st.form_submit_button("Add this animal", type="primary")
    if sent:
        _enter(values)
    name = refused(PLACE)
    if name:
        tried = session.choice("add_tried", values)
        _fresh({**tried, "text": with_name(tried["text"], word_refused(PLACE), name)})
    _said_back()


def _enter(values: dict[str, Any]) -> None:
    """Store a new animal, or keep the refusal; what was typed stays either way."""
    clear(PLACE)
    session.choose("add_tried", values)
    book = session.current_book()
    try:
        stored = book.add_animal(**as_record(values, book.currency))
    except (BookError, BadAmount, CellRefused) as fault:
        refuse(PLACE, fault)
        return
    session.choose("add_read", (stored.name, stored.text, stored.sex, stored.version))
    saved(f"{stored.name} is in the book.")
    _fresh(_NEW)


def _fresh(draft: Mapping[str, Any]) -> None:
    """Show the form anew with other values in it."""
    clear(PLACE)
    session.choose("add_draft", dict(draft))
    session.choose("add_round", session.choice("add_round", 0) + 1)
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


def fields(key: str, start: Mapping[str, Any], *, status: bool = False) -> dict[str, Any]:
    """Show the fields of an animal and give what they hold; the price paid in whole units.

    Parameters
    ----------
    key
        Start of the fields' own names.
    start
        What they hold at first, by the same names as what is given back.
    status
        Whether it can be said to be sold, held back and so on.
    """
    currency = session.current_book().currency
    digits = minor_digits(currency)
    first = st.columns([2, 1.3, 4, 1.4, 1.5], gap="small")
    name = first[0].text_input("Name", start["name"], key=f"{key}-name")
    sex = first[1].selectbox("Sex", _SEXES, _SEXES.index(start["sex"].value), key=f"{key}-sex")
    text = first[2].text_input(
        "What it shows and carries", start["text"], placeholder=EXAMPLE, key=f"{key}-text"
    )
    hatched = first[3].text_input("Hatched", start["hatched"], placeholder="2024-05-30", key=f"{key}-hatched")
    paid = first[4].number_input(
        f"Bought for, {currency}",
        0.0,
        None,
        start["paid"],
        10.0,
        f"%.{digits}f",
        key=f"{key}-paid",
    )
    rest: dict[str, Any] = {}
    second = st.columns([2, 5], gap="small") if status else (None, st.container())
    if second[0] is not None:
        place = STATUSES.index(start["status"])
        rest["status"] = second[0].selectbox("Status", STATUSES, place, key=f"{key}-status")
    rest["note"] = second[1].text_input("Note", start["note"], key=f"{key}-note")
    return {"name": name, "sex": Sex(sex), "text": text, "hatched": hatched, "paid": paid, **rest}


def as_record(values: Mapping[str, Any], currency: str) -> dict[str, Any]:
    """Give the fields as the records take them.

    Raises
    ------
    CellRefused, BadAmount
        If the day can't be read, or the price paid has too many decimals.
    """
    stored = {name: value for name, value in values.items() if name != "paid"}
    paid = paid_minor(values["paid"], currency)
    return {**stored, "hatched": day_of(values["hatched"]), "bought_minor": paid}


def start_of(animal: AnimalRecord) -> dict[str, Any]:
    """Give the fields of an animal of the book as the form starts with them."""
    paid = paid_amount(animal.bought_minor, session.current_book().currency)
    hatched = "" if animal.hatched is None else animal.hatched.isoformat()
    rest = {name: getattr(animal, name) for name in ("name", "sex", "text", "note", "status")}
    return {"hatched": hatched, "paid": paid, **rest}
