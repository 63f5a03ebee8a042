"""Bring in a whole book from a package: tried table by table, then added in one step."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading
from dashboard.figures.plain import RefusedLine, facts_table, refusals_table
from dashboard.jobs.imports import digest, try_package
from dashboard.records import BookError
from dashboard.records.files.packages import PackageTrial
from dashboard.records.spreadsheets import TITLES
from dashboard.screens.saving import clear, refuse, saved
from dashboard.source_words import plain_refusal
from dashboard.words import grouped, num, plural

MOST_ROWS: Final = 25


def panel(key: str, name: str, data: bytes, *, leave: Callable[[], None]) -> None:
    """Show what a package would add, and add it.

    Parameters
    ----------
    key
        Name of this place, unique in the program.
    name, data
        The file.
    leave
        Puts the file away.
    """
    book = session.current_book()
    tried = session.computed("package", lambda: try_package(book, data), parts=digest(data))
    if tried.trial is None:
        said = f"{esc(tried.fault)} Nothing was saved."
        draw(
            heading("This package can’t come in", spaced=True) + note("none", said), f"package-refused-{key}"
        )
    else:
        draw(_outcome(tried.trial), f"package-{key}")
    with st.container(horizontal=True):
        good = 0 if tried.trial is None else tried.trial.good
        if good and st.button(
            f"Add the {num(good)} good {plural(good, 'row')}", type="primary", key=f"package-add-{key}"
        ):
            _add(key, name, data, leave)
        if st.button("Leave everything as it was", key=f"package-leave-{key}"):
            clear(f"import-{key}")
            leave()
            session.tell("Nothing was added.")
            st.rerun()


def _outcome(trial: PackageTrial) -> str:
    said = (
        f"A whole book, “{trial.name}”, that counts in {trial.currency}; this book will do so too. Nothing "
        "is saved yet. Adding it is one step and can be undone."
    )
    parts = [heading(grouped(trial.sentence), spaced=True), f'<p class="lead">{esc(said)}</p>']
    if trial.invented:
        words = "The package is of a demo book: its rows are invented. They would enter your own book."
        parts.append(note("none", words))
    rows = [(TITLES[table.kind], f"{num(table.good)} of {num(table.total)}") for table in trial.tables]
    if trial.forecasts:
        rows.append((TITLES["forecasts"], num(trial.forecasts)))
    parts.append(facts_table("What would come in", rows))
    refused = [(table.kind, row) for table in trial.tables for row in table.refused]
    if refused:
        lines = [
            RefusedLine(row.line, row.written or "nothing", f"{TITLES[kind]}: {plain_refusal(row.why)}")
            for kind, row in refused[:MOST_ROWS]
        ]
        n = len(refused)
        title = f"Why {num(n)} {plural(n, 'row was', 'rows were')} refused"
        reading = "Lines are those of the table's own file in the package."
        reading += f" The first {MOST_ROWS} are shown." if n > MOST_ROWS else ""
        parts.append(refusals_table(title, reading, rows=lines))
    return "".join(parts)


def _add(key: str, name: str, data: bytes, leave: Callable[[], None]) -> None:
    clear(f"import-{key}")
    try:
        receipt = session.current_book().add_package(data, name)
    except BookError as fault:
        refuse(f"import-{key}", fault)
    else:
        leave()
        saved(f"{num(receipt.added)} {plural(receipt.added, 'row')} added.")
    st.rerun()
