"""Which harms a pairing can do to its young and to its dam, worst first."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from genetics.clutches.units import Unit
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal
from genetics.genes.loci import HARMS, HealthNote
from genetics.genes.traits import Sex

Harmed = tuple[tuple[HealthNote, str, Fraction], ...]
ONLY_FEMALES = "females that can't lay safely"
LOSS = "not hatching"


def harms_of(units: Sequence[Unit]) -> Harmed:
    """Harms the young of a pairing can have, worst first, then by how many it meets.

    Each entry is the note, the gene or compound it belongs to, and a share: of the fertile eggs for
    eggs that do not hatch, of the hatchlings otherwise (only daughters count where only females
    are harmed). Averaged over the parents' genotypes.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    """
    found: dict[tuple[HealthNote, str], Fraction] = {}
    for unit in units:
        for _, pairs, chance in unit.eggs:
            for locus, pair in zip(unit.loci, pairs, strict=True):
                for note, name in locus.look(pair).notes:
                    if note.harm == LOSS:
                        found[(note, name)] = found.get((note, name), Fraction(0)) + chance
        for share, kind in zip(unit.hatch, unit.classes, strict=True):
            for sex, pairs, chance in kind.young:
                for locus, pair in zip(unit.loci, pairs, strict=True):
                    for note, name in locus.look(pair).notes:
                        if note.harm == LOSS:
                            continue
                        harmed = sum(share, Fraction(0)) * chance * _harmed_share(note, sex)
                        found[(note, name)] = found.get((note, name), Fraction(0)) + harmed
    met = [(note, name, share) for (note, name), share in found.items() if share]
    return tuple(sorted(met, key=lambda item: (HARMS.index(item[0].harm), -item[2], item[1])))


def _harmed_share(note: HealthNote, sex: Sex | None) -> Fraction:
    """Part of the young of a kind that a note can harm."""
    if note.harm != ONLY_FEMALES or sex is Sex.FEMALE:
        return Fraction(1)
    return Fraction(0) if sex is Sex.MALE else Fraction(1, 2)


def harms_to_dam(dam: Animal, catalogue: Catalogue) -> Harmed:
    """Harms that laying can do to the dam herself, by her genes, with the chance that she has them."""
    found: dict[tuple[HealthNote, str], Fraction] = {}
    for factor in dam.belief:
        for pairs, chance in factor.table:
            for locus_id, pair in zip(factor.loci, pairs, strict=True):
                for note, name in catalogue.locus(locus_id).look(pair).notes:
                    if note.harm == ONLY_FEMALES:
                        found[(note, name)] = found.get((note, name), Fraction(0)) + chance
    met = [(note, name, chance) for (note, name), chance in found.items()]
    return tuple(sorted(met, key=lambda item: (-item[2], item[1])))
