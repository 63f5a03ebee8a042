"""What is known of each gene, and who says so? A search in the catalogue."""

from __future__ import annotations

from dataclasses import dataclass

from genetics import Catalogue, Gene, UnknownGene


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
