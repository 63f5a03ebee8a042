"""How is an animal given as plain data, its allele pairs locus by locus?"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from genetics.genes.faults import CatalogueError
from genetics.genes.genotype import Animal, Pairs, make_animal
from genetics.genes.plain_loci import read_pair
from genetics.genes.traits import Sex

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue

Share = Fraction | float | str


def animal_from(
    genotypes: Mapping[str, str | Mapping[str, Share]], catalogue: Catalogue, *, sex: Sex | str = Sex.UNSEXED
) -> Animal:
    """Animal whose allele pairs are given outright.

    Parameters
    ----------
    genotypes
        By locus (or the name of one of its genes), a pair such as "wrinkled/+", or several with
        their chances: {"wrinkled/+": "2/3", "+/+": "1/3"}. At a sex-linked locus a male's pair is
        the allele on the X, then the one on the Y. Loci left out are wild type.
    catalogue
        The genes.
    sex
        Its sex.

    Raises
    ------
    UnknownGene
        If the catalogue has no such locus or gene.
    CatalogueError
        If a pair is not two alleles of the locus.
    BadBelief
        If chances do not sum to 1, or a locus is named twice.
    """
    where_is = {gene.name: gene.locus for gene in catalogue.genes}
    factors: list[tuple[tuple[str, ...], dict[Pairs, Fraction]]] = []
    kind = Sex(sex)
    for name, given in genotypes.items():
        locus = catalogue.locus(name if name in catalogue.locus_order else where_is.get(name, name))
        chances = {given: Fraction(1)} if isinstance(given, str) else given
        table: dict[Pairs, Fraction] = {}
        for text, chance in chances.items():
            pair = read_pair(text, locus.alleles, locus.wild_name, where=f"animal, {locus.name}")
            phased = locus.sex_linked and kind is Sex.MALE
            key = (pair if phased else locus.ordered(*pair),)
            table[key] = table.get(key, Fraction(0)) + _share(chance, f"animal, {locus.name}, {text}")
        factors.append(((locus.id,), table))
    return make_animal(kind, factors)


def _share(value: Share, where: str) -> Fraction:
    try:
        return Fraction(str(value))
    except (ValueError, ZeroDivisionError):
        raise CatalogueError(where, value, "a chance such as 0.5 or '2/3'") from None
