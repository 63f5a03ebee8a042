"""What an animal without recorded parents may carry before anything is seen of its relatives.

A founder has what is claimed of it. At a locus that no claim names it shows what was seen with the
fewest copies that can show it, and otherwise is wild type, unless a background is given: the chance
that a founder has a gene that nobody named. Where the evidence can't be had without an unnamed gene
(its young show it), the founders above are opened: each may have it with the same very small chance,
which gives the answer that is right however small that chance is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.traits import Sex
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.states import NORMAL, all_pairs, phased, with_look

VERY_SMALL = 1e-12
"""Chance of an unnamed allele on one chromosome of an opened founder."""

NOT_AT_ALL = 1e-9
"""Chances below this are nothing where founders are opened: they come from `VERY_SMALL` alone."""


@dataclass(frozen=True)
class Priors:
    """What founders may have that nobody named.

    Attributes
    ----------
    background
        Chance that a founder has at least one copy of a gene that no claim names, by gene.
    otherwise
        The same for all genes not in `background`.
    opened
        Founders and outside parents that may have an unnamed gene though the background is 0.
    chance
        Chance of it on one chromosome of an opened founder.
    """

    background: Mapping[str, float] = field(default_factory=dict)
    otherwise: float = 0.0
    opened: frozenset[str] = frozenset()
    chance: float = VERY_SMALL

    @property
    def anywhere(self) -> bool:
        """Whether any founder may have a gene that nobody named."""
        return self.otherwise > 0.0 or any(self.background.values())

    def rate(self, name: str, gene: str) -> float:
        """Chance of an unnamed allele on one chromosome of a founder."""
        carried = self.background.get(gene, self.otherwise)
        given = 1.0 - math.sqrt(1.0 - carried)
        return max(given, self.chance) if name in self.opened else given


def founder_prior(
    evidence: Evidence, locus: Locus, name: str, priors: Priors, alleles: frozenset[str]
) -> dict[Pair, float]:
    """Chance of each pair of a founder at one locus; sums to 1.

    Parameters
    ----------
    evidence
        The records.
    locus
        The locus.
    name
        A founder or a parent outside the collection.
    priors
        What founders may have that nobody named.
    alleles
        Alleles that may occur at the locus.
    """
    claim = evidence.claims.get(locus.id, {}).get(name)
    if claim is not None:
        place = claim.loci.index(locus.id)
        told: dict[Pair, float] = {}
        for pairs, chance in claim.table:
            told[pairs[place]] = told.get(pairs[place], 0.0) + float(chance)
        return told
    sex = evidence.collection.sexes[name]
    rates = {allele: priors.rate(name, allele) for allele in sorted(alleles - {WILD})}
    seen = evidence.seen_at(name, locus.id)
    if not any(rates.values()):
        if seen is None or (seen == {""}):
            return {NORMAL: 1.0}
        if "" not in seen:
            in_phase = phased(locus, sex)
            shown = with_look(locus, all_pairs(locus, alleles, in_phase), seen)
            return fewest_copies(shown, in_phase=in_phase)
        rates = dict.fromkeys(rates, VERY_SMALL)
    return _by_rates(locus, rates, sex=sex)


def _by_rates(locus: Locus, rates: Mapping[str, float], *, sex: Sex) -> dict[Pair, float]:
    """Both chromosomes drawn by the rates; pairs that don't hatch left out."""
    chances = {**rates, WILD: 1.0 - sum(rates.values())}
    table = {}
    for pair in all_pairs(locus, frozenset(chances), phased(locus, sex)):
        ways = 1.0 if pair[0] == pair[1] or phased(locus, sex) else 2.0
        weight = ways * chances[pair[0]] * chances[pair[1]] * float(locus.look(pair).survival)
        if weight > 0.0:
            table[pair] = weight
    total = sum(table.values())
    return {pair: weight / total for pair, weight in table.items()}


def fewest_copies(pairs: tuple[Pair, ...], *, in_phase: bool) -> dict[Pair, float]:
    """Pairs with the fewest mutant copies, as rare alleles would give them."""
    copies = {pair: 2 - pair.count(WILD) for pair in pairs}
    least = min(copies.values())
    ways = {
        pair: 1.0 if in_phase or pair[0] == pair[1] else 2.0
        for pair, count in copies.items()
        if count == least
    }
    total = sum(ways.values())
    return {pair: way / total for pair, way in ways.items()}
