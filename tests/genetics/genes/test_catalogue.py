from __future__ import annotations

import pytest

from genetics import CatalogueError, UnknownGene, catalogue_from
from genetics.genes.catalogue_files import SOURCED, catalogue_tables


def test_at_least_eighty_genes_with_a_source_for_every_value(catalogue):
    assert len(catalogue.genes) >= 80
    for gene in catalogue.genes:
        assert set(gene.sources) == set(SOURCED)
        for source in gene.sources.values():
            assert source.kind in ("paper", "custom", "memory")
            assert source.text
        assert all(note.source.text for note in gene.health)
    assert all(
        compound.source.text and group.source.text
        for compound, group in zip(catalogue.compounds, catalogue.alike, strict=False)
    )
    assert all(locus.source.text for locus in catalogue.loci)


def test_every_paper_says_how_far_it_was_read():
    for paper in catalogue_tables()["papers"].values():
        assert paper["read"].startswith("seen")


# Entered a second time from the list of facts, without looking at the data files.
BY_HAND = {
    "pied": ("recessive", "Garcia-Elfring"),
    "banana": ("incomplete dominant", "Mallery"),
}


@pytest.mark.parametrize("name", BY_HAND)
def test_modes_from_papers_as_published(catalogue, name):
    mode, author = BY_HAND[name]
    gene = catalogue.gene(name)
    assert gene.mode == mode
    assert author in gene.sources["mode"].text
    assert gene.sources["mode"].kind == "paper"


def test_three_loci_for_light_morphs_as_in_brown_2022(catalogue):
    loci = {catalogue.gene(name).locus for name in ("albino", "lavender albino", "ultramel")}
    assert len(loci) == 3
    for name in ("albino", "lavender albino", "ultramel"):
        assert "Brown AR" in catalogue.gene(name).sources["locus"].text


@pytest.mark.parametrize(
    ("name", "harm", "applies_to", "lost", "source"),
    [
        ("spider", "wobble", "any copy", 0, "Starck JM"),
        ("spider", "not hatching", "two copies", 1, "unproven"),
        ("champagne", "not hatching", "two copies", 1, "unproven"),
        ("black pastel", "kinked spine or misshapen head", "two copies", 0, "unproven"),
        ("cinnamon", "kinked spine or misshapen head", "two copies", 0, "unproven"),
        ("desert", "females that can't lay safely", "any copy", 0, "unproven"),
    ],
)
def test_health_notes_as_in_the_list_of_facts(catalogue, name, harm, applies_to, lost, source):
    notes = [note for note in catalogue.gene(name).health if note.harm == harm]
    assert [(note.applies_to, note.lost_chance) for note in notes] == [(applies_to, lost)]
    assert source in notes[0].source.text


def test_no_health_note_prints_a_prevalence(catalogue):
    for gene in catalogue.genes:
        assert not any(letter.isdigit() or letter == "%" for note in gene.health for letter in note.what)


def test_unknown_gene_names_the_nearest(catalogue):
    with pytest.raises(UnknownGene, match="clown") as caught:
        catalogue.gene("klown")
    assert caught.value.nearest[0] == "clown"


def _gene(**changes):
    return {"name": "one", "mode": "recessive", "source": "custom"} | changes


@pytest.mark.parametrize(
    ("locus", "part"),
    [
        ({"source": "custom", "gene": []}, "at least one gene"),
        ({"source": "somebody", "gene": [_gene()]}, "source"),
        ({"source": "custom", "gene": [_gene(mode="co-dominant")]}, "incomplete dominant"),
        ({"source": "custom", "gene": [_gene(name="One")]}, "small letters"),
        ({"source": "custom", "gene": [_gene(source=None)]}, "source"),
        ({"source": "custom", "gene": [_gene(), _gene()]}, "each gene once"),
        ({"source": "custom", "gene": [_gene(spellings=["two", "two"])]}, "one meaning"),
        ({"source": "custom", "sex_linked": True, "gene": [_gene()]}, "0 to 0.5"),
        ({"source": "custom", "sex_linked": True, "recombination": "0.6", "gene": [_gene()]}, "0 to 0.5"),
        ({"source": "custom", "gene": [_gene(hides="sight")]}, "hides"),
        ({"source": "custom", "gene": [_gene(sources={"price": "custom"})]}, "locus"),
        (
            {
                "source": "custom",
                "gene": [_gene()],
                "compound": [{"pair": ["one", "two"], "source": "custom"}],
            },
            "one",
        ),
        (
            {"source": "custom", "gene": [_gene()], "alike": [{"looks": ["one", "two"], "source": "custom"}]},
            "one",
        ),
        (
            {
                "source": "custom",
                "gene": [
                    _gene(
                        health=[
                            {
                                "id": "x",
                                "what": "y",
                                "harm": "ugly",
                                "applies_to": "any copy",
                                "source": "custom",
                            }
                        ]
                    )
                ],
            },
            "wobble",
        ),
        (
            {
                "source": "custom",
                "gene": [
                    _gene(
                        health=[
                            {
                                "id": "x",
                                "what": "y",
                                "harm": "wobble",
                                "applies_to": "any copy",
                                "lost_chance": 2,
                                "source": "custom",
                            }
                        ]
                    )
                ],
            },
            "0 to 1",
        ),
    ],
)
def test_faulty_data_says_what_is_allowed(locus, part):
    with pytest.raises(CatalogueError) as caught:
        catalogue_from({"locus": [locus]})
    assert part in str(caught.value)
    assert "catalogue" in str(caught.value)


def test_combination_of_unknown_genes_is_refused():
    tables = {
        "locus": [{"source": "custom", "gene": [_gene()]}],
        "combination": [{"name": "both", "genes": {"one": 2, "two": 1}}],
    }
    with pytest.raises(CatalogueError, match="two"):
        catalogue_from(tables)


def test_every_gene_that_looks_like_another_names_it(catalogue):
    assert "butter" in catalogue.gene("lesser").look_alikes
    assert "asphalt" in catalogue.gene("yellow belly").look_alikes
    assert catalogue.gene("pastel").look_alikes == ()
    assert catalogue.gene("mojave").hides == "all"
    assert catalogue.gene("phantom").hides == ""
