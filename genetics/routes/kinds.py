"""What the young of a pairing can be told to be: kinds of animal that a route can hold back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product

from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Pairs, make_animal
from genetics.genes.loci import HealthNote
from genetics.genes.traits import Sex
from genetics.genes.writing import NotWritable, write_animal
from genetics.routes.states import LocusStates, covers

Local = tuple[tuple[int, Fraction], ...]
"""Genotypes possible at one locus, with their chance."""

Kind = tuple[Local, ...]
"""Belief at each of the target's loci, independent of each other."""

Sets = tuple[frozenset[int], ...]
"""Genotypes at each locus that an animal may have to count."""

MOST_OPEN = 1
"""Loci at which young held back may be possible hets."""

States = tuple[LocusStates, ...]
Joint = tuple[int, ...]


@dataclass(frozen=True)
class YoungKind:
    """Young of one sex that look the same.

    Attributes
    ----------
    sets
        Genotypes they may have at each locus.
    kind
        What they are believed to be.
    """

    sets: Sets
    kind: Kind


def certain(kind: Kind) -> bool:
    """Whether only one genotype is possible."""
    return all(len(local) == 1 for local in kind)


def kind_of(animal: Animal, states: States) -> Kind:
    """Belief of an animal at each of the loci."""
    return tuple(locus.belief(animal) for locus in states)


@lru_cache(maxsize=4096)
def genotypes(kind: Kind) -> tuple[tuple[Joint, Fraction], ...]:
    """Every joint genotype of a kind with its chance."""
    found = []
    for choice in product(*kind):
        chance = Fraction(1)
        for _, part in choice:
            chance *= part
        found.append((tuple(state for state, _ in choice), chance))
    return tuple(found)


@lru_cache(maxsize=16384)
def share_of(states: States, sire: Joint, dam: Joint, *, male: bool, sets: Sets) -> Fraction:
    """Share of the sons (or daughters) among the fertile eggs that hatch with a genotype in the sets.

    Eggs lost to their genes hatch nothing and are counted in the whole.
    """
    share = Fraction(1)
    for locus, father, mother, allowed in zip(states, sire, dam, sets, strict=True):
        row = locus.exact[0 if male else 1, father, mother]
        share *= sum(
            (
                chance * locus.locus.look(locus.pairs[state]).survival
                for state, chance in row
                if state in allowed
            ),
            Fraction(0),
        )
    return share


def _young_at(locus: LocusStates, sire: Local, dam: Local, *, male: bool) -> dict[int, Fraction]:
    """Chance of each genotype of the hatchlings at one locus, averaged over the parents."""
    found: dict[int, Fraction] = {}
    for father, first in sire:
        for mother, second in dam:
            for state, chance in locus.exact[0 if male else 1, father, mother]:
                alive = chance * locus.locus.look(locus.pairs[state]).survival
                if alive:
                    found[state] = found.get(state, Fraction(0)) + first * second * alive
    return found


@lru_cache(maxsize=16384)
def young_kinds(states: States, sire: Kind, dam: Kind, *, male: bool) -> tuple[YoungKind, ...]:
    """Kinds of young that can be told by eye and held back.

    Young of uncertain parents count only if their own genotype is certain, since what they may be
    would depend on what their parents are, and at most at one locus the genotype may be open, since
    possible hets of several loci rarely shorten a route. Young that a gene covers wholly count only
    if nothing is open beneath.

    Parameters
    ----------
    states
        The loci.
    sire, dam
        What the parents are.
    male
        Sons, else daughters.
    """
    known = certain(sire) and certain(dam)
    options: list[list[tuple[frozenset[int], Local]]] = []
    for locus, father, mother in zip(states, sire, dam, strict=True):
        young = _young_at(locus, father, mother, male=male)
        options.append([part for part in _by_look(locus, young) if known or len(part[1]) == 1])
    hiding = covers(states)
    found = []
    for choice in product(*options):
        if sum(len(part[1]) > 1 for part in choice) > MOST_OPEN:
            continue
        covered = (
            bool(hiding[row][column] & choice[row][0])
            for row in range(len(states))
            for column, every in enumerate(options)
            if len(every) > 1
        )
        if any(covered):
            continue
        found.append(YoungKind(tuple(part[0] for part in choice), tuple(part[1] for part in choice)))
    return tuple(found)


def _by_look(locus: LocusStates, young: dict[int, Fraction]) -> list[tuple[frozenset[int], Local]]:
    """Genotypes that look the same put together: which, and with what chance."""
    looks: dict[int, dict[int, Fraction]] = {}
    for state, chance in young.items():
        looks.setdefault(int(locus.look_of[state]), {})[state] = chance
    found = []
    for members in looks.values():
        total = sum(members.values(), Fraction(0))
        local = tuple(sorted((state, chance / total) for state, chance in members.items()))
        found.append((frozenset(members), local))
    return found


@lru_cache(maxsize=16384)
def goal_sets(states: States, sire: Kind, dam: Kind, *, male: bool) -> Sets | None:
    """Genotypes of young that meet the target and are known to, at each locus; None if there are none.

    A look counts if every genotype it can stand for among these young is accepted.
    """
    sets: list[frozenset[int]] = []
    every: list[bool] = []
    for locus, father, mother in zip(states, sire, dam, strict=True):
        young = _young_at(locus, father, mother, male=male)
        good = [part[0] for part in _by_look(locus, young) if all(locus.wanted[state] for state in part[0])]
        sets.append(frozenset().union(*good))
        every.append(all(bool(locus.wanted[state]) for state in young))
    hiding = covers(states)
    for row in range(len(states)):
        for column, fine in enumerate(every):
            if not fine:
                sets[row] = sets[row] - hiding[row][column]
    return tuple(sets) if all(sets) else None


@lru_cache(maxsize=16384)
def lacking(states: States, kind: Kind) -> tuple[float, ...]:
    """Expected alleles a kind lacks at each locus."""
    return tuple(
        float(sum((chance * int(locus.missing[state]) for state, chance in local), Fraction(0)))
        for locus, local in zip(states, kind, strict=True)
    )


def kind_words(states: States, kind: Kind, catalogue: Catalogue, *, male: bool) -> str:
    """Write a kind in the trade's words; allele pairs with their chance where it has none."""
    sex = Sex.MALE if male else Sex.FEMALE
    factors: list[tuple[tuple[str, ...], dict[Pairs, Fraction]]] = [
        ((locus.locus.id,), {(locus.pairs[state],): chance for state, chance in local})
        for locus, local in zip(states, kind, strict=True)
    ]
    try:
        return write_animal(make_animal(sex, factors), catalogue)
    except NotWritable:
        parts: list[str] = []
        for locus, local in zip(states, kind, strict=True):
            parts.extend(f"{chance} {'/'.join(locus.pairs[state])}" for state, chance in local)
        return ", ".join(parts)


def kind_harms(states: Sequence[LocusStates], kind: Kind) -> tuple[tuple[HealthNote, str], ...]:
    """Health notes that a kind has or may have, each with the gene it belongs to."""
    found: dict[tuple[str, str], tuple[HealthNote, str]] = {}
    for locus, local in zip(states, kind, strict=True):
        for state, _ in local:
            for note, name in locus.locus.look(locus.pairs[state]).notes:
                found[(note.id, name)] = (note, name)
    return tuple(found.values())
