"""How a file was read: each part of the guess as a choice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from dashboard.jobs.imports import (
    FALLBACK_KINDS,
    FALLBACK_STAGES,
    Trial,
    Wishes,
    field_heads,
    with_wishes,
)
from dashboard.records.spreadsheets import FIELDS, FileRefused, Guess
from dashboard.words import number_word, plural

_SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "upright bar"}
_ORDERS = {"": "not said", "day first": "day first", "month first": "month first"}
_DECIMALS = {"": "not said", ".": "point, as in 1.50", ",": "comma, as in 1,50"}
_NOT_THERE = "not in this file"
_AMOUNTS = {"money", "number", "rate", "share"}


def change_guess(key: str, trial: Trial, wishes: Wishes) -> Wishes:
    """Show how a file was read and give the breeder's wishes, changed where another choice was made.

    Parameters
    ----------
    key
        Name of the place and the file, unique in the program.
    trial
        The file as it is read now.
    wishes
        What the breeder said before.
    """
    guess = trial.guess
    if guess is None:
        raise FileRefused(trial.fault)
    unsure = trial.unclear or bool(guess.missing) or bool(guess.twice)
    with st.expander(f"How it was read: {guess_words(guess)}", expanded=unsure, key=f"guess-{key}"):
        said = {**_form(f"{key}-{guess.kind}", guess), **_fallbacks(key, guess), **_months(key, guess)}
        columns = _columns(f"{key}-{guess.kind}-{guess.separator}-{guess.sheet}", guess)
    changed = {name: value for name, value in said.items() if value != getattr(guess, name)}
    moved = {name: place for name, place in columns.items() if place != guess.columns.get(name)}
    return with_wishes(wishes, changed, moved) if changed or moved else wishes


def guess_words(guess: Guess) -> str:
    """Say in a few words how a file was read."""
    days = {field.name for field in FIELDS[guess.kind] if field.kind == "day"}
    amounts = {field.name for field in FIELDS[guess.kind] if field.kind in _AMOUNTS}
    if guess.sheets:
        parts = [f"sheet {guess.sheet}"]
    else:
        parts = [f"cells parted by {_SEPARATORS.get(guess.separator, guess.separator)}"]
    if guess.by_month:
        parts.append(f"one column per month: {len(guess.months)} columns")
    elif any(name in days for name in guess.columns):
        parts.append(f"dates {guess.date_order}" if guess.date_order else "dates as 2025-04-30")
    if guess.decimal and (guess.by_month or any(name in amounts for name in guess.columns)):
        parts.append("decimal comma" if guess.decimal == "," else "decimal point")
    if guess.unused:
        n = len(guess.unused)
        parts.append(f"{number_word(n)} {plural(n, 'column')} not used")
    if guess.twice:
        parts.append(f"the first of several columns headed {', '.join(guess.twice)}")
    return ", ".join(parts)


def _pick(label: str, options: Mapping[str, str], now: str, *, key: str) -> str:
    """Show one choice; its key holds the present value, so that a new guess shows at once."""
    names = list(options)
    place = names.index(now) if now in names else 0
    return str(st.selectbox(label, names, place, format_func=lambda name: options[name], key=f"{key}-{now}"))


def _form(key: str, guess: Guess) -> dict[str, Any]:
    """Ask for separator or sheet, order of dates and decimal mark."""
    first, second, third = st.columns(3, gap="small")
    said: dict[str, Any] = {}
    with first:
        if guess.sheets:
            sheets = {name: name for name in guess.sheets}
            said["sheet"] = _pick("Sheet", sheets, guess.sheet, key=f"sheet-{key}")
        else:
            said["separator"] = _pick(
                "Cells are parted by", _SEPARATORS, guess.separator, key=f"parted-{key}"
            )
    with second:
        order = _pick("Dates such as 03/04/2025", _ORDERS, guess.date_order, key=f"order-{key}")
        said["date_order"] = order
    with third:
        said["decimal"] = _pick("Decimal mark", _DECIMALS, guess.decimal, key=f"decimal-{key}")
    return said


def _fallbacks(key: str, guess: Guess) -> dict[str, Any]:
    """Ask what rows of a price file count as that do not say it."""
    if guess.kind != "prices":
        return {}
    first, second = st.columns(2, gap="small")
    kinds, stages = ({word: word for word in words} for words in (FALLBACK_KINDS, FALLBACK_STAGES))
    with first:
        kind = _pick("Rows that don’t say asked or sold", kinds, guess.empty_kind, key=f"empty-{key}")
    with second:
        stage = _pick("Rows that don’t say the stage", stages, guess.empty_stage, key=f"stage-{key}")
    return {"empty_kind": kind, "empty_stage": stage}


def _months(key: str, guess: Guess) -> dict[str, Any]:
    """Ask whether columns headed by months are read as such."""
    if not guess.months:
        return {}
    first, last = guess.months[0][1], guess.months[-1][1]
    label = f"One column per month: {len(guess.months)} columns, {first:%Y-%m} to {last:%Y-%m}"
    shown = st.checkbox(
        label,
        guess.by_month,
        help="Each filled cell is a row of its own, dated the first of its month.",
        key=f"by-month-{key}-{guess.by_month}",
    )
    return {"by_month": shown}


def _columns(key: str, guess: Guess) -> dict[str, int | None]:
    """Ask which column of the file holds which field."""
    places: list[int | None] = [None, *range(len(guess.headers))]
    chosen: dict[str, int | None] = {}
    grid = st.columns(3, gap="small")
    for number, (name, head, needed) in enumerate(field_heads(guess.kind)):
        if number and number % 3 == 0:
            grid = st.columns(3, gap="small")  # a row of its own, so that a phone keeps the order
        now = guess.columns.get(name)
        with grid[number % 3]:
            chosen[name] = st.selectbox(
                f"Column for {head}" + (" (needed)" if needed else ""),
                places,
                places.index(now),
                format_func=lambda place: _head(guess, place),
                key=f"column-{key}-{name}-{now}",
            )
    return chosen


def _head(guess: Guess, place: int | None) -> str:
    if place is None:
        return _NOT_THERE
    return guess.headers[place].strip() or f"column {place + 1}, without a head"
