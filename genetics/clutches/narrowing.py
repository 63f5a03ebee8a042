"""A clutch looked at through some of its loci only."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from fractions import Fraction

from genetics.clutches.cases import Case, Eggs
from genetics.clutches.units import Unit, unit_from_cases
from genetics.genes.catalogue import Catalogue, UnknownGene


def loci_named(names: Collection[str], catalogue: Catalogue) -> frozenset[str]:
    """Ids of the loci that are named by themselves or by one of their genes.

    Raises
    ------
    UnknownGene
        If a name is neither; it carries the nearest genes.
    """
    found = set()
    for name in names:
        try:
            found.add(catalogue.locus_of(name).id)
        except UnknownGene:
            if name not in catalogue.locus_order:
                raise
            found.add(name)
    return frozenset(found)


def narrowed_units(units: Sequence[Unit], loci: Collection[str]) -> tuple[Unit, ...]:
    """Units with the other loci summed out.

    What is lost at the other loci stays lost, and a unit that knows the sexes stays if it makes them
    differ; a unit of which nothing is left to tell is dropped.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    loci
        Ids of the loci to be kept.
    """
    narrow = []
    for unit in units:
        if all(locus.id in loci for locus in unit.loci):
            narrow.append(unit)
            continue
        part = _narrowed(unit, loci)
        halves = all(share == Fraction(1, 2) for row in part.hatch for share in row)
        if part.loci or part.lost or (part.sexed and not halves):
            narrow.append(part)
    return tuple(narrow)


def _narrowed(unit: Unit, loci: Collection[str]) -> Unit:
    """Unit with only some of its loci, possibly none."""
    kept = [place for place, locus in enumerate(unit.loci) if locus.id in loci]
    cases = tuple(
        replace(case, eggs=_summed(case.eggs, kept), hatched=_summed(case.hatched, kept))
        for case in unit.cases
    )
    return unit_from_cases(
        tuple(unit.loci[place] for place in kept), _merged(cases), sexed=unit.sexed, alike=unit.alike
    )


def _summed(table: Eggs, kept: Sequence[int]) -> Eggs:
    """Table over some of the loci."""
    summed: Eggs = {}
    for (sex, pairs), chance in table.items():
        key = (sex, tuple(pairs[place] for place in kept))
        summed[key] = summed.get(key, Fraction(0)) + chance
    return summed


def _merged(cases: Sequence[Case]) -> tuple[Case, ...]:
    """Genotypes of the parents, those that now give the same put together."""
    weights: dict[tuple[object, ...], Fraction] = {}
    first: dict[tuple[object, ...], Case] = {}
    for case in cases:
        key = (frozenset(case.eggs.items()), frozenset(case.hatched.items()), case.lost)
        first.setdefault(key, case)
        weights[key] = weights.get(key, Fraction(0)) + case.weight
    return tuple(replace(first[key], weight=weight) for key, weight in weights.items())
