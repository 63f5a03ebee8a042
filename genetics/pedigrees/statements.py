"""Which single statements of the records can be set aside, and the records without one of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

from genetics.genes.genotype import make_animal
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.pedigree import (
    UNKNOWN_SIRE,
    Collection,
    Litter,
    PedigreeAnimal,
    PossibleSire,
    Seen,
)

Kind = Literal[
    "unnamed gene",
    "wrong look",
    "wrong claim",
    "test in error",
    "wrong sire",
    "wrong dam",
    "other sire",
    "retained sperm",
    "other sire of one egg",
]


HOW_OFTEN: Mapping[Kind, float] = MappingProxyType(
    {
        "unnamed gene": 1.0,  # how often is in the chance that a founder has the gene
        "wrong look": 0.005,
        "wrong claim": 0.05,
        "test in error": 0.01,
        "wrong sire": 0.02,
        "wrong dam": 0.005,
        "other sire": 0.02,
        "retained sperm": 0.03,
        "other sire of one egg": 0.005,
    }
)
"""Chance that one record is wrong in this way, beforehand: assumptions of ours without a source."""

MOST_MALES = 12
"""Most other males that are tried as the sire of a clutch, besides earlier mates of the dam."""


MOST_CLUTCHES = 6
"""Most clutches whose parents are asked about, the youngest first."""


@dataclass(frozen=True, order=True)
class Statement:
    """One thing the records say that may be wrong.

    Attributes
    ----------
    kind
        What would be wrong: a founder has a gene nobody named, the look, the claim or a test of an
        animal is wrong, the sire or dam of a clutch is another animal, the named other male is the
        sire, sperm of an earlier mate was retained, one egg has another sire.
    subject
        The animal, or the clutch.
    other
        The other male, or the gene of the test, where there is one.
    """

    kind: Kind
    subject: str
    other: str = ""

    @property
    def words(self) -> str:
        """Plain sentence."""
        return {
            "unnamed gene": f"{self.subject} has a gene that nobody named",
            "wrong look": f"the look of {self.subject} is recorded wrongly",
            "wrong claim": f"what {self.subject} is said to carry is wrong",
            "test in error": f"the {self.other} test of {self.subject} is in error",
            "wrong sire": f"the sire of clutch {self.subject} is another male",
            "wrong dam": f"the dam of clutch {self.subject} is another female",
            "other sire": f"the sire of clutch {self.subject} is {self.other}",
            "retained sperm": f"clutch {self.subject} comes from retained sperm of {self.other}",
            "other sire of one egg": f"{self.subject} alone has another sire than its clutch",
        }[self.kind]


def without(evidence: Evidence, statement: Statement, loci: Iterable[str]) -> Evidence:
    """The records with one statement set aside at some loci; a parent is set aside at all of them.

    An unnamed gene changes no record; the priors say it.
    """
    collection, at = evidence.collection, tuple(loci)
    animal = collection.by_id.get(statement.subject)
    if statement.kind == "unnamed gene":
        return evidence
    if statement.kind == "other sire of one egg":
        changed = _own_litter(collection, statement.subject)
    elif animal is not None and statement.kind in ("wrong look", "wrong claim", "test in error"):
        changed = _with_animals(collection, [_silenced(evidence, animal, statement, at)])
    else:
        changed = _with_parent(collection, statement)
    insisted = evidence.insisted
    if statement.kind == "wrong claim":
        insisted = {where: pairs for where, pairs in insisted.items() if where[0] != statement.subject}
    return replace(evidence, collection=changed, insisted=insisted)


EVERYTHING: tuple[Kind, ...] = ("wrong look", "wrong claim", "test in error")
OBSERVED: tuple[Kind, ...] = ("wrong look", "test in error")


def silenced(
    evidence: Evidence, names: Iterable[str], loci: Iterable[str], *, what: tuple[Kind, ...] = EVERYTHING
) -> Evidence:
    """The records with all that is said of some animals at some loci left out.

    Parameters
    ----------
    evidence
        The records.
    names, loci
        Of whom, and where.
    what
        Kinds of statement that are left out; `OBSERVED` keeps the claims.
    """
    at = tuple(loci)
    animals = []
    for name in names:
        animal = evidence.collection.by_id[name]
        for kind in what:
            animal = _silenced(evidence, animal, Statement(kind, name), at)
        animals.append(animal)
    return replace(evidence, collection=_with_animals(evidence.collection, animals))


def restricted(evidence: Evidence, names: Iterable[str]) -> Evidence:
    """The records of some animals and all their ancestors alone."""
    collection = evidence.collection
    kept = collection.ancestors(names)
    animals = tuple(animal for animal in collection.animals if animal.id in kept)
    hatched = {animal.litter for animal in animals}
    litters = tuple(litter for litter in collection.litters if litter.id in hatched)
    return replace(evidence, collection=Collection(animals, litters))


def family(evidence: Evidence, names: Iterable[str]) -> set[str]:
    """Some animals with their parents, all young of either, and everyone's ancestors."""
    collection = evidence.collection
    near = set(names)
    for name in tuple(near):
        near.update(collection.parents(name))
    for name in tuple(near):
        near.update(collection.children.get(name, ()))
    return collection.ancestors(near)


