"""What does one gene look like, what hides it, what harm does it do, with whom is it named?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from dashboard.jobs.genes import HarmTogether, harms_together, own_fields
from genetics import WILD, Catalogue, Gene, HealthNote, Locus, PairLook, Source
from genetics.genes.hiding import is_hidden_by


@dataclass(frozen=True)
class PairSeen:
    """What one allele pair with the gene looks like.

    Attributes
    ----------
    other
        The allele beside it: its own name for two copies, "+" for the wild type, else another gene.
    look
        The pair's look and what it carries, with its harms and what it hides.
    name
        The trade's own name for it, where it has one beside its label.
    alike
        Looks it can't be told from by eye.
    lost
        Share of the fertile eggs of this pair that its genes lose [0 to 1].
    source
        Who says so.
    """

    other: str
    look: PairLook
    name: str
    alike: tuple[str, ...]
    lost: float
    source: Source


@dataclass(frozen=True)
class GeneView:
    """One gene in depth.

    Attributes
    ----------
    gene, locus
        The gene, and the place it lies at.
    pairs
        Every allele pair it can be in: one copy, two copies, then with each other gene of its place.
    hidden_by
        Looks of other places under which it can't be seen.
    can_hide
        Genes that can't be seen under what it hides, where that is less than everything.
    notes
        Health notes of the gene itself.
    together
        Harms it does with genes of other places.
    combinations
        Words of the trade that hold it, each with its genes and who says so.
    own
        Fields the breeder put down; "name" among them if the whole gene is theirs.
    """

    gene: Gene
    locus: Locus
    pairs: tuple[PairSeen, ...]
    hidden_by: tuple[str, ...]
    can_hide: tuple[str, ...]
    notes: tuple[HealthNote, ...]
    together: tuple[HarmTogether, ...]
    combinations: tuple[tuple[str, tuple[tuple[str, int], ...], Source], ...]
    own: tuple[str, ...]


def gene_view(name: str, catalogue: Catalogue) -> GeneView:
    """Everything the catalogue says of one gene.

    Raises
    ------
    UnknownGene
        If there is no such gene; it carries the nearest names.
    """
    gene = catalogue.gene(name)
    locus = catalogue.locus(gene.locus)
    others = [other for other in locus.alleles if other not in (name, WILD)]
    pairs = tuple(_pair(gene, other, locus, catalogue) for other in (WILD, name, *others))
    named = catalogue.combinations.items()
    return GeneView(
        gene=gene,
        locus=locus,
        pairs=pairs,
        hidden_by=_hidden_by((pair.look for pair in pairs[:2]), locus, catalogue),
        can_hide=_can_hide(gene, locus, catalogue),
        notes=gene.health,
        together=harms_together(catalogue, name),
        combinations=tuple(
            (word, genes, catalogue.combination_sources[word]) for word, genes in named if name in dict(genes)
        ),
        own=own_fields(gene, catalogue),
    )


def _pair(gene: Gene, other: str, locus: Locus, catalogue: Catalogue) -> PairSeen:
    look = locus.look((gene.name, other))
    twice = other == gene.name
    return PairSeen(
        other=other,
        look=look,
        name=(gene.super_name or "") if twice else "",
        alike=_alike(look, locus, catalogue),
        lost=float(1 - look.survival),
        source=_source(gene, other, locus, catalogue),
    )


def _alike(look: PairLook, locus: Locus, catalogue: Catalogue) -> tuple[str, ...]:
    """Other looks that the eye can't tell from one."""
    if not look.label:
        return ()
    found = [other for group in catalogue.alike if {look.label, look.appearance} & set(group.looks)
             for other in group.looks]  # fmt: skip
    found += [other.label for other in locus.looks.values() if other.appearance == look.appearance]
    return tuple(dict.fromkeys(other for other in found if other != look.label))


def _source(gene: Gene, other: str, locus: Locus, catalogue: Catalogue) -> Source:
    """Who says what a pair looks like: of a pair said outright, of a named pair, else of the mode."""
    pair = {gene.name, other}
    for stated in locus.stated:
        if set(stated.pair) == pair:
            return stated.source
    for compound in catalogue.compounds:
        if set(compound.pair) == pair:
            return compound.source
    if other == gene.name and gene.super_name:
        return gene.sources["super_name"]
    return gene.sources["mode"]


def _hidden_by(looks: Iterable[PairLook], locus: Locus, catalogue: Catalogue) -> tuple[str, ...]:
    """Looks of other loci under which one of some looks can't be seen, by what the eye sees of them."""
    mine = [look for look in looks if look.appearance]
    found = [
        _seen_as(look, other)
        for other in catalogue.loci
        if other.id != locus.id
        for look in other.looks.values()
        if any(is_hidden_by(one, look) for one in mine)
    ]
    return tuple(sorted(dict.fromkeys(found)))


def _seen_as(look: PairLook, locus: Locus) -> str:
    """What the eye sees, by the trade's own name for two copies where there is one."""
    for gene in locus.genes:
        if gene.super_name and look.appearance == f"super {gene.name}":
            return f"{gene.super_name} ({look.appearance})"
    return look.appearance


def _can_hide(gene: Gene, locus: Locus, catalogue: Catalogue) -> tuple[str, ...]:
    """Genes of other loci that act on nothing but what it hides."""
    if gene.hides not in ("pattern", "colour"):
        return ()
    return tuple(
        sorted(
            other.name for other in catalogue.genes if other.acts_on == gene.hides and other.locus != locus.id
        )
    )
