"""The first answer of an empty book in three small steps: two animals, one price, one pairing."""

from __future__ import annotations

from typing import Any, Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, heading, lead, link, strong
from dashboard.jobs.animals import reading_of, with_name
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.first_steps import STEPS, FirstSteps, Step, first_steps
from dashboard.jobs.typed import sum_of
from dashboard.records import AnimalRecord, BookError
from dashboard.records.spreadsheets import CellRefused
from dashboard.screens.focus import focus_on
from dashboard.screens.saving import clear, refuse, refused, saved, undo_line, word_refused
from dashboard.words import listed, num
from econ.money import CURRENCIES, BadAmount
from econ.prices.observations import PriceObservation
from genetics import Sex

PLACE: Final = "first_steps"
_NAMES: Final = {"animals": "two animals", "price": "one price", "pairing": "one pairing"}
_EXAMPLES: Final = {Sex.MALE: ("Basalt", "pastel clown"), Sex.FEMALE: ("Tansy", "enchi het clown")}
_KINDS: Final = {"asked": "asked for", "sold": "paid"}


def show() -> bool:
    """Show the next step of an own book that has no answer yet; gives whether there was one to show.

    A page that would be empty calls it first and shows nothing more where it gives True.
    """
    if session.is_demo() or session.choice("first_aside", default=False):
        return False
    book = session.current_book()
    found = session.computed("first steps", lambda: first_steps(book, catalogue=catalogue_of(book)))
    skipped = session.choice("first_skipped", frozenset[str]())
    step = next((step for step in STEPS if not found.is_done(step) and step not in skipped), None)
    if found.done or step is None:
        return False
    st.title("Three small steps to your first answer", anchor=False)
    target = draw(lead(_lead(found)) + _progress(found, step), "first_lead")
    if target:
        session.go(target)
    undo_line()
    refused("undo")
    {"animals": _animals, "price": _price, "pairing": _pairing}[step](found)
    _leave(found, step)
    return True


def _lead(found: FirstSteps) -> str:
    words = (
        "Two animals you may pair, one price you have seen, one pairing: enough for a first estimate. "
        "Each step is saved at once; you can stop and come back."
    )
    if found.empty:
        return f"{esc(words)} {link('Or bring in files you have', 'book')}."
    return esc(words)


def _progress(found: FirstSteps, step: Step) -> str:
    """Say which step it is, and what the book holds already."""
    here = STEPS.index(step) + 1
    there = [animal.name for animal in (*found.males[:1], *found.females[:1])]
    if found.prices:
        there.append("one price" if found.prices == 1 else f"{num(found.prices)} prices")
    held = f"In your book: {listed(there)}." if there else ""
    return heading(f"{here} of {len(STEPS)}: {_NAMES[step]}", held, spaced=True)


def _turn() -> int:
    return session.choice("first_turn", 0)


def _next() -> None:
    """Show the fields of what is asked next, with the keyboard in the first of them."""
    clear(PLACE)
    session.choose("first_draft", {})
    session.choose("first_turn", _turn() + 1)
    st.rerun()


def _animals(found: FirstSteps) -> None:
    """Ask for a male and a female, or for the one that is lacking."""
    lacking = [sex for sex, known in ((Sex.MALE, found.males), (Sex.FEMALE, found.females)) if not known]
    draft, key = session.choice("first_draft", {}), f"first-{_turn()}"
    typed: dict[Sex, tuple[str, str]] = {}
    with st.form(key, border=False):
        for sex in lacking:
            name, genes = _EXAMPLES[sex]
            start = draft.get(sex, ("", ""))
            places = st.columns([2, 4], gap="small")
            typed[sex] = (
                places[0].text_input(
                    f"A {sex}, its name", start[0], placeholder=name, key=f"{key}-{sex}-name"
                ),
                places[1].text_input(
                    f"What the {sex} shows and carries, as on its label", start[1], placeholder=genes,
                    key=f"{key}-{sex}-text",
                ),
            )  # fmt: skip
        sent = st.form_submit_button(
            "Save both animals" if len(lacking) == 2 else f"Save the {lacking[0]}", type="primary"
        )
    if sent:
        _enter_animals(typed)
    name = refused(PLACE)
    if name:
        _mend(name)
    focus_on(f"{key}-{lacking[0]}-name", _turn() + 1, place=PLACE)
    _said_back((*found.males[:1], *found.females[:1]))


def _enter_animals(typed: dict[Sex, tuple[str, str]]) -> None:
    """Store each animal that was written, one edit each; what is refused stays in its fields."""
    clear(PLACE)
    session.choose("first_draft", dict(typed))
    book = session.current_book()
    written = {sex: words for sex, words in typed.items() if any(word.strip() for word in words)}
    try:
        for sex, (name, text) in (written or typed).items():
            session.choose("first_sex", sex)
            book.add_animal(name, text, sex=sex, status="breeding")
            saved(f"{name} is in the book.")
    except BookError as fault:
        refuse(PLACE, fault)
        st.rerun()  # the one before may be stored: its fields go
    _next()


def _mend(name: str) -> None:
    """Put the nearest name in place of the word that could not be read; what else was typed stays."""
    draft, word = session.choice("first_draft", {}), word_refused(PLACE)
    sex = session.choice("first_sex", Sex.MALE)
    if sex in draft:
        draft = {**draft, sex: (draft[sex][0], with_name(draft[sex][1], word, name))}
    elif "what" in draft:
        draft = {**draft, "what": with_name(draft["what"], word, name)}
    clear(PLACE)
    session.choose("first_draft", draft)
    session.choose("first_turn", _turn() + 1)
    st.rerun()


