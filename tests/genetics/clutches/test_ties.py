"""Genes that hide the pattern or the colour alone, and what then can't be told apart."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from genetics import Sex, cross, load_catalogue, read_animal
from genetics.clutches import ties
from genetics.clutches.queries.pattern import Pattern
from genetics.genes.catalogue import catalogue_from
from genetics.genes.hiding import sight
from tests.genetics.cases import by_label, pair
from tests.oracles import square


def gene(name, *, mode="recessive", **more):
    return {"source": "custom", "gene": [{"name": name, "mode": mode, "source": "custom", **more}]}


GENES = catalogue_from(
    {
        "locus": [
            gene("plain", hides="pattern", acts_on="pattern"),
            gene("stripe", acts_on="pattern"),
            gene("pale", acts_on="colour"),
            gene("dark", mode="incomplete dominant", hides="colour", acts_on="colour"),
        ]
    }
)


def test_a_hidden_pattern_shares_one_row_and_counts_as_a_possible_visual():
    clutch = pair("plain het stripe", "plain het stripe", catalogue=GENES)
    (row,) = clutch.looks().rows
    chances = {trait.key: trait.chance for trait in row.traits}
    # Three in four carry stripe, hidden visuals included; not the 2/3 of a sibling that shows none.
    assert chances == {"plain": 1.0, "stripe": 0.25, "het stripe": 0.5}
    assert set(row.look_alikes) == {"plain", "plain stripe"}
    assert clutch.kind(Pattern(shows=("stripe",))).per_hatchling == 0
    assert clutch.kind(Pattern(carries=("stripe",))).per_hatchling == Fraction(3, 4)
    assert clutch.hiding_left_out == ()


def test_a_pattern_hides_no_colour():
    table = by_label(pair("plain pale", "plain het pale", catalogue=GENES).looks())
    assert table == {"plain pale": Fraction(1, 2), "plain het pale": Fraction(1, 2)}


def test_what_can_not_hide_in_this_clutch_ties_nothing():
    # One copy of plain in one parent alone: no hatchling shows it.
    clutch = pair("het plain het stripe", "het stripe", catalogue=GENES)
    assert [len(unit.loci) for unit in clutch.units] == [1, 1]
    both = pair("het plain het stripe", "het plain het stripe", catalogue=GENES)
    assert [len(unit.loci) for unit in both.units] == [2]


@pytest.mark.parametrize(
    "parents",
    [
        ("het plain het stripe", "plain het stripe"),
        ("het pale dark het stripe", "het pale dark stripe"),
        ("plain het stripe het pale dark", "het plain stripe het pale dark"),
    ],
)
def test_looks_are_those_the_eye_can_tell_apart(parents):
    clutch = pair(*parents, catalogue=GENES)
    names = [locus.id for locus in GENES.loci]
    at = [{f.loci[0]: f.table[0][0][0] for f in animal.belief} for animal in (clutch.sire, clutch.dam)]
    pairs = [[table.get(name, ("+", "+")) for name in names] for table in at]
    seen: dict = {}
    for young, chance in square(*pairs).items():
        key = sight(dict(zip(names, young, strict=True)), GENES)
        seen[key] = seen.get(key, Fraction(0)) + chance
    assert sorted(row.per_hatchling for row in clutch.looks(limit=None).rows) == sorted(seen.values())


def test_loci_beyond_the_limit_are_listed_apart_and_named(monkeypatch):
    monkeypatch.setattr(ties, "MOST_TOGETHER", 5)
    clutch = pair("het plain het stripe", "het plain het stripe", catalogue=GENES)
    assert [len(unit.loci) for unit in clutch.units] == [1, 1]
    assert clutch.hiding_left_out == (("plain", "stripe"),)


def test_many_genes_that_hide_each_other_stay_quick():
    genes = load_catalogue()
    hiders, acting = ties._hiders(genes)
    loci = [locus for locus in genes.loci if locus.id in hiders | acting and not locus.sex_linked][:15]
    words = " ".join(
        ("het " if locus.genes[0].mode == "recessive" else "") + locus.genes[0].name for locus in loci
    )
    sire, dam = (read_animal(words, genes, sex=sex) for sex in (Sex.MALE, Sex.FEMALE))
    clutch = cross(sire, dam, genes)
    assert sum(len(unit.loci) for unit in clutch.units) == len(loci)
    assert clutch.hiding_left_out
    table = clutch.looks(limit=20)
    assert sum(row.per_hatchling for row in table.rows) + table.rest_share == 1
    for one, other in product(clutch.units, repeat=2):
        assert one is other or not {locus.id for locus in one.loci} & {locus.id for locus in other.loci}
