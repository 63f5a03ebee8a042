"""A breeder's own genes join the catalogue, or say all that is wrong with them."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest
from hypothesis import given, settings

from genetics import CatalogueError, Trait, load_catalogue, read_animal, write_animal
from genetics.genes.definitions import definition_of
from genetics.genes.harms import combined_harms_of
from genetics.genes.own_genes import OwnGeneFault, catalogue_with, needed_by, own_definition_faults
from genetics.genes.sources import OWN
from tests.genetics.genes.own_strategies import own_animals

BASE = load_catalogue()
OWN_GENES = {
    "moonlit": {
        "kind": "gene",
        "mode": "recessive",
        "spellings": ["moon gene"],
        "hides": "pattern",
        "health": [{"harm": "wobble", "applies_to": "two copies", "what": "Two of mine wobbled."}],
    },
    "cinder": {
        "kind": "gene",
        "mode": "recessive",
        "locus": "albino",
        "looks": {"cinder/albino": "cindino"},
        "look_alikes": ["candy"],
    },
    "brook": {"kind": "gene", "mode": "dominant", "sex_linked": True, "recombination": 0.25},
    "storm complex": {
        "kind": "complex",
        "genes": {
            "bolt": {"mode": "incomplete dominant", "super_name": "great bolt"},
            "rumble": {"mode": "recessive"},
        },
        "looks": {"bolt/rumble": "storm"},
        "hatch": {"bolt/bolt": "1/2"},
        "hides": {"rumble/rumble": "colour"},
        "wild": "calm",
        "look_alikes": [["storm", "rumble"]],
    },
    "night bee": {"kind": "combination", "genes": {"spider": 1, "moonlit": 2}},
    "pastel": {"kind": "correction", "spellings": ["pastelle"], "acts_on": "colour"},
    "trick": {"kind": "correction", "mode": "dominant", "look_alikes": ["lesser"]},
    "banana": {"kind": "correction", "recombination": "0.1"},
    "hypo": {"kind": "correction", "locus": "clown complex"},
    "my wobble": {
        "kind": "harm",
        "genes": {"pastel": 1, "moonlit": 2},
        "harm": "wobble",
        "what": "Mine sway.",
    },
}
ALL = catalogue_with(BASE, OWN_GENES)


def test_definitions_are_plain_data_and_leave_the_base_alone():
    assert catalogue_with(BASE, json.loads(json.dumps(OWN_GENES))).genes == ALL.genes
    assert catalogue_with(BASE, {}) is BASE
    assert len(ALL.genes) == len(BASE.genes) + 5
    assert BASE.gene("trick").mode == "incomplete dominant"
    assert BASE.gene("lesser").look_alikes == ("butter",)


@pytest.mark.parametrize(
    ("text", "again"),
    [
        ("moon gene", "moonlit"),
        ("cindino", "cindino"),
        ("cinder albino", "cindino"),
        ("storm", "storm"),
        ("great bolt", "super bolt"),
        ("het rumble calm", "het rumble"),
        ("night bee", "spider moonlit"),
        ("pastelle", "pastel"),
        ("homozygous trick", "homozygous trick"),
        ("hypo clown", "clown hypo"),
    ],
)
def test_own_words_are_read_at_once(text, again):
    assert write_animal(read_animal(text, ALL), ALL) == again


def test_an_own_gene_stands_at_its_locus_with_its_looks():
    assert ALL.gene("cinder").locus == "albino complex"
    assert ALL.gene("cinder").look_alikes == ("candy", "toffee", "candy toffee")
    assert read_animal("cindino", ALL).traits(ALL) == (Trait("cindino", "visual"),)
    assert ALL.locus("brook").recombination == Fraction(1, 4)
    assert ALL.gene("moonlit").sources["mode"] is ALL.gene("cinder").sources["locus"]
    look = ALL.locus("storm complex").look(("bolt", "bolt"))
    assert (look.survival, look.notes[0][0].source) == (Fraction(1, 2), OWN)
    assert ALL.locus("storm complex").look(("rumble", "rumble")).hides == "colour"
    assert len({look.appearance for look in ALL.locus("storm complex").looks.values()}) == 4


def test_a_correction_marks_only_what_it_changed():
    pastel = ALL.gene("pastel")
    assert (pastel.sources["acts_on"], pastel.sources["other_spellings"]) == (OWN, OWN)
    assert pastel.sources["mode"] == BASE.gene("pastel").sources["mode"]
    assert ALL.gene("trick").sources["mode"] == OWN
    assert set(ALL.gene("trick").look_alikes) == {"lesser", "butter"}
    assert set(ALL.gene("butter").look_alikes) == {"lesser", "trick"}
    assert (ALL.locus_of("banana").recombination, ALL.locus_of("banana").recombination_source) == (
        Fraction(1, 10),
        OWN,
    )
    assert ALL.gene("hypo").locus == "clown complex"
    assert "hypo" not in ALL.locus_order


def test_own_harms_of_genes_together_are_found():
    pairs = {"pastel": ("pastel", "+"), "moonlit": ("moonlit", "moonlit")}
    ((note, name),) = combined_harms_of(pairs, ALL)
    assert (note.source, name) == (OWN, "pastel with two copies of moonlit")


@pytest.mark.parametrize("name", [gene.name for gene in BASE.genes])
def test_a_correction_that_says_what_is_so_changes_nothing(name):
    same = catalogue_with(BASE, {name: definition_of(name, BASE)})
    assert same.genes == BASE.genes
    assert [dict(gene.sources) for gene in same.genes] == [dict(gene.sources) for gene in BASE.genes]


@settings(max_examples=15, deadline=None)
@given(own_animals())
def test_a_definition_read_back_from_the_catalogue_makes_the_same_genes(made):
    own, catalogue, _ = made
    singles = {
        name: definition_of(name, catalogue) if part["kind"] == "gene" else part for name, part in own.items()
    }
    wholes = {
        name: definition_of(name, catalogue) if part["kind"] == "complex" else part
        for name, part in own.items()
    }
    for again in (singles, wholes):
        assert catalogue_with(BASE, again).genes == catalogue.genes


def test_definitions_of_what_ships():
    assert definition_of("snow", BASE) == {"kind": "combination", "genes": {"albino": 2, "axanthic": 2}}
    whole = definition_of("albino complex", BASE)
    assert whole["kind"] == "complex"
    assert whole["looks"] == {"albino/candy": "candino", "albino/toffee": "toffino"}
    assert ["candino", "toffino"] in whole["look_alikes"]
    banana = definition_of("banana", BASE)
    assert (banana["sex_linked"], banana["recombination"]) == (True, "1/20")
    assert definition_of("spider", BASE)["health"][1]["lost_chance"] == "1"
    assert definition_of("storm complex", ALL)["hides"] == {"rumble/rumble": "colour"}
    assert definition_of("storm complex", ALL)["wild"] == "calm"
    assert definition_of("brook", ALL)["recombination"] == "1/4"
    assert definition_of("cinder", ALL)["looks"] == {"albino/cinder": "cindino"}


FAULTS = [
    ("Foo", {"kind": "gene"}, ["small letters", "mode: missing"]),
    ("", {"kind": "gene", "mode": "dominant"}, ["small letters"]),
    ("het", {"kind": "gene", "mode": "dominant"}, ["word of the notation"]),
    ("50% grey", {"kind": "gene", "mode": "dominant"}, ["words of letters"]),
    ("foo", {"kind": "gene", "mode": "dominant", "spellings": ["a b c d e f"]}, ["up to 5 words"]),
    ("foo", 3, ["a mapping with a 'kind'"]),
    ("foo", {"kind": "thing"}, ["allowed: gene, complex"]),
    (
        "foo",
        {"kind": "gene", "mode": "codominant", "hides": "x", "spelings": ["a"]},
        ["nearest are: spellings", "mode: found 'codominant'", "hides: found 'x'"],
    ),
    ("foo", {"kind": "gene", "mode": "dominant", "spellings": "a"}, ["a list of texts"]),
    ("foo", {"kind": "gene", "mode": "dominant", "spellings": [""]}, ["spellings: found ''"]),
    ("foo", {"kind": "gene", "mode": "dominant", "super_name": 3}, ["a text or nothing"]),
    ("foo", {"kind": "gene", "mode": "dominant", "sex_linked": 1}, ["true or false"]),
    ("foo", {"kind": "gene", "mode": "dominant", "sex_linked": True}, ["recombination: missing"]),
    (
        "foo",
        {"kind": "gene", "mode": "dominant", "sex_linked": True, "recombination": "0.7"},
        ["0 to 0.5"],
    ),
    (
        "foo",
        {"kind": "gene", "mode": "dominant", "locus": "pied", "sex_linked": True, "recombination": 0},
        ["own linkage"],
    ),
    ("foo", {"kind": "gene", "mode": "dominant", "health": {}}, ["a list of health notes"]),
    ("foo", {"kind": "gene", "mode": "dominant", "health": ["x"]}, ["a mapping with harm"]),
    (
        "foo",
        {"kind": "gene", "mode": "dominant", "health": [{"harm": "ugly"}]},
        ["applies_to: missing. what: missing. harm: found 'ugly'"],
    ),
    ("foo", {"kind": "gene", "mode": "dominant", "looks": []}, ["allele pairs to looks"]),
    ("foo", {"kind": "gene", "mode": "dominant", "hatch": {"foo/foo": 2}}, ["foo/foo: found 2"]),
    (
        "foo",
        {
            "kind": "gene",
            "mode": "recessive",
            "spellings": ["pastel", "super", "a b", "ab"],
            "locus": "albin",
        },
        [
            "'pastel' already means pastel",
            "'super' is a word",
            "'ab' stands there twice",
            "nearest are: albino",
        ],
    ),
    ("snow", {"kind": "gene", "mode": "recessive"}, ["'snow' already means a combination"]),
    (
        "albino complex",
        {"kind": "complex", "genes": {"zig": {"mode": "dominant"}}},
        ["a locus of the catalogue"],
    ),
    ("foo", {"kind": "complex"}, ["genes: missing"]),
    ("foo", {"kind": "complex", "genes": {"zig": {"mode": "x"}}}, ["zig: mode: found 'x'"]),
    ("foo", {"kind": "complex", "genes": {}, "look_alikes": "a"}, ["a list of lists"]),
    ("foo", {"kind": "complex", "genes": {"snow": {"mode": "dominant"}}}, ["genes: 'snow' already means"]),
    ("foo", {"kind": "complex", "genes": {"zig": {}}, "looks": {"zig/+": "x"}}, ["zig/+ and of zig/zig"]),
    (  # gravel is a gene of the list
        "foo",
        {
            "kind": "complex",
            "genes": {"zig": {"mode": "dominant"}, "zag": {"mode": "dominant"}},
            "looks": {"zig/zag": "gravel"},
        },
        ["looks: 'gravel' already means gravel."],
    ),
    (
        "foo",
        {"kind": "gene", "mode": "recessive", "locus": "clown", "looks": {"foo/clown": "snow"}},
        ["looks: 'snow' already means a combination."],
    ),
    (
        "foo",
        {"kind": "complex", "genes": {"zig": {"mode": "dominant"}}, "looks": {"zig/zag": "x"}},
        ["zig/zag"],
    ),
    ("foo", {"kind": "combination", "genes": {"pastle": 1, "clown": 2}}, ["nearest are: pastel"]),
    ("foo", {"kind": "combination", "genes": {"pastel": 3, "clown": 2}}, ["1 or 2 copies"]),
    ("foo", {"kind": "combination", "genes": {"pastel": 1}}, ["two or more"]),
    ("pastle", {"kind": "correction", "mode": "dominant"}, ["nearest are: pastel"]),
    ("pastel", {"kind": "correction", "spellings": ["pinstripe"]}, ["already means pinstripe"]),
    ("mojave", {"kind": "correction", "hides": ""}, ["stays 'all'"]),
    ("albino", {"kind": "correction", "locus": "pied"}, ["named pairs at its old locus"]),
    ("foo", {"kind": "gene", "mode": "dominant", "look_alikes": ["leser"]}, ["nearest are: lesser"]),
    (
        "foo",
        {"kind": "harm", "genes": {"lesser": 1, "mojave": 1}, "harm": "wobble", "what": "x"},
        ["another locus"],
    ),
    ("foo", {"kind": "harm", "genes": {"lesser": 1}, "harm": "wobble", "what": "x"}, ["two or more"]),
    ("foo", {"kind": "harm", "genes": {"leser": 1, "pied": 1}, "harm": "wobble"}, ["what: missing"]),
]


@pytest.mark.parametrize(("name", "definition", "parts"), FAULTS)
def test_all_faults_of_a_definition_are_said_at_once(name, definition, parts):
    faults = own_definition_faults(BASE, {}, name, definition)
    for part in parts:
        assert any(part in fault for fault in faults), faults
    assert all(fault.endswith(".") for fault in faults)
    with pytest.raises(OwnGeneFault) as caught:
        catalogue_with(BASE, {name: definition})
    assert caught.value.name == name
    assert isinstance(caught.value, CatalogueError)


@pytest.mark.parametrize("name", OWN_GENES)
def test_a_definition_without_fault_may_replace_itself(name):
    assert own_definition_faults(BASE, OWN_GENES, name, OWN_GENES[name]) == ()


def test_pairs_of_one_locus_may_look_alike():
    """A look that the locus has already is no second meaning of its name."""
    own = {
        "foo": {"kind": "gene", "mode": "recessive", "locus": "clown", "looks": {"foo/clown": "clown"}},
        "zig and zag": {
            "kind": "complex",
            "genes": {"zig": {"mode": "dominant"}, "zag": {"mode": "dominant"}},
            "looks": {"zig/zag": "zig"},
        },
    }
    assert [own_definition_faults(BASE, {}, name, definition) for name, definition in own.items()] == [(), ()]
    made = catalogue_with(BASE, own)
    assert made.locus_of("foo").look(("foo", "clown")).appearance == "clown"
    assert made.locus_of("zig").look(("zag", "zig")).appearance == "zig"


def test_a_change_that_others_do_not_survive_names_them():
    faults = own_definition_faults(
        BASE, OWN_GENES, "moonlit", {"kind": "combination", "genes": {"pied": 1, "clown": 2}}
    )
    assert faults
    assert all(fault.startswith("night bee:") for fault in faults)
    assert needed_by("moonlit", OWN_GENES) == ("night bee", "my wobble")
    assert needed_by("storm complex", OWN_GENES) == ()


def test_genes_that_join_the_locus_of_another_own_gene_come_after_it():
    own = {
        "aster": {"kind": "gene", "mode": "recessive", "locus": "zinnia"},
        "zinnia": {"kind": "gene", "mode": "recessive"},
        "posy": {"kind": "combination", "genes": {"aster": 1, "bolt": 1}},
        "storm": {"kind": "complex", "genes": {"bolt": {"mode": "dominant"}}},
    }
    made = catalogue_with(BASE, own)
    assert made.gene("aster").locus == "zinnia"
    assert needed_by("zinnia", own) == ("aster", "posy")
    assert needed_by("storm", own) == ("posy",)
    assert write_animal(read_animal("posy", made), made) == "bolt het aster"


def test_the_fault_of_a_stored_definition_is_told_when_another_is_checked():
    own = {"old": {"kind": "gene", "mode": "x"}}
    (fault,) = own_definition_faults(BASE, own, "foo", {"kind": "gene", "mode": "dominant"})
    assert fault.startswith("old: mode: found 'x'")


def test_a_gene_goes_with_the_gene_whose_locus_it_shares():
    own = {
        "foo": {"kind": "gene", "mode": "recessive", "locus": "pied"},
        "pied": {"kind": "correction", "locus": "clown"},
        "candy": {"kind": "correction", "locus": "albino"},
        "red axanthic": {"kind": "correction", "locus": "fire complex"},
    }
    made = catalogue_with(BASE, own)
    assert [made.gene(name).locus for name in own] == [
        "clown complex",
        "clown complex",
        "albino complex",
        "fire complex",
    ]
    assert made.gene("candy").sources["locus"] == BASE.gene("candy").sources["locus"]


def test_corrections_of_sex_linkage_and_of_stated_pairs():
    own = {
        "pied": {
            "kind": "correction",
            "sex_linked": True,
            "recombination": "1/2",
            "hatch": {"pied/pied": "0.9"},
        },
        "banana": {"kind": "correction", "sex_linked": False},
        "spider": {"kind": "correction", "health": definition_of("spider", BASE)["health"][:1]},
        "lesser": {"kind": "correction", "look_alikes": []},
        "clown": {"kind": "correction", "locus": "pied"},
    }
    made = catalogue_with(BASE, own)
    assert made.locus_of("pied").recombination == Fraction(1, 2)
    assert made.locus_of("pied").look(("pied", "pied")).survival == Fraction(9, 10)
    assert not made.gene("banana").sex_linked
    (note,) = made.gene("spider").health
    assert "Starck" in note.source.text
    assert (made.gene("lesser").look_alikes, made.gene("butter").look_alikes) == ((), ())
    assert made.gene("clown").locus_name == "pied"
    assert made.gene("cryptic").locus == "clown complex"
