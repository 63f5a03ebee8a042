"""What a hatchling of one look may be when it is not known which male is its sire."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import product

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.cases import PairingError
from genetics.clutches.clutch import Clutch, belief_in_class
from genetics.clutches.expansion import exact_shares, hidden_shares
from genetics.clutches.hidden import covered_young
from genetics.clutches.sires.table import CommonClasses
from genetics.genes.genotype import Animal, Pairs, make_animal
from genetics.genes.traits import Sex

Belief = Mapping[Pairs, Fraction]
Factors = Sequence[tuple[tuple[str, ...], Belief]]

MOST_GENOTYPES = 20_000
"""Joint genotypes of one hatchling at the loci where its possible sires differ."""


def hatchling_of(
    clutches: Sequence[Clutch],
    factors: Sequence[Fraction],
    classes: CommonClasses,
    picks: NDArray[np.int64],
    *,
    sex: Sex,
    label: str,
    per_egg: bool,
) -> Animal:
    """Say what a hatchling may be, given its look and sex.

    Parameters
    ----------
    clutches
        The clutch with each male.
    factors
        What turns each male's own shares into shares of the hatchlings.
    classes, picks
        Common classes, and that of each unit in the look; -1 if it is covered.
    sex
        Its sex; of an unsexed one the sex-linked genes stay open.
    label
        Its label, for the message.
    per_egg
        True if the males' own shares are those of their eggs.

    Raises
    ------
    PairingError
        If no hatchling of that look has that sex, or it may be too many things to be listed.
    """
    parts = []
    for clutch, own, factor in zip(clutches, classes.own, factors, strict=True):
        if picks.size and picks.min() < 0:
            male, female = hidden_shares(clutch.units, per_egg=per_egg)
            mine: Factors = covered_young(clutch.units, sex=sex) if male + female else ()
        else:
            local = [int(row[place]) for row, place in zip(own, picks.tolist(), strict=True)]
            if local and min(local) < 0:
                continue
            males, females, whole = exact_shares(clutch.units, np.array([local]), per_egg=per_egg)
            male, female = Fraction(int(males[0]), whole), Fraction(int(females[0]), whole)
            mine = [
                (tuple(locus.id for locus in unit.loci), belief_in_class(unit, place, sex))
                for unit, place in zip(clutch.units, local, strict=True)
            ]
        share = {Sex.MALE: male, Sex.FEMALE: female}.get(sex, male + female) * factor
        if share:
            parts.append((share, mine))
    if not parts:
        raise PairingError(f"no {sex.value} of this pairing can be {label}")
    return make_animal(sex, _mixed(parts))


def _mixed(parts: Sequence[tuple[Fraction, Factors]]) -> list[tuple[tuple[str, ...], Belief]]:
    """Independent factors of all sires, and one joint factor of the loci at which they differ."""
    first = parts[0][1]
    shared = [
        (loci, table)
        for loci, table in first
        if all(any(loci == other and table == more for other, more in mine) for _, mine in parts)
    ]
    if len(shared) == len(first):
        return shared
    known = {loci for loci, _ in shared}
    names = [locus for loci, _ in first for locus in loci if loci not in known]
    total = sum((share for share, _ in parts), Fraction(0))
    joint: dict[Pairs, Fraction] = {}
    for share, mine in parts:
        differing = [(loci, table) for loci, table in mine if loci not in known]
        size = 1
        for _, table in differing:
            size *= len(table)
        if size > MOST_GENOTYPES:
            raise PairingError(
                f"a hatchling may have {size} joint genotypes; at most {MOST_GENOTYPES} are listed"
            )
        order = [locus for loci, _ in differing for locus in loci]
        for choice in product(*(table.items() for _, table in differing)):
            at = dict(zip(order, (pair for pairs, _ in choice for pair in pairs), strict=True))
            weight = share / total
            for _, chance in choice:
                weight *= chance
            key = tuple(at[name] for name in names)
            joint[key] = joint.get(key, Fraction(0)) + weight
    return [*shared, (tuple(names), joint)]
