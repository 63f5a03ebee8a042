"""Where do the sums take parents otherwise than they are written, and what do they leave aside?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from dashboard.jobs.knowledge import knowledge_of, known_otherwise
from dashboard.jobs.recent import Recent, number_of
from dashboard.jobs.valuation import Couple
from dashboard.records import AnimalRecord, Book
from genetics import Catalogue, Knowledge, NotWritable, TooTangled, cross, read_animal, write_animal

Depends = Literal["no", "yes", "can't say"]
_depends: Recent[tuple[Depends, tuple[str, ...]]] = Recent(400)


@dataclass(frozen=True)
class ParentOtherwise:
    """A parent of which all records tell something else than what is written; `known` in trade words."""

    animal: AnimalRecord
    known: str


@dataclass(frozen=True)
class ParentsKnown:
    """What is to be said of the parents of a pairing as the sums take them.

    Attributes
    ----------
    otherwise
        Parents that are taken otherwise than they are written.
    depends
        Whether knowing the genes of one parent would tell something of the other; the sums take each
        by itself.
    depends_at
        Names of the loci where that is so.
    hiding_left_out
        Pairs of loci of which the first would hide the second, listed as if it did not.
    """

    otherwise: tuple[ParentOtherwise, ...]
    depends: Depends
    depends_at: tuple[str, ...]
    hiding_left_out: tuple[tuple[str, str], ...]


def parents_known(book: Book, couple: Couple, *, catalogue: Catalogue) -> ParentsKnown:
    """What is to be said of the parents of a pairing as the sums take them.

    Raises
    ------
    NotationError, PairingError
        If one can't be read, or the two can't breed.
    """
    otherwise = []
    for animal in (couple.sire, couple.dam):
        known = known_otherwise(book, animal)
        if known and known not in (animal.text, _written(animal, catalogue)):
            otherwise.append(ParentOtherwise(animal, known))
    depends, loci = _dependence(book, couple)
    hidden = cross(*couple.genes(catalogue), catalogue).hiding_left_out
    return ParentsKnown(
        otherwise=tuple(otherwise),
        depends=depends,
        depends_at=tuple(catalogue.locus(locus).name for locus in loci),
        hiding_left_out=tuple((catalogue.locus(a).name, catalogue.locus(b).name) for a, b in hidden),
    )


def _written(animal: AnimalRecord, catalogue: Catalogue) -> str:
    """What is written of an animal, spelled as the program spells it."""
    try:
        return write_animal(read_animal(animal.text, catalogue, sex=animal.sex), catalogue) or "normal"
    except NotWritable:
        return animal.text


def _dependence(book: Book, couple: Couple) -> tuple[Depends, tuple[str, ...]]:
    found = knowledge_of(book)
    knowledge = found.knowledge
    if knowledge is None or couple.sire_known is None or couple.dam_known is None:
        return "no", ()
    names = (couple.sire.name, couple.dam.name)
    return _depends.get((number_of(knowledge), *names), lambda: _dependent_loci(knowledge, *names))


def _dependent_loci(knowledge: Knowledge, sire: str, dam: str) -> tuple[Depends, tuple[str, ...]]:
    try:
        factors = knowledge.pair(sire, dam).dependent
    except TooTangled:
        return "can't say", ()
    loci = dict.fromkeys(locus for factor in factors for locus in (*factor.sire_loci, *factor.dam_loci))
    return ("yes" if loci else "no"), tuple(loci)
