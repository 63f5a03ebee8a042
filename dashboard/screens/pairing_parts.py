"""The parts of the Pairing page that take input: figures of this pairing, more looks, the plan."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc
from dashboard.figures.pairing import AssumptionLine, assumption_row, assumption_scale
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.pairing import PairingAnswer
from dashboard.records import BookError
from dashboard.records.spreadsheets.exports import as_csv, as_workbook
from dashboard.screens.pairing_figures import MOST_ROWS, budget_sheets
from dashboard.screens.saving import clear, refuse, refused
from dashboard.words import figure, input_size, input_unit, money_digits, num, step_of, unit_in
from econ.assumptions import AssumptionError, assumption
from econ.decisions.what_ifs import WhatIf

SHOWN = 6
PLACE = "pairing"


def assumptions(answer: PairingAnswer) -> None:
    """Show what the answer hangs on most, with an input on each row that saves itself."""
    rows = answer.what_ifs[:SHOWN]
    lines = [_line(row, answer.currency) for row in rows]
    now = answer.valued.budget.margin
    st.header(f"What moves the answer most: {_lower(lines[0].name)}")
    words = (
        "Bar: what the margin becomes if only this one goes from its low to its high figure, 8 in 10. "
        "Dotted line: now. Upright line: break-even. Change what you know better; it holds for this pairing "
        "alone."
    )
    draw(f'<p class="reading">{esc(words)}</p>', "hangs")
    refused(PLACE)
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


def _line(row: WhatIf, currency: str) -> AssumptionLine:
    entry = assumption(row.id)
    low, high = (figure(end, unit_in(entry.unit, currency)) for end in (row.low, row.high))
    return AssumptionLine(entry.name, low, high, row.margin_low, row.margin_high)


def _input(answer: PairingAnswer, row: WhatIf) -> None:
    """Show the input of one figure; a share is typed in percent, as the row prints it."""
    entry, couple = assumption(row.id), answer.valued.couple
    unit, size = unit_in(entry.unit, answer.currency), input_size(entry.unit)
    key = f"figure-{couple.sire.id}-{couple.dam.id}-{row.id}-{row.now:.9g}"
    least, most, value = (round(size * end, 9) for end in (entry.minimum, entry.maximum, row.now))
    step, _ = step_of(size * entry.low, size * entry.high, whole=entry.whole)
    digits = money_digits(row.now, unit)
    form = "%g" if digits is None else f"%.{digits}f"
    step = step if digits is None else max(step, 10.0**-digits)
    kind = int if entry.whole else float
    st.number_input(
        f"{entry.name}, {input_unit(unit)}",
        kind(least),
        kind(most),
        kind(value),
        kind(step),
        "%d" if entry.whole else form,
        key=key,
        label_visibility="collapsed",
        on_change=_typed,
        args=(answer, row.id, key),
    )


def _typed(answer: PairingAnswer, id_: str, key: str) -> None:
    """Keep what was typed before the page is drawn again, so that it is drawn once."""
    clear(PLACE)
    value = session.typed(key)
    if value is None:
        return
    try:
        _keep(answer, id_, float(value) / input_size(assumption(id_).unit))
    except (AssumptionError, BookError) as fault:
        refuse(PLACE, fault)
        return
    session.tell("Saved for this pairing." if answer.pairing is not None else "Tried; not saved.")


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
        back = st.button("Back to my book’s figures")
        mine = answer.pairing is not None and st.button("Save these figures as mine")
    try:
        if back:
            _forget(answer)
        elif mine:
            _save_as_mine(answer)
        else:
            return
    except BookError as fault:
        st.error(f"{fault} Nothing was saved.")
        return
    st.rerun()


def _forget(answer: PairingAnswer) -> None:
    couple = answer.valued.couple
    if answer.pairing is not None:
        session.current_book().clear_pairing_assumptions(answer.pairing.id)
    session.choose(f"trial-{couple.sire.id}-{couple.dam.id}", {})
    session.tell("Back to your book’s figures.")


def _save_as_mine(answer: PairingAnswer) -> None:
    figures = answer.valued.couple.assumptions
    session.current_book().set_assumptions({id_: figures[id_] for id_ in answer.own})
    session.tell("Saved as your book’s figures.")


def more_looks(answer: PairingAnswer) -> None:
    """Offer the looks beyond the first dozen."""
    if len(answer.looks) <= MOST_ROWS:
        return
    shown = session.choice("all_looks", default=False)
    words = "Show the first twelve" if shown else f"Show all {num(len(answer.looks))} looks"
    if st.button(words):
        session.choose("all_looks", not shown)
        st.rerun()


def buttons(answer: PairingAnswer) -> None:
    """Put the pairing in the plan or leave it out; take its budget away."""
    planned = answer.pairing is not None and answer.pairing.planned
    name = answer.valued.name.replace(" × ", "-").lower()
    catalogue = catalogue_of(session.current_book())
    with st.container(horizontal=True):
        if st.button("Leave out of the plan" if planned else "Put in the plan", type="primary"):
            _plan(answer)
        st.download_button(
            "Budget as XLSX",
            data=lambda: as_workbook(budget_sheets(answer, catalogue)),
            file_name=f"budget-{name}.xlsx",
            on_click="ignore",
        )
        st.download_button(
            "Looks as CSV",
            data=lambda: as_csv(budget_sheets(answer, catalogue)[1]),
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
