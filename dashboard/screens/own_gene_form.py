"""Own genes: what the breeder knows that the list does not, entered, changed or taken out."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import quote

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.genes import changes_table
from dashboard.figures.marks import note
from dashboard.figures.markup import action, esc, heading, strong
from dashboard.figures.plain import ActionLine, action_table
from dashboard.jobs.own_gene_effect import Effect, ReadOtherwise, effect_of
from dashboard.jobs.own_gene_forms import FormRefused, definition_from, only_corrected, plain_faults
from dashboard.jobs.own_genes import KINDS, OwnGeneRow, entry_of, own_gene_rows, said
from dashboard.records import BookError, Conflict
from dashboard.screens.focus import turn_to
from dashboard.screens.own_gene_fields import Entry, corrected_gene, fields, opened
from dashboard.screens.saving import clash, clashed, clear, refuse, refused, saved, undo_line
from dashboard.words import listed as in_a_row
from dashboard.words import num, number_word, plural
from genetics import Catalogue

PLACE: Final = "own_gene"
LIST: Final = "own_list"
MOST_NAMED: Final = 6
_GENES: Final = ("gene", "correction")
_DONE: Final = {"": "was taken out", "correction": "is corrected", "harm": "is warned of from now on"}


@dataclass(frozen=True)
class Waiting:
    """A change that is held back until the breeder has seen what it does to the book."""

    place: str
    name: str
    definition: Mapping[str, Any] | None
    version: int | None


def show(catalogue: Catalogue, *, listed: bool = True) -> None:
    """Show the breeder's own genes, and the form for another one or for one to change.

    Parameters
    ----------
    catalogue
        The genes that hold now.
    listed
        Whether the entries there are stand above the form.
    """
    book = session.current_book()
    rows = session.computed("own_genes", lambda: own_gene_rows(book))
    with st.container(key="own"):
        turn_to("own", session.choice("own_turn", 0))
        if listed:
            _left_out(rows)
        if listed and rows:
            _list(rows)
        if listed:
            undo_line()
            refused("undo")
        refused(LIST)
        _waiting(LIST)
        _form(rows, catalogue)


def correct(gene: str) -> None:
    """Open the form for what the breeder would say of a gene: their own entry, or a correction."""
    book = session.current_book()
    entry = entry_of(gene, own_gene_rows(book), book.own_genes())
    clear(PLACE)
    opened(str(book.own_genes()[entry]["kind"]) if entry else "correction", entry or gene)
    session.choose("own_view", gene)
    turn_here()


def is_open_for(gene: str) -> bool:
    """Say whether the form was opened on the page of a gene."""
    return session.choice("own_view", "") == gene


def is_open() -> bool:
    """Say whether the form was opened on the page of some gene."""
    return bool(session.choice("own_view", ""))


def close() -> None:
    """Show the form of a new entry again, on the page of all genes."""
    opened("gene")
    session.choose("own_view", "")


def turn_here() -> None:
    """Bring the breeder's own genes into view at the next run."""
    session.choose("own_turn", session.choice("own_turn", 0) + 1)


def _left_out(rows: tuple[OwnGeneRow, ...]) -> None:
    """Say which own definitions do not hold, why, and what to do about it."""
    for number, row in enumerate(row for row in rows if row.fault):
        ways = f"{action('Change it', f'change:{row.name}')} or {action('take it out', f'out:{row.name}')}"
        text = (
            f"<p>{strong(row.name)} is left out: it no longer fits the list. "
            f"{esc(plain_faults(row.fault))}</p>"
            f"<p>It is kept as you wrote it, and nothing is read by it meanwhile. {ways}.</p>"
        )
        key = f"left-out-{number}"
        draw(note("none", text), key, on_use=lambda key=key: _use(rows, key))


