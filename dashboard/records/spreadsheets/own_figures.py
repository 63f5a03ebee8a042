"""Which rows of a file are good own figures, of the book or of one pairing? Tried, not stored."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from typing import Any

from dashboard.records.faults import NotStored
from dashboard.records.herd.herd_index import HerdIndex
from dashboard.records.text_fields import name_key
from econ.assumptions import ASSUMPTIONS, AssumptionError, Assumptions, Contradiction

from .dry_run import DryRun
from .entries import RowRefused
from .guess import Guess
from .pacing import Progress
from .plain import KeyedTable, Row, check_keyed
from .tables import FIGURES, PAIRING_FIGURES
from .values import Reading

Figures = Mapping[str, float | None]


def check_figures(
    data: bytes, guess: Guess, *, stored: Sequence[Row], on_progress: Progress | None = None
) -> DryRun[Row]:
    """Try a file of own cost figures without storing anything.

    Parameters
    ----------
    data, guess
        The file, and how it is read.
    stored
        Own figures of the book.
    on_progress
        Told how far it is.

    Raises
    ------
    FileRefused
        If a needed column is missing or the file can't be read as the guess says.
    """
    beside = {row["assumption"]: row["value"] for row in stored}
    table = KeyedTable(
        "own figure", FIGURES, ("assumption",), _figure, lambda rows: _contradicting(rows, beside)
    )
    reading = Reading(guess.date_order, guess.decimal, "")
    return check_keyed(data, guess, table, reading=reading, stored=stored, on_progress=on_progress)


def check_pairing_figures(
    data: bytes,
    guess: Guess,
    *,
    herd: HerdIndex,
    figures: Figures,
    stored: Sequence[Row],
    on_progress: Progress | None = None,
) -> DryRun[Row]:
    """Try a file of figures of single pairings; `figures` are the book's own, the rest as `check_figures`."""
    own: dict[int, dict[str, float | None]] = {}
    for row in stored:
        own.setdefault(row["pairing_id"], {})[row["assumption"]] = row["value"]

    def sift(rows: Sequence[Row]) -> dict[int, RowRefused]:
        faults: dict[int, RowRefused] = {}
        for number in {row["pairing_id"] for row in rows}:
            places = [i for i, row in enumerate(rows) if row["pairing_id"] == number]
            found = _contradicting([rows[i] for i in places], {**figures, **own.get(number, {})})
            faults |= {places[i]: fault for i, fault in found.items()}
        return faults

    table = KeyedTable(
        "figure of a pairing", PAIRING_FIGURES, ("pairing_id", "assumption"), _pairing_figure, sift
    )
    reading = Reading(guess.date_order, guess.decimal, "", herd)
    return check_keyed(data, guess, table, reading=reading, stored=stored, on_progress=on_progress)


def figure_id(written: str) -> str:
    """Id of a figure by its id or its plain name; raises `NotStored` with the nearest names."""
    if written in ASSUMPTIONS:
        return written
    meant = {
        figure.id
        for figure in ASSUMPTIONS.values()
        if name_key(written) in {name_key(figure.name), name_key(figure.id)}
    }
    if len(meant) == 1:
        return meant.pop()
    if meant:
        raise NotStored(
            f"“{written}” is the name of several figures. Write the id: {', '.join(sorted(meant))}."
        )
    plain = [*ASSUMPTIONS, *(figure.name for figure in ASSUMPTIONS.values())]
    nearest = difflib.get_close_matches(written, plain, n=3, cutoff=0.5)
    raise NotStored(f"No figure of the Costs page is called “{written}”.", nearest=tuple(nearest))


def _figure(values: Row) -> dict[str, Any]:
    """Row of a figure that may be entered by itself."""
    known, value = figure_id(str(values["assumption"] or "")), values["value"]
    if value is None:
        return {"assumption": known, "value": None}
    try:
        return {"assumption": known, "value": ASSUMPTIONS[known].check(value)}
    except AssumptionError as fault:
        raise NotStored(str(fault)) from fault


def _pairing_figure(values: Row) -> dict[str, Any]:
    if values["value"] is None:
        raise NotStored("The value is missing.")
    return {"pairing_id": values["pairing_id"], **_figure(values)}


def _contradicting(rows: Sequence[Row], beside: Figures) -> dict[int, RowRefused]:
    """Refusals of figures that can't be true together with the others, by their place in the list."""
    faults: dict[int, RowRefused] = {}
    while True:
        left = {row["assumption"]: row["value"] for i, row in enumerate(rows) if i not in faults}
        try:
            Assumptions({**beside, **left})
        except Contradiction as fault:
            at_fault = [i for i, r in enumerate(rows) if r["assumption"] in fault.ids and i not in faults]
            if not at_fault:  # what the book holds contradicts itself; nothing of this file can mend it
                return faults
            faults |= {i: RowRefused("value", f"{rows[i]['value']:g}", str(fault)) for i in at_fault}
        else:
            return faults
