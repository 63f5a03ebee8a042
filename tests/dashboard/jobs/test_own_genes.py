"""A filled form becomes a definition the catalogue takes; a definition fills the form again."""

from __future__ import annotations

from fractions import Fraction

import pytest

from dashboard.jobs.own_gene_forms import (
    FormRefused,
    complex_form,
    definition_from,
    form_of,
    genes_of,
    genes_text,
    places,
    shipped_form,
)
from dashboard.jobs.own_genes import KINDS, own_gene_rows
from dashboard.records import open_book
from genetics import load_catalogue

GENES = load_catalogue()
BLANK = form_of({})
COMPLEX = complex_form({"genes": {"stone": {"mode": "dominant"}}})


@pytest.fixture
def book(tmp_path):
    with open_book(tmp_path / "book.sqlite") as opened:
        yield opened


def test_a_blank_form_is_a_recessive_at_a_place_of_its_own(book):
    definition = definition_from("gene", BLANK, GENES)
    assert definition == {"kind": "gene", "mode": "recessive"}
    book.set_own_gene("pebble", definition)
    (row,) = own_gene_rows(book)
    assert (row.name, row.kind, row.says, row.fault) == ("pebble", "gene", "recessive", "")


def test_every_field_of_the_form_reaches_the_catalogue(book):
    form = BLANK | {
        "mode": "incomplete dominant",
        "super_name": "Boulder",
        "spellings": "pebbled, peble",
        "hides": "pattern",
        "sex_linked": True,
        "recombination": 7.5,
        "harm": "wobble",
        "applies_to": "two copies",
        "harm_text": "Seen in two animals.",
        "lost": 12.5,
    }
    definition = definition_from("gene", form, GENES)
    book.set_own_gene("pebble", definition)
    genes = book.catalogue().catalogue
    gene = genes.gene("pebble")
    assert (gene.mode, gene.super_name, gene.hides) == ("incomplete dominant", "boulder", "pattern")
    assert gene.other_spellings == ("pebbled", "peble")
    assert genes.locus_of("pebble").recombination == Fraction(3, 40)
    (note,) = gene.health
    assert (note.harm, note.applies_to, note.lost_chance) == ("wobble", "two copies", Fraction(1, 8))
    assert definition_from("gene", form_of(definition), GENES) == definition


def test_a_correction_starts_as_the_gene_ships_and_changes_only_what_is_changed(book):
    start = shipped_form("clown")
    changed = definition_from("correction", start | {"hides": "pattern", "spellings": "clownie"}, GENES)
    book.set_own_gene("clown", changed)
    gene, shipped = book.catalogue().catalogue.gene("clown"), GENES.gene("clown")
    assert (gene.hides, gene.other_spellings) == ("pattern", ("clownie",))
    assert (gene.mode, gene.health, gene.locus) == (shipped.mode, shipped.health, shipped.locus)
    assert gene.sources["mode"] == shipped.sources["mode"]  # what was not changed keeps its source


def test_one_word_for_several_genes(book):
    definition = definition_from("combination", {"genes": "super pastel clown"}, GENES)
    assert definition == {"kind": "combination", "genes": {"pastel": 2, "clown": 2}}
    assert genes_of(genes_text(definition["genes"], GENES), GENES) == definition["genes"]
    book.set_own_gene("noon", definition)
    larch = book.add_animal("Larch", "noon")
    assert {str(trait) for trait in book.reader(larch.text, larch.sex)} == {"super pastel", "clown"}


def test_a_complex_with_a_named_pair(book):
    form = {
        "alleles": "stone, incomplete dominant\nsand, incomplete dominant",
        "looks": "stone / sand = shingle",
        "lost": "stone / stone = 25 %",
        "sex_linked": False,
        "recombination": 5.0,
    }
    definition = definition_from("complex", form, GENES)
    assert complex_form(definition) == form
    book.set_own_gene("rubble", definition)
    genes = book.catalogue().catalogue
    assert genes.locus_of("stone") is genes.locus_of("sand")
    assert genes.locus_of("stone").look(("sand", "stone")).label == "shingle"
    assert genes.locus_of("stone").look(("stone", "stone")).survival == Fraction(3, 4)


def test_a_harm_of_genes_together(book):
    form = {"genes": "pastel clown", "harm": "wobble", "what": "Told by a keeper."}
    book.set_own_gene("pastel clown wobble", definition_from("harm", form, GENES))
    (row,) = own_gene_rows(book)
    assert row.says == "two copies of clown + pastel together: wobble. Told by a keeper."


@pytest.mark.parametrize(
    ("kind", "form", "sentence"),
    [
        ("combination", {"genes": "pastel clowm"}, "clowm"),
        ("combination", {"genes": "66% het clown pastel"}, "not certain"),
        ("combination", {"genes": "normal"}, "No gene is named"),
        ("gene", BLANK | {"harm": "wobble"}, "Write it in a sentence"),
        ("gene", BLANK | {"harm": "wobble", "harm_text": "x", "lost": 130}, "0 to 100 percent"),
        ("gene", BLANK | {"sex_linked": True, "recombination": 60}, "0 to 50 percent"),
        ("complex", COMPLEX | {"looks": "stone"}, "one / other = look"),
        ("complex", COMPLEX | {"lost": "stone / stone = half"}, "0 to 100 percent"),
        ("complex", COMPLEX | {"alleles": " "}, "No gene is named"),
    ],
)
def test_a_form_that_can_not_be_read_says_which_field(kind, form, sentence):
    with pytest.raises(FormRefused, match=sentence):
        definition_from(kind, form, GENES)


def test_places_and_kinds_are_offered_in_plain_words():
    assert places(GENES)[0] == "a place of its own"
    assert set(KINDS) == {"gene", "correction", "combination", "complex", "harm"}