def _list(rows: tuple[OwnGeneRow, ...]) -> None:
    n = len(rows)
    title = f"{number_word(n, start=True)} {plural(n, 'entry', 'entries')} of your own"
    reading = "They hold in every animal, price and file of this book, beside the list or in its place."
    lines = [
        ActionLine(
            name=row.name,
            under=KINDS[row.kind] + (", left out" if row.fault else ""),
            state=row.says,
            actions=(("Change", f"change:{row.name}"), ("Take out", f"out:{row.name}")),
            pale=bool(row.fault),
            link=f"genes?gene={quote(row.name)}" if row.kind in _GENES and not row.fault else "",
        )
        for row in rows
    ]
    html = action_table(title, reading, heads=("Name", "What it says", "Change"), rows=lines)
    target = draw(html, "own_genes", on_use=lambda: _use(rows, "own_genes"))
    if target and target.startswith("genes?"):
        session.go(target)


def _use(rows: tuple[OwnGeneRow, ...], key: str) -> None:
    """Do what was chosen in the list or in a note: change an entry or take it out."""
    verb, _, name = (session.used(key) or "").partition(":")
    row = next((row for row in rows if row.name == name), None)
    if row is None:
        return
    _forget()
    if verb == "change":
        opened(row.kind, name)
        turn_here()
    else:
        _send(Waiting(LIST, name, None, row.version))


def _forget() -> None:
    """Forget refusals and what waits, before the next try."""
    for place in (PLACE, LIST):
        clear(place)
    session.choose("own_waiting", None)


def _form(rows: tuple[OwnGeneRow, ...], catalogue: Catalogue) -> None:
    """Ask what is to be said, then for its fields."""
    kind, name = session.choice("own_open", ("gene", ""))
    turn = session.choice("own_round", 0)
    here = session.choice("own_view", "")
    changed = any(row.name == name for row in rows)
    reading = "What you write is checked against the list before it is saved: no two meanings for one word."
    title = f"Change {name}" if changed else f"Correct {here}" if here else "Say what the list does not"
    draw(heading(title, reading, spaced=True), "own_head")
    if not changed and not here:
        kinds = list(KINDS)
        kind = st.selectbox("I want to enter", kinds, kinds.index(kind), format_func=KINDS.__getitem__,
                            key=f"own-kind-{turn}", width=420)  # fmt: skip
        name = corrected_gene(f"own-{turn}", name) if kind == "correction" else ""
    _settle_clash()
    key = f"own-{kind}-{name}-{turn}"
    entry = _seen(key, kind, name, rows)
    sent = fields(key, entry, catalogue)
    if sent is not None:
        _read(entry, *sent, catalogue)
    refused(PLACE)
    _waiting(PLACE)
    waits = session.choice("own_waiting", None) is not None
    if (changed or here) and not waits and st.button("Leave it as it is", key=f"leave-{key}"):
        _forget()
        close()
        st.rerun()


def _seen(key: str, kind: str, name: str, rows: tuple[OwnGeneRow, ...]) -> Entry:
    """Give the entry as it was when its form was opened, whatever another window did since."""
    kept_key, entry = session.choice("own_seen", ("", None))
    if kept_key == key and entry is not None:
        return Entry(entry.kind, entry.name, entry.version, entry.stored)
    row = next((row for row in rows if row.name == name and row.kind == kind), None)
    stored = session.current_book().own_genes().get(name) if row else None
    entry = Entry(kind, name, row.version if row else None, stored)
    session.choose("own_seen", (key, entry))
    return entry


def _read(entry: Entry, name: str, form: Mapping[str, Any], catalogue: Catalogue) -> None:
    """Take a form that was just sent: read it, and store it or say what stands in its way."""
    _forget()
    word = name.strip().casefold()
    try:
        definition = _definition(entry, word, form, catalogue)
    except FormRefused as fault:
        refuse(PLACE, fault)
        return
    _send(Waiting(PLACE, word, definition, entry.version))
    if session.choice(f"refused-{PLACE}", None) is None:
        st.rerun()


