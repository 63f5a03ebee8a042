"""What the eggs of a pairing can be at some loci, for each genotype the parents may have."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from genetics.clutches.gametes import autosomal_young
from genetics.clutches.sex_linkage import sex_linked_young
from genetics.genes.genotype import Factor, Pairs, Table
from genetics.genes.loci import WILD, Locus
from genetics.genes.traits import Sex

Eggs = dict[tuple[Sex | None, Pairs], Fraction]
"""Chance per fertile egg by sex (None: both alike) and allele pairs."""


class PairingError(ValueError):
    """Two animals that can't be paired."""


class NothingHatches(PairingError):
    """A pairing all of whose eggs are lost to their genes."""


@dataclass(frozen=True, eq=False)
class Case:
    """What one joint genotype of the parents gives at some loci.

    Attributes
    ----------
    weight
        Chance of these parents.
    eggs
        Chance of each genotype per fertile egg.
    hatched
        Chance of each genotype per hatchling; sums to 1, or empty if no egg hatches.
    lost
        Share of the fertile eggs that is lost.
    """

    weight: Fraction
    eggs: Eggs
    hatched: Eggs
    lost: Fraction


def joint_table(factors: Sequence[Factor], group: tuple[str, ...]) -> Table:
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


def cases_of(
    loci: tuple[Locus, ...],
    sire: Table,
    dam: Table,
    recombination: tuple[Fraction | None, ...],
) -> tuple[Case, ...]:
    """Genotypes of the parents with what they give; those that give the same are merged.

    Parameters
    ----------
    loci
        The loci.
    sire, dam
        Joint belief over the loci's allele pairs.
    recombination
        Recombination fraction of each sex-linked locus, None for the others.
    """
    tables: dict[frozenset[tuple[tuple[Sex | None, Pairs], Fraction]], Eggs] = {}
    weights: dict[frozenset[tuple[tuple[Sex | None, Pairs], Fraction]], Fraction] = {}
    for sire_pairs, first in sire:
        for dam_pairs, second in dam:
            eggs = _young(loci, sire_pairs, dam_pairs, recombination)
            key = frozenset(eggs.items())
            tables.setdefault(key, eggs)
            weights[key] = weights.get(key, Fraction(0)) + first * second
    return tuple(_case(loci, tables[key], weight) for key, weight in weights.items())


def _case(loci: tuple[Locus, ...], eggs: Eggs, weight: Fraction) -> Case:
    """Take the eggs lost to their genes out of a table of eggs."""
    alive = _survivors(loci, eggs)
    surviving = sum(alive.values(), Fraction(0))
    return Case(weight, eggs, {key: chance / surviving for key, chance in alive.items()}, 1 - surviving)


def mixed(parts: Sequence[tuple[Eggs, Fraction]]) -> Eggs:
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
