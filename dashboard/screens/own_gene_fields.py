"""The fields of each kind of own gene: what is asked, and what the form starts with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import streamlit as st

from dashboard import session
from dashboard.jobs.own_gene_forms import (
    NO_HARM,
    complex_form,
    form_of,
    gene_names,
    genes_text,
    places,
    shipped_form,
)
from dashboard.jobs.own_genes import PARTS
from genetics import HARMS, Catalogue, UnknownGene, load_catalogue

_MODES: Final = ("recessive", "incomplete dominant", "dominant")
_HIDES: Final = ("", "pattern", "colour", "all")
_ACTS_ON: Final = ("", "pattern", "colour", "both")
_APPLIES: Final = ("any copy", "one copy", "two copies")
_RARE: Final = ("hides", "sex_linked", "looks")
PAIR_EXAMPLE: Final = "stone / sand = shingle"


@dataclass(frozen=True)
class Entry:
    """One entry as its form was opened: what is changed, or a new one.

    Attributes
    ----------
    kind
        What it is.
    name
        Its name; empty for a new one, and the gene's for a first correction.
    version
        Version the breeder saw; None for a new one.
    stored
        The definition the breeder saw; None for a new one.
    """

    kind: str
    name: str = ""
    version: int | None = None
    stored: Mapping[str, Any] | None = None


Filled = tuple[str, dict[str, Any]]
"""A name and the fields of a form that was just sent."""


def fields(key: str, entry: Entry, catalogue: Catalogue) -> Filled | None:
    """Show the form of an entry; gives what it holds when it was sent, else None."""
    return _FORMS[entry.kind](key, entry, catalogue)


def _named(place: Any, label: str, entry: Entry, key: str) -> str:
    """Show the field of a name, which stays as it is once it is stored."""
    return str(
        place.text_input(label, entry.name, disabled=entry.version is not None, key=f"{key}-name")
    ).strip()


def _gene_form(key: str, entry: Entry, catalogue: Catalogue) -> Filled | None:
    with st.form(key, border=False):
        left, _ = st.columns([1, 2], gap="small")
        name = _named(left, "Name", entry, key)
        form = _gene_fields(key, form_of(entry.stored or {}), catalogue)
        sent = st.form_submit_button("Save this gene", type="primary")
    return (name, form) if sent else None


def _correction_form(key: str, entry: Entry, catalogue: Catalogue) -> Filled | None:
    start = _corrected_start(entry)
    with st.form(key, border=False):
        form = _gene_fields(key, start, catalogue)
        sent = st.form_submit_button("Save this correction", type="primary")
    return (entry.name, form) if sent else None


def _corrected_start(entry: Entry) -> dict[str, Any]:
    """Fields of a gene as the list has it, with what was corrected; a gene the list lost keeps the rest."""
    try:
        return shipped_form(entry.name, entry.stored)
    except UnknownGene:
        return form_of(entry.stored or {})


def corrected_gene(key: str, name: str) -> str:
    """Ask which gene of the list is corrected."""
    names = gene_names(load_catalogue())
    place = names.index(name) if name in names else 0
    return str(st.selectbox("Gene of the list", names, place, key=f"{key}-gene", width=420))


def _gene_fields(key: str, start: Mapping[str, Any], catalogue: Catalogue) -> dict[str, Any]:
    """Show the fields of a gene and give what they hold."""
    first = st.columns(3, gap="small")
    every = places(catalogue)
    here = start["place"] if start["place"] in every else every[0]
    second = st.columns(2, gap="small")
    form = {
        "mode": _choice(first[0], "How it is passed on", _MODES, start["mode"], f"{key}-mode"),
        "place": _choice(first[1], "Where it lies", every, here, f"{key}-place"),
        "super_name": first[2].text_input(
            "Name of two copies", start["super_name"], key=f"{key}-super", placeholder="only if it has one"
        ),
        "spellings": second[0].text_input(
            "Also written", start["spellings"], key=f"{key}-spellings", placeholder="parted by commas"
        ),
        "look_alikes": second[1].text_input(
            "Looks like", start["look_alikes"], key=f"{key}-alikes", placeholder="parted by commas"
        ),
    }
    used = any(start[name] for name in _RARE) or start["harm"] != NO_HARM
    with st.expander("What it hides, sex linkage, harm", expanded=bool(used), key=f"{key}-more"):
        form |= _rare_fields(key, start)
        form |= _harm_fields(key, start)
    return form


def _choice(place: Any, label: str, options: Any, now: str, key: str, words: Any = str) -> str:
    options = tuple(options)
    index = options.index(now) if now in options else 0
    return str(place.selectbox(label, options, index, format_func=words, key=key))


def _rare_fields(key: str, start: Mapping[str, Any]) -> dict[str, Any]:
    """Show what few genes need: what it changes and hides, sex linkage, named pairs."""
    first = st.columns(2, gap="small")
    second = st.columns(2, gap="small", vertical_alignment="bottom")

    def changes(part: str) -> str:
        return PARTS[part] if part else "not known"

    return {
        "acts_on": _choice(first[0], "What it changes", _ACTS_ON, start["acts_on"], f"{key}-acts", changes),
        "hides": _choice(
            first[1], "What two copies hide of other genes", _HIDES, start["hides"], f"{key}-hides",
            PARTS.__getitem__,
        ),
        "sex_linked": second[0].checkbox("Sex-linked", start["sex_linked"], key=f"{key}-linked"),
        "recombination": second[1].number_input(
            "Recombination in males, %", 0.0, 50.0, start["recombination"], 0.5, key=f"{key}-r"
        ),
        "looks": st.text_area(
            "Looks of pairs that have a name of their own",
            start["looks"], key=f"{key}-looks", placeholder=PAIR_EXAMPLE, height=68,
        ),
    }  # fmt: skip


def _harm_fields(key: str, start: Mapping[str, Any]) -> dict[str, Any]:
    """Show the fields of a health note; further notes of the gene stay as they are."""
    harms = (NO_HARM, *HARMS)
    left, middle, right = st.columns(3, gap="small")
    form = {
        "harm": _choice(left, "Harm", harms, start["harm"], f"{key}-harm"),
        "applies_to": _choice(middle, "In animals with", _APPLIES, start["applies_to"], f"{key}-applies"),
        "lost": right.number_input("Eggs lost to it, %", 0.0, 100.0, start["lost"], 1.0, key=f"{key}-lost"),
        "harm_text": st.text_input("What is known of the harm", start["harm_text"], key=f"{key}-what"),
        "further_notes": start["further_notes"],
    }
    further = len(start["further_notes"])
    if further:
        st.markdown(f":gray[{'One more note' if further == 1 else 'More notes'} of it will stay as before.]")
    return form


def _combination_form(key: str, entry: Entry, catalogue: Catalogue) -> Filled | None:
    with st.form(key, border=False):
        left, right = st.columns([1, 2], gap="small")
        name = _named(left, "The word", entry, key)
        genes = right.text_input(
            "The genes it stands for",
            _genes_start(entry, catalogue),
            placeholder="super pastel clown",
            key=f"{key}-genes",
        )
        sent = st.form_submit_button("Save this word", type="primary")
    return (name, {"genes": genes}) if sent else None


def _genes_start(entry: Entry, catalogue: Catalogue) -> str:
    """Genes of a combination or a harm as they are typed; what can't be written now is typed anew."""
    try:
        return genes_text(entry.stored["genes"], catalogue) if entry.stored else ""
    except UnknownGene:
        return ""


