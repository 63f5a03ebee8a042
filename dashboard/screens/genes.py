"""Genes: what is known of each, and who says so."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.genes import GeneLine, genes_table
from dashboard.figures.marks import mark, note
from dashboard.figures.markup import action, esc, lead, link
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.genes import GeneAnswer, gene_answer, harms_together, nearest_genes, own_fields
from dashboard.screens import gene_view, own_gene_form, writing_help
from dashboard.source_words import grouped_sources, source_text
from dashboard.warning_words import ASK_A_VET
from dashboard.words import listed, num, number_word, plural
from genetics import Catalogue, Gene

MOST_ROWS = 25
READING = (
    "Every value names its source, last. “From memory”: put down without a text at hand. “Common practice”: "
    "what keepers agree on, without a study."
)
_HIDES = {
    "pattern": "two copies hide the pattern of other genes",
    "colour": "two copies hide the colour of other genes",
    "all": "two copies hide all other genes",
}
# what a source supports, by the field it stands for
_FIELDS = {
    "mode": "how it is passed on",
    "locus": "complex",
    "sex_linked": "sex linkage",
    "super_name": "looks",
    "hides": "looks",
    "look_alikes": "look-alikes",
}


def page() -> None:
    """Show one gene if the address names it, else the genes that fit a search, each with its sources."""
    catalogue = catalogue_of(session.current_book())
    asked = session.asked_for("gene") or ""
    if any(gene.name == asked for gene in catalogue.genes):
        gene_view.show(asked, catalogue)
        return
    if own_gene_form.is_open():
        own_gene_form.close()
    top = st.container()
    words, harmful = _asked(asked)
    answer = gene_answer(catalogue, words=words, only_harmful=harmful)
    with top:
        st.title(_title(answer, words, harmful=harmful), anchor=False)
        target = draw(lead(f"{esc(_lead(answer))} {_ways()}"), "lead")
        draw(note("welfare", f"<p>{_caution()}</p>"), "caution")
    if target:
        session.choose("turned_to", "")
        session.go(target)
    _turn(session.asked_for("to") or "")
    if answer.genes:
        _table(answer, catalogue)
    else:
        _nothing(catalogue, words)
    draw(gene_view.together_table(harms_together(catalogue)), "together")
    own_gene_form.show(catalogue)
    writing_help.show(catalogue)


def _ways() -> str:
    """Lead to the parts further down."""
    return f"{link('How to write an animal', 'genes?to=writing')}. {link('Your own genes', 'genes?to=own')}."


def _turn(part: str) -> None:
    """Bring the part that the address names into view, once for each time it is asked for."""
    if part == session.choice("turned_to", ""):
        return
    session.choose("turned_to", part)
    turns = {"own": own_gene_form.turn_here, "writing": writing_help.turn_here}
    if part in turns:
        turns[part]()


def _asked(gone: str) -> tuple[str, bool]:
    """Give what is looked for: words from the address until others are typed, and whether harms matter.

    A gene of the address that is no longer there is looked for by its name.
    """
    start = gone or session.choice("gene_words", session.asked_for("find") or "")
    round_ = session.choice("gene_round", 0)
    left, right = st.columns([3, 4], gap="medium", vertical_alignment="bottom")
    words = left.text_input("Find a gene, spelling or complex", start, key=f"gene-{start}-{round_}")
    harmful = right.checkbox("Only genes with a health note", key="only_harmful")
    return words, harmful


def _title(answer: GeneAnswer, words: str, *, harmful: bool) -> str:
    n = len(answer.genes)
    if words.strip():
        kind = " with a health note" if harmful else ""
        number = number_word(n, start=True)
        return f"{number} {plural(n, 'gene')}{kind} {plural(n, 'fits', 'fit')} “{words.strip()}”"
    carry = plural(answer.harmful, "carries", "carry")
    if harmful:
        return f"{number_word(n, start=True)} of {answer.total} genes {carry} a health note"
    return f"{n} {plural(n, 'gene')} can be read; {number_word(answer.harmful)} {carry} a health note"


def _lead(answer: GeneAnswer) -> str:
    verb = plural(answer.papers, "has", "have")
    return (
        f"{number_word(answer.papers, start=True)} of {answer.total} {verb} a value that a published text "
        "supports; the rest is what keepers say. The same words are read in animals, prices and files."
    )


def _caution() -> str:
    vet = ASK_A_VET[:1].lower() + ASK_A_VET[1:]
    return (
        f"{mark('welfare')} A note says what was seen or reported, not how often: nothing found tells that. "
        f"Before you pair animals that carry such a gene, {esc(vet)}"
    )


def _nothing(catalogue: Catalogue, words: str) -> None:
    """Say that nothing fits, with the nearest names to go on with."""
    nearest = nearest_genes(catalogue, words)
    text = f"“{esc(words.strip())}” is in no gene’s name, spelling or complex."
    if nearest:
        text += f" The nearest: {', '.join(action(name, name) for name in nearest)}."
    chosen = draw(note("none", text), "nothing")
    if chosen:
        session.choose("gene_words", chosen)
        session.choose("gene_round", session.choice("gene_round", 0) + 1)
        st.rerun()


def _table(answer: GeneAnswer, catalogue: Catalogue) -> None:
    every = session.choice("all_genes", default=False)
    shown = answer.genes if every else answer.genes[:MOST_ROWS]
    n, total = len(shown), len(answer.genes)
    title = f"{number_word(n, start=True)} {plural(n, 'gene')} by name"
    if n < total:
        title = f"The first {number_word(n)} of {num(total)} genes by name"
    target = draw(genes_table(title, READING, rows=[_line(gene, catalogue) for gene in shown]), "genes")
    if target:
        session.go(target)
    if n < total and st.button(f"Show all {num(total)}"):
        session.choose("all_genes", value=True)
        st.rerun()


def _line(gene: Gene, catalogue: Catalogue) -> GeneLine:
    health = [f"{note.what} ({note.applies_to}; {source_text(note.source)})" for note in gene.health]
    return GeneLine(
        name=gene.name,
        spellings=listed(gene.other_spellings),
        mode=_mode(gene),
        two_copies=_two_copies(gene),
        look_alikes=listed(gene.look_alikes),
        health=(*health, *_compound_health(gene, catalogue)),
        sources=grouped_sources(
            (words, gene.sources[name]) for name, words in _FIELDS.items() if name in gene.sources
        ),
        link=gene_view.address(gene.name),
        note=_own(gene, catalogue),
    )


def _own(gene: Gene, catalogue: Catalogue) -> str:
    """Say whether the breeder put the gene down, or corrected something of it."""
    own = own_fields(gene, catalogue)
    return "" if not own else "your own" if "name" in own else "you corrected it"


def _compound_health(gene: Gene, catalogue: Catalogue) -> list[str]:
    """Say what the gene does together with another one of its complex."""
    said = []
    for compound in catalogue.compounds:
        if gene.name in compound.pair:
            other = next(name for name in compound.pair if name != gene.name)
            said += [f"With {other}: {note.what} ({source_text(note.source)})" for note in compound.health]
    return said


def _mode(gene: Gene) -> str:
    parts = [gene.mode]
    if gene.sex_linked:
        parts.append("sex-linked")
    if gene.locus_name != gene.name:
        parts.append(gene.locus_name)
    return ", ".join(parts)


def _two_copies(gene: Gene) -> str:
    parts = []
    if gene.super_name:
        parts.append(f"two copies: {gene.super_name}")
    elif gene.mode == "incomplete dominant":
        parts.append(f"two copies: super {gene.name}")
    if gene.hides:
        parts.append(_HIDES[gene.hides])
    return "; ".join(parts)
