"""Which loci does an edit of the records not touch, so that their answers stand?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.network import Network, genes_key
from genetics.pedigrees.pedigree import Collection


@dataclass(frozen=True, eq=False)
class Edit:
    """What changed between two states of the records of a collection.

    Attributes
    ----------
    before, now
        The records.
    animals
        Animals that were changed, added or taken out, and young of clutches that were.
    """

    before: Evidence
    now: Evidence
    animals: frozenset[str]

    def touches(self, network: Network, loci: Sequence[str]) -> bool:
        """Whether anything changed that bears on some loci.

        Parameters
        ----------
        network
            The earlier network of the loci.
        loci
            Their ids.
        """
        return any(self._touches(name, network, loci) for name in self.animals)

    def _touches(self, name: str, network: Network, loci: Sequence[str]) -> bool:
        """Whether the change of one animal bears on some loci."""
        concerned = (name, *self.now.collection.parents(name))
        if not any(genes_key(animal, locus) in network.states for animal in concerned for locus in loci):
            evidences = (self.before, self.now)
            if not any(_said(evidence, name, loci) for evidence in evidences):
                return False  # wild type for certain, before and now
        return not self._alike(name, loci)

    def _alike(self, name: str, loci: Sequence[str]) -> bool:
        """Whether an animal has the same parents and the same records at some loci as before."""
        old, new = (evidence.collection.by_id.get(name) for evidence in (self.before, self.now))
        if old is None or new is None:
            return False
        herds = (self.before.collection, self.now.collection)
        if old.litter != new.litter or herds[0].sexes[name] is not herds[1].sexes[name]:
            return False
        if old.litter is not None and herds[0].litter_by_id[old.litter] != herds[1].litter_by_id[old.litter]:
            return False
        return all(_records(self.before, name, locus) == _records(self.now, name, locus) for locus in loci)


def edit_between(before: Evidence, now: Evidence) -> Edit:
    """What changed between two states of the records."""
    old, new = before.collection, now.collection
    names = {name for name in (*old.by_id, *new.by_id) if old.by_id.get(name) != new.by_id.get(name)}
    for litter in {*old.litter_by_id, *new.litter_by_id}:
        if old.litter_by_id.get(litter) != new.litter_by_id.get(litter):
            names |= _family(old, litter) | _family(new, litter)
    return Edit(before, now, frozenset(names))


def _family(collection: Collection, litter: str) -> set[str]:
    """Recorded parents and young of a clutch, whose sexes and parents it says."""
    found = collection.litter_by_id.get(litter)
    if found is None:
        return set()
    parents = {found.dam, *(sire.id for sire in found.sires)}
    return {*collection.young_of[litter], *(name for name in parents if name is not None)}


def _said(evidence: Evidence, name: str, loci: Sequence[str]) -> bool:
    """Whether a look that is not normal, a claim or a test of an animal speaks of some loci."""
    tables = (evidence.shows, evidence.claims, evidence.repeated_claims, evidence.tests)
    return any(name in table.get(locus, {}) for table in tables for locus in loci)


def _records(evidence: Evidence, name: str, locus: str) -> tuple[object, ...]:
    """All that is recorded of an animal at a locus."""
    tables = (evidence.shows, evidence.claims, evidence.repeated_claims, evidence.tests)
    return (evidence.seen_at(name, locus), *(table.get(locus, {}).get(name) for table in tables))
