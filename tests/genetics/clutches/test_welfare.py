"""Harms a pairing can produce: one by one, of several genes together, and as numbers of hatchlings."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from genetics import NothingHatches, Sex, catalogue_from, cross
from genetics.clutches.queries.pattern import Pattern
from genetics.genes.harms import combined_harms_of
from tests.genetics.cases import pair
from tests.genetics.clutches.random_crosses import HARMS, Cross, animals_of, catalogues

SLOW = settings(max_examples=30, deadline=None)
FEMALES = "females that can't lay safely"


def harms(sire, dam):
    return [(note.harm, gene, share) for note, gene, share in pair(sire, dam).welfare]


def test_worst_first_with_shares_of_eggs_and_hatchlings():
    assert harms("spider black pastel", "spider cinnamon") == [
        ("not hatching", "spider", Fraction(1, 4)),
        ("kinked spine or misshapen head", "eight ball", Fraction(1, 4)),
        ("wobble", "spider", Fraction(2, 3)),
    ]


def test_only_daughters_of_desert_are_harmed():
    assert harms("desert", "normal") == [(FEMALES, "desert", Fraction(1, 4))]
    kind = pair("desert", "normal").harmed(FEMALES)
    assert (kind.per_hatchling, kind.male, kind.female) == (Fraction(1, 4), (0,), (Fraction(1, 4),))


def test_no_harm_is_not_listed():
    assert harms("pastel het clown", "enchi") == []
    assert harms("black pastel", "normal") == []
    assert pair("pastel", "normal").harmed("wobble").per_hatchling == 0


def test_possible_parents_count_by_their_chance():
    assert harms("66% het caramel albino", "het caramel albino") == [
        ("kinked spine or misshapen head", "caramel albino", Fraction(1, 6)),
        (FEMALES, "caramel albino", Fraction(1, 12)),  # daughters only
    ]


def test_two_wobble_genes_together_are_a_harm_of_their_own():
    clutch = pair("spider", "champagne")
    found = {(harm.note.harm, harm.name): harm for harm in clutch.harms}
    both = found[("wobble", "spider with champagne")]
    assert (both.together, both.per_egg, both.per_hatchling) == (True, Fraction(1, 4), Fraction(1, 4))
    assert found[("wobble", "spider")].per_hatchling == Fraction(1, 2)
    # Either gene wobbles: 3/4; of six hatchlings none is spared a wobble gene with (1/4)^6.
    kind = clutch.harmed("wobble")
    assert kind.per_hatchling == Fraction(3, 4)
    assert kind.at_least(hatchlings=6) == pytest.approx(1 - 0.25**6)
    assert clutch.kind(Pattern(without=("wobble",))).per_hatchling == Fraction(1, 4)


def test_harms_of_a_look_are_those_of_its_genes():
    clutch = pair("spider", "champagne")
    table = clutch.looks()
    place = [row.label for row in table.rows].index("spider champagne")
    found = clutch.harms_of_row(table, place)
    assert {chance for *_, chance in found} == {1}
    assert ("wobble", "spider with champagne") in {(note.harm, name) for note, name, _ in found}
    normal = [row.label for row in table.rows].index("normal")
    assert clutch.harms_of_row(table, normal) == ()


def test_harms_beneath_a_cover_are_still_told():
    clutch = pair("mojave het caramel albino", "lesser het caramel albino")
    table = clutch.looks()
    place = next(place for place, row in enumerate(table.rows) if row.label.startswith("mojave lesser"))
    found = {(note.harm, name): chance for note, name, chance in clutch.harms_of_row(table, place)}
    assert found[("kinked spine or misshapen head", "caramel albino")] == Fraction(1, 4)
    assert found[(FEMALES, "caramel albino")] == Fraction(1, 8)


@st.composite
def crosses_with_combined_harms(draw):
    """A pairing in a catalogue where genes of two loci also do a harm together."""
    plain = draw(catalogues())
    loci = list(plain.loci)
    assume(len(loci) > 1)
    tables = {
        "locus": [_row(locus) for locus in loci],
        "combined_harm": [
            {
                "id": "together",
                "genes": {one.genes[0].name: draw(st.integers(1, 2)), other.genes[-1].name: 1},
                "harm": draw(st.sampled_from(HARMS)),
                "what": "Invented.",
                "source": "custom",
            }
            for one, other in pairwise(loci)
        ],
    }
    catalogue = catalogue_from(tables)
    return Cross(catalogue, draw(animals_of(catalogue, Sex.MALE)), draw(animals_of(catalogue, Sex.FEMALE)))


def _row(locus):
    genes = [
        {
            "name": gene.name,
            "mode": gene.mode,
            "source": "custom",
            **({"hides": gene.hides} if gene.hides else {}),
            "health": [
                {
                    "id": note.id,
                    "applies_to": note.applies_to,
                    "what": note.what,
                    "harm": note.harm,
                    "source": "custom",
                    **({"lost_chance": str(note.lost_chance)} if note.lost_chance else {}),
                }
                for note in gene.health
            ],
        }
        for gene in locus.genes
    ]
    row = {"source": "custom", "name": locus.name, "gene": genes}
    return row | ({"sex_linked": True, "recombination": str(locus.recombination)} if locus.sex_linked else {})


def does(case, sex, pairs, harm):
    """Whether a genotype has the genes for a harm, in one locus or together."""
    looks = [locus.look(p) for locus, p in zip(case.loci, pairs, strict=True)]
    notes = [note.harm for look in looks for note, _ in look.notes]
    at = {locus.id: p for locus, p in zip(case.loci, pairs, strict=True)}
    notes += [note.harm for note, _ in combined_harms_of(at, case.catalogue)]
    return harm in notes and (harm != FEMALES or sex == "female")


@SLOW
@given(crosses_with_combined_harms(), st.sampled_from(HARMS))
def test_any_harm_counted_genotype_by_genotype(case, harm):
    try:
        clutch = cross(case.sire, case.dam, case.catalogue)
    except NothingHatches:
        assume(False)
    kind = clutch.harmed(harm)
    rows = case.shares(lambda sex, pairs: does(case, sex, pairs, harm))
    live = sum(weight for weight, *_, alive in rows if alive)
    assert kind.per_hatchling == sum(w * (m + f) for w, m, f, _ in rows) / live
    assert kind.per_egg == sum(w * (m + f) * alive for w, m, f, alive in rows)


@SLOW
@given(crosses_with_combined_harms())
def test_every_harm_by_its_genes_counted_genotype_by_genotype(case):
    try:
        clutch = cross(case.sire, case.dam, case.catalogue)
    except NothingHatches:
        assume(False)
    for harm in clutch.harms:

        def wanted(sex, pairs, harm=harm):
            at = {locus.id: p for locus, p in zip(case.loci, pairs, strict=True)}
            notes = {n for locus, p in zip(case.loci, pairs, strict=True) for n in locus.look(p).notes}
            notes |= set(combined_harms_of(at, case.catalogue))
            return (harm.note, harm.name) in notes and (harm.note.harm != FEMALES or sex == "female")

        rows = case.shares(wanted)
        live = sum(weight for weight, *_, alive in rows if alive)
        assert harm.per_hatchling == sum(w * (m + f) for w, m, f, _ in rows) / live
        if harm.note.harm != "not hatching":
            assert harm.per_egg == sum(w * (m + f) * alive for w, m, f, alive in rows)
        assert 0 < harm.share <= 1


@SLOW
@given(crosses_with_combined_harms())
def test_harms_of_the_rows_add_up_to_those_of_the_clutch(case):
    try:
        clutch = cross(case.sire, case.dam, case.catalogue)
    except NothingHatches:
        assume(False)
    table = clutch.looks(limit=None)
    total: dict = {}
    for place, row in enumerate(table.rows):
        for note, name, chance in clutch.harms_of_row(table, place):
            total[(note, name)] = total.get((note, name), 0) + row.per_hatchling * chance
    for harm in clutch.harms:
        assert total.get((harm.note, harm.name), 0) == harm.per_hatchling


def test_a_harm_of_females_that_two_genes_do_together():
    genes = catalogue_from(
        {
            "locus": [
                {"source": "custom", "gene": [{"name": name, "mode": "dominant", "source": "custom"}]}
                for name in ("one", "two")
            ],
            "combined_harm": [
                {
                    "id": "both",
                    "genes": {"one": 1, "two": 1},
                    "harm": FEMALES,
                    "what": "Invented.",
                    "source": "custom",
                }
            ],
        }
    )
    clutch = pair("one", "two", catalogue=genes)
    kind = clutch.harmed(FEMALES)
    assert (kind.male, kind.female) == ((0,), (Fraction(1, 8),))
    assert clutch.harms[0].per_hatchling == Fraction(1, 8)
