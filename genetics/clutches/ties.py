"""Which loci of a clutch must be looked at together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import product
from math import prod

from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal
from genetics.genes.loci import WILD, Pair, PairLook
from genetics.genes.traits import Sex

MOST_TOGETHER = 1024
"""Genotypes of both parents and the young up to which loci are kept together because one hides another."""

PARTS = frozenset({"pattern", "colour"})
Hiding = tuple[str, str]
"""Id of a locus that hides, and of one that it hides."""


def linked_groups(animals: Sequence[Animal], catalogue: Catalogue) -> list[tuple[str, ...]]:
    """Group the loci that must be looked at together, in the catalogue's order.

    Loci that are jointly uncertain in an animal, loci with look-alikes of each other, and all sex-linked
    loci always are; loci of which one can hide the pattern or colour that the other acts on are while
    the genotypes to be kept together are not more than `MOST_TOGETHER`.

    Parameters
    ----------
    animals
        Males and females that are paired with each other.
    catalogue
        The genes.
    """
    order = catalogue.locus_order
    present = sorted(
        {locus for animal in animals for factor in animal.belief for locus in factor.loci},
        key=order.__getitem__,
    )
    group_of = {locus: {locus} for locus in present}
    sexed = [locus for locus in present if catalogue.locus(locus).sex_linked]
    ties: list[Iterable[str]] = [factor.loci for animal in animals for factor in animal.belief]
    for tie in (*ties, *catalogue.shared_looks, sexed):
        _merge(group_of, [locus for locus in tie if locus in group_of])
    for hiding in possible_hiding(animals, catalogue):
        together = group_of[hiding[0]] | group_of[hiding[1]]
        if _genotypes(together, animals) <= MOST_TOGETHER:
            _merge(group_of, hiding)
    distinct = {id(group): group for group in group_of.values()}
    groups = [tuple(sorted(group, key=order.__getitem__)) for group in distinct.values()]
    return sorted(groups, key=lambda group: order[group[0]])


def _merge(group_of: dict[str, set[str]], together: Sequence[str]) -> None:
    """Put the groups of some loci together."""
    if len(together) > 1:
        merged = set().union(*(group_of[locus] for locus in together))
        for locus in merged:
            group_of[locus] = merged


def possible_hiding(animals: Sequence[Animal], catalogue: Catalogue) -> Iterator[Hiding]:
    """Pairs of loci of which the first hides the second in some of the young that may hatch.

    What hides all stands apart: it covers a hatchling as a whole.
    """
    hiders, acting = _hiders(catalogue)
    present = {locus: None for animal in animals for factor in animal.belief for locus in factor.loci}
    hidden = [locus for locus in present if locus in acting]
    for locus in sorted(present, key=catalogue.locus_order.__getitem__):
        if locus not in hiders or not hidden:
            continue
        what = {look.hides for look in _looks(locus, animals, catalogue)} & PARTS
        for other in sorted(hidden, key=catalogue.locus_order.__getitem__) if what else ():
            acts = {look.acts_on for look in _looks(other, animals, catalogue) if look.appearance}
            if other != locus and acts & what:
                yield locus, other


@lru_cache(maxsize=64)
def _hiders(catalogue: Catalogue) -> tuple[frozenset[str], frozenset[str]]:
    """Loci that can hide the pattern or the colour, and loci that act on one of them alone."""
    hiders, acting = set(), set()
    for locus in catalogue.loci:
        if any(look.hides in PARTS for look in locus.looks.values()):
            hiders.add(locus.id)
        if any(look.acts_on in PARTS for look in locus.looks.values()):
            acting.add(locus.id)
    return frozenset(hiders), frozenset(acting)


def _looks(name: str, animals: Sequence[Animal], catalogue: Catalogue) -> list[PairLook]:
    """Looks that young of any of these pairs may have at a locus."""
    locus = catalogue.locus(name)
    by_sex = _pairs_at(name, animals)
    males, females = ({allele for pair in by_sex[sex] for allele in pair} for sex in (Sex.MALE, Sex.FEMALE))
    return [locus.look(pair) for pair in product(sorted(males), sorted(females))]


def _pairs_at(name: str, animals: Sequence[Animal]) -> Mapping[Sex, set[Pair]]:
    """Allele pairs that the males and the females may have at a locus."""
    found: dict[Sex, set[Pair]] = {Sex.MALE: set(), Sex.FEMALE: set()}
    for animal in animals:
        here = [factor for factor in animal.belief if name in factor.loci]
        pairs = {pairs[factor.loci.index(name)] for factor in here for pairs, _ in factor.table}
        found[animal.sex] |= pairs or {(WILD, WILD)}
    return found


def _genotypes(group: Iterable[str], animals: Sequence[Animal]) -> int:
    """Genotypes of both parents and of the young to be kept apart in a group of loci."""
    counts = []
    for name in group:
        by_sex = _pairs_at(name, animals)
        sides = [{allele for pair in by_sex[sex] for allele in pair} for sex in by_sex]
        young = {frozenset(pair) for pair in product(*sides)}
        counts.append(prod(len(pairs) for pairs in by_sex.values()) * len(young))
    return prod(counts)
