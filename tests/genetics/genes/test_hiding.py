"""Which genes can't be seen under others; the classical ratios of hiding, by counting genotypes."""

from __future__ import annotations

from collections import Counter
from itertools import product

import pytest

from genetics.genes.catalogue import catalogue_from
from genetics.genes.hiding import hidden_loci, sight


def counts(catalogue, loci):
    """Sights of the 16 equal combinations of two gametes each of a double hybrid with itself."""
    found = Counter()
    alleles = [(catalogue.locus(locus).genes[0].name, "+") for locus in loci]
    for sire, dam in product(product(*alleles), repeat=2):
        pairs = {
            locus: catalogue.locus(locus).ordered(*pair)
            for locus, pair in zip(loci, zip(sire, dam, strict=True), strict=True)
        }
        found[sight(pairs, catalogue)] += 1
    return sorted(found.values(), reverse=True)


def two(first, second):
    loci = {"one": {"alleles": {"first": first}}, "two": {"alleles": {"second": second}}}
    return catalogue_from({"loci": loci})


RECESSIVE = {"mode": "recessive"}


@pytest.mark.parametrize(
    ("first", "second", "ratio"),
    [
        (RECESSIVE, RECESSIVE, [9, 3, 3, 1]),
        (RECESSIVE | {"hides": "all"}, RECESSIVE, [9, 4, 3]),
        (RECESSIVE | {"hides": "colour"}, RECESSIVE | {"acts_on": "colour"}, [9, 4, 3]),
        (RECESSIVE | {"hides": "colour"}, RECESSIVE | {"acts_on": "pattern"}, [9, 3, 3, 1]),
        ({"mode": "dominant", "hides": "all"}, RECESSIVE, [12, 3, 1]),
    ],
)
def test_ratios_of_hiding_are_the_classical_ones(first, second, ratio):
    assert counts(two(first, second), ("one", "two")) == ratio


def test_two_recessives_that_look_alike_are_9_to_7_bateson():
    loci = {name: {"alleles": {name: "recessive"}} for name in ("pale", "wan")}
    catalogue = catalogue_from({"loci": loci, "alike": [["pale", "wan"]]})
    assert counts(catalogue, ("pale", "wan")) == [9, 7]


def test_what_is_hidden_in_ball_pythons_from_memory(catalogue):
    white = {"blue-eyed leucistic complex": ("mojave", "lesser"), "pinstripe": ("pinstripe", "+")}
    assert hidden_loci(white, catalogue) == ("pinstripe",)
    ivory = {
        "yellow belly complex": ("yellow belly",) * 2,
        "pinstripe": ("pinstripe", "+"),
        "hypo": ("hypo",) * 2,
    }
    assert hidden_loci(ivory, catalogue) == ("pinstripe",)
    assert sight(ivory, catalogue) == ("super yellow belly", "hypo")
    both_white = white | {"fire complex": ("fire", "fire"), "clown complex": ("clown", "+")}
    assert hidden_loci(both_white, catalogue) == ("pinstripe",)
    assert hidden_loci({}, catalogue) == ()
