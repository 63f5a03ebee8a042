"""One gene: how it looks in every pair, what hides it, what harm it does, who says so."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final
from urllib.parse import quote

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.genes import PairLine, pairs_table, sayings_table
from dashboard.figures.marks import mark, note
from dashboard.figures.markup import esc, lead, link, strong
from dashboard.jobs.gene_view import GeneView, PairSeen, gene_view
from dashboard.jobs.genes import HarmTogether
from dashboard.jobs.own_gene_forms import FIELDS
from dashboard.jobs.own_genes import PARTS, percent_of
from dashboard.screens import own_gene_form
from dashboard.screens.saving import refused as show_refused
from dashboard.screens.saving import undo_line
from dashboard.source_words import source_text
from dashboard.warning_words import ASK_A_VET
from dashboard.words import THIN, listed, percent
from genetics import WILD, Catalogue, HealthNote, Source

LOOKS_READING: Final = (
    "One row for each pair of alleles the gene can be in. Two looks that can’t be told by eye are sold as "
    "what they may be."
)
VALUES_READING: Final = "Each with its source. What you corrected says “your own”."
NOTHING: Final = "nothing known"
_TITLES: Final[Mapping[str, str]] = {
    "recessive": "{name} shows in two copies only; one copy is a het",
    "incomplete dominant": "{name} shows in one copy; two copies look different",
    "dominant": "{name} shows in one copy; two copies look the same",
}


def address(gene: str) -> str:
    """Give the address of a gene's own view."""
    return f"genes?gene={quote(gene)}"


def show(name: str, catalogue: Catalogue) -> None:
    """Show one gene in depth; raises `UnknownGene`."""
    view = gene_view(name, catalogue)
    _harms(view)
    st.title(_TITLES[view.gene.mode].format(name=name.capitalize()), anchor=False)
    target = draw(lead(_lead(view)), "lead")
    if target:
        session.go(target)
    undo_line()
    show_refused("undo")
    with st.container(horizontal=True):
        own = "name" in view.own
        if st.button("Change this" if own else "Correct this", type="secondary", key="correct"):
            own_gene_form.correct(name)
        back = st.button("All genes", key="all_genes_button")
    if back:
        session.go("genes")
    draw(pairs_table(f"What {name} looks like", LOOKS_READING, rows=_pairs(view)), "pairs")
    heads = ("What", "What is known", "Source")
    draw(sayings_table(f"What is known of {name}", VALUES_READING, heads=heads, rows=_values(view)), "values")
    if view.together:
        draw(together_table(view.together), "together")
    if own_gene_form.is_open_for(name):
        own_gene_form.show(catalogue, listed=False)


def _lead(view: GeneView) -> str:
    gene = view.gene
    others = [other.name for other in view.locus.genes if other.name != gene.name]
    words = []
    if "name" in view.own:
        words.append(f"{strong('Your own gene.')}")
    elif view.own:
        fields = listed([FIELDS.get(_FIELD_OF.get(name, name), name).lower() for name in view.own])
        words.append(f"{strong('You corrected:')} {esc(fields)}.")
    if others:
        links = listed([link(other, address(other)) for other in others])
        words.append(f"It shares the {esc(view.locus.name)} with {links}: an animal has two of them at most.")
    else:
        words.append("It has a place of its own: no other gene of the list lies there.")
    return " ".join(words)


_FIELD_OF: Final = {"other_spellings": "spellings"}


def _harms(view: GeneView) -> None:
    """Say above all else which harms the gene does, alone, in a pair and with others."""
    texts = [_note_words(found, _whom(found)) for found in view.notes]
    for pair in view.pairs[2:]:
        here = [found for found, _ in pair.look.notes if found.applies_to == "compound"]
        texts += [_note_words(found, f"with {pair.other}") for found in here]
    if view.together:
        words = esc(f"{listed(_partners(view))}. See “Genes that harm together” below.")
        texts.append(f"{strong('Together with other genes:')} {words}")
    if texts:
        items = "".join(f"<p>{words}</p>" for words in texts)
        draw(note("welfare", f"<p>{mark('welfare')}</p>{items}<p>{esc(ASK_A_VET)}</p>"), "harms")


def _whom(found: HealthNote) -> str:
    return "any animal that has it" if found.applies_to == "any copy" else found.applies_to


def _note_words(found: HealthNote, whom: str) -> str:
    lost = f" Of such eggs {percent(float(found.lost_chance))} are lost." if found.lost_chance else ""
    name = f"{found.harm[:1].upper()}{found.harm[1:]} ({whom}):"
    return f"{strong(name)} {esc(found.what)}{esc(lost)} ({esc(source_text(found.source))})"


def _partners(view: GeneView) -> tuple[str, ...]:
    """Genes that do harm together with this one, each once."""
    others = [copies_of(name, copies) for harm in view.together for name, copies in harm.genes
              if name != view.gene.name]  # fmt: skip
    return tuple(dict.fromkeys(others))


