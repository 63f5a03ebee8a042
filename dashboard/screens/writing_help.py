"""How to write an animal: examples as the program reads them, and a box to try any text."""

from __future__ import annotations

from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.genes import ReadLine, choices, readings_table
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading, strong
from dashboard.jobs.animal_reading import with_name
from dashboard.jobs.writing_help import EXAMPLES, TextRead, text_read
from dashboard.screens.focus import turn_to
from dashboard.source_words import plain_refusal
from genetics import Catalogue, Sex

TITLE: Final = "How to write an animal"
READING: Final = (
    "Write it as on a label; capitals, commas and the order don’t matter. Each line was read just now, "
    "with the genes of this book."
)
SEXES: Final = {"not said": Sex.UNSEXED, "male": Sex.MALE, "female": Sex.FEMALE}
_NEAREST: Final = " The nearest names are"


def turn_here() -> None:
    """Bring the help into view at the next run."""
    session.choose("writing_turn", session.choice("writing_turn", 0) + 1)


def show(catalogue: Catalogue) -> None:
    """Show the examples, and a box in which any text can be tried."""
    with st.container(key="writing"):
        turn_to("writing", session.choice("writing_turn", 0))
        draw(heading(TITLE, READING, spaced=True), "writing_head")
        _try(catalogue)
        rows = [_line(text_read(text, catalogue, sex=sex), why, sex) for (text, sex), why in EXAMPLES.items()]
        draw(readings_table("Examples", "", rows=rows), "examples")


def _line(found: TextRead, why: str, sex: Sex) -> ReadLine:
    if sex is not Sex.UNSEXED:
        why = f"{why} Read for a {sex.value}."
    return ReadLine(found.text, why, found.written, _means(found), plain_refusal(found.fault))


def _means(found: TextRead) -> str:
    return "; ".join(found.copies) + "".join(f" ({words})" for words in found.assumed)


def _try(catalogue: Catalogue) -> None:
    """Read what is typed: what is understood, or the word at fault with the nearest names."""
    turn = session.choice("try_round", 0)
    left, right = st.columns([3, 1], gap="small")
    text = left.text_input(
        "Try it: write an animal", session.choice("try_text", ""), key=f"try-{turn}",
        placeholder="pastel 66% het clown",
    )  # fmt: skip
    sex = right.selectbox("Its sex", list(SEXES), key="try-sex")
    if not text.strip():
        return
    found = text_read(text, catalogue, sex=SEXES[sex])
    if not found.fault:
        words = f"<p>Read as {strong(found.written)}: {esc(_means(found))}.</p>"
        draw(note("plain", words), "tried")
        return
    reason = plain_refusal(found.fault)
    if found.nearest:
        reason = f"{esc(reason.split(_NEAREST)[0])} Did you mean {choices(found.nearest)}?"
    else:
        reason = esc(reason)
    chosen = draw(note("none", f"<p>{reason}</p>"), "tried")
    if chosen:
        session.choose("try_text", with_name(text, found.word, chosen.removeprefix("use:")))
        session.choose("try_round", turn + 1)
        st.rerun()
