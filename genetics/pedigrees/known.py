"""What is known of one animal, or of a male and a female together: records of results."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from genetics.genes.genotype import Animal, Pairs, make_animal
from genetics.genes.loci import Pair
from genetics.pedigrees.conflicts import Conflict
from genetics.pedigrees.elimination import TooTangled

MOST_STATES = 20_000
"""Most joint states of the loci of an animal, or of a pair, that depend on each other."""


@dataclass(frozen=True)
class Tangled:
    """Loci at which no exact answer was possible.

    Attributes
    ----------
    loci
        Where.
    entries
        Size of the table that would have been needed [entries].
    """

    loci: tuple[str, ...]
    entries: float


@dataclass(frozen=True)
class KnownAnimal:
    """What is known of one animal.

    Attributes
    ----------
    id
        Its name.
    animal
        The belief, ready for `cross`; loci that depend on each other are one factor. Fractions as
        `as_fractions` makes them.
    chances
        Exact chance of each allele pair by locus, for each locus at which it is not wild type for
        certain.
    conflicts
        Contradictions in which it has a part.
    unanswered
        Loci at which its relations are too entangled; the belief there is the claim.
    """

    id: str
    animal: Animal
    chances: Mapping[str, Mapping[Pair, float]]
    conflicts: tuple[Conflict, ...]
    unanswered: tuple[str, ...]

    def carries(self, gene: str, *, copies: int = 1) -> float:
        """Chance of at least so many copies of a gene [0 to 1]."""
        return sum(
            chance
            for table in self.chances.values()
            for pair, chance in table.items()
            if pair.count(gene) >= copies
        )


@dataclass(frozen=True)
class PairFactor:
    """Loci of a male and a female that depend on each other.

    Attributes
    ----------
    sire_loci, dam_loci
        Loci of each.
    table
        Allele pairs of the sire, of the dam, and their joint chance; the chances sum to 1.
    """

    sire_loci: tuple[str, ...]
    dam_loci: tuple[str, ...]
    table: tuple[tuple[Pairs, Pairs, Fraction], ...]


@dataclass(frozen=True)
class KnownPair:
    """What is known of a male and a female together.

    Attributes
    ----------
    sire, dam
        What is known of each by itself.
    dependent
        Loci at which knowing one would tell something of the other.
    """

    sire: Animal
    dam: Animal
    dependent: tuple[PairFactor, ...]

    def mixture(self) -> tuple[tuple[Fraction, Animal, Animal], ...]:
        """Cases in which the two are independent, each with its chance; the chances sum to 1.

        Crossing each case and mixing the results by chance gives the pairing exactly.

        Raises
        ------
        TooTangled
            If there would be more than `MOST_STATES` cases.
        """
        cases: list[tuple[Fraction, dict[str, Pair], dict[str, Pair]]] = [(Fraction(1), {}, {})]
        for factor in self.dependent:
            if len(cases) * len(factor.table) > MOST_STATES:
                raise TooTangled(float(len(cases) * len(factor.table)))
            cases = [
                (
                    weight * chance,
                    first | dict(zip(factor.sire_loci, sire, strict=True)),
                    second | dict(zip(factor.dam_loci, dam, strict=True)),
                )
                for weight, first, second in cases
                for sire, dam, chance in factor.table
            ]
        return tuple(
            (weight, _made_certain(self.sire, first), _made_certain(self.dam, second))
            for weight, first, second in cases
        )


def _made_certain(animal: Animal, pairs: Mapping[str, Pair]) -> Animal:
    """Animal whose pairs at some loci are known."""
    factors: list[tuple[tuple[str, ...], dict[Pairs, Fraction]]] = []
    for factor in animal.belief:
        left = [place for place, locus in enumerate(factor.loci) if locus not in pairs]
        table: dict[Pairs, Fraction] = {}
        for entry, chance in factor.table:
            if all(entry[p] == pairs.get(locus, entry[p]) for p, locus in enumerate(factor.loci)):
                key = tuple(entry[place] for place in left)
                table[key] = table.get(key, Fraction(0)) + chance
        total = sum(table.values(), Fraction(0))
        if left:
            loci = tuple(factor.loci[place] for place in left)
            factors.append((loci, {key: chance / total for key, chance in table.items()}))
    factors.extend(((locus,), {(pair,): Fraction(1)}) for locus, pair in pairs.items())
    return make_animal(animal.sex, factors, notes=animal.notes)
