"""The short form of a catalogue: what it gives, and how its faults read."""

from __future__ import annotations

from fractions import Fraction

import pytest

from genetics import BadBelief, CatalogueError, Sex, UnknownGene, read_animal
from genetics.genes.catalogue import catalogue_from
from genetics.genes.plain_animals import animal_from

MOUSE = {
    "species": "mouse of the textbooks",
    "source": "Castle & Little 1910, second-hand",
    "loci": {
        "agouti": {
            "alleles": {"yellow": "dominant", "black": {"mode": "recessive", "spellings": ["non-agouti"]}},
            "wild": "grey",
            "looks": {"yellow/black": "yellow"},
            "hatch": {"yellow/yellow": 0, "black/black": "9/10"},
        },
        "albino": {"alleles": {"albino": {"mode": "recessive", "hides": "all"}}},
        "linked": {"alleles": {"red": "recessive"}, "sex_linked": True, "r": "1/10"},
    },
    "alike": [["black", "albino"]],
    "combinations": {"ghostly": {"black": 2, "albino": 2}},
    "combined_harms": [{"genes": {"yellow": 1, "red": 2}, "harm": "wobble", "what": "They sway."}],
}


def test_the_short_form_gives_a_whole_catalogue():
    genes = catalogue_from(MOUSE)
    agouti = genes.locus("agouti")
    assert (genes.species, genes.sexes) == ("mouse of the textbooks", "XX females, XY males")
    assert agouti.look(("yellow", "yellow")).survival == 0
    assert agouti.look(("black", "black")).survival == Fraction(9, 10)
    assert agouti.look(("black", "yellow")).label == "yellow"
    assert genes.locus("linked").recombination == Fraction(1, 10)
    assert genes.gene("albino").hides == "all"
    assert genes.shared_looks == (frozenset({"agouti", "albino"}),)
    assert genes.combined_harms[0].name == "yellow with two copies of red"
    assert genes.gene("black").sources["mode"].text == "Castle & Little 1910, second-hand"
    assert read_animal("grey", genes) == read_animal("normal", genes)
    assert read_animal("ghostly", genes) == read_animal("albino non-agouti", genes)


@pytest.mark.parametrize(
    ("change", "part"),
    [
        ({"locis": 1}, "The nearest are: loci"),
        ({"loci": []}, "a mapping of names"),
        ({"loci": {"coat": []}}, "a mapping of names"),
        ({"loci": {"coat": {"allele": ["a"]}}}, "alleles"),
        ({"loci": {"coat": {"alleles": {}}}}, "at least one gene"),
        ({"loci": {"coat": {"alleles": {"a": {"hide": "all"}}}}}, "hides"),
        ({"loci": {"coat": {"alleles": {"a": "recesive"}}}}, "'recessive'"),
        ({"loci": {"coat": {"alleles": {"a": "recessive"}, "looks": {"a": "x"}}}}, "slash between"),
        (
            {"loci": {"coat": {"alleles": {"albino": "recessive"}, "hatch": {"albin/+": 0}}}},
            "nearest are: albino",
        ),
        ({"loci": {"coat": {"alleles": {"a": "recessive"}, "hatch": {"a/a": 2}}}}, "0 to 1"),
        ({"loci": {"coat": {"alleles": {"a": "recessive"}, "hides": {"a/a": "sound"}}}}, "pattern"),
        ({"loci": {"coat": {"alleles": {"a": "recessive"}, "looks": {"a/+": "", "+/a": ""}}}}, "pair once"),
        ({"loci": {"coat": {"alleles": {"a": "recessive"}, "sex_linked": True}}}, "0 to 0.5"),
    ],
)
def test_faults_of_the_short_form_say_what_is_allowed(change, part):
    with pytest.raises(CatalogueError) as caught:
        catalogue_from({"loci": {}} | change)
    assert part in str(caught.value)


def test_an_animal_is_given_by_its_allele_pairs():
    genes = catalogue_from(MOUSE)
    male = animal_from({"black": "+/black", "linked": "red/+"}, genes, sex="male")
    assert {factor.loci[0]: dict(factor.table) for factor in male.belief} == {
        "agouti": {(("black", "+"),): 1},
        "linked": {(("red", "+"),): 1},
    }
    assert male == read_animal("het black het red (from dam)", genes, sex=Sex.MALE)
    dam = animal_from({"agouti": {"black/grey": "2/3", "grey/grey": "1/3"}}, genes, sex=Sex.FEMALE)
    assert dam == read_animal("66% het black", genes, sex=Sex.FEMALE)
    assert animal_from({"linked": "+/red"}, genes) == read_animal("het red", genes)


@pytest.mark.parametrize(
    ("genotypes", "error", "part"),
    [
        ({"agouty": "black/+"}, UnknownGene, "agouti"),
        ({"agouti": "blak/+"}, CatalogueError, "black"),
        ({"agouti": {"black/+": "half"}}, CatalogueError, "2/3"),
        ({"agouti": {"black/+": 0.5}}, BadBelief, "sum to 1/2"),
        ({"agouti": "black/+", "black": "+/+"}, BadBelief, "named twice"),
    ],
)
def test_faults_of_plain_animals_name_what_is_allowed(genotypes, error, part):
    with pytest.raises(error) as caught:
        animal_from(genotypes, catalogue_from(MOUSE))
    assert part in str(caught.value)
