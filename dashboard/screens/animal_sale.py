"""An animal is sold: for how much, on which day, and where?"""

from __future__ import annotations

from typing import Any

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import heading
from dashboard.jobs.typed import day_text
from dashboard.records import AnimalRecord
from dashboard.screens import animal_form
from dashboard.screens.focus import focus_on

_OPEN = "sale_of"


def open_for(animal: AnimalRecord) -> None:
    """Ask for the sale of an animal at the next run."""
    session.choose(_OPEN, animal.id)
    session.choose("sale_turn", session.choice("sale_turn", 0) + 1)


def close() -> None:
    """Ask no more."""
    session.choose(_OPEN, None)


def ask(animal: AnimalRecord) -> dict[str, Any] | None:
    """Ask for the sale of an animal if that was opened; gives its fields once they are to be saved."""
    if session.choice(_OPEN, None) != animal.id:
        return None
    reading = "What your own animals brought is the best price there is. All but the price may stay empty."
    draw(heading(f"{animal.name} is sold", reading), "sale_head")
    turn = session.choice("sale_turn", 0)
    key = f"sale-{animal.id}-{turn}"
    start = animal_form.start_of(animal)
    start |= {
        "sold": start["sold"] or start["asked"],
        "sold_on": start["sold_on"] or day_text(session.current_book().today()),
    }
    with st.form(key, border=False):
        values = animal_form.sale_fields(key, start)
        with st.container(horizontal=True):
            sent = st.form_submit_button("Save the sale")
            left = st.form_submit_button("Not now", type="tertiary")
    focus_on(f"{key}-sold", turn, place="sale")
    if left:
        close()
        st.rerun()
    return {**values, "status": "sold"} if sent else None
