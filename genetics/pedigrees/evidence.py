"""What the records of a collection say at each locus: looks, claims and tests, ready for the network."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, BadBelief, Factor, with_sex
from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.traits import Sex
from genetics.pedigrees.pedigree import Collection, PedigreeError, TestResult
from genetics.pedigrees.states import alleles_of_look

NORMAL_LOOK = frozenset({""})


@dataclass(frozen=True, eq=False)
class Evidence:
    """The records of a collection, sorted by locus.

    Attributes
    ----------
    collection, catalogue
        The animals and the genes.
    recombination
        Recombination fraction in sires by sex-linked locus, where it is not the catalogue's own.
    insisted
        Pairs that an animal is taken to have for certain, by animal and locus; used to ask what a
        statement would need.
    """

    collection: Collection
    catalogue: Catalogue
    recombination: Mapping[str, Fraction] = field(default_factory=dict)
    insisted: Mapping[tuple[str, str], frozenset[Pair]] = field(default_factory=dict)

    def part_of(self, locus: Locus) -> Fraction | None:
        """Recombination fraction of a locus; None for an autosomal one."""
        return self.recombination.get(locus.id, locus.recombination) if locus.sex_linked else None

    @cached_property
    def shows(self) -> Mapping[str, Mapping[str, str]]:
        """Appearance by locus and animal, where it is not normal; only what is seen for certain."""
        found: dict[str, dict[str, str]] = {}
        for animal in self.collection.animals:
            if animal.seen is None:
                continue
            for locus_id, appearance in animal.seen.shows:
                if not alleles_of_look(self.catalogue.locus(locus_id), appearance):
                    raise PedigreeError(f"{animal.id} is said to look '{appearance}', unknown at {locus_id}")
                if self._visible(animal.id, locus_id) and locus_id not in animal.seen.unclear:
                    found.setdefault(locus_id, {})[animal.id] = appearance
        return found

    def _hides(self, locus_id: str, appearance: str) -> str:
        """What a look hides: "all", "part" or nothing."""
        looks = self.catalogue.locus(locus_id).looks.values()
        hidden = {look.hides for look in looks if look.appearance == appearance}
        if "all" in hidden:
            return "all"
        return "part" if hidden - {""} else ""

    @cached_property
    def _covers(self) -> Mapping[str, Mapping[str, str]]:
        """For each animal seen: loci whose look hides others, with "all" or "part"."""
        found = {}
        for animal in self.collection.animals:
            if animal.seen is not None:
                covers = {locus: self._hides(locus, look) for locus, look in animal.seen.shows}
                found[animal.id] = {locus: how for locus, how in covers.items() if how}
        return found

    def _visible(self, animal: str, locus_id: str) -> bool:
        """Whether a look at a locus is not hidden by another locus."""
        return not any(
            how == "all" and locus != locus_id and self._covers[animal].get(locus_id) != "all"
            for locus, how in self._covers[animal].items()
        )

    @cached_property
    def tied_looks(self) -> Mapping[str, frozenset[str]]:
        """For each locus that has look-alikes at other loci: all loci of its group."""
        group: dict[str, set[str]] = {}
        for shared in self.catalogue.shared_looks:
            merged = set(shared).union(*(group.get(locus, set()) for locus in shared))
            for locus in merged:
                group[locus] = merged
        return {locus: frozenset(members) for locus, members in group.items()}

    def seen_at(self, animal: str, locus_id: str) -> frozenset[str] | None:
        """Appearances a locus may have by what was seen; None if the eye says nothing of it.

        A locus that is hidden by another one says nothing. Under a look that hides only the
        pattern or only the colour, what is seen counts, and what is not seen does not.
        """
        if animal in self._plainly_seen and locus_id not in self.tied_looks:
            look = self.shows.get(locus_id, {}).get(animal)
            return NORMAL_LOOK if look is None else frozenset((look,))
        record = self.collection.by_id.get(animal)
        if record is None or record.seen is None or locus_id in record.seen.unclear:
            return None
        covers = self._covers[animal]
        shown = self.shows.get(locus_id, {}).get(animal)
        if not covers or (len(covers) == 1 and locus_id in covers):
            tied = self.tied_looks.get(locus_id)
            if tied is None:
                return NORMAL_LOOK if shown is None else frozenset({shown})
            return NORMAL_LOOK | {look for locus in tied for look in self._shown(locus, animal)}
        return None if shown is None else frozenset({shown})

    @cached_property
    def _plainly_seen(self) -> frozenset[str]:
        """Animals whose look hides nothing and leaves nothing open."""
        return frozenset(
            animal.id
            for animal in self.collection.animals
            if animal.seen is not None and not animal.seen.unclear and not self._covers[animal.id]
        )

    def _shown(self, locus_id: str, animal: str) -> tuple[str, ...]:
        look = self.shows.get(locus_id, {}).get(animal)
        return () if look is None else (look,)

    def seen_together(self, animal: str, loci: frozenset[str]) -> frozenset[str]:
        """Appearances seen of loci that have look-alikes of each other, whichever locus makes them."""
        return frozenset(look for locus in loci for look in self._shown(locus, animal))

    def speaks_for_itself(self, animal: str) -> bool:
        """Whether the claim of an animal is its prior: a parent of it is outside the collection."""
        record = self.collection.by_id[animal]
        if record.litter is None:
            return True
        litter = self.collection.litter_by_id[record.litter]
        return litter.dam is None or all(sire.id is None for sire in litter.sires)

    def claim_of(self, animal: str) -> Animal | None:
        """What an animal is said to carry, with the sex it has.

        Raises
        ------
        PedigreeError
            If the claim is of the other sex.
        """
        record = self.collection.by_id[animal]
        sex = self.collection.sexes[animal]
        if record.claim is None or sex is Sex.UNSEXED:
            return record.claim
        try:
            return with_sex(record.claim, sex, self.catalogue)
        except BadBelief as fault:
            raise PedigreeError(f"the claim of {animal} does not fit its sex: {fault}") from None

    @cached_property
    def claims(self) -> Mapping[str, Mapping[str, Factor]]:
        """Claims by locus and animal that serve as a prior."""
        return self._claims(prior=True)

    @cached_property
    def repeated_claims(self) -> Mapping[str, Mapping[str, Factor]]:
        """Claims by locus and animal whose parents are recorded, so that they are no evidence."""
        return self._claims(prior=False)

    def _claims(self, *, prior: bool) -> Mapping[str, Mapping[str, Factor]]:
        found: dict[str, dict[str, Factor]] = {}
        for animal in self.collection.animals:
            if animal.claim is None or self.speaks_for_itself(animal.id) != prior:
                continue
            claim = self.claim_of(animal.id)
            for factor in claim.belief if claim is not None else ():
                for locus_id in factor.loci:
                    found.setdefault(locus_id, {})[animal.id] = factor
        return found

    @cached_property
    def tests(self) -> Mapping[str, Mapping[str, tuple[TestResult, ...]]]:
        """Test results by locus and animal."""
        found: dict[str, dict[str, tuple[TestResult, ...]]] = {}
        for animal in self.collection.animals:
            for test in animal.tests:
                at_locus = found.setdefault(self.catalogue.gene(test.gene).locus, {})
                at_locus[animal.id] = (*at_locus.get(animal.id, ()), test)
        return found

    @cached_property
    def loci(self) -> tuple[str, ...]:
        """Loci that anything is said of, in the catalogue's order."""
        named = {*self.shows, *self.claims, *self.tests, *self.repeated_claims}
        named |= {locus for _, locus in self.insisted}
        for locus, group in self.tied_looks.items():
            if locus in self.shows:
                named |= group
        order = self.catalogue.locus_order
        for locus in named - set(order):
            self.catalogue.locus(locus)  # an unknown one is an error with the nearest names
        return tuple(sorted(named, key=order.__getitem__))

    def alleles(self, locus: Locus) -> frozenset[str]:
        """Alleles of a locus that anything is said of, and the wild type."""
        found = {WILD}
        for claims in (self.claims, self.repeated_claims):
            for factor in claims.get(locus.id, {}).values():
                place = factor.loci.index(locus.id)
                found.update(allele for pairs, _ in factor.table for allele in pairs[place])
        for tied in self.tied_looks.get(locus.id, (locus.id,)):
            for look in set(self.shows.get(tied, {}).values()):
                found |= alleles_of_look(locus, look)
        for tests in self.tests.get(locus.id, {}).values():
            found.update(test.gene for test in tests)
        for (_, insisted), pairs in self.insisted.items():
            if insisted == locus.id:
                found.update(allele for pair in pairs for allele in pair)
        return frozenset(found)
