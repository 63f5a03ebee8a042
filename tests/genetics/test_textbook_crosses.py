"""Textbook crosses posed as plain data: published counts and classical ratios, and a slow second way.

Counts and ratios with their sources:

- Mendel 1866 (Bateson's translation), F2: 5474 round : 1850 wrinkled; 6022 yellow : 2001 green;
  315 : 101 : 108 : 32 of 556 (counts seen).
- Lethal homozygote, het x het gives 2/3 het, 1/3 wild type among survivors and 1/4 lost: Cuenot 1905;
  Castle & Little 1910 (second-hand).
- Two non-allelic recessives that look alike, 9 : 7: Bateson (seen).
- A colour gene on X and Y that changes between them with r in the sire: Mallery & Carrillo 2016 (abstract);
  gametes derived.
- Everything else: classical, from memory.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics import WILD, Catalogue, Sex, cross, load_catalogue
from genetics.genes.catalogue import catalogue_from
from genetics.genes.pair_looks import pairs_of
from genetics.genes.plain_animals import animal_from

HALF = Fraction(1, 2)


def young(catalogue: Catalogue, sire: dict, dam: dict):
    """Table of all looks of two animals given by their allele pairs."""
    male = animal_from(sire, catalogue, sex=Sex.MALE)
    female = animal_from(dam, catalogue, sex=Sex.FEMALE)
    return cross(male, female, catalogue).looks(limit=None)


def shares(table) -> dict[frozenset[str], Fraction]:
    """Share per hatchling by what shows."""
    found: Counter = Counter()
    for row in table.rows:
        found[frozenset(trait.key for trait in row.traits if trait.form != "het")] += row.per_hatchling
    return dict(found)


DIHYBRID = {
    "loci": {
        "seed shape": {"alleles": {"wrinkled": "recessive"}, "wild": "round"},
        "seed colour": {"alleles": {"green": "recessive"}, "wild": "yellow"},
    }
}


@pytest.mark.parametrize("genes", [catalogue_from(DIHYBRID), load_catalogue("garden pea")], ids=repr)
def test_mendels_double_hybrid_fits_his_counts_of_1866(genes):
    both = {"wrinkled": "wrinkled/round", "green": "green/+"}
    found = shares(young(genes, both, both))
    order = [frozenset(), frozenset({"wrinkled"}), frozenset({"green"}), frozenset({"wrinkled", "green"})]
    assert [found[kind] * 16 for kind in order] == [9, 3, 3, 1]
    counts = [315, 101, 108, 32]
    test = stats.chisquare(counts, [float(found[kind]) * 556 for kind in order])
    assert test.statistic == pytest.approx(0.4700, abs=5e-5)


@pytest.mark.parametrize(
    ("gene", "counts", "chi2"), [("wrinkled", (5474, 1850), 0.2629), ("green", (6022, 2001), 0.0150)]
)
def test_mendels_single_hybrids_fit_his_counts_of_1866(gene, counts, chi2):
    peas = load_catalogue("garden pea")
    found = shares(young(peas, {gene: f"{gene}/+"}, {gene: f"{gene}/+"}))
    expected = [float(found[frozenset()]), float(found[frozenset({gene})])]
    test = stats.chisquare(counts, [sum(counts) * part for part in expected])
    assert test.statistic == pytest.approx(chi2, abs=5e-5)


POSED_MOUSE = {
    "loci": {"coat": {"alleles": {"yellow": "dominant"}, "hatch": {"yellow/yellow": 0}}},
}


@pytest.mark.parametrize(
    ("genes", "name"),
    [(catalogue_from(POSED_MOUSE), "yellow"), (load_catalogue("house mouse"), "lethal yellow")],
    ids=["posed", "shipped"],
)
def test_yellow_mice_are_two_to_one_and_a_quarter_is_lost_castle_and_little_1910(genes, name):
    table = young(genes, {name: f"{name}/+"}, {name: f"{name}/+"})
    assert shares(table) == {frozenset({name}): Fraction(2, 3), frozenset(): Fraction(1, 3)}
    assert sum(row.per_egg for row in table.rows) == Fraction(3, 4)


def test_two_recessives_that_look_alike_are_9_to_7_bateson():
    loci = {name: {"alleles": {name: "recessive"}} for name in ("pale", "wan")}
    genes = catalogue_from({"loci": loci, "alike": [["pale", "wan"]]})
    both = {"pale": "pale/+", "wan": "wan/+"}
    assert sorted(row.per_hatchling * 16 for row in young(genes, both, both).rows) == [7, 9]


def test_a_recessive_that_hides_all_is_9_to_3_to_4_classical():
    loci = {
        "albino": {"alleles": {"albino": {"mode": "recessive", "hides": "all"}}},
        "brown": {"alleles": {"brown": "recessive"}},
    }
    genes = catalogue_from({"loci": loci})
    both = {"albino": "albino/+", "brown": "brown/+"}
    table = young(genes, both, both)
    white = sum(row.per_hatchling for row in table.rows if "albino" in row.label.split()[0])
    assert white * 16 == 4
    brown = [row.per_hatchling for row in table.rows if row.label.startswith("brown")]
    assert [share * 16 for share in brown] == [3]


def test_three_codominant_alleles_give_four_looks_of_a_quarter_classical():
    modes = dict.fromkeys(("fast", "slow", "slower"), "incomplete dominant")
    looks = {"fast/slow": "fast and slow"}
    genes = catalogue_from({"loci": {"band": {"alleles": modes, "looks": looks}}})
    table = young(genes, {"band": "fast/slow"}, {"band": "fast/slower"})
    assert {row.label: row.per_hatchling for row in table.rows} == dict.fromkeys(
        ("super fast", "fast slower", "fast and slow", "slow slower"), Fraction(1, 4)
    )


def test_rabbit_series_chinchilla_over_albino_gives_three_to_one_classical():
    series = {
        "alleles": dict.fromkeys(("chinchilla", "albino"), "recessive"),
        "looks": {"chinchilla/albino": "chinchilla"},
    }
    genes = catalogue_from({"loci": {"colour": series}})
    found = shares(young(genes, {"colour": "chinchilla/albino"}, {"colour": "chinchilla/albino"}))
    assert found == {frozenset({"chinchilla"}): Fraction(3, 4), frozenset({"albino"}): Fraction(1, 4)}


@pytest.mark.parametrize("r", ["0", "1/20", "0.3", "1/2"])
def test_a_gene_on_x_and_y_with_recombination_in_the_sire_mallery_and_carrillo_2016(r):
    coat = {"alleles": {"glow": "incomplete dominant"}, "sex_linked": True, "r": r}
    genes = catalogue_from({"loci": {"coat": coat}})
    moved = Fraction(r)
    on_y = {row.label: row for row in young(genes, {"coat": "+/glow"}, {"coat": "+/+"}).rows}
    assert (on_y["glow"].male, on_y["glow"].female) == ((1 - moved) / 2, moved / 2)
    on_x = {row.label: row for row in young(genes, {"coat": "glow/+"}, {"coat": "+/+"}).rows}
    assert (on_x["glow"].male, on_x["glow"].female) == (moved / 2, (1 - moved) / 2)


def test_a_gene_on_the_x_alone_criss_cross_classical():
    """The Y bears an allele "none" that adds nothing and never moves: white-eyed dam, red-eyed sire."""
    eyes = {
        "alleles": {"white": "recessive", "none": "recessive"},
        "looks": {"white/none": "white", "none/none": ""},
        "sex_linked": True,
        "r": 0,
    }
    genes = catalogue_from({"loci": {"eyes": eyes}})
    table = young(genes, {"eyes": "+/none"}, {"eyes": "white/white"})
    seen = {frozenset(t.key for t in row.traits if t.form != "het"): row for row in table.rows}
    assert (seen[frozenset({"white"})].male, seen[frozenset({"white"})].female) == (HALF, 0)
    assert (seen[frozenset()].male, seen[frozenset()].female) == (0, HALF)


@st.composite
def posed(draw: st.DrawFn):
    """Loci of any looks, losses and linkage, and two parents."""
    loci, sire, dam = {}, {}, {}
    for name in ("oak", "elm", "ash")[: draw(st.integers(1, 3))]:
        alleles = [f"{name} {letter}" for letter in "ab"[: draw(st.integers(1, 2))]]
        pairs = [pair for pair in pairs_of(alleles) if pair != (WILD, WILD)]
        sights = ("", f"{name} red", f"{name} blue")
        locus = {
            "alleles": alleles,
            "looks": {"/".join(pair): draw(st.sampled_from(sights)) for pair in pairs},
            "hatch": {"/".join(pairs[0]): draw(st.sampled_from(("1", "1/2", "0")))},
        }
        if draw(st.booleans()):
            locus |= {"sex_linked": True, "r": draw(st.sampled_from(("0", "1/5", "1/2")))}
        loci[name] = locus
        for parent in (sire, dam):
            parent[name] = tuple(draw(st.sampled_from([*alleles, WILD])) for _ in range(2))
    return loci, sire, dam


def one_locus(name, locus, sire, dam):
    """Chance of each sex and allele pair of one locus at a time, gamete by gamete."""
    r = Fraction(locus.get("r", "1/2"))
    found: Counter = Counter()
    for sex, place, mother in product(Sex.__members__.values(), (0, 1), (0, 1)):
        if sex is Sex.UNSEXED:
            continue
        own = 0 if sex is Sex.FEMALE else 1  # the daughter's father gives his X, the son's his Y
        chance = HALF * HALF * (1 - r if place == own else r)
        pair = frozenset(Counter((sire[name][place], dam[name][mother])).items())
        found[sex, pair] += chance
    return found


@settings(max_examples=60, deadline=None)
@given(posed())
def test_any_posed_cross_is_what_gametes_one_by_one_give(made):
    loci, sire, dam = made
    genes = catalogue_from({"loci": loci})
    text = [{name: "/".join(pair) for name, pair in parent.items()} for parent in (sire, dam)]
    seen: Counter = Counter()
    tables = [one_locus(name, locus, sire, dam) for name, locus in loci.items()]
    for choice in product(*(table.items() for table in tables)):
        if len({sex for (sex, _), _ in choice}) > 1:
            continue
        share = HALF
        sights = []
        for locus, ((_, pair), chance) in zip(loci.values(), choice, strict=True):
            share *= 2 * chance
            told = {frozenset(Counter(key.split("/")).items()): key for key in locus["looks"]}
            key = told.get(pair)
            sights.append(locus["looks"][key] if key else "")
            share *= Fraction(locus["hatch"].get(key, 1)) if key else 1
        seen[choice[0][0][0], frozenset(sights) - {""}] += share
    alive = sum(seen.values())
    if not alive:
        return
    fast: Counter = Counter()
    clutch = cross(
        animal_from(text[0], genes, sex=Sex.MALE), animal_from(text[1], genes, sex=Sex.FEMALE), genes
    )
    assert clutch.lost_share == 1 - alive
    for unit_choice in product(*([*zip(unit.classes, unit.hatch, strict=True)] for unit in clutch.units)):
        for sex, place in ((Sex.MALE, 0), (Sex.FEMALE, 1)):
            share = Fraction(1)
            shown = set()
            linked = False
            for unit, (kind, hatch) in zip(clutch.units, unit_choice, strict=True):
                share *= hatch[place] if unit.sexed else hatch[0]
                linked |= unit.sexed
                _, pairs, _ = kind.young[0]
                shown |= {locus.look(pair).appearance for locus, pair in zip(unit.loci, pairs, strict=True)}
            fast[sex, frozenset(shown) - {""}] += share if linked else share * HALF
    assert {key: share for key, share in fast.items() if share} == {
        key: share / alive for key, share in seen.items() if share
    }
