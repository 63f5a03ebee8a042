"""Own genes: what the breeder knows that the list does not, entered, changed or taken out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading, strong
from dashboard.figures.plain import ActionLine, action_table
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.own_genes import (
    KINDS,
    NO_HARM,
    FormRefused,
    OwnGeneRow,
    complex_form,
    definition_from,
    form_of,
    gene_names,
    genes_text,
    own_gene_rows,
    places,
    shipped_form,
)
from dashboard.records import BookError, Conflict
from dashboard.screens.saving import clash, clashed, clear, refuse, refused, saved
from dashboard.words import number_word, plural
from genetics import HARMS, Catalogue

PLACE: Final = "own_gene"
_MODES: Final = ("recessive", "incomplete dominant", "dominant")
_HIDES: Final = {"": "nothing", "pattern": "the pattern", "colour": "the colour", "all": "everything else"}
_APPLIES: Final = ("any copy", "one copy", "two copies")
_EMPTY: Final[Mapping[str, Any]] = form_of({})


def show() -> None:
    """Show the breeder's own genes, and the form for another one or for one to change."""
    book = session.current_book()
    rows = session.computed("own_genes", lambda: own_gene_rows(book))
    _left_out(rows)
    if rows:
        _list(rows)
    _form(rows, catalogue_of(book))


def _left_out(rows: tuple[OwnGeneRow, ...]) -> None:
    """Say which own definitions do not hold, and why."""
    for row in rows:
        if row.fault:
            text = f"{strong(row.name)} is left out, for it no longer fits the list: {esc(row.fault)}"
            draw(note("none", text), f"left-out-{row.name}")


def _list(rows: tuple[OwnGeneRow, ...]) -> None:
    n = len(rows)
    title = f"{number_word(n, start=True)} {plural(n, 'entry', 'entries')} of your own"
    reading = "They hold in every animal, price and file of this book, beside the list or in its place."
    lines = [
        ActionLine(
            name=row.name,
            under=KINDS[row.kind],
            state=row.says,
            actions=(("Change", f"change:{row.name}"), ("Take out", f"out:{row.name}")),
            pale=bool(row.fault),
        )
        for row in rows
    ]
    html = action_table(title, reading, heads=("Name", "What it says", "Change"), rows=lines)
    draw(html, "own_genes", on_use=lambda: _use(rows))


def _use(rows: tuple[OwnGeneRow, ...]) -> None:
    verb, _, name = (session.used("own_genes") or "").partition(":")
    row = next((row for row in rows if row.name == name), None)
    if row is None:
        return
    clear(PLACE)
    if verb == "change":
        _open(row.kind, name)
        return
    _store(name, None, row.version, f"{name} was taken out.")


def _open(kind: str, name: str) -> None:
    """Show the form for one kind and, where it is changed, one definition."""
    session.choose("own_kind", kind)
    session.choose("own_name", name)
    session.choose("own_round", session.choice("own_round", 0) + 1)


def _form(rows: tuple[OwnGeneRow, ...], catalogue: Catalogue) -> None:
    """Ask what is to be said, then for its fields."""
    name = session.choice("own_name", "")
    changed = next((row for row in rows if row.name == name), None)
    reading = "What you write is checked against the list before it is saved: no two meanings for one word."
    title = f"Change {name}" if changed else "Say what the list does not"
    draw(heading(title, reading, spaced=True), "own_head")
    kinds = list(KINDS)
    kind = session.choice("own_kind", "gene")
    if changed is None:
        kind = st.selectbox(
            "I want to enter",
            kinds,
            kinds.index(kind),
            format_func=lambda word: KINDS[word],
            key=f"own-kind-{session.choice('own_round', 0)}",
            width=420,
        )
    _settle_clash()
    key = f"own-{kind}-{name}-{session.choice('own_round', 0)}"
    _FORMS[str(kind)](key, changed, catalogue)
    refused(PLACE)
    if changed is not None and st.button("Leave it as it is", key=f"leave-{key}"):
        clear(PLACE)
        _open("gene", "")
        st.rerun()


