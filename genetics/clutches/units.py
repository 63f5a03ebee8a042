"""The independent parts of a clutch: loci that must be looked at together, and their scenarios.

A clutch is a product of units. Most units are one locus; loci whose alleles are jointly uncertain
in a parent, loci with look-alikes of each other, and all sex-linked loci form one unit each.
Sex-linked loci are taken as independent of each other given the sex of the young.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product

from genetics.clutches.gametes import autosomal_young
from genetics.clutches.look_alikes import EyeClass, eye_class, sort_into_classes
from genetics.clutches.sex_linkage import sex_linked_young
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Factor, Pairs, Table
from genetics.genes.loci import WILD, Locus
from genetics.genes.traits import Sex

Eggs = dict[tuple[Sex | None, Pairs], Fraction]
"""Chance per fertile egg by sex (None: both alike) and allele pairs."""

Share = tuple[Fraction, ...]
"""One chance, or two (male, female) in a unit that knows the sexes."""


class PairingError(ValueError):
    """Two animals that can't be paired."""


class NothingHatches(PairingError):
    """A pairing all of whose eggs are lost to their genes."""


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
class _Case:
    """What one joint genotype of the parents gives: eggs, hatchlings (sum 1, or none), lost share."""

    weight: Fraction
    eggs: Eggs
    hatched: Eggs
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
    """

    loci: tuple[Locus, ...]
    sexed: bool
    classes: tuple[EyeClass, ...]
    hatch: tuple[Share, ...]
    egg: tuple[Share, ...]
    lost: Fraction
    scenarios: tuple[Scenario, ...]
    eggs: tuple[tuple[Sex | None, Pairs, Fraction], ...]


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
    made = []
    for group in _linked_groups(sire, dam, catalogue):
        loci = tuple(catalogue.locus(name) for name in group)
        fractions = tuple(
            recombination.get(locus.id, locus.recombination) if locus.recombination is not None else None
            for locus in loci
        )
        alike = any(len(shared.intersection(group)) > 1 for shared in catalogue.shared_looks)
        made.append(_unit_for(loci, _factors(sire, group), _factors(dam, group), fractions, alike))
    return tuple(made)


def _factors(animal: Animal, group: tuple[str, ...]) -> tuple[Factor, ...]:
    """Factors of an animal that lie in a group."""
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
    return build_unit(loci, _joint(sire, group), _joint(dam, group), recombination, alike=alike)


def _linked_groups(sire: Animal, dam: Animal, catalogue: Catalogue) -> list[tuple[str, ...]]:
    """Group the loci that must be looked at together, in the catalogue's order."""
    order = catalogue.locus_order
    present = sorted(
        {locus for animal in (sire, dam) for factor in animal.belief for locus in factor.loci},
        key=order.__getitem__,
    )
    group_of = {locus: {locus} for locus in present}
    sexed = [locus for locus in present if catalogue.locus(locus).sex_linked]
    ties: list[Iterable[str]] = [factor.loci for animal in (sire, dam) for factor in animal.belief]
    for tie in (*ties, *catalogue.shared_looks, sexed):
        together = [locus for locus in tie if locus in group_of]
        if len(together) > 1:
            merged = set().union(*(group_of[locus] for locus in together))
            for locus in merged:
                group_of[locus] = merged
    distinct = {id(group): group for group in group_of.values()}
    groups = [tuple(sorted(group, key=order.__getitem__)) for group in distinct.values()]
    return sorted(groups, key=lambda group: order[group[0]])


