"""Many animals at once: rows copied from a spreadsheet, looked at first, then added in one step."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading
from dashboard.figures.plain import RefusedLine, refusals_table
from dashboard.jobs.animal_paste import HEADS, try_paste, with_heads
from dashboard.jobs.imports import Trial, add_good_rows, digest, text_as_file
from dashboard.records import BookError
from dashboard.screens.saving import clear, refuse, refused, saved
from dashboard.source_words import plain_refusal
from dashboard.words import grouped, listed, num, number_word, plural

PLACE = "paste_animals"
MOST_ROWS = 25
MOST_LETTERS = 400_000
_EXAMPLE = "Basalt\tmale\tpastel clown\t2023-07-19\nTansy\tfemale\tenchi het clown\t2021-08-14"


def offer() -> None:
    """Offer a field for copied rows; shows what they would add, and adds the good ones."""
    round_ = session.choice("paste_round", 0)
    text = session.choice("paste_text", "")
    with st.expander("Paste many rows from a spreadsheet", expanded=bool(text)):
        with st.form(f"paste-{round_}", border=False):
            typed = st.text_area(
                f"Rows with the columns {listed(HEADS)}; or with a line of heads in any order",
                text, placeholder=_EXAMPLE, key=f"paste-{round_}-rows", height=140, max_chars=MOST_LETTERS,
            )  # fmt: skip
            looked = st.form_submit_button("Look at these rows")
        if looked:
            clear(PLACE)
            session.choose("paste_text", typed)
            text = typed
        refused(PLACE)
        if text.strip():
            _try(text)


def _try(text: str) -> None:
    book = session.current_book()
    trial = session.computed("paste", lambda: try_paste(book, text), parts=digest(text_as_file(text)))
    draw(_outcome(text, trial), "paste_outcome")
    good = 0 if trial.run is None else len(trial.run.good)
    with st.container(horizontal=True):
        words = "Add the one good animal" if good == 1 else f"Add the {num(good)} good animals"
        if good and st.button(words, key="paste_add"):
            _add(trial)
        if st.button("Leave everything as it was", key="paste_leave", type="tertiary"):
            _put_away()
            st.rerun()


def _outcome(text: str, trial: Trial) -> str:
    """Write what would be added, and why the rest would not."""
    run = trial.run
    if run is None:
        return note("none", f"{esc(trial.fault)} Nothing was saved.")
    _, added = with_heads(text)
    title = grouped(run.sentence) if run.total else "Only heads, no rows"
    reading = "Nothing is saved yet. Adding the good rows is one step and can be undone."
    if added:
        reading = f"No line of heads was found, so the columns were taken as {listed(HEADS)}. {reading}"
    parts = [heading(title, reading)]
    if run.duplicates:
        n = len(run.duplicates)
        words = f"{number_word(n, start=True)} {plural(n, 'row is', 'rows are')} in the book already."
        parts.append(f"<p>{esc(words)}</p>")
    if run.refused:
        n = len(run.refused)
        rows = [
            RefusedLine(row.line - int(added), row.written or "nothing", plain_refusal(row.why))
            for row in run.refused[:MOST_ROWS]
        ]
        why = f"Why {number_word(n)} {plural(n, 'row was', 'rows were')} refused"
        parts.append(refusals_table(why, f"Mend {plural(n, 'it', 'them')} above and look again.", rows=rows))
    return "".join(parts)


def _add(trial: Trial) -> None:
    clear(PLACE)
    try:
        receipt = add_good_rows(session.current_book(), trial, "pasted animals")
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        _put_away()
        saved(f"{receipt.added} {plural(receipt.added, 'animal is', 'animals are')} in the book.")
    st.rerun()


def _put_away() -> None:
    session.choose("paste_text", "")
    session.choose("paste_round", session.choice("paste_round", 0) + 1)
