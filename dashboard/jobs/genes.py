"""What is known of each gene, and who says so? A search in the catalogue."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from genetics import HARMS, Catalogue, Gene, HealthNote, UnknownGene


@dataclass(frozen=True)
class GeneAnswer:
    """Genes that fit a search, by name.

    Attributes
    ----------
    genes
        Those that fit.
    total
        How many the catalogue holds.
    harmful
        How many of all have a health note.
    papers
        How many of all have a value that a published text supports.
    """

    genes: tuple[Gene, ...]
    total: int
    harmful: int
    papers: int


@dataclass(frozen=True)
class HarmTogether:
    """A harm of genes of several loci together.

    Attributes
    ----------
    genes
        The genes, each with the least number of copies that it takes.
    any_two
        Whether any two of them do it; else it takes all of them.
    note
        The harm, with its source.
    """

    genes: tuple[tuple[str, int], ...]
    any_two: bool
    note: HealthNote


def harms_together(catalogue: Catalogue, gene: str = "") -> tuple[HarmTogether, ...]:
    """Harms of genes together, worst first; only those of one gene if it is named.

    Harms of which every two of some genes have the same are told once.
    """
    told: dict[tuple[object, ...], HealthNote] = {}
    lists: dict[HealthNote, list[tuple[tuple[str, int], ...]]] = {}
    for harm in catalogue.combined_harms:
        same = (harm.note.harm, harm.note.what, harm.note.source)
        lists.setdefault(told.setdefault(same, harm.note), []).append(harm.genes)
    found = [HarmTogether(genes, any_two, note) for note, every in lists.items()
             for genes, any_two in _joined(every)]  # fmt: skip
    found.sort(key=lambda harm: HARMS.index(harm.note.harm))
    return tuple(harm for harm in found if not gene or gene in dict(harm.genes))


def _joined(
    lists: list[tuple[tuple[str, int], ...]],
) -> list[tuple[tuple[tuple[str, int], ...], bool]]:
    """One row of "any two of" where the lists are every pair of their genes, else a row for each list."""
    every = tuple(dict.fromkeys(part for genes in lists for part in genes))
    pairs = {frozenset(genes) for genes in lists}
    if len(lists) > 1 and pairs == {frozenset(pair) for pair in combinations(every, 2)}:
        return [(every, True)]
    return [(genes, False) for genes in lists]


def own_fields(gene: Gene, catalogue: Catalogue) -> tuple[str, ...]:
    """Fields of a gene that the breeder put down; "name" among them if the whole gene is theirs."""
    locus = catalogue.locus(gene.locus)
    found = [name for name, source in gene.sources.items() if source.kind == "own"]
    if locus.recombination_source is not None and locus.recombination_source.kind == "own":
        found.append("recombination")
    if any(note.source.kind == "own" for note in gene.health):
        found.append("health")
    if any(look.source.kind == "own" for look in locus.stated if gene.name in look.pair):
        found.append("looks")
    return tuple(found)


def gene_answer(catalogue: Catalogue, *, words: str = "", only_harmful: bool = False) -> GeneAnswer:
    """Genes whose name, other spellings, locus or mode hold the words.

    Parameters
    ----------
    catalogue
        The genes.
    words
        Looked for in any of these, case aside; empty finds all.
    only_harmful
        Keep those with a health note only.
    """
    wanted = words.casefold().strip()
    genes = sorted(catalogue.genes, key=lambda gene: gene.name)
    found = [gene for gene in genes if wanted in _searched(gene) and (gene.health or not only_harmful)]
    return GeneAnswer(
        genes=tuple(found),
        total=len(genes),
        harmful=sum(bool(gene.health) for gene in genes),
        papers=sum(any(source.kind == "paper" for source in gene.sources.values()) for gene in genes),
    )


def _searched(gene: Gene) -> str:
    parts = (gene.name, gene.locus_name, gene.mode, gene.super_name or "", *gene.other_spellings)
    return " ".join(parts).casefold()


def nearest_genes(catalogue: Catalogue, words: str) -> tuple[str, ...]:
    """Names of genes that are written much like the words, best first; the gene itself if there is one."""
    try:
        return (catalogue.gene(words.casefold().strip()).name,)
    except UnknownGene as fault:
        return fault.nearest
