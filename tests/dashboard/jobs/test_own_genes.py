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
    only_corrected,
    places,
    plain_faults,
    shipped_form,
)
from dashboard.jobs.own_genes import KINDS, entry_of, own_gene_rows, said
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


def test_a_correction_is_stored_without_what_the_list_says_too(book):
    form = shipped_form("clown") | {"spellings": "clownie"}
    kept = only_corrected("clown", definition_from("correction", form, GENES))
    assert kept == {"kind": "correction", "spellings": ["clownie"]}
    book.set_own_gene("clown", kept)
    assert shipped_form("clown", kept) == form
    with pytest.raises(FormRefused, match="list says of clown already"):
        only_corrected("clown", definition_from("correction", shipped_form("clown"), GENES))


def test_a_corrected_recombination_keeps_the_gene_sex_linked(book):
    form = shipped_form("banana") | {"recombination": 10.0}
    kept = only_corrected("banana", definition_from("correction", form, GENES))
    assert kept == {"kind": "correction", "sex_linked": True, "recombination": "1/10"}
    book.set_own_gene("banana", kept)
    assert book.catalogue().catalogue.locus_of("banana").recombination == Fraction(1, 10)


def test_a_gene_with_two_notes_keeps_the_one_its_form_does_not_show(book):
    """Spider has two: what is corrected of one must not lose the other."""
    shipped = GENES.gene("spider").health
    assert len(shipped) == 2
    form = shipped_form("spider") | {"harm_text": "Seen in all of mine."}
    book.set_own_gene("spider", only_corrected("spider", definition_from("correction", form, GENES)))
    first, second = book.catalogue().catalogue.gene("spider").health
    assert (first.what, first.source.kind) == ("Seen in all of mine.", "own")
    assert second == shipped[1]


def test_a_complex_keeps_what_its_form_does_not_show():
    stored = {
        "kind": "complex",
        "genes": {"stone": {"mode": "recessive", "spellings": ["stony"]}},
        "wild": "smooth",
    }
    assert definition_from("complex", complex_form(stored), GENES, stored=stored) == stored


@pytest.mark.parametrize(
    ("definition", "sentence"),
    [
        (
            {"kind": "correction", "spellings": [], "hides": "", "look_alikes": [], "health": [],
             "super_name": None, "sex_linked": False, "acts_on": ""},
            ("no name for two copies; hides nothing; what it changes is not known; not written otherwise; "
            "looks like no other; no harm known; not sex-linked"),
        ),
        (
            {"kind": "gene", "mode": "dominant", "locus": "clown", "hides": "all", "acts_on": "both",
             "looks": {"stone/clown": "shingle"}, "hatch": {"stone/stone": "1/4"}},
            ("dominant; at the place of clown; two copies hide everything else; changes pattern and colour; "
            "stone/clown looks shingle; of stone/stone 75 % of the eggs are lost"),
        ),
        ({"kind": "complex", "genes": {"stone": {}}, "sex_linked": True, "recombination": "1/20"},
         "holds stone (as its looks say); sex-linked, 5 % recombination in males"),
    ],
)  # fmt: skip
def test_an_entry_reads_as_a_sentence(definition, sentence):
    assert said(definition) == sentence


def test_the_entry_that_says_what_a_gene_is(book):
    book.set_own_gene("rubble", {"kind": "complex", "genes": {"stone": {"mode": "recessive"}}})
    book.set_own_gene("clown", {"kind": "correction", "spellings": ["clownie"]})
    book.set_own_gene("night", {"kind": "combination", "genes": {"stone": 2, "clown": 2}})
    rows, own = own_gene_rows(book), book.own_genes()
    assert [entry_of(gene, rows, own) for gene in ("stone", "clown", "pastel", "night")] == [
        "rubble", "clown", "", "",
    ]  # fmt: skip


def test_faults_are_told_with_the_names_of_the_fields():
    told = plain_faults("looks: 'gravel' already means gravel. what: found ''; allowed: a text.")
    assert told == "Looks of pairs: “gravel” already means gravel. What is known of it is empty."


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