def _gene_form(key: str, changed: OwnGeneRow | None, catalogue: Catalogue) -> None:
    start = dict(_EMPTY) if changed is None else form_of(session.current_book().own_genes()[changed.name])
    with st.form(key, border=False):
        name = st.text_input("Name", "" if changed is None else changed.name, disabled=changed is not None)
        form = _gene_fields(key, start, catalogue)
        sent = st.form_submit_button("Save this gene", type="primary")
    if sent:
        _send("gene", name, form, changed, catalogue)


def _correction_form(key: str, changed: OwnGeneRow | None, catalogue: Catalogue) -> None:
    names = gene_names(catalogue)
    name = changed.name if changed else st.selectbox("Gene of the list", names, key=f"gene-{key}", width=420)
    if changed is None:
        start = shipped_form(str(name))
    else:
        start = shipped_form(name) | form_of(session.current_book().own_genes()[name])
    with st.form(f"{key}-{name}", border=False):
        form = _gene_fields(f"{key}-{name}", start, catalogue)
        sent = st.form_submit_button("Save this correction", type="primary")
    if sent:
        _send("correction", str(name), form, changed, catalogue)


def _gene_fields(key: str, start: Mapping[str, Any], catalogue: Catalogue) -> dict[str, Any]:
    """Show the fields of a gene and give what they hold."""
    form: dict[str, Any] = {}
    first = st.columns(3, gap="small")
    form["mode"] = first[0].selectbox(
        "How it is passed on", _MODES, _MODES.index(start["mode"]), key=f"{key}-mode"
    )
    every = places(catalogue)
    here = start["place"] if start["place"] in every else every[0]
    form["place"] = first[1].selectbox("Where it lies", every, every.index(here), key=f"{key}-place")
    form["hides"] = first[2].selectbox(
        "What it hides of others",
        list(_HIDES),
        list(_HIDES).index(start["hides"]),
        format_func=lambda word: _HIDES[word],
        key=f"{key}-hides",
    )
    second = st.columns(3, gap="small")
    form["super_name"] = second[0].text_input(
        "Name of two copies", start["super_name"], key=f"{key}-super", placeholder="only if it has one"
    )
    form["spellings"] = second[1].text_input(
        "Also written", start["spellings"], key=f"{key}-spellings", placeholder="parted by commas"
    )
    form["look_alikes"] = second[2].text_input(
        "Looks like", start["look_alikes"], key=f"{key}-alikes", placeholder="parted by commas"
    )
    third = st.columns(3, gap="small", vertical_alignment="bottom")
    form["sex_linked"] = third[0].checkbox("Sex-linked", start["sex_linked"], key=f"{key}-linked")
    form["recombination"] = third[1].number_input(
        "Recombination in the sire, %", 0.0, 50.0, start["recombination"], 0.5, key=f"{key}-r"
    )
    return form | _harm_fields(key, start)


def _harm_fields(key: str, start: Mapping[str, Any]) -> dict[str, Any]:
    """Show the fields of a health note."""
    form: dict[str, Any] = {}
    harms = (NO_HARM, *HARMS)
    left, middle, right = st.columns(3, gap="small")
    form["harm"] = left.selectbox("Harm", harms, harms.index(start["harm"]), key=f"{key}-harm")
    place = _APPLIES.index(start["applies_to"]) if start["applies_to"] in _APPLIES else 0
    form["applies_to"] = middle.selectbox("In animals with", _APPLIES, place, key=f"{key}-applies")
    form["lost"] = right.number_input("Eggs lost to it, %", 0.0, 100.0, start["lost"], 1.0, key=f"{key}-lost")
    form["harm_text"] = st.text_input("What is known of the harm", start["harm_text"], key=f"{key}-what")
    return form


