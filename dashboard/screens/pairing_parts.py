"""The parts of the Pairing page that take input: figures of this pairing, more looks, the plan."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc
from dashboard.figures.pairing import AssumptionLine, assumption_row, assumption_scale
from dashboard.jobs.pairing import PairingAnswer
from dashboard.records import BookError
from dashboard.records.spreadsheets.exports import as_csv, as_workbook
from dashboard.screens.pairing_figures import MOST_ROWS, budget_sheets
from dashboard.words import figure, step_of
from econ.assumptions import Assumption, AssumptionError, assumption
from econ.decisions.what_ifs import WhatIf

SHOWN = 6


def assumptions(answer: PairingAnswer) -> None:
    """Show what the answer hangs on most, with an input on each row that saves itself."""
    rows = answer.what_ifs[:SHOWN]
    lines = [_line(row) for row in rows]
    now = answer.valued.budget.margin
    st.header(f"What moves the answer most: {_lower(lines[0].name)}")
    words = (
        "Bar: what the margin becomes if only this one goes from its low to its high figure, 8 in 10. "
        "Dotted line: now. Upright line: break-even. Change what you know better; it holds for this pairing "
        "alone."
    )
    draw(f'<p class="reading">{esc(words)}</p>', "hangs")
    scale = assumption_scale(lines, now)
    for line, row in zip(lines, rows, strict=True):
        left, right = st.columns([5, 1], vertical_alignment="center", gap="small")
        with left:
            draw(assumption_row(line, scale, now=now, currency=answer.currency), f"row-{row.id}")
        with right:
            _input(answer, row)
    _own_figures(answer)


def _lower(name: str) -> str:
    return name[:1].lower() + name[1:]


def _line(row: WhatIf) -> AssumptionLine:
    entry = assumption(row.id)
    return AssumptionLine(
        entry.name, figure(row.low, entry.unit), figure(row.high, entry.unit), row.margin_low, row.margin_high
    )


def _input(answer: PairingAnswer, row: WhatIf) -> None:
    entry = assumption(row.id)
    couple = answer.valued.couple
    key = f"figure-{couple.sire.id}-{couple.dam.id}-{row.id}-{row.now:.9g}"
    value = _number(entry, row.now, key)
    if value is None or abs(value - row.now) < 1e-9:
        return
    try:
        _keep(answer, row.id, float(value))
    except (AssumptionError, BookError) as fault:
        st.error(f"{fault} Nothing was saved.")
        return
    session.tell("Saved for this pairing." if answer.pairing is not None else "Tried; not saved.")
    st.rerun()


def _number(entry: Assumption, now: float, key: str) -> float | None:
    step, form = step_of(entry.low, entry.high, whole=entry.whole)
    if entry.whole:
        return st.number_input(
            entry.name,
            int(entry.minimum),
            int(entry.maximum),
            int(now),
            1,
            key=key,
            label_visibility="collapsed",
        )
    return st.number_input(
        entry.name, entry.minimum, entry.maximum, now, step, form, key=key, label_visibility="collapsed"
    )


def _keep(answer: PairingAnswer, id_: str, value: float) -> None:
    """Store a figure for this pairing, or try it where the couple is not in the book's list."""
    if answer.pairing is not None:
        session.current_book().set_pairing_assumption(answer.pairing.id, id_, value)
        return
    answer.valued.couple.assumptions.with_values({id_: value})
    name = f"trial-{answer.valued.couple.sire.id}-{answer.valued.couple.dam.id}"
    session.choose(name, {**session.choice(name, {}), id_: value})


def _own_figures(answer: PairingAnswer) -> None:
    if not answer.own:
        return
    names = ", ".join(_lower(assumption(id_).name) for id_ in answer.own)
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(f"This pairing’s own: {names}.", width="stretch")
        if st.button("Back to my book’s figures"):
            _forget(answer)
            st.rerun()
        if answer.pairing is not None and st.button("Save these figures as mine"):
            _save_as_mine(answer)
            st.rerun()


def _forget(answer: PairingAnswer) -> None:
    couple = answer.valued.couple
    session.choose(f"trial-{couple.sire.id}-{couple.dam.id}", {})
    if answer.pairing is not None:
        for id_ in answer.own:
            session.current_book().set_pairing_assumption(answer.pairing.id, id_, None)
    session.tell("Back to your book’s figures.")


def _save_as_mine(answer: PairingAnswer) -> None:
    for id_ in answer.own:
        session.current_book().set_assumption(id_, answer.valued.couple.assumptions[id_])
    session.tell("Saved as your book’s figures.")


def more_looks(answer: PairingAnswer) -> None:
    """Offer the looks beyond the first dozen."""
    if len(answer.looks) <= MOST_ROWS:
        return
    shown = session.choice("all_looks", default=False)
    words = "Show the first twelve" if shown else f"Show all {len(answer.looks)} looks"
    if st.button(words):
        session.choose("all_looks", not shown)
        st.rerun()


def buttons(answer: PairingAnswer) -> None:
    """Put the pairing in the plan or leave it out; take its budget away."""
    planned = answer.pairing is not None and answer.pairing.planned
    name = answer.valued.name.replace(" × ", "-").lower()
    with st.container(horizontal=True):
        if st.button("Leave out of the plan" if planned else "Put in the plan", type="primary"):
            _plan(answer)
        st.download_button(
            "Budget as XLSX",
            data=lambda: as_workbook(budget_sheets(answer)),
            file_name=f"budget-{name}.xlsx",
            on_click="ignore",
        )
        st.download_button(
            "Looks as CSV",
            data=lambda: as_csv(budget_sheets(answer)[1]),
            file_name=f"looks-{name}.csv",
            mime="text/csv",
            on_click="ignore",
        )


def _plan(answer: PairingAnswer) -> None:
    book, couple = session.current_book(), answer.valued.couple
    try:
        if answer.pairing is None:
            book.add_pairing(couple.season, couple.sire.id, couple.dam.id, planned=True)
            session.tell(f"{answer.valued.name} is in the plan for {couple.season}.")
        else:
            planned = not answer.pairing.planned
            book.change_pairing(answer.pairing.id, answer.pairing.version, planned=planned)
            session.tell(f"{answer.valued.name} is {'in' if planned else 'left out of'} the plan.")
    except BookError as fault:
        st.error(f"{fault} Nothing was saved.")
        return
    st.rerun()
