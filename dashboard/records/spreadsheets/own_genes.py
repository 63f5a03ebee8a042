"""Which rows of a file are good own genes? Tried beside the genes that ship and those of the book."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from dashboard.records.faults import NotStored
from dashboard.records.text_fields import LONGEST_NAME, tidy

from .dry_run import DryRun
from .entries import RowRefused
from .guess import Guess
from .pacing import Progress
from .plain import KeyedTable, Row, check_keyed
from .tables import OWN_GENES
from .values import Reading


def check_own_genes(
    data: bytes, guess: Guess, *, stored: Sequence[Row], on_progress: Progress | None = None
) -> DryRun[Row]:
    """Try a file of own genes without storing anything.

    Parameters
    ----------
    data, guess
        The file, and how it is read.
    stored
        Own genes of the book.
    on_progress
        Told how far it is.

    Raises
    ------
    FileRefused
        If a needed column is missing or the file can't be read as the guess says.
    """
    beside = {row["name"]: json.loads(row["definition"]) for row in stored}
    table = KeyedTable("gene", OWN_GENES, ("name",), _gene, lambda rows: _unfit(rows, beside))
    reading = Reading(guess.date_order, guess.decimal, "")
    return check_keyed(data, guess, table, reading=reading, stored=stored, on_progress=on_progress)


def _gene(values: Row) -> dict[str, Any]:
    """Row of an own gene: its definition is plain data, written in one way."""
    name = tidy(str(values["name"] or ""), what="The gene's name", longest=LONGEST_NAME).casefold()
    written = str(values["definition"] or "")
    if not written:
        raise NotStored("The definition is missing.")
    try:
        definition = json.loads(written, parse_constant=_no_number)
    except (ValueError, RecursionError) as fault:
        raise NotStored("The definition is no JSON.") from fault
    if not isinstance(definition, dict):
        raise NotStored("The definition is no JSON object.")
    return {"name": name, "definition": json.dumps(definition, ensure_ascii=False, sort_keys=True)}


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")


def _unfit(rows: Sequence[Row], beside: Mapping[str, Any]) -> dict[int, RowRefused]:
    """Refusals of definitions that can't join the catalogue, by their place in the list."""
    from genetics import load_catalogue
    from genetics.genes.own_genes import own_definition_faults

    base, faults = load_catalogue(), dict[int, RowRefused]()
    waiting = bool(rows)
    while waiting:  # a definition that is refused may have been what another needs
        waiting = False
        left = {row["name"]: json.loads(row["definition"]) for i, row in enumerate(rows) if i not in faults}
        for place, row in enumerate(rows):
            if place in faults:
                continue
            others = {**beside, **left}
            found = own_definition_faults(base, others, row["name"], others[row["name"]])
            if found:
                faults[place] = RowRefused("definition", row["definition"], " ".join(found))
                waiting = True
    return faults
