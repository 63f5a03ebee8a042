"""How do hatchlings get into the book in a few clicks? By looks of their parents, or by lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.clutches import LookChoiceLine, look_choices
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import action, esc, heading, strong
from dashboard.jobs.animals import with_name
from dashboard.jobs.clutch_edits import enter_lines
from dashboard.jobs.clutch_looks import LookChoice
from dashboard.jobs.clutches import ClutchAnswer
from dashboard.jobs.hatchling_lines import LineFault
from dashboard.records import BookError
from dashboard.screens.row_form import offer, take_offered
from dashboard.screens.saving import NOTHING_SAVED, clear, refuse, refused, saved
from dashboard.source_words import plain_refusal
from dashboard.words import count, freq, num, number_word, plural

LINES: Final = "hatchling_lines"
FEWEST_LOOKS: Final = 8
_EXAMPLE: Final = "pastel het clown f\n2 clown m\n1.2 het clown"


def show(answer: ClutchAnswer, *, waiting: int) -> None:
    """Offer looks to click and lines to type."""
    title = f"Enter {number_word(waiting)} more" if waiting and answer.hatchlings else "Enter hatchlings"
    if answer.unread:
        draw(
            note("none", f"{esc(plain_refusal(answer.unread))} So its looks can’t be listed."), "looks_unread"
        )
    elif answer.looks:
        every = session.choice("all_looks", default=False)
        shown = answer.looks if every else answer.looks[:FEWEST_LOOKS]
        reading = "One click enters one hatchling. Chances are those of the parents as they are written."
        html = look_choices(title, reading, rows=_looks(answer, shown))
        draw(html, "look_choices", on_use=lambda: _enter_look(answer))
        _more_looks(answer, len(shown))
    draw(heading("Or write them, one look a line", _reading(), spaced=True), "lines_head")
    take_offered(LINES)
    with st.form("form_of_lines", border=False):
        st.text_area("Hatchlings", key=LINES, placeholder=_EXAMPLE, height=110, label_visibility="collapsed")
        st.form_submit_button(
            "Enter these hatchlings",
            type="primary" if waiting or not answer.hatchlings else "secondary",
            on_click=_enter_lines,
            args=(answer,),
        )
    _line_faults()
    refused(LINES)


def _reading() -> str:
    return (
        "The sex stands at the end, m or f; a number before it enters several, 1.2 means one male and two "
        "females; “3 like this” repeats the line above. Several lines can be pasted."
    )


def _looks(answer: ClutchAnswer, shown: Sequence[LookChoice]) -> list[LookChoiceLine]:
    hatched = answer.line.hatched
    rows = []
    for place, look in enumerate(shown):
        chance = freq(look.chance)
        if hatched:
            chance += f", {count(look.chance * hatched)} of {num(hatched)}"
        sexes = [
            (words, f"{place}:{words}")
            for words, share in (("male", look.males), ("female", look.females))
            if share > 0
        ]
        rows.append(
            LookChoiceLine(
                look.label,
                chance,
                num(look.entered),
                (*sexes, ("unsexed", f"{place}:unsexed")),
            )
        )
    return rows


def _more_looks(answer: ClutchAnswer, shown: int) -> None:
    if shown < len(answer.looks):
        if st.button(f"Show all {num(len(answer.looks))} looks", key="more_looks"):
            session.choose("all_looks", value=True)
            st.rerun()
    elif answer.looks_left:
        words = f"{num(answer.looks_left)} rarer looks are not listed; write them below."
        draw(f'<p class="reading">{esc(words)}</p>', "looks_left")


def _enter_look(answer: ClutchAnswer) -> None:
    """Enter one hatchling of a look that was clicked."""
    place, _, sex = (session.used("look_choices") or "").partition(":")
    if place.isdigit() and int(place) < len(answer.looks):
        _store(answer, f"{answer.looks[int(place)].label} {sex}")


def _enter_lines(answer: ClutchAnswer) -> None:
    """Enter what was written; refused lines stay with their reasons, and then nothing is stored."""
    text = str(session.typed(LINES) or "")
    if not text.strip():
        refuse(LINES, BookError("Write at least one line, such as “pastel het clown f”."))
    elif _store(answer, text):
        session.put(LINES, "")


def _store(answer: ClutchAnswer, text: str) -> bool:
    """Store hatchlings in one edit; gives whether they were."""
    clutch = answer.line.clutch
    clear(LINES)
    session.choose("line_faults", ())
    if clutch is None:
        return False
    try:
        stored, faults = enter_lines(session.current_book(), clutch.id, text)
    except BookError as fault:
        refuse(LINES, fault)
        return False
    session.choose("line_faults", faults)
    if stored:
        n = len(stored)
        saved(f"{number_word(n, start=True)} {plural(n, 'hatchling is', 'hatchlings are')} in the book.")
    return bool(stored)


def _line_faults() -> None:
    """Say which lines were refused and why, with the nearest names to choose from."""
    faults: tuple[LineFault, ...] = session.choice("line_faults", ())
    if not faults:
        return
    lines = "".join(
        f"<p>{strong(f'Line {fault.line}, “{fault.written}”:')} {_why(place, fault)}</p>"
        for place, fault in enumerate(faults)
    )
    draw(note("none", f"{lines}<p>{strong(NOTHING_SAVED)}</p>"), "line_faults", on_use=lambda: _mend(faults))


def _why(place: int, fault: LineFault) -> str:
    words = plain_refusal(fault.why.reason)
    if not fault.why.nearest:
        return esc(words)
    names = " or ".join(action(near, f"{place}:{near}") for near in fault.why.nearest)
    return f"{esc(words.split(' The nearest names are')[0])} Did you mean {names}?"


def _mend(faults: tuple[LineFault, ...]) -> None:
    """Put the nearest name in place of the word that could not be read."""
    place, _, near = (session.used("line_faults") or "").partition(":")
    if place.isdigit() and int(place) < len(faults):
        text = str(session.typed(LINES) or "")
        offer(LINES, LINES, with_name(text, faults[int(place)].why.word, near))
        session.choose("line_faults", ())
