"""What young may be that are covered by a gene that hides all other genes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from genetics.clutches.look_alikes import EyeClass
from genetics.clutches.possible_het import carried_words, percent_words
from genetics.clutches.units import Unit
from genetics.genes.genotype import Pairs
from genetics.genes.traits import Sex, Trait


@dataclass(frozen=True, eq=False)
class Covered:
    """Young that show nothing but the gene that covers the others.

    Attributes
    ----------
    shown, carried
        Label of what covers, and of what may lie beneath.
    certainty
        How sure the label is.
    traits
        Traits with their chance.
    look_alikes
        The covering looks it may be, if more than one.
    """

    shown: str
    carried: str
    certainty: tuple[str, ...]
    traits: tuple[tuple[Trait, Fraction], ...]
    look_alikes: tuple[str, ...]


def class_shares(unit: Unit) -> tuple[Fraction, ...]:
    """Share of each class of a unit per hatchling, both sexes together."""
    return tuple(sum(share, Fraction(0)) for share in unit.hatch)


def covered_class(units: Sequence[Unit]) -> Covered | None:
    """Class of all young that are covered; None if no young can be."""
    classes = covered_classes(units)
    return covered_from(classes) if classes else None


def covered_classes(units: Sequence[Unit]) -> list[tuple[EyeClass, Fraction]]:
    """Chance of each class of each unit among the young that are covered; empty if none can be.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    """
    if not any(kind.hides_all for unit in units for kind in unit.classes):
        return []
    covering = [
        sum((share for share, kind in _classes(unit) if kind.hides_all), Fraction(0)) for unit in units
    ]
    seen_all = Fraction(1)
    for share in covering:
        seen_all *= 1 - share
    posterior = [_posterior(place, units, covering, seen_all) for place in range(len(units))]
    return [
        (kind, chance)
        for unit, chances in zip(units, posterior, strict=True)
        for kind, chance in zip(unit.classes, chances, strict=True)
        if chance
    ]


def covered_from(classes: Sequence[tuple[EyeClass, Fraction]]) -> Covered:
    """Class of covered young from the chance, among them, of each class of each unit."""
    sure: dict[Trait, Fraction] = {}
    beneath: dict[Trait, Fraction] = {}
    looks: dict[str, Fraction] = {}
    for kind, chance in classes:
        goes_to = sure if kind.hides_all else beneath
        for trait, share in kind.traits:
            goes_to[trait] = goes_to.get(trait, Fraction(0)) + share * chance
        if kind.hides_all:
            looks[kind.shown] = looks.get(kind.shown, Fraction(0)) + chance
    labels = sorted(looks, key=lambda look: (-looks[look], look))
    under = tuple(sorted(beneath.items()))
    words = [
        f"hidden {trait.key}" if chance == 1 else f"{percent_words(chance)} hidden {trait.key}"
        for trait, chance in under
        if trait.form != "het"
    ]
    hets = tuple((trait, chance) for trait, chance in under if trait.form == "het")
    traits = dict(under)
    for trait, chance in sure.items():
        traits[trait] = traits.get(trait, Fraction(0)) + chance
    certainty = ("its other genes can't be seen",) if under else ()
    alikes = [look for kind, _ in classes if kind.hides_all for look in kind.look_alikes]
    return Covered(
        shown=" or ".join(labels),
        carried=" ".join(part for part in (*words, carried_words(hets)) if part),
        certainty=(*(("one of several looks",) if alikes or len(labels) > 1 else ()), *certainty),
        traits=tuple(sorted(traits.items())),
        look_alikes=tuple(dict.fromkeys(alikes)) or (tuple(labels) if len(labels) > 1 else ()),
    )


def _classes(unit: Unit) -> Iterable[tuple[Fraction, EyeClass]]:
    return zip(class_shares(unit), unit.classes, strict=True)


def _posterior(
    place: int, units: Sequence[Unit], covering: Sequence[Fraction], seen_all: Fraction
) -> list[Fraction]:
    """Chance of each class of one unit, given that some unit covers all others."""
    elsewhere = Fraction(1)
    for other, share in enumerate(covering):
        if other != place:
            elsewhere *= 1 - share
    covered = 1 - seen_all
    return [
        share * (1 if kind.hides_all else 1 - elsewhere) / covered for share, kind in _classes(units[place])
    ]


def covered_young(units: Sequence[Unit], *, sex: Sex) -> list[tuple[tuple[str, ...], dict[Pairs, Fraction]]]:
    """Belief over the genotypes of a covered hatchling of one sex, ready for an animal.

    Units that can cover are joint, since it is not known which of them does; the others keep the
    chances they had.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    sex
        Sex of the hatchling.
    """
    tables = [_genotypes(unit, sex) for unit in units]
    covers = [place for place, unit in enumerate(units) if any(kind.hides_all for kind in unit.classes)]
    factors = [
        (tuple(locus.id for locus in unit.loci), {pairs: chance for pairs, chance, _ in table})
        for place, (unit, table) in enumerate(zip(units, tables, strict=True))
        if place not in covers
    ]
    joint: dict[Pairs, Fraction] = {}
    for choice in product(*(tables[place] for place in covers)):
        if any(hides for _, _, hides in choice):
            key = tuple(pair for pairs, _, _ in choice for pair in pairs)
            weight = Fraction(1)
            for _, chance, _ in choice:
                weight *= chance
            joint[key] = joint.get(key, Fraction(0)) + weight
    total = sum(joint.values(), Fraction(0))
    loci = tuple(locus.id for place in covers for locus in units[place].loci)
    factors.append((loci, {pairs: weight / total for pairs, weight in joint.items()}))
    return factors


def _genotypes(unit: Unit, sex: Sex) -> list[tuple[Pairs, Fraction, bool]]:
    """Genotypes of the hatchlings of one sex in a unit, with their share and whether they cover."""
    found = []
    for share, kind in _classes(unit):
        for who, pairs, chance in kind.young:
            if who in (None, sex):
                found.append((pairs, share * chance, kind.hides_all))
    total = sum((share for _, share, _ in found), Fraction(0))
    return [(pairs, share / total, hides) for pairs, share, hides in found]
