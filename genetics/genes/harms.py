"""Which known harms do an animal's genes do, alone, in pairs, and together with genes of other loci?"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from genetics.genes.genotype import Animal, Factor, Pairs
from genetics.genes.loci import HARMS, CombinedHarm, HealthNote, Pair
from genetics.genes.traits import Sex

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue

AnimalHarms = tuple[tuple[HealthNote, str, Fraction], ...]
"""Note, name of the genes it belongs to, and the chance that the animal has them."""

ONLY_FEMALES = "females that can't lay safely"


def combined_harms_of(pairs: Mapping[str, Pair], catalogue: Catalogue) -> tuple[tuple[HealthNote, str], ...]:
    """Harms that genes of several loci do together in one genotype, worst first.

    Parameters
    ----------
    pairs
        Allele pair by id of the locus, in any order of its alleles; loci left out are wild type.
    catalogue
        The genes.
    """
    met = [
        (harm.note, harm.name)
        for harm in catalogue.combined_harms
        if all(
            _copies(gene, pairs.get(catalogue.gene(gene).locus, ())) >= copies for gene, copies in harm.genes
        )
    ]
    return tuple(sorted(met, key=lambda item: (HARMS.index(item[0].harm), item[1])))


def _copies(gene: str, pair: tuple[str, ...]) -> int:
    return pair.count(gene)


def harms_of_animal(animal: Animal, catalogue: Catalogue) -> AnimalHarms:
    """Harms an animal's own genes do to it, worst first, then by chance; exact over its belief.

    A harm to females only counts for a male with nothing and for an unsexed animal with half.
    A chance is that of the genes, as the animal's belief has it, not of the harm.

    Parameters
    ----------
    animal
        The animal.
    catalogue
        The genes.

    Raises
    ------
    UnknownGene
        If the animal has a locus the catalogue does not have.
    """
    found: dict[tuple[HealthNote, str], Fraction] = {}
    for factor in animal.belief:
        for pairs, chance in factor.table:
            for locus_id, pair in zip(factor.loci, pairs, strict=True):
                for note in catalogue.locus(locus_id).look(pair).notes:
                    found[note] = found.get(note, Fraction(0)) + chance
    for harm in catalogue.combined_harms:
        chance = _chance_together(harm, animal, catalogue)
        if chance:
            found[(harm.note, harm.name)] = chance
    weighed = [(note, name, chance * _harmed(note, animal.sex)) for (note, name), chance in found.items()]
    met = [item for item in weighed if item[2]]
    return tuple(sorted(met, key=lambda item: (HARMS.index(item[0].harm), -item[2], item[1])))


def _harmed(note: HealthNote, sex: Sex) -> Fraction:
    """Part of the animals of a sex that a note can harm."""
    if note.harm != ONLY_FEMALES or sex is Sex.FEMALE:
        return Fraction(1)
    return Fraction(0) if sex is Sex.MALE else Fraction(1, 2)


def _chance_together(harm: CombinedHarm, animal: Animal, catalogue: Catalogue) -> Fraction:
    """Chance that an animal has all genes of a combined harm; its factors are independent."""
    wanted = {catalogue.gene(gene).locus: (gene, copies) for gene, copies in harm.genes}
    here = [factor for factor in animal.belief if not wanted.keys().isdisjoint(factor.loci)]
    if {locus for factor in here for locus in factor.loci}.issuperset(wanted):
        chance = Fraction(1)
        for factor in here:
            chance *= sum(
                (share for pairs, share in factor.table if _met(factor, pairs, wanted)), Fraction(0)
            )
        return chance
    return Fraction(0)


def _met(factor: Factor, pairs: Pairs, wanted: Mapping[str, tuple[str, int]]) -> bool:
    """Whether one joint entry of a factor has what is wanted at its loci."""
    for locus_id, pair in zip(factor.loci, pairs, strict=True):
        gene, copies = wanted.get(locus_id, ("", 0))
        if pair.count(gene) < copies:
            return False
    return True
