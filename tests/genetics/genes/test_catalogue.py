from __future__ import annotations

import pytest

from genetics import CatalogueError, UnknownGene, catalogue_from
from genetics.genes.catalogue_files import species_tables
from genetics.genes.locus_tables import SOURCED


def test_at_least_eighty_genes_with_a_source_for_every_value(catalogue):
    assert len(catalogue.genes) >= 80
    for gene in catalogue.genes:
        assert set(gene.sources) == set(SOURCED)
        for source in gene.sources.values():
            assert source.kind in ("paper", "custom", "memory")
            assert source.text
        assert all(note.source.text for note in gene.health)
    rest = [*catalogue.compounds, *catalogue.alike, *catalogue.loci]
    assert all(record.source.text for record in rest)
    assert all(note.source.text for compound in catalogue.compounds for note in compound.health)
    assert all(harm.note.source.text for harm in catalogue.combined_harms)
    assert catalogue.combination_sources.keys() == catalogue.combinations.keys()
    linked = [locus for locus in catalogue.loci if locus.sex_linked]
    assert [locus.recombination_source.kind for locus in linked] == ["custom"]


def test_every_allele_pair_has_a_look_and_says_what_it_shows_or_carries(catalogue):
    for locus in catalogue.loci:
        count = len(locus.genes) + 1
        assert len(locus.looks) == count * (count + 1) // 2
        for pair, look in locus.looks.items():
            mutants = [allele for allele in pair if allele != "+"]
            assert bool(look.shown or look.carried) == bool(mutants)
            assert bool(look.label) == bool(look.shown)
            assert 0 <= look.survival <= 1
            assert (look.survival < 1) == any(note.lost_chance for note, _ in look.notes)


# Entered a second time by hand, without looking at the data files: common practice, or from memory.
LOOKS_BY_HAND = [
    ("mojave", "lesser", "mojave lesser", "all"),
    ("mojave", "phantom", "purple passion", "pattern"),
    ("yellow belly", "gravel", "highway", ""),
    ("yellow belly", "asphalt", "freeway", ""),
    ("black pastel", "cinnamon", "eight ball", "pattern"),
    ("albino", "candy", "candino", ""),
    ("fire", "fire", "super fire", "all"),
    ("yellow belly", "yellow belly", "super yellow belly", "pattern"),
    ("pied", "+", "", ""),
    ("spider", "+", "spider", ""),
]


@pytest.mark.parametrize(("one", "other", "label", "hides"), LOOKS_BY_HAND)
def test_looks_of_pairs_entered_a_second_time(catalogue, one, other, label, hides):
    for pair in ((one, other), (other, one)):
        look = catalogue.locus_of(one).look(pair)
        assert (look.label, look.hides) == (label, hides)


@pytest.mark.parametrize(
    ("name", "acts_on"),
    [("pinstripe", "pattern"), ("genetic stripe", "pattern"), ("hypo", "colour"), ("axanthic", "colour")],
)
def test_what_a_gene_acts_on_entered_a_second_time_from_memory(catalogue, name, acts_on):
    gene = catalogue.gene(name)
    assert gene.acts_on == acts_on
    assert gene.sources["acts_on"].kind == "memory"
    assert catalogue.gene("nyala").acts_on == ""


