"""Why is what is known of one animal known: what its parents give, and how much each observation moved it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from genetics.pedigrees.answers import Answer, Kept, answer
from genetics.pedigrees.knowledge import Knowledge
from genetics.pedigrees.network import genes_key
from genetics.pedigrees.pedigree import PedigreeError
from genetics.pedigrees.statements import OBSERVED, Statement, silenced, without

ReasonKind = Literal["own look", "own test", "young", "clutch-mates", "parent", "other relatives"]
LONGEST_ODDS = 1e12
"""A chance nearer to 0 or 1 than one in this is certain."""


@dataclass(frozen=True)
class Reason:
    """One group of observations and how much it moved what is known.

    Attributes
    ----------
    kind
        What was observed: the animal's own look or a test of it, the young of one of its clutches,
        its clutch-mates, a parent's look and tests, or all other relatives.
    subject
        The animal, clutch or gene it is about; empty for the other relatives.
    animals
        Number of animals that were looked at or tested.
    bayes_factor
        Odds of carrying the gene with it, against the odds without it; above 1 it speaks for the
        gene. 0 if it rules the gene out, infinity if it proves it.
    """

    kind: ReasonKind
    subject: str
    animals: int
    bayes_factor: float

    @property
    def weight(self) -> float:
        """Weight of evidence [bits]; above 0 it speaks for the gene."""
        if self.bayes_factor <= 0.0:
            return -math.inf
        return math.log2(self.bayes_factor)


@dataclass(frozen=True)
class Why:
    """What is known of one gene of one animal, and why.

    Attributes
    ----------
    animal, gene
        Of whom, and what.
    chance
        Chance that it has at least one copy.
    before
        The same before its own look and tests and its descendants' were seen: what its parents, or
        the claim of a founder, give.
    reasons
        The observations, the weightiest first. Each is left out by itself, so their weights need
        not add up where they say the same.
    """

    animal: str
    gene: str
    chance: float
    before: float
    reasons: tuple[Reason, ...]


def why(knowledge: Knowledge, animal: str, gene: str) -> Why:
    """Say why an animal has a gene with the chance it has.

    Parameters
    ----------
    knowledge
        What is known.
    animal, gene
        Name of an animal, and of a gene.

    Raises
    ------
    PedigreeError
        If the animal is not in the collection.
    UnknownGene
        If the catalogue does not have the gene.
    """
    collection = knowledge.collection
    if animal not in collection.by_id:
        raise PedigreeError(f"{animal} is not in the collection")
    found = knowledge.answer_at(knowledge.catalogue.locus_of(gene).id)
    if found is None:
        return Why(animal, gene, 0.0, 0.0, ())
    chance = carrying(found, animal, gene)
    below = found.evidence.collection.descendants([animal])
    reasons = []
    for kind, subject, names in _groups(found, animal):
        left = _observed(found, names)
        if left:
            factor = _ratio(chance, carrying(_again(found, left), animal, gene))
            reasons.append(Reason(kind, subject, len(left), factor))
    reasons.extend(_own_reasons(found, animal, gene, chance))
    ranked = sorted(reasons, key=lambda item: (-abs(item.weight), item.kind, item.subject))
    before = carrying(_again(found, _observed(found, below)), animal, gene)
    return Why(animal, gene, chance, before, tuple(ranked))


def carrying(found: Answer, animal: str, gene: str) -> float:
    """Chance that an animal has at least one copy of a gene [0 to 1]."""
    locus = found.evidence.catalogue.locus_of(gene).id
    chances = found.chances(genes_key(animal, locus))
    return min(
        1.0, sum(chance for pair, chance in chances.items() if isinstance(pair, tuple) and gene in pair)
    )


def _ratio(chance: float, without_it: float) -> float:
    """Odds with an observation against the odds without it."""
    after, before = _odds(chance), _odds(without_it)
    if after == before:
        return 1.0
    if after == math.inf or before == 0.0:
        return math.inf
    return 0.0 if before == math.inf else after / before


def _odds(chance: float) -> float:
    if chance > 1.0 - 1.0 / LONGEST_ODDS:
        return math.inf
    return 0.0 if chance < 1.0 / LONGEST_ODDS else chance / (1.0 - chance)


def _again(found: Answer, names: Iterable[str]) -> Answer:
    """The same answer without what was observed of some animals."""
    less = silenced(found.evidence, names, found.loci, what=OBSERVED)
    return answer(less, found.loci, found.priors, Kept())


def _observed(found: Answer, names: Iterable[str]) -> list[str]:
    """Those of some animals that were looked at or tested at the loci."""
    evidence = found.evidence
    return sorted(
        name
        for name in names
        if name in evidence.collection.by_id
        and any(
            evidence.seen_at(name, locus) is not None or name in evidence.tests.get(locus, {})
            for locus in found.loci
        )
    )


def _groups(found: Answer, animal: str) -> list[tuple[ReasonKind, str, set[str]]]:
    """Relatives in groups that are left out together: young by clutch, clutch-mates, parents, others."""
    collection = found.evidence.collection
    groups: list[tuple[ReasonKind, str, set[str]]] = []
    for litter in collection.litters:
        young = set(collection.young_of[litter.id])
        if animal in (litter.dam, *(sire.id for sire in litter.sires)):
            groups.append(("young", litter.id, young))
        elif animal in young:
            groups.append(("clutch-mates", litter.id, young - {animal}))
    groups.extend(("parent", parent, {parent}) for parent in dict.fromkeys(collection.parents(animal)))
    named = {animal}.union(*(names for _, _, names in groups))
    near = _related(found, animal)
    return [*groups, ("other relatives", "", near - named)]


def _related(found: Answer, animal: str) -> set[str]:
    """Animals whose observations can bear on an animal: those of the parts it belongs to."""
    names: set[str] = set()
    collection = found.evidence.collection
    for part in found.network.parts:
        inside = {name for kind, name, _ in part.keys if kind == "genes"}
        if animal in inside:
            names |= inside
    near = set(names)
    for name in names:
        near.update(collection.parents(name))
        near.update(collection.children.get(name, ()))
    return near


def _own_reasons(found: Answer, animal: str, gene: str, chance: float) -> list[Reason]:
    """The animal's own look and tests, each left out by itself."""
    evidence = found.evidence
    options: list[tuple[ReasonKind, str, Statement]] = []
    if any(evidence.seen_at(animal, locus) is not None for locus in found.loci):
        options.append(("own look", animal, Statement("wrong look", animal)))
    tested = {test.gene for locus in found.loci for test in evidence.tests.get(locus, {}).get(animal, ())}
    options.extend(("own test", name, Statement("test in error", animal, name)) for name in sorted(tested))
    reasons = []
    for kind, subject, statement in options:
        less = answer(without(evidence, statement, found.loci), found.loci, found.priors, Kept())
        reasons.append(Reason(kind, subject, 1, _ratio(chance, carrying(less, animal, gene))))
    return reasons
