"""Looks said outright: what shows, what is carried, and how the pairs of one sight are told apart."""

from __future__ import annotations

import pytest

from genetics import CatalogueError, ImpossibleAnimal, NotationError, Trait, read_animal, write_animal
from genetics.genes.catalogue import catalogue_from
from genetics.genes.pair_looks import mode_of_looks

ALL = {"mute/mute": "", "mute/+": "", "dun/dun": "dark", "dun/+": "pale", "mute/dun": ""}


def rabbit():
    """Colour series of the rabbit, full colour over chinchilla over himalayan over albino; from memory."""
    series = ["chinchilla", "himalayan", "albino"]
    looks = {
        "chinchilla/himalayan": "chinchilla",
        "chinchilla/albino": "chinchilla",
        "himalayan/albino": "himalayan",
    }
    return catalogue_from(
        {"loci": {"colour": {"alleles": dict.fromkeys(series, "recessive"), "looks": looks}}}
    )


def test_a_series_of_alleles_each_over_the_next_classical():
    genes = rabbit()
    look = genes.locus("colour").look(("albino", "chinchilla"))
    assert look.shown == (Trait("chinchilla", "visual"),)
    assert look.carried == (Trait("albino", "het"),)
    for text in ("chinchilla het albino", "himalayan het albino", "het himalayan", "chinchilla", "albino"):
        assert write_animal(read_animal(text, genes), genes) == text
    for text in ("himalayan het chinchilla", "albino het himalayan", "het chinchilla het albino"):
        with pytest.raises(ImpossibleAnimal):
            read_animal(text, genes)


def test_blood_groups_two_codominant_alleles_over_a_recessive_one_classical():
    genes = catalogue_from(
        {
            "loci": {
                "blood": {
                    "alleles": {"a": "dominant", "b": "dominant"},
                    "looks": {"a/b": "ab"},
                    "wild": "o",
                }
            }
        }
    )
    looks = genes.locus("blood").looks
    assert {pair: look.appearance for pair, look in looks.items()} == {
        ("a", "a"): "a",
        ("a", "b"): "ab",
        ("a", "+"): "a",
        ("b", "b"): "b",
        ("b", "+"): "b",
        ("+", "+"): "",
    }
    assert read_animal("ab", genes).belief[0].table == (((("a", "b"),), 1),)
    assert write_animal(read_animal("o", genes), genes) == "normal"
    with pytest.raises(ImpossibleAnimal, match="contradicts"):
        read_animal("o a", genes)
    for text in ("super o", "het o", "50% o", "visual"):
        with pytest.raises(NotationError):
            read_animal(text, genes)


def test_a_silent_allele_is_carried_in_one_and_in_two_copies():
    genes = catalogue_from(
        {"loci": {"coat": {"alleles": ["mute", "dun"], "looks": {**ALL, "mute/dun": "sorrel"}}}}
    )
    assert genes.gene("mute").mode == "recessive"
    assert write_animal(read_animal("homozygous mute", genes), genes) == "homozygous mute"
    assert read_animal("het mute", genes) != read_animal("homozygous mute", genes)
    assert read_animal("sorrel", genes).traits(genes) == (Trait("sorrel", "visual"),)


def test_two_silent_alleles_together_are_two_hets():
    genes = catalogue_from({"loci": {"coat": {"alleles": ["mute", "dun"], "looks": ALL}}})
    assert write_animal(read_animal("het mute het dun", genes), genes) == "het mute het dun"
    assert genes.gene("dun").mode == "incomplete dominant"
    assert read_animal("pale", genes) == read_animal("dun", genes)
    assert read_animal("dark", genes) == read_animal("super dun", genes)


def test_one_sight_of_several_pairs_is_labelled_by_its_genes():
    looks = {"one/one": "white", "one/two": "white", "two/two": "white", "one/+": "", "two/+": ""}
    genes = catalogue_from({"loci": {"coat": {"alleles": ["one", "two"], "looks": looks}}})
    table = genes.locus("coat").looks
    assert {look.appearance for pair, look in table.items() if "+" not in pair} == {"white"}
    labels = [table[pair].label for pair in (("one", "one"), ("one", "two"), ("two", "two"))]
    assert labels == ["one", "one two", "two"]
    with pytest.raises(NotationError, match="not a gene"):
        read_animal("white", genes)


def test_an_overdominant_pair_shows_in_one_copy_only():
    looks = {"curl/+": "curly", "curl/curl": ""}
    genes = catalogue_from({"loci": {"coat": {"alleles": ["curl"], "looks": looks}}})
    assert write_animal(read_animal("curly", genes), genes) == "curly"
    assert write_animal(read_animal("homozygous curl", genes), genes) == "homozygous curl"


@pytest.mark.parametrize(
    ("one", "two", "mode"),
    [
        ("", "x", "recessive"),
        ("", "", "recessive"),
        ("x", "x", "dominant"),
        ("x", "y", "incomplete dominant"),
    ],
)
def test_the_mode_that_looks_amount_to(one, two, mode):
    assert mode_of_looks(one, two) == mode


@pytest.mark.parametrize(
    ("looks", "modes", "part"),
    [
        ({"a/+": "x"}, {"a": None}, "a/+ and of a/a"),
        ({"a/+": "x", "a/a": "y", "b/b": "z", "b/+": ""}, {"a": None, "b": None}, "no look of a/b"),
        ({"a/+": "x"}, {"a": "recessive"}, "incomplete dominant"),
        ({"a/a": "a", "a/+": "x"}, {"a": None}, "another name"),
        ({"a/b": "x", "b/a": "x"}, {"a": "recessive", "b": "recessive"}, "once"),
        ({"a/c": "x"}, {"a": "recessive"}, "two of a, +"),
        ({"+/+": "x"}, {"a": "recessive"}, "one a mutant"),
    ],
)
def test_tables_that_are_not_complete_or_contradict_are_refused(looks, modes, part):
    with pytest.raises(CatalogueError) as caught:
        catalogue_from({"loci": {"coat": {"alleles": modes, "looks": looks}}})
    assert part in str(caught.value)


def test_the_same_pair_twice_in_whole_tables_is_refused():
    look = {"pair": ["a", "a"], "look": "x", "source": "custom"}
    gene = {"name": "a", "mode": "recessive", "source": "custom"}
    with pytest.raises(CatalogueError, match="each allele pair once"):
        catalogue_from({"locus": [{"source": "custom", "gene": [gene], "look": [look, look]}]})