def _definition(entry: Entry, word: str, form: Mapping[str, Any], catalogue: Catalogue) -> dict[str, Any]:
    """Give the definition that a sent form means; raises `FormRefused`."""
    if not word:
        raise FormRefused("The name is empty. Write what the trade calls it.")
    if entry.version is None and word in session.current_book().own_genes():
        raise FormRefused(f"{word} is an entry of your own already. Change that one instead.")
    definition = definition_from(entry.kind, form, catalogue, stored=entry.stored)
    return only_corrected(word, definition) if entry.kind == "correction" else definition


def _send(wanted: Waiting) -> None:
    """Store a change that nothing of the book reads otherwise for; hold any other back and say so."""
    effect = effect_of(session.current_book(), wanted.name, wanted.definition)
    if effect.any and not effect.unreadable:  # storing a change that makes something unreadable is refused
        session.choose("own_waiting", wanted)
    else:
        _store(wanted)


def _store(wanted: Waiting) -> None:
    """Store a change, and keep what stands in its way."""
    session.choose("own_waiting", None)
    try:
        session.current_book().set_own_gene(wanted.name, wanted.definition, version=wanted.version)
    except Conflict as fault:
        clash(PLACE, fault, name=wanted.name, definition=wanted.definition)
    except BookError as fault:
        refuse(wanted.place, FormRefused(plain_faults(str(fault))))
    else:
        kind = "" if wanted.definition is None else wanted.definition["kind"]
        saved(f"{wanted.name} {_DONE.get(kind, 'is read from now on')}.")
        close()


def _waiting(place: str) -> None:
    """Say what a change does to the book, and ask once more."""
    wanted = session.choice("own_waiting", None)
    if wanted is None or wanted.place != place:
        return
    effect = effect_of(session.current_book(), wanted.name, wanted.definition)
    if not effect.any:  # another window changed what it would have touched
        _store(wanted)
        st.rerun()
    condition = "if it is taken out" if wanted.definition is None else "if this is saved"
    words = f"<p>{strong(_effect_words(effect, condition))} Nothing is saved yet.</p>"
    draw(note("decide", words), "effect")
    if effect.animals:
        draw(_effect_rows(effect), "effect_rows")
    with st.container(horizontal=True):
        deed = f"Take {wanted.name} out" if wanted.definition is None else "Save it all the same"
        sure = st.button(deed, key="own-sure")
        back = st.button("Don’t save it", key="own-back")
    if sure:
        _store(wanted)
    if back:
        session.choose("own_waiting", None)
    if sure or back:
        st.rerun()


def _effect_words(effect: Effect, condition: str) -> str:
    parts = [
        f"{num(n)} {plural(n, word)}"
        for n, word in ((len(effect.animals), "animal"), (effect.prices, "price"), (effect.counts, "count"))
        if n
    ]
    n = len(effect.animals) + effect.prices + effect.counts
    return f"{in_a_row(parts)} of this book {plural(n, 'is', 'are')} read otherwise {condition}."


def _effect_rows(effect: Effect) -> str:
    rows = [(row.name, row.before, _then(row)) for row in effect.animals[:MOST_NAMED]]
    more = len(effect.animals) - len(rows)
    if more:
        rows.append((f"{num(more)} more", "", ""))
    return changes_table("Animals that are read otherwise", rows=rows)


def _then(row: ReadOtherwise) -> str:
    if row.after != row.before:
        return row.after
    return f"the same, but otherwise: {in_a_row(row.changed)}"


def _settle_clash() -> None:
    """Do what the breeder chooses where another window was faster."""
    chosen = clashed(PLACE, names={"definition": "What it says"}, show=lambda _, value: _said(value))
    if chosen is None:
        return
    answer, kept = chosen
    _forget()
    if answer == "mine":
        again = kept.again
        _store(Waiting(PLACE, again["name"], again["definition"], kept.fault.stored_version))
    else:
        close()
    st.rerun()


def _said(value: object) -> str:
    return said(json.loads(value)) if isinstance(value, str) else "nothing"
