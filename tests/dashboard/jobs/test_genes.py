"""A search in the catalogue: what fits, what is near, how many carry a note."""

from __future__ import annotations

import pytest

from dashboard.jobs.genes import gene_answer, nearest_genes


def test_without_words_every_gene_is_found_by_name(catalogue):
    answer = gene_answer(catalogue)
    names = [gene.name for gene in answer.genes]
    assert names == sorted(gene.name for gene in catalogue.genes)
    assert answer.total == len(names) >= 80


def test_only_harmful_keeps_exactly_those_with_a_note(catalogue):
    answer = gene_answer(catalogue, only_harmful=True)
    assert {gene.name for gene in answer.genes} == {gene.name for gene in catalogue.genes if gene.health}
    assert answer.harmful == len(answer.genes) > 0


# coral glow is another name of banana: Mallery and Carrillo (2016) Phyllomedusa 15(1), as the catalogue says
@pytest.mark.parametrize("words", ["banana", "Coral Glow", "  coral glow "])
def test_a_gene_is_found_by_any_of_its_spellings(catalogue, words):
    assert "banana" in [gene.name for gene in gene_answer(catalogue, words=words).genes]


def test_a_mode_is_searched_too(catalogue):
    found = gene_answer(catalogue, words="recessive").genes
    assert found
    assert {gene.mode for gene in found} == {"recessive"}


# Tyrosinase series, OCA2, TYRP1 and MC1R, tfec, endothelin receptor, sex linkage: the papers in the catalogue
def test_papers_are_counted_once_a_gene(catalogue):
    answer = gene_answer(catalogue)
    with_paper = [g for g in catalogue.genes if {"paper"} & {s.kind for s in g.sources.values()}]
    assert answer.papers == len(with_paper)
    assert 0 < answer.papers < answer.total


def test_nothing_fits_a_word_nobody_knows(catalogue):
    assert gene_answer(catalogue, words="zzz").genes == ()
    assert nearest_genes(catalogue, "zzz") == ()


@pytest.mark.parametrize(
    ("words", "first"), [("clwn", "clown"), ("Pastel", "pastel"), (" pastle ", "pastel")]
)
def test_a_slip_leads_to_the_gene(catalogue, words, first):
    assert nearest_genes(catalogue, words)[0] == first
