"""What is known of one animal's genes: a belief over allele pairs, locus by locus."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import product
from operator import attrgetter
from typing import TYPE_CHECKING

from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.traits import Sex, Trait

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue

Pairs = tuple[Pair, ...]
Table = tuple[tuple[Pairs, Fraction], ...]


class BadBelief(ValueError):
    """Chances that do not add up to one, or a locus named twice."""


@dataclass(frozen=True)
class Factor:
    """Joint belief over the allele pairs of one or more loci.

    Attributes
    ----------
    loci
        Ids of the loci.
    table
        Allele pairs, one for each locus, with their chance; the chances sum to 1. At a sex-linked
        locus a male's pair is (allele on the X, allele on the Y); every other pair is in the
        locus's own order, wild type "+" last.
    """

    loci: tuple[str, ...]
    table: Table

    @cached_property
    def _hash(self) -> int:
        return hash((self.loci, self.table))

    def __hash__(self) -> int:
        return self._hash


@lru_cache(maxsize=65536)
def _factor(loci: tuple[str, ...], table: Table) -> Factor:
    """Factor that is one and the same object wherever the same belief occurs; compares fast."""
    return Factor(loci, table)


@dataclass(frozen=True)
class Animal:
    """One animal as far as its genes are known.

    Attributes
    ----------
    sex
        Its sex.
    belief
        Independent factors; a locus in none of them is wild type for certain.
    notes
        What was assumed when it was read, in plain sentences; not part of what the animal is.
    """

    sex: Sex
    belief: tuple[Factor, ...] = ()
    notes: tuple[str, ...] = field(default=(), compare=False)

    def traits(self, catalogue: Catalogue) -> tuple[Trait, ...]:
        """Traits it shows and carries, sorted; empty for a normal animal."""
        return traits_of(self, catalogue)

    @property
    def certain(self) -> bool:
        """True if only one genotype is possible."""
        return all(len(factor.table) == 1 for factor in self.belief)


def make_animal(
    sex: Sex,
    factors: Iterable[tuple[tuple[str, ...], Mapping[Pairs, Fraction]]],
    *,
    notes: tuple[str, ...] = (),
) -> Animal:
    """Animal with its belief in one fixed form, so that equal animals compare equal.

    Parameters
    ----------
    sex
        Its sex.
    factors
        Loci with a table of their allele pairs and chances.
    notes
        What was assumed.

    Raises
    ------
    BadBelief
        If the chances of a factor do not sum to 1, or a locus is named twice.
    """
    kept: list[Factor] = []
    seen: set[str] = set()
    for loci, table in factors:
        if seen.intersection(loci) or len(set(loci)) < len(loci):
            raise BadBelief(f"a locus is named twice: {', '.join(loci)}")
        seen.update(loci)
        if sum(table.values()) != 1 or min(table.values()) < 0:
            raise BadBelief(f"chances at {', '.join(loci)} sum to {sum(table.values())}; they must sum to 1")
        kept.extend(_split(loci, {pairs: chance for pairs, chance in table.items() if chance}))
    return Animal(sex, tuple(sorted(kept, key=lambda factor: factor.loci)), notes)


def _split(loci: tuple[str, ...], table: Mapping[Pairs, Fraction]) -> list[Factor]:
    """Take out of a joint table the loci whose pair is certain; drop those that are wild type."""
    parts: list[Factor] = []
    open_places = []
    for place, locus in enumerate(loci):
        pairs = {entry[place] for entry in table}
        if len(pairs) > 1:
            open_places.append(place)
            continue
        pair = pairs.pop()
        if pair != (WILD, WILD):
            parts.append(_factor((locus,), (((pair,), Fraction(1)),)))
    if open_places:
        open_places.sort(key=lambda place: loci[place])
        joint: dict[Pairs, Fraction] = {}
        for entry, chance in table.items():
            kept = tuple(entry[place] for place in open_places)
            joint[kept] = joint.get(kept, Fraction(0)) + chance
        names = tuple(loci[place] for place in open_places)
        parts.append(_factor(names, tuple(sorted(joint.items()))))
    return parts


def pair_for(locus: Locus, one: str, other: str, *, sex: Sex) -> dict[Pair, Fraction]:
    """Belief over the pair of two alleles when it is not known which chromosome bears which.

    Parameters
    ----------
    locus
        The locus; only a sex-linked one in a male leaves the phase open.
    one, other
        Its two alleles.
    sex
        Sex of the animal.
    """
    if locus.sex_linked and sex is Sex.MALE and one != other:
        return {(one, other): Fraction(1, 2), (other, one): Fraction(1, 2)}
    return {locus.ordered(one, other): Fraction(1)}


def with_sex(animal: Animal, sex: Sex, catalogue: Catalogue) -> Animal:
    """Give the same animal with its sex now known; its sex-linked phase stays open.

    Raises
    ------
    BadBelief
        If the animal already has another sex.
    """
    if animal.sex is sex:
        return animal
    if animal.sex is not Sex.UNSEXED:
        raise BadBelief(f"the animal is {animal.sex.value}, not {sex.value}")
    factors = []
    for factor in animal.belief:
        loci = [catalogue.locus(locus_id) for locus_id in factor.loci]
        table: dict[Pairs, Fraction] = {}
        for pairs, chance in factor.table:
            options = [pair_for(locus, *pair, sex=sex) for locus, pair in zip(loci, pairs, strict=True)]
            for choice in product(*(option.items() for option in options)):
                key = tuple(pair for pair, _ in choice)
                weight = chance
                for _, part in choice:
                    weight *= part
                table[key] = table.get(key, Fraction(0)) + weight
        factors.append((factor.loci, table))
    return make_animal(sex, factors, notes=animal.notes)


def traits_of(animal: Animal, catalogue: Catalogue) -> tuple[Trait, ...]:
    """Traits an animal shows and carries, each with its chance, sorted; empty for a normal one.

    Raises
    ------
    UnknownGene
        If the animal has a locus the catalogue does not have.
    """
    chances: dict[Trait, Fraction] = {}
    for factor in animal.belief:
        loci = [catalogue.locus(locus_id) for locus_id in factor.loci]
        for pairs, chance in factor.table:
            for locus, pair in zip(loci, pairs, strict=True):
                look = locus.look(pair)
                for trait in (*look.shown, *look.carried):
                    chances[trait] = chances.get(trait, Fraction(0)) + chance
    return traits_with_chances(chances)


def traits_with_chances(chances: Mapping[Trait, Fraction]) -> tuple[Trait, ...]:
    """Sorted traits, each with the chance given for it."""
    found = (
        trait if chance == 1 else Trait(trait.gene, trait.form, float(chance))
        for trait, chance in chances.items()
    )
    return tuple(sorted(found, key=attrgetter("gene", "form")))
