"""The independent parts of a clutch: loci that must be looked at together, and their scenarios.

A clutch is a product of units. Most units are one locus; loci whose alleles are jointly uncertain
in a parent, loci with look-alikes of each other, loci of which one hides the pattern or colour that
the other acts on, and all sex-linked loci form one unit each.
Sex-linked loci are taken as independent of each other given the sex of the young.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from genetics.clutches.cases import (
    Case,
    Eggs,
    NothingHatches,
    PairingError,
    cases_of,
    joint_table,
    mixed,
)
from genetics.clutches.look_alikes import EyeClass, eye_class, sort_into_classes
from genetics.clutches.ties import linked_groups
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Factor, Pairs, Table
from genetics.genes.loci import Locus
from genetics.genes.traits import Sex

__all__ = [
    "Eggs",
    "NothingHatches",
    "PairingError",
    "Scenario",
    "Share",
    "Unit",
    "build_unit",
    "unit_from_cases",
    "units_of",
]

Share = tuple[Fraction, ...]
"""One chance, or two (male, female) in a unit that knows the sexes."""


@dataclass(frozen=True, eq=False)
class Scenario:
    """What a unit gives for one joint genotype of the parents, as far as the eye can tell.

    Parents all of whose eggs are lost have no hatchlings; the average stands in for their shares.

    Attributes
    ----------
    weight
        Chance of these parents.
    hatch
        Share of each class among the hatchlings; sums to 1.
    lost
        Share of the fertile eggs that is lost.
    """

    weight: Fraction
    hatch: tuple[Share, ...]
    lost: Fraction


@dataclass(frozen=True, eq=False)
class Unit:
    """One independent part of a clutch.

    Attributes
    ----------
    loci
        Its loci.
    sexed
        True if its shares differ by sex; then each share is (male, female).
    alike
        True if loci of the unit have look-alikes of each other.
    classes
        What can be told apart by eye.
    hatch, egg
        Share of each class per hatchling and per fertile egg, averaged over the parents.
    lost
        Share of the fertile eggs that is lost, averaged over the parents.
    scenarios
        The parents' genotypes that make a visible difference.
    eggs
        Chance of each genotype per fertile egg, lost ones included, averaged over the parents.
    cases
        The parents' genotypes that make any difference to the genotypes of their young.
    """

    loci: tuple[Locus, ...]
    sexed: bool
    alike: bool
    classes: tuple[EyeClass, ...]
    hatch: tuple[Share, ...]
    egg: tuple[Share, ...]
    lost: Fraction
    scenarios: tuple[Scenario, ...]
    eggs: tuple[tuple[Sex | None, Pairs, Fraction], ...]
    cases: tuple[Case, ...]


def units_of(
    sire: Animal, dam: Animal, catalogue: Catalogue, *, recombination: Mapping[str, Fraction]
) -> tuple[Unit, ...]:
    """Independent parts of a clutch, in the catalogue's order.

    Parameters
    ----------
    sire, dam
        A male and a female.
    catalogue
        The genes.
    recombination
        Recombination fraction by sex-linked locus, where it is not the catalogue's own.
    """
    return tuple(
        unit_at(group, sire, dam, catalogue, recombination=recombination)
        for group in linked_groups((sire, dam), catalogue)
    )


def unit_at(
    group: tuple[str, ...],
    sire: Animal,
    dam: Animal,
    catalogue: Catalogue,
    *,
    recombination: Mapping[str, Fraction],
) -> Unit:
    """Unit of a group of loci that contains every tie of its loci in either parent."""
    loci = tuple(catalogue.locus(name) for name in group)
    alike = any(len(shared.intersection(group)) > 1 for shared in catalogue.shared_looks)
    fractions = fractions_at(loci, recombination)
    return _unit_for(loci, factors_at(sire, group), factors_at(dam, group), fractions, alike)


def fractions_at(loci: Sequence[Locus], recombination: Mapping[str, Fraction]) -> tuple[Fraction | None, ...]:
    """Recombination fraction of each locus; None for an autosomal one."""
    return tuple(
        recombination.get(locus.id, locus.recombination) if locus.recombination is not None else None
        for locus in loci
    )


def factors_at(animal: Animal, group: tuple[str, ...]) -> tuple[Factor, ...]:
    """Factors of an animal that lie in a group of loci."""
    return tuple(factor for factor in animal.belief if factor.loci[0] in group)


@lru_cache(maxsize=8192)
def _unit_for(
    loci: tuple[Locus, ...],
    sire: tuple[Factor, ...],
    dam: tuple[Factor, ...],
    recombination: tuple[Fraction | None, ...],
    alike: bool,  # noqa: FBT001
) -> Unit:
    """Build the unit of some loci; the same parents give the same object."""
    group = tuple(locus.id for locus in loci)
    return build_unit(loci, joint_table(sire, group), joint_table(dam, group), recombination, alike=alike)


def build_unit(
    loci: tuple[Locus, ...],
    sire: Table,
    dam: Table,
    recombination: tuple[Fraction | None, ...],
    *,
    alike: bool,
) -> Unit:
    """Build a unit from what the parents may be at its loci.

    Parameters
    ----------
    loci
        Its loci.
    sire, dam
        Joint belief over the loci's allele pairs.
    recombination
        Recombination fraction of each sex-linked locus, None for the others.
    alike
        True if loci of the unit have look-alikes of each other.

    Raises
    ------
    NothingHatches
        If no egg of these parents hatches.
    """
    sexed = any(part is not None for part in recombination)
    cases = cases_of(loci, sire, dam, recombination)
    return unit_from_cases(loci, cases, sexed=sexed, alike=alike)


def unit_from_cases(loci: tuple[Locus, ...], cases: tuple[Case, ...], *, sexed: bool, alike: bool) -> Unit:
    """Sort what each genotype of the parents gives into what the eye can tell apart.

    Parameters
    ----------
    loci
        Loci of the unit.
    cases
        The parents' genotypes; their weights sum to 1.
    sexed
        True if the cases tell the sexes apart.
    alike
        True if loci of the unit have look-alikes of each other.

    Raises
    ------
    NothingHatches
        If no egg hatches.
    """
    live = [(case.hatched, case.weight) for case in cases if case.hatched]
    if not live:
        raise NothingHatches(f"every egg of this pairing is lost ({', '.join(locus.name for locus in loci)})")
    hatched = mixed(live)
    alive: Eggs = {}
    for case in cases:
        for key, chance in case.hatched.items():
            alive[key] = alive.get(key, Fraction(0)) + case.weight * (1 - case.lost) * chance
    members = sort_into_classes(loci, hatched, joined=alike)
    place = {key: index for index, group in enumerate(members) for key in group}
    mean = _by_class(hatched, place, len(members), sexed=sexed)
    return Unit(
        loci=loci,
        sexed=sexed,
        alike=alike,
        classes=tuple(eye_class(loci, group) for group in members),
        hatch=mean,
        egg=_by_class(alive, place, len(members), sexed=sexed),
        lost=1 - sum(alive.values(), Fraction(0)),
        scenarios=_scenarios(cases, place, mean, sexed=sexed),
        eggs=tuple((sex, pairs, chance) for (sex, pairs), chance in _all_eggs(cases).items()),
        cases=cases,
    )


def _all_eggs(cases: Sequence[Case]) -> Eggs:
    """Chance of each genotype per fertile egg, averaged over the parents."""
    return mixed([(case.eggs, case.weight) for case in cases])


def _by_class(
    table: Eggs, place: Mapping[tuple[Sex | None, Pairs], int], count: int, *, sexed: bool
) -> tuple[Share, ...]:
    """Sum over the genotypes of each class, by sex if the unit knows the sexes."""
    sums = [[Fraction(0)] * (2 if sexed else 1) for _ in range(count)]
    for key, chance in table.items():
        sums[place[key]][1 if key[0] is Sex.FEMALE else 0] += chance
    return tuple(tuple(row) for row in sums)


def _scenarios(
    cases: Sequence[Case],
    place: Mapping[tuple[Sex | None, Pairs], int],
    mean: tuple[Share, ...],
    *,
    sexed: bool,
) -> tuple[Scenario, ...]:
    """Parents' genotypes with different shares or losses; those that look the same are merged."""
    merged: dict[tuple[tuple[Share, ...], Fraction], Fraction] = {}
    for case in cases:
        hatch = _by_class(case.hatched, place, len(mean), sexed=sexed) if case.hatched else mean
        key = (hatch, case.lost)
        merged[key] = merged.get(key, Fraction(0)) + case.weight
    return tuple(Scenario(weight, hatch, lost) for (hatch, lost), weight in merged.items())