def copies_of(name: str, copies: int) -> str:
    """Name a gene with the copies that a harm takes."""
    return name if copies == 1 else f"two copies of {name}"


def together_table(harms: tuple[HarmTogether, ...]) -> str:
    """Write harms that genes of several places do together."""
    rows = []
    for harm in harms:
        names = listed([copies_of(name, copies) for name, copies in harm.genes])
        genes = f"any two of {names}" if harm.any_two else names
        words = f"{harm.note.harm[:1].upper()}{harm.note.harm[1:]}. {harm.note.what}"
        rows.append((genes, words, source_text(harm.note.source)))
    reading = f"What no gene does alone, but two of them in one animal. {ASK_A_VET}"
    heads = ("Genes", "What they do together", "Source")
    return sayings_table("Genes that harm together", reading, heads=heads, rows=rows)


def _pairs(view: GeneView) -> list[PairLine]:
    return [
        PairLine(
            copies=_pair_copies(view, pair),
            look=_look(pair),
            under=_under(pair),
            alike=listed(pair.alike),
            harm=listed(tuple(dict.fromkeys(found.harm for found, _ in pair.look.notes))),
            source=source_text(pair.source),
        )
        for pair in view.pairs
    ]


def _pair_copies(view: GeneView, pair: PairSeen) -> str:
    name = view.gene.name
    if pair.other == WILD:
        return f"one copy of {name}"
    return f"two copies of {name}" if pair.other == name else f"{name} and {pair.other}"


def _look(pair: PairSeen) -> str:
    look = pair.look
    label = look.label or "like a normal"
    if look.appearance not in (label, "") and " or " not in look.appearance:
        label += f", {look.appearance} to the eye"
    return f"{pair.name} ({label})" if pair.name else label


def _under(pair: PairSeen) -> str:
    look = pair.look
    parts = []
    if look.carried:
        parts.append(f"sold as {' '.join(str(trait) for trait in look.carried)}" if not look.label
                     else f"carries {' '.join(str(trait) for trait in look.carried)} unseen")  # fmt: skip
    if look.hides:
        parts.append(f"hides {PARTS[look.hides]}")
    if pair.lost:
        parts.append(f"{percent(pair.lost)} of such eggs are lost")
    return "; ".join(parts)


def _values(view: GeneView) -> list[tuple[str, str, str]]:
    """Every value of the gene, with who says so."""
    gene, sources = view.gene, view.gene.sources
    linked = _linked(view)
    rows: list[tuple[str, str, Source | None]] = [
        ("How it is passed on", gene.mode, sources["mode"]),
        ("Where it lies", _place(view), sources["locus"]),
        ("Sex linkage", linked, sources["sex_linked"]),
        ("Name of two copies", gene.super_name or "no name of its own", sources["super_name"]),
        ("What it changes", PARTS[gene.acts_on] if gene.acts_on else "", sources["acts_on"]),
        ("What two copies hide", _hides(view), sources["hides"]),
        ("What hides it", listed(view.hidden_by), None),
        ("Can’t be told by eye from", listed(gene.look_alikes), sources["look_alikes"]),
        ("Also written", listed(gene.other_spellings), sources["other_spellings"]),
    ]
    if view.locus.recombination_source is not None:
        rows.insert(3, ("Recombination in males", _recombination(view), view.locus.recombination_source))
    rows += [("In words for several genes", words, source) for source, words in _words_with(view)]
    return [
        (what, known or NOTHING, source_text(source) if source and known else _none(what, known))
        for what, known, source in rows
    ]


def _words_with(view: GeneView) -> list[tuple[Source, str]]:
    """Words of the trade that hold the gene, by who says so: "bumblebee (pastel and spider)"."""
    by_source: dict[Source, list[str]] = {}
    for word, genes, source in view.combinations:
        by_source.setdefault(source, []).append(f"{word} ({listed([copies_of(*part) for part in genes])})")
    return [(source, ", ".join(words)) for source, words in by_source.items()]


def _none(what: str, known: str) -> str:
    return "follows from what those hide and this changes" if what == "What hides it" and known else ""


def _place(view: GeneView) -> str:
    others = len(view.locus.genes) > 1
    return f"in the {view.locus.name}" if others else "a place of its own"


def _linked(view: GeneView) -> str:
    if not view.locus.sex_linked:
        return "not sex-linked: sons and daughters alike"
    return (
        "sex-linked: a male that has it from his sire gives it to most sons, from his dam to most daughters"
    )


def _recombination(view: GeneView) -> str:
    share = f"{percent_of(view.locus.recombination):g}{THIN}%"
    return f"{share}: that share of a male’s young have it against this rule"


def _hides(view: GeneView) -> str:
    gene = view.gene
    if not gene.hides:
        return ""
    if gene.hides == "all":
        return "everything: no other gene can be seen on it"
    unseen = f"; it can hide {listed(view.can_hide)}" if view.can_hide else ""
    return f"{PARTS[gene.hides]}{unseen}"