def _complex_form(key: str, entry: Entry, _catalogue: Catalogue) -> Filled | None:
    start = complex_form(entry.stored or {})
    with st.form(key, border=False):
        first, _ = st.columns([1, 1], gap="small")
        name = _named(first, "Name of the complex", entry, key)
        left, right = st.columns(2, gap="small")
        form = {
            "alleles": left.text_area(
                "Its genes, one a line, each with how it is passed on",
                start["alleles"],
                placeholder="stone, incomplete dominant\nsand, recessive",
                key=f"{key}-alleles",
            ),
            "looks": right.text_area(
                "Looks of pairs that have a name of their own",
                start["looks"],
                placeholder=PAIR_EXAMPLE,
                key=f"{key}-looks",
            ),
        }
        used = start["sex_linked"] or start["lost"]
        with st.expander("Sex linkage, eggs that don’t hatch", expanded=bool(used), key=f"{key}-more"):
            form |= _complex_rare(key, start)
        sent = st.form_submit_button("Save this complex", type="primary")
    return (name, form) if sent else None


def _complex_rare(key: str, start: Mapping[str, Any]) -> dict[str, Any]:
    left, right = st.columns(2, gap="small", vertical_alignment="bottom")
    return {
        "sex_linked": left.checkbox("Sex-linked", start["sex_linked"], key=f"{key}-linked"),
        "recombination": right.number_input(
            "Recombination in males, %", 0.0, 50.0, start["recombination"], 0.5, key=f"{key}-r"
        ),
        "lost": st.text_area(
            "Pairs of which eggs are lost, with the share",
            start["lost"], key=f"{key}-lost", placeholder="stone / stone = 100 %", height=68,
        ),
    }  # fmt: skip


def _harm_form(key: str, entry: Entry, catalogue: Catalogue) -> Filled | None:
    stored = entry.stored or {}
    with st.form(key, border=False):
        first, left, right = st.columns([2, 3, 2], gap="small")
        name = _named(first, "Short name", entry, key)
        genes = left.text_input(
            "Genes that do it together",
            _genes_start(entry, catalogue),
            placeholder="two or more, such as spider woma",
            key=f"{key}-genes",
        )
        harm = _choice(right, "Harm", HARMS, stored.get("harm", ""), f"{key}-harm")
        what = st.text_input("What is known of it", stored.get("what", ""), key=f"{key}-what")
        sent = st.form_submit_button("Save this harm", type="primary")
    return (name, {"genes": genes, "harm": harm, "what": what}) if sent else None


_FORMS: Final[Mapping[str, Callable[[str, Entry, Catalogue], Filled | None]]] = {
    "gene": _gene_form,
    "correction": _correction_form,
    "combination": _combination_form,
    "complex": _complex_form,
    "harm": _harm_form,
}


def opened(kind: str, name: str = "") -> None:
    """Turn the form to a kind of entry and, where one is named, to it; the form starts anew."""
    session.choose("own_open", (kind, name))
    session.choose("own_round", session.choice("own_round", 0) + 1)