def _said_back(animals: tuple[AnimalRecord, ...]) -> None:
    """Say how the animals were read, so that a slip shows at once."""
    genes = catalogue_of(session.current_book())
    lines = [
        f"<p>{strong(animal.name)}, {esc(animal.sex)}, was read as: "
        f"{strong(reading_of(animal.text, animal.sex, genes).words)}.</p>"
        for animal in animals
    ]
    if lines:
        draw("".join(lines), "first_read")


def _price(found: FirstSteps) -> None:
    """Ask for one price of what the two may hatch."""
    draft, key = session.choice("first_draft", {}), f"first-{_turn()}"
    with st.form(key, border=False):
        places = st.columns([3.6, 1.4, 1.2, 2], gap="small", vertical_alignment="bottom")
        what = places[0].text_input(
            "A young animal you saw a price of", draft.get("what", found.look), placeholder="clown",
            key=f"{key}-what",
        )  # fmt: skip
        price = places[1].text_input(
            "Its price", draft.get("price", ""), placeholder="280", key=f"{key}-price"
        )
        codes = sorted(CURRENCIES) if found.can_change_money else [found.currency]
        now = draft.get("money", found.currency)
        money = places[2].selectbox(
            "Money of this book", codes, codes.index(now) if now in codes else 0, key=f"{key}-money"
        )
        kind = places[3].radio(
            "The price was", _KINDS, format_func=_KINDS.get, horizontal=True, key=f"{key}-kind"
        )
        sent = st.form_submit_button("Save this price", type="primary")
    if sent:
        _enter_price(found, {"what": what, "price": price, "kind": kind, "money": money})
    name = refused(PLACE)
    if name:
        _mend(name)
    focus_on(f"{key}-price", _turn() + 1, place=PLACE)
    words = "What stands there says something of most young these two may hatch; write any other you know."
    if found.look:
        draw(f'<p class="reading">{esc(words)}</p>', "first_why")
    _said_back((*found.males[:1], *found.females[:1]))


def _enter_price(found: FirstSteps, typed: dict[str, Any]) -> None:
    clear(PLACE)
    session.choose("first_draft", dict(typed))
    session.choose("first_sex", None)
    book = session.current_book()
    try:
        minor, code = _priced(typed["price"], str(typed["money"]))
        traits = book.reader(typed["what"], Sex.UNSEXED)
        if code != found.currency:
            book.set_currency(code)
        book.add_observation(
            PriceObservation(
                on=found.today, what=typed["what"], traits=traits, price_minor=minor, currency=code,
                kind=typed["kind"],
            )
        )  # fmt: skip
    except (BookError, CellRefused, BadAmount) as fault:
        refuse(PLACE, fault)
        return
    saved("The price is in the book.")
    _next()


def _priced(text: str, currency: str) -> tuple[int, str]:
    minor, code = sum_of(text, currency)
    if not minor or code is None:
        raise CellRefused(
            "The price is missing. Write what one such animal was asked or paid for, such as 280."
        )
    if code != currency:
        raise CellRefused(f"The price is in {code}, the money of this book is {currency}. Use one of them.")
    return minor, code


def _pairing(found: FirstSteps) -> None:
    """Ask which two are to be paired, and lead to what that should earn."""
    if not (found.males and found.females):
        draw(f"<p>{esc('A pairing needs a male and a female of the book.')}</p>", "first_lacking")
        if st.button("Back to the animals", type="primary"):
            session.choose("first_skipped", frozenset[str]())
            st.rerun()
        return
    key = f"first-{_turn()}"
    with st.form(key, border=False):
        places = st.columns([2, 2, 1.4, 3], gap="small", vertical_alignment="bottom")
        sire = places[0].selectbox(
            "Sire", found.males, format_func=lambda animal: animal.name, key=f"{key}-sire"
        )
        dam = places[1].selectbox(
            "Dam", found.females, format_func=lambda animal: animal.name, key=f"{key}-dam"
        )
        season = places[2].number_input("Year of the eggs", 1980, 2100, found.season, 1, key=f"{key}-season")
        with places[3]:
            sent = st.form_submit_button("Pair them and see the estimate", type="primary")
    if sent and sire is not None and dam is not None:
        clear(PLACE)
        try:
            session.current_book().add_pairing(int(season), sire.id, dam.id)
        except BookError as fault:
            refuse(PLACE, fault)
        else:
            saved(f"{sire.name} × {dam.name} is entered for {int(season)}.")
            session.go(f"pairing?sire={sire.id}&dam={dam.id}&season={int(season)}")
    refused(PLACE)
    focus_on(f"{key}-season", _turn() + 1, place=PLACE)


def _leave(found: FirstSteps, step: Step) -> None:
    """Offer to go on without this step, or without the guide."""
    with st.container(horizontal=True):
        if step != STEPS[-1] and st.button("Skip this step", type="tertiary"):
            skipped = session.choice("first_skipped", frozenset[str]())
            session.choose("first_skipped", skipped | {step})
            _next()
        if st.button("Put this guide aside", type="tertiary"):
            session.choose("first_aside", value=True)
            st.rerun()
        if found.empty and st.button("Look at the demo book first", type="tertiary"):
            session.open_demo_book()
            st.rerun()
