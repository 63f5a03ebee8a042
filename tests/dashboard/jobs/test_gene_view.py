"""One gene in depth agrees with the catalogue it was read from, pair by pair."""

from __future__ import annotations

import pytest

from dashboard.jobs.gene_view import gene_view
from dashboard.jobs.genes import harms_together
from genetics import WILD, UnknownGene, catalogue_with, combined_harms_of
from genetics.genes.hiding import hidden_loci


def test_every_gene_shows_all_its_allele_pairs_with_a_source(catalogue):
    for gene in catalogue.genes:
        view = gene_view(gene.name, catalogue)
        locus = catalogue.locus(gene.locus)
        pairs = {locus.ordered(gene.name, pair.other) for pair in view.pairs}
        assert pairs == {pair for pair in locus.looks if gene.name in pair}
        assert all(pair.look is locus.look((gene.name, pair.other)) for pair in view.pairs)
        assert all(pair.source.text for pair in view.pairs)
        assert view.own == ()


def test_what_is_said_to_hide_a_gene_hides_it_in_an_animal(catalogue):
    """Held against `hidden_loci`, which judges whole animals."""
    for name in ("pinstripe", "clown", "albino"):
        view = gene_view(name, catalogue)
        home = catalogue.locus_of(name)
        mine = (name, name) if view.gene.mode == "recessive" else (name, WILD)
        hiding = set()
        for other in catalogue.loci:
            for pair, look in other.looks.items():
                if other.id != home.id and home.id in hidden_loci({home.id: mine, other.id: pair}, catalogue):
                    hiding.add(look.appearance)
        told = {words[words.index("(") + 1 : -1] if "(" in words else words for words in view.hidden_by}
        assert told == hiding != set()


def test_a_gene_that_hides_the_pattern_names_those_that_act_on_it_alone(catalogue):
    found = gene_view("patternless", catalogue)
    assert "pinstripe" in found.can_hide
    assert {catalogue.gene(name).acts_on for name in found.can_hide} == {"pattern"}
    assert gene_view("mojave", catalogue).can_hide == ()  # it hides all, so none is named


# look-alikes of the blue-eyed leucistic complex: common practice, no source (as the catalogue says)
def test_look_alikes_of_a_pair_are_those_of_its_group(catalogue):
    mojave = {pair.other: pair for pair in gene_view("mojave", catalogue).pairs}
    assert set(mojave["mojave"].alike) >= {"super lesser", "mojave lesser"}
    assert mojave["phantom"].alike == ()
    spider = {pair.other: pair for pair in gene_view("spider", catalogue).pairs}
    assert (spider["spider"].lost, spider[WILD].lost) == (1.0, 0.0)


def test_harms_together_are_told_once_and_none_is_left_out(catalogue):
    """Every two genes that a row names do the harm; no pair does it that no row names."""
    told = set()
    for harm in harms_together(catalogue):
        parts = harm.genes if harm.any_two else ()
        pairs = [(one, two) for i, one in enumerate(parts) for two in parts[i + 1 :]] or [harm.genes]
        for pair in pairs:
            genotype = {
                catalogue.gene(gene).locus: (gene, gene if copies == 2 else WILD) for gene, copies in pair
            }
            notes = {(note.harm, note.what) for note, _ in combined_harms_of(genotype, catalogue)}
            assert (harm.note.harm, harm.note.what) in notes
            told.add((frozenset(pair), harm.note.harm))
    assert told == {(frozenset(harm.genes), harm.note.harm) for harm in catalogue.combined_harms}
    assert len(harms_together(catalogue)) < len(catalogue.combined_harms)
    assert {harm.note.harm for harm in harms_together(catalogue, "spider")} == {"wobble", "not hatching"}
    assert harms_together(catalogue, "pastel") == ()


def test_what_the_breeder_put_down_is_named(catalogue):
    own = {
        "pebble": {"kind": "gene", "mode": "recessive"},
        "banana": {"kind": "correction", "recombination": "1/10", "sex_linked": True},
        "clown": {"kind": "correction", "spellings": ["clownie"]},
        "pied": {
            "kind": "correction",
            "health": [{"harm": "wobble", "applies_to": "two copies", "what": "Told."}],
        },
        "pastel": {"kind": "correction", "looks": {"pastel/pastel": "moon"}},
    }
    made = catalogue_with(catalogue, own)
    assert "name" in gene_view("pebble", made).own
    assert gene_view("banana", made).own == ("recombination",)
    assert gene_view("clown", made).own == ("other_spellings",)
    assert gene_view("pied", made).own == ("health",)
    assert gene_view("pastel", made).own == ("looks",)
    assert gene_view("pastel", made).pairs[1].look.label == "moon"


def test_a_gene_nobody_knows(catalogue):
    with pytest.raises(UnknownGene, match="clown"):
        gene_view("clwn", catalogue)