def _combination_form(key: str, changed: OwnGeneRow | None, catalogue: Catalogue) -> None:
    start = _genes_start(changed, catalogue)
    with st.form(key, border=False):
        left, right = st.columns([1, 2], gap="small")
        name = left.text_input(
            "The word", "" if changed is None else changed.name, disabled=changed is not None
        )
        genes = right.text_input("The genes it stands for", start, placeholder="super pastel clown")
        sent = st.form_submit_button("Save this word", type="primary")
    if sent:
        _send("combination", name, {"genes": genes}, changed, catalogue)


def _genes_start(changed: OwnGeneRow | None, catalogue: Catalogue) -> str:
    if changed is None or changed.fault:
        return ""
    return genes_text(session.current_book().own_genes()[changed.name]["genes"], catalogue)


def _complex_form(key: str, changed: OwnGeneRow | None, catalogue: Catalogue) -> None:
    lines = ("", "")
    if changed is not None:
        lines = complex_form(session.current_book().own_genes()[changed.name])
    with st.form(key, border=False):
        name = st.text_input(
            "Name of the complex", "" if changed is None else changed.name, disabled=changed is not None
        )
        left, right = st.columns(2, gap="small")
        genes = left.text_area(
            "Its genes, one a line, each with how it is passed on",
            lines[0],
            placeholder="stone, incomplete dominant\nsand, incomplete dominant",
        )
        looks = right.text_area(
            "Looks of pairs that have a name of their own", lines[1], placeholder="stone / sand = gravel"
        )
        sent = st.form_submit_button("Save this complex", type="primary")
    if sent:
        _send("complex", name, {"alleles": genes, "looks": looks}, changed, catalogue)


def _harm_form(key: str, changed: OwnGeneRow | None, catalogue: Catalogue) -> None:
    with st.form(key, border=False):
        name = st.text_input(
            "Short name", "" if changed is None else changed.name, disabled=changed is not None
        )
        left, right = st.columns([2, 1], gap="small")
        start = _genes_start(changed, catalogue)
        genes = left.text_input(
            "Genes that do it together", start, placeholder="two or more, such as spider woma"
        )
        harm = right.selectbox("Harm", HARMS, key=f"{key}-harm")
        what = st.text_input("What is known of it")
        sent = st.form_submit_button("Save this harm", type="primary")
    if sent:
        _send("harm", name, {"genes": genes, "harm": harm, "what": what}, changed, catalogue)


_FORMS: Final[Mapping[str, Callable[[str, OwnGeneRow | None, Catalogue], None]]] = {
    "gene": _gene_form,
    "correction": _correction_form,
    "combination": _combination_form,
    "complex": _complex_form,
    "harm": _harm_form,
}


def _send(
    kind: str, name: str, form: Mapping[str, Any], changed: OwnGeneRow | None, catalogue: Catalogue
) -> None:
    clear(PLACE)
    try:
        definition = definition_from(kind, form, catalogue)
    except FormRefused as fault:
        refuse(PLACE, fault)
        return
    word = name.strip().casefold()
    _store(word, definition, None if changed is None else changed.version, f"{word} is read from now on.")


def _store(name: str, definition: dict[str, Any] | None, version: int | None, words: str) -> None:
    """Store a definition, and show what stands in its way."""
    try:
        session.current_book().set_own_gene(name, definition, version=version)
    except Conflict as fault:
        clash(PLACE, fault, name=name, definition=definition)
    except BookError as fault:
        refuse(PLACE, fault)
        return
    else:
        saved(words)
        _open("gene", "")
    if definition is not None:
        st.rerun()


def _settle_clash() -> None:
    """Do what the breeder chooses where another window was faster."""
    chosen = clashed(PLACE, names={"definition": "What it says"}, show=lambda _, value: str(value))
    if chosen is None:
        return
    answer, kept = chosen
    clear(PLACE)
    if answer == "mine":
        again = kept.again
        _store(again["name"], again["definition"], kept.fault.stored_version, f"{again['name']} is saved.")
    _open("gene", "")
    st.rerun()
