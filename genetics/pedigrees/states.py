"""Which allele pairs an animal may have at a locus, and how they pass to its young that hatch."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from itertools import combinations_with_replacement, product

import numpy as np

from genetics.clutches.gametes import autosomal_young
from genetics.clutches.sex_linkage import sex_linked_young
from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.traits import Sex
from genetics.pedigrees.elimination import Array
from genetics.pedigrees.pedigree import TestResult

States = tuple[Pair, ...]
NORMAL: Pair = (WILD, WILD)
ONLY_NORMAL: States = (NORMAL,)


@lru_cache(maxsize=4096)
def all_pairs(locus: Locus, alleles: frozenset[str], phased: bool) -> States:  # noqa: FBT001
    """Every pair of some alleles, sorted.

    Parameters
    ----------
    locus
        The locus.
    alleles
        Alleles that may occur, the wild type among them.
    phased
        True for a male at a sex-linked locus: pairs are (on the X, on the Y).
    """
    if phased:
        return tuple(sorted((one, other) for one in alleles for other in alleles))
    return tuple(sorted(locus.ordered(*pair) for pair in combinations_with_replacement(sorted(alleles), 2)))


@lru_cache(maxsize=4096)
def alleles_of_look(locus: Locus, appearance: str) -> frozenset[str]:
    """Alleles of all pairs that have an appearance."""
    return frozenset(a for pair, look in locus.looks.items() if look.appearance == appearance for a in pair)


def phased(locus: Locus, sex: Sex) -> bool:
    """Whether it is told apart which chromosome bears which allele."""
    return locus.sex_linked and sex is Sex.MALE


def with_look(locus: Locus, states: Iterable[Pair], appearances: frozenset[str]) -> States:
    """Those of some pairs that have one of the appearances."""
    return tuple(pair for pair in states if locus.look(pair).appearance in appearances)


Young = dict[tuple[Sex | None, Pair], float]


@lru_cache(maxsize=65536)
def hatched_young(locus: Locus, sire: Pair, dam: Pair, recombination: Fraction | None) -> Young:
    """Chance of each kind among the young that hatch; sex None where the sexes are alike.

    Parameters
    ----------
    locus
        The locus.
    sire, dam
        Allele pairs of the parents.
    recombination
        Recombination fraction in the sire at a sex-linked locus, else None.

    Returns
    -------
    dict
        Sums to 1; empty if no egg of these parents can hatch. Eggs that are lost are left out: a
        lost egg that nobody recorded is no evidence about its parents.
    """
    young: dict[tuple[Sex | None, Pair], Fraction] = {}
    if recombination is None:
        for pair, chance in autosomal_young(locus, sire, dam):
            young[(None, pair)] = chance * locus.look(pair).survival
    else:
        for sex, pair, chance in sex_linked_young(locus, sire, dam, recombination):
            young[(sex, pair)] = chance * locus.look(pair).survival
    total = sum(young.values(), Fraction(0))
    return {kind: float(chance / total) for kind, chance in young.items() if chance}


def _kinds(
    locus: Locus, sire: Pair, dam: Pair, recombination: Fraction | None, sex: Sex
) -> Iterable[tuple[Pair, float]]:
    """Pairs of the young of one sex with their chance; each sex counts twice, so that it sums to 1."""
    for (who, pair), chance in hatched_young(locus, sire, dam, recombination).items():
        if who is None:
            yield pair, chance
        elif sex is Sex.UNSEXED:
            yield locus.ordered(*pair), chance
        elif who is sex:
            yield pair, 2.0 * chance


@lru_cache(maxsize=65536)
def reachable(
    locus: Locus, sires: States, dams: States, recombination: Fraction | None, sex: Sex
) -> frozenset[Pair]:
    """Pairs that young of one sex may have from parents with some pairs."""
    return frozenset(
        pair for sire, dam in product(sires, dams) for pair, _ in _kinds(locus, sire, dam, recombination, sex)
    )


@lru_cache(maxsize=65536)
def states_of_young(
    locus: Locus,
    sires: States,
    dams: States,
    recombination: Fraction | None,
    sex: Sex,
    seen: frozenset[str] | None,
) -> States:
    """Pairs that young of one sex may have from parents with some pairs, by what was seen of it; sorted."""
    inherited = sorted(reachable(locus, sires, dams, recombination, sex))
    return tuple(inherited) if seen is None else with_look(locus, inherited, seen)


@lru_cache(maxsize=65536)
def passing(
    locus: Locus, sires: States, dams: States, young: States, recombination: Fraction | None, sex: Sex
) -> Array:
    """Chance of each pair of a hatched young, shape (sires, dams, young).

    Parameters
    ----------
    locus
        The locus.
    sires, dams, young
        Pairs each may have; the young's may be fewer than what its parents can give.
    recombination
        Recombination fraction in the sire at a sex-linked locus, else None.
    sex
        Sex of the young; at a sex-linked locus its chance counts too, against one half.
    """
    table = np.zeros((len(sires), len(dams), len(young)))
    place = {pair: index for index, pair in enumerate(young)}
    for row, sire in enumerate(sires):
        for column, dam in enumerate(dams):
            for pair, chance in _kinds(locus, sire, dam, recombination, sex):
                if pair in place:
                    table[row, column, place[pair]] += chance
    table.setflags(write=False)
    return table


def passing_by_sex(
    locus: Locus, sires: States, dams: States, young: States, recombination: Fraction | None
) -> Array:
    """Chance of each pair, shape (sires, dams, young, 2), if the young is male and if it is female."""
    tables = []
    for sex in (Sex.MALE, Sex.FEMALE):
        table = np.zeros((len(sires), len(dams), len(young)))
        for (row, sire), (column, dam) in product(enumerate(sires), enumerate(dams)):
            for pair, chance in _kinds(locus, sire, dam, recombination, sex):
                unphased = locus.ordered(*pair)
                if unphased in young:
                    table[row, column, young.index(unphased)] += chance
        tables.append(table)
    return np.stack(tables, axis=-1)


def likelihood_of_test(test: TestResult, states: States) -> Array:
    """Chance of a test's answer for each pair, shape (states,).

    A test that counts and errs gives each of the two wrong counts with the same chance.
    """
    counts = {"no copy": 0, "one copy": 1, "two copies": 2}
    sensitivity, specificity = float(test.sensitivity), float(test.specificity)
    found = []
    for pair in states:
        copies = pair.count(test.gene)
        right = specificity if copies == 0 else sensitivity
        if test.result in counts:
            found.append(right if copies == counts[test.result] else (1.0 - right) / 2.0)
        else:
            agrees = (test.result == "carries") == (copies > 0)
            found.append(right if agrees else 1.0 - right)
    return np.array(found)
