"""What every page says after an edit: saved with an undo, refused with a reason, or changed elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import action, esc, strong
from dashboard.figures.plain import versions_table
from dashboard.jobs.book import plain_sentence
from dashboard.records import BookError, Conflict
from dashboard.source_words import plain_refusal

NOTHING_SAVED = "Nothing was saved."
_NEAREST = " The nearest names are"


@dataclass(frozen=True)
class Refused:
    """One refusal that stays on the page until the next try: the reason, the word at fault, nearest names."""

    reason: str
    word: str = ""
    nearest: tuple[str, ...] = ()


@dataclass(frozen=True)
class Clash:
    """An edit that met another window's: the fault, and what is needed to try again."""

    fault: Conflict
    again: Mapping[str, Any]


def saved(words: str = "Saved.") -> None:
    """Say that the newest edit was saved, and offer to take it back on this page."""
    newest = session.current_book().changes(newest=1)
    if newest:
        session.choose("last_edit", (newest[0].edit, plain_sentence(newest[0].sentence)))
    session.tell(f"{words} Undo stands on this page and under Book.")


def undo_line() -> None:
    """Offer to take back what was saved last, as long as nothing was done since."""
    book = session.current_book()
    place = st.container()  # there even when empty, so that what stands beneath is not built anew
    edit, sentence = session.choice("last_edit", (0, ""))
    if not edit or edit != book.data_version:
        return
    html = f"<p>{strong('Saved:')} {esc(sentence)}. {action('Undo', 'undo')}</p>"
    with place:
        draw(html, "undo_line", on_use=lambda: undo(edit, sentence))


def undo(edit: int, sentence: str) -> None:
    """Take one edit back, or keep the reason why it can't be."""
    try:
        session.current_book().undo(edit)
    except BookError as fault:
        refuse("undo", fault)
    else:
        session.choose("last_edit", (0, ""))
        clear("undo")
        session.tell(f"Taken back: {sentence}.")


def refuse(place: str, fault: Exception) -> None:
    """Keep a refusal for a place of the page until the next try."""
    reason = plain_refusal(str(fault).removesuffix(NOTHING_SAVED).strip())
    word, nearest = str(getattr(fault, "word", "")), tuple(getattr(fault, "nearest", ()))
    session.choose(f"refused-{place}", Refused(reason, word, nearest))


def refused(place: str) -> str | None:
    """Show what was refused at a place of the page; gives the nearest name just chosen, or None."""
    kept = session.choice(f"refused-{place}", None)
    spot = st.container()
    if kept is None:
        return None
    reason = kept.reason.split(_NEAREST)[0] if kept.nearest else kept.reason
    names = " or ".join(action(name, f"use:{name}") for name in kept.nearest)
    meant = f" Did you mean {names}?" if names else ""
    with spot:
        target = draw(note("none", f"{esc(reason)}{meant} {strong(NOTHING_SAVED)}"), f"refused-{place}")
    return None if target is None else target.removeprefix("use:")


def word_refused(place: str) -> str:
    """Give the word at fault of what was refused at a place; empty if there is none."""
    kept = session.choice(f"refused-{place}", None)
    return "" if kept is None else kept.word


def clear(place: str) -> None:
    """Forget refusals and clashes of a place, before the next try."""
    session.choose(f"refused-{place}", None)
    session.choose(f"clash-{place}", None)


def clash(place: str, fault: Conflict, **again: Any) -> None:
    """Keep an edit that met another window's, with what is needed to write it all the same."""
    session.choose(f"clash-{place}", Clash(fault, again))


def clashed(
    place: str, *, names: Mapping[str, str], show: Callable[[str, object], str]
) -> tuple[str, Clash] | None:
    """Show both values of an edit that met another window's, with two buttons.

    Parameters
    ----------
    place
        Place of the page.
    names
        What each field is called; fields that are not named are not shown.
    show
        Prints a value of a field.

    Returns
    -------
    tuple or None
        "mine" or "other" and the clash when a button was just used; None else.
    """
    kept = session.choice(f"clash-{place}", None)
    if kept is None:
        return None
    fault = kept.fault
    draw(note("none", f"<p>{strong(fault)}</p>"), f"clash-{place}")
    rows = [
        (words, show(name, fault.yours[name]), show(name, fault.stored.get(name)))
        for name, words in names.items()
        if name in fault.yours
    ]
    if rows:
        draw(versions_table("Yours and the other", rows=rows), f"clash-table-{place}")
    with st.container(horizontal=True):
        mine = st.button("Save mine all the same", key=f"mine-{place}", disabled=not rows)
        other = st.button("Keep what the book holds", key=f"other-{place}")
    return ("mine", kept) if mine else ("other", kept) if other else None