def test_every_paper_says_how_far_it_was_read():
    for paper in species_tables()["papers"].values():
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
        ("champagne", "wobble", "any copy", 0, "unproven"),
        ("hidden gene woma", "wobble", "any copy", 0, "unproven"),
        ("hidden gene woma", "not hatching", "two copies", 1, "unproven"),
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
        ({"source": "custom", "gene": [_gene(spellings=["super"])]}, "nothing else in the notation"),
        ({"source": "custom", "gene": [_gene(name="one/two")]}, "without a slash"),
        ({"source": "custom", "gene": [_gene(acts_on="mood")]}, "acts_on"),
        ({"source": "custom", "gene": [_gene()], "look": [{"pair": ["+", "+"]}]}, "one a mutant"),
        ({"source": "custom", "sex_linked": True, "recombination": "a", "gene": [_gene()]}, "0 to 0.5"),
        ({"source": "custom", "gene": [_gene()], "compound": [{"pair": ["one", "one"]}]}, "two different"),
        (
            {
                "source": "custom",
                "gene": [_gene(), _gene(name="two")],
                "compound": [{"pair": pair, "source": "custom"} for pair in (["one", "two"], ["two", "one"])],
            },
            "each pair once",
        ),
        ({"source": "custom", "gene": [_gene()], "alike": [{"looks": ["one"]}]}, "two or more looks"),
        ({"source": "custom", "gene": [_gene(health=[{"what": "y"}])]}, "id"),
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
        "combination": [{"name": "both", "genes": {"one": 2, "two": 1}, "source": "custom"}],
    }
    with pytest.raises(CatalogueError, match="two"):
        catalogue_from(tables)


def _one_locus(**more):
    return {"locus": [{"source": "custom", "gene": [_gene()]}]} | more


@pytest.mark.parametrize(
    ("tables", "part"),
    [
        (_one_locus(papers={"x": {"text": "a text"}}), "read"),
        (_one_locus(species={"sexes": "ZW"}), "XX females"),
        (_one_locus(alike=[{"looks": ["one", "two"], "source": "custom"}]), "looks of the catalogue's genes"),
        (
            _one_locus(combination=[{"name": n, "genes": {"one": 2}, "source": "custom"} for n in "aa"]),
            "each name once",
        ),
        (_one_locus(combination=[{"name": "a", "genes": {"one": "x"}, "source": "custom"}]), "1 or 2 copies"),
        (
            {"locus": [{"id": "a", "source": "custom", "gene": [_gene(name=n)]} for n in ("b", "c")]},
            "id once",
        ),
        (
            {
                "species": {"sexes": "none"},
                "locus": [{"source": "custom", "sex_linked": True, "recombination": 0, "gene": [_gene()]}],
            },
            "no sexes",
        ),
        (_one_locus(combined_harm=[{"id": "x", "genes": {"two": 1}}]), "known genes"),
        (_one_locus(combined_harm=[{"id": "x", "genes": {"one": 1}}]), "another locus"),
        (_one_locus(combined_harm=[{"id": "x"}]), "any_two_of"),
    ],
)
def test_faulty_tables_say_what_is_allowed(tables, part):
    with pytest.raises(CatalogueError) as caught:
        catalogue_from(tables)
    assert part in str(caught.value)


def test_a_loss_of_genes_together_is_refused_since_eggs_are_lost_by_one_locus():
    note = {"id": "x", "harm": "wobble", "what": "y", "source": "custom", "lost_chance": 1}
    genes = [{"source": "custom", "gene": [_gene(name=name)]} for name in ("one", "two")]
    with pytest.raises(CatalogueError, match="one locus at a time"):
        catalogue_from({"locus": genes, "combined_harm": [note | {"genes": {"one": 1, "two": 1}}]})


def test_no_word_of_the_catalogue_names_a_combination_with_genes_it_does_not_have(catalogue):
    for parts in catalogue.combinations.values():
        loci = [catalogue.gene(gene).locus for gene, _ in parts]
        assert len(loci) == len(set(loci)) > 1


def test_an_unknown_locus_names_the_nearest(catalogue):
    with pytest.raises(UnknownGene) as caught:
        catalogue.locus("albino complx")
    assert caught.value.nearest[0] == "albino complex"
    assert repr(catalogue).startswith(f"Catalogue(ball python: {len(catalogue.genes)} genes")


def test_every_gene_that_looks_like_another_names_it(catalogue):
    assert "butter" in catalogue.gene("lesser").look_alikes
    assert "asphalt" in catalogue.gene("yellow belly").look_alikes
    assert catalogue.gene("pastel").look_alikes == ()
    assert catalogue.gene("mojave").hides == "all"
    assert catalogue.gene("phantom").hides == ""
    assert catalogue.gene("cinnamon").hides == "pattern"
    assert catalogue.gene("cinnamon").sources["hides"].kind == "memory"