def _joint(factors: Sequence[Factor], group: tuple[str, ...]) -> Table:
    """Joint belief over the loci of a group."""
    place = {locus: index for index, locus in enumerate(group)}
    rows: list[tuple[list[tuple[str, str]], Fraction]] = [([(WILD, WILD)] * len(group), Fraction(1))]
    for factor in factors:
        grown = []
        for pairs, chance in rows:
            for entry, share in factor.table:
                changed = list(pairs)
                for locus, pair in zip(factor.loci, entry, strict=True):
                    changed[place[locus]] = pair
                grown.append((changed, chance * share))
        rows = grown
    return tuple((tuple(pairs), chance) for pairs, chance in rows)


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
    """
    sexed = any(part is not None for part in recombination)
    cases = _cases(loci, sire, dam, recombination)
    eggs = _mixed([(case.eggs, case.weight) for case in cases])
    live = [(case.hatched, case.weight) for case in cases if case.hatched]
    hatched = _mixed(live)
    members = sort_into_classes(loci, hatched, joined=alike)
    place = {key: index for index, group in enumerate(members) for key in group}
    mean = _by_class(hatched, place, len(members), sexed=sexed)
    scenarios = _scenarios(cases, place, mean, sexed=sexed)
    egg_alive = _survivors(loci, eggs)
    return Unit(
        loci=loci,
        sexed=sexed,
        classes=tuple(eye_class(loci, group) for group in members),
        hatch=mean,
        egg=_by_class(egg_alive, place, len(members), sexed=sexed),
        lost=1 - sum(egg_alive.values(), Fraction(0)),
        scenarios=scenarios,
        eggs=tuple((sex, pairs, chance) for (sex, pairs), chance in eggs.items()),
    )


def _cases(
    loci: tuple[Locus, ...], sire: Table, dam: Table, recombination: tuple[Fraction | None, ...]
) -> list[_Case]:
    """Genotypes of the parents with what they give; those that give the same are merged."""
    merged: dict[frozenset[tuple[tuple[Sex | None, Pairs], Fraction]], Fraction] = {}
    for sire_pairs, first in sire:
        for dam_pairs, second in dam:
            table = frozenset(_young(loci, sire_pairs, dam_pairs, recombination).items())
            merged[table] = merged.get(table, Fraction(0)) + first * second
    cases = []
    for table, weight in merged.items():
        eggs = dict(table)
        alive = _survivors(loci, eggs)
        surviving = sum(alive.values(), Fraction(0))
        hatched = {key: chance / surviving for key, chance in alive.items()}
        cases.append(_Case(weight, eggs, hatched, 1 - surviving))
    if all(not case.hatched for case in cases):
        raise NothingHatches(f"every egg of this pairing is lost ({', '.join(locus.name for locus in loci)})")
    return cases


def _mixed(parts: Sequence[tuple[Eggs, Fraction]]) -> Eggs:
    """Average of tables by weight."""
    whole = sum((weight for _, weight in parts), Fraction(0))
    mixed: Eggs = {}
    for table, weight in parts:
        for key, chance in table.items():
            mixed[key] = mixed.get(key, Fraction(0)) + chance * weight / whole
    return mixed


def _young(
    loci: tuple[Locus, ...], sire: Pairs, dam: Pairs, recombination: tuple[Fraction | None, ...]
) -> Eggs:
    """Chance of each genotype at all loci of a unit, from certain parents."""
    if all(part is None for part in recombination):
        tables = [autosomal_young(*parents) for parents in zip(loci, sire, dam, strict=True)]
        return {(None, pairs): chance for pairs, chance in _product(tables)}
    young: Eggs = {}
    for sex in (Sex.MALE, Sex.FEMALE):
        tables = []
        for locus, sire_pair, dam_pair, part in zip(loci, sire, dam, recombination, strict=True):
            if part is None:
                tables.append(autosomal_young(locus, sire_pair, dam_pair))
            else:
                linked = sex_linked_young(locus, sire_pair, dam_pair, part)
                tables.append(tuple((pair, 2 * chance) for who, pair, chance in linked if who is sex))
        for pairs, chance in _product(tables):
            young[(sex, pairs)] = chance / 2
    return young


def _product(tables: list[tuple[tuple[tuple[str, str], Fraction], ...]]) -> Iterable[tuple[Pairs, Fraction]]:
    """Joint table of independent ones."""
    for choice in product(*tables):
        chance = Fraction(1)
        for _, part in choice:
            chance *= part
        yield tuple(pair for pair, _ in choice), chance


def _survivors(loci: tuple[Locus, ...], eggs: Eggs) -> Eggs:
    """Part of each kind of egg that is not lost to its genes."""
    alive: Eggs = {}
    for (sex, pairs), chance in eggs.items():
        share = chance
        for locus, pair in zip(loci, pairs, strict=True):
            share *= locus.look(pair).survival
        if share:
            alive[(sex, pairs)] = share
    return alive


def _by_class(
    table: Eggs, place: Mapping[tuple[Sex | None, Pairs], int], count: int, *, sexed: bool
) -> tuple[Share, ...]:
    """Sum over the genotypes of each class, by sex if the unit knows the sexes."""
    sums = [[Fraction(0)] * (2 if sexed else 1) for _ in range(count)]
    for key, chance in table.items():
        sums[place[key]][1 if key[0] is Sex.FEMALE else 0] += chance
    return tuple(tuple(row) for row in sums)


def _scenarios(
    cases: Sequence[_Case],
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
