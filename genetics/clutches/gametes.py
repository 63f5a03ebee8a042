"""Which allele an animal gives to its young, and what one autosomal locus of the young can be."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from genetics.genes.loci import Locus, Pair
from genetics.genes.traits import Sex

Offspring = tuple[tuple[Sex, Pair, Fraction], ...]
"""Sex, allele pair and chance per fertile egg; the chances sum to 1, half for each sex."""

HALF = Fraction(1, 2)


def gametes(pair: Pair) -> dict[str, Fraction]:
    """Chance of each allele in a gamete, each of the two copies with chance 1/2 (Mendel 1866)."""
    chances: dict[str, Fraction] = {}
    for allele in pair:
        chances[allele] = chances.get(allele, Fraction(0)) + HALF
    return chances


@lru_cache(maxsize=8192)
def autosomal_young(locus: Locus, sire: Pair, dam: Pair) -> tuple[tuple[Pair, Fraction], ...]:
    """Chance of each allele pair in a fertile egg, the same for both sexes.

    Parameters
    ----------
    locus
        An autosomal locus.
    sire, dam
        Allele pairs of the parents.
    """
    young: dict[Pair, Fraction] = {}
    for from_sire, first in gametes(sire).items():
        for from_dam, second in gametes(dam).items():
            pair = locus.ordered(from_sire, from_dam)
            young[pair] = young.get(pair, Fraction(0)) + first * second
    return tuple(young.items())