def _silenced(
    evidence: Evidence, animal: PedigreeAnimal, statement: Statement, loci: tuple[str, ...]
) -> PedigreeAnimal:
    """One animal without its look, claim or tests at some loci."""
    if statement.kind == "wrong look" and animal.seen is not None:
        shows = tuple(item for item in animal.seen.shows if item[0] not in loci)
        return replace(animal, seen=Seen(shows, tuple(sorted({*animal.seen.unclear, *loci}))))
    if statement.kind == "wrong claim" and animal.claim is not None:
        kept = [factor for factor in animal.claim.belief if not set(factor.loci) & set(loci)]
        claim = make_animal(animal.claim.sex, [(factor.loci, dict(factor.table)) for factor in kept])
        return replace(animal, claim=claim)
    if statement.kind == "test in error":
        tests = tuple(
            test
            for test in animal.tests
            if evidence.catalogue.gene(test.gene).locus not in loci or statement.other not in ("", test.gene)
        )
        return replace(animal, tests=tests)
    return animal


def _with_animals(collection: Collection, changed: Iterable[PedigreeAnimal]) -> Collection:
    """Collection with some animals replaced."""
    new = {animal.id: animal for animal in changed}
    return replace(collection, animals=tuple(new.get(animal.id, animal) for animal in collection.animals))


def _with_parent(collection: Collection, statement: Statement) -> Collection:
    """Collection with another parent of a clutch."""
    litters = []
    for litter in collection.litters:
        if litter.id != statement.subject:
            litters.append(litter)
        elif statement.kind == "wrong dam":
            litters.append(replace(litter, dam=None))
        else:
            sires = (PossibleSire(statement.other),) if statement.other else UNKNOWN_SIRE
            litters.append(replace(litter, sires=sires, per_egg=False))
    return replace(collection, litters=tuple(litters))


def _own_litter(collection: Collection, name: str) -> Collection:
    """Collection in which one animal has a sire of its own from outside."""
    animal = collection.by_id[name]
    litter = collection.litter_by_id[str(animal.litter)]
    own = Litter(f"{litter.id} ({name})", litter.dam, UNKNOWN_SIRE)
    animals = tuple(replace(a, litter=own.id) if a is animal else a for a in collection.animals)
    return replace(collection, animals=animals, litters=(*collection.litters, own))


def possible_statements(evidence: Evidence, names: frozenset[str], loci: tuple[str, ...]) -> list[Statement]:
    """Statements that may be wrong where some animals contradict each other.

    Parameters
    ----------
    evidence
        The records.
    names
        Animals that contradict each other.
    loci
        Where.
    """
    collection = evidence.collection
    found: list[Statement] = []
    for name in sorted(names & set(collection.by_id)):
        if any(evidence.seen_at(name, locus) is not None for locus in loci):
            found.append(Statement("wrong look", name))
        if any(name in evidence.claims.get(locus, {}) for locus in loci):
            found.append(Statement("wrong claim", name))
        genes = {test.gene for locus in loci for test in evidence.tests.get(locus, {}).get(name, ())}
        found.extend(Statement("test in error", name, gene) for gene in sorted(genes))
    above = collection.ancestors(names)
    found.extend(
        Statement("unnamed gene", name)
        for name in sorted(above & set(collection.by_id))
        if collection.by_id[name].litter is None and is_open(evidence, name, loci)
    )
    return [*found, *_parent_statements(evidence, names, above)]


def is_open(evidence: Evidence, name: str, loci: Iterable[str]) -> bool:
    """Whether a founder could have a gene nobody named: no claim speaks of the locus."""
    return any(name not in evidence.claims.get(locus, {}) for locus in loci)


def _parent_statements(evidence: Evidence, names: frozenset[str], above: set[str]) -> list[Statement]:
    """Parents of the clutches through which the animals are related, the youngest first."""
    collection = evidence.collection
    found: dict[Statement, None] = {}
    bred = [name for name in above & set(collection.by_id) if collection.by_id[name].litter is not None]
    concerned: list[Statement] = []
    for name in sorted(bred, key=collection.order.__getitem__, reverse=True):
        litter = collection.litter_by_id[str(collection.by_id[name].litter)]
        sires = {str(sire.id) for sire in litter.sires if sire.id is not None}
        if any(collection.ancestors([sire]) & names for sire in sires):
            concerned.append(Statement("wrong sire", litter.id))
            if len(collection.young_of[litter.id]) > 1:
                concerned.append(Statement("other sire of one egg", name))
            if name in names:
                concerned.extend(_other_males(collection, litter, sires))
        if litter.dam is not None and collection.ancestors([litter.dam]) & names:
            concerned.append(Statement("wrong dam", litter.id))
        found.update(dict.fromkeys(concerned))
        if len({item.subject for item in found if item.kind in ("wrong sire", "wrong dam")}) >= MOST_CLUTCHES:
            break
    return list(found)


def _other_males(collection: Collection, litter: Litter, sires: set[str]) -> Iterable[Statement]:
    """Other males of the collection as sires: mates of the dam first, then those of other clutches."""
    young = collection.descendants(collection.young_of[litter.id])
    mates: set[str] = set()
    others: set[str] = set()
    for other in collection.litters:
        males = {sire.id for sire in other.sires if sire.id is not None} - sires - young
        (mates if other.dam is not None and other.dam == litter.dam else others).update(males)
    yield from (Statement("retained sperm", litter.id, male) for male in mates)
    yield from (Statement("other sire", litter.id, male) for male in sorted(others - mates)[:MOST_MALES])
