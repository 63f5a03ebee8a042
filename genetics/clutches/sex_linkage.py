"""How a gene on the X and the Y passes to sons and daughters.

Pythons are XX (female) and XY (male): Gamble T, Castoe TA, Nielsen SV, Banks JL, Card DC, Schield
DR, Schuett GW, Booth W (2017) The Discovery of XY Sex Chromosomes in a Boa and Python. Current
Biology 27(14):2148-2153. Model of the coral glow (banana) mutation, incomplete dominant with
recombination: Mallery CS Jr, Carrillo MM (2016) A case study of sex-linkage in Python regius
(Serpentes: Boidae). Phyllomedusa 15(1) (abstract seen; authors and volume from memory).

The recombination fraction r acts in the sire only, between the locus and the sex-determining
region. No published value of r was found, so it is an input.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from genetics.clutches.gametes import HALF, Offspring, gametes
from genetics.genes.loci import Locus, Pair
from genetics.genes.traits import Sex


class BadRecombination(ValueError):
    """A recombination fraction outside 0 to 1/2."""

    def __init__(self, found: object) -> None:
        super().__init__(f"recombination fraction is {found}; allowed: 0 to 0.5")


def checked_recombination(value: Fraction | float | str) -> Fraction:
    """Recombination fraction as an exact number; 0.05 is taken as 1/20.

    Raises
    ------
    BadRecombination
        If it is not between 0 and 1/2.
    """
    try:
        exact = value if isinstance(value, Fraction) else Fraction(str(value))
    except (ValueError, ZeroDivisionError):
        raise BadRecombination(value) from None
    if not 0 <= exact <= HALF:
        raise BadRecombination(value)
    return exact


def sire_gametes(pair: Pair, *, recombination: Fraction) -> dict[Sex, dict[str, Fraction]]:
    """Chance of each allele in a sire's gamete, given the sex it makes.

    Parameters
    ----------
    pair
        (allele on the X, allele on the Y) of the sire.
    recombination
        Fraction of gametes in which the allele has changed chromosome [0 to 1/2].
    """
    on_x, on_y = pair
    stays, moves = 1 - recombination, recombination
    table: dict[Sex, dict[str, Fraction]] = {}
    for sex, own, other in ((Sex.FEMALE, on_x, on_y), (Sex.MALE, on_y, on_x)):
        chances = {own: stays}
        chances[other] = chances.get(other, Fraction(0)) + moves
        table[sex] = {allele: chance for allele, chance in chances.items() if chance}
    return table


@lru_cache(maxsize=8192)
def sex_linked_young(locus: Locus, sire: Pair, dam: Pair, recombination: Fraction) -> Offspring:
    """Chance per fertile egg of each sex and allele pair at a sex-linked locus.

    A son's pair is (allele on the X, from the dam; allele on the Y, from the sire); a daughter's
    is in the locus's own order.

    Parameters
    ----------
    locus
        A sex-linked locus.
    sire
        (allele on the X, allele on the Y).
    dam
        Alleles on her two X.
    recombination
        Recombination fraction in the sire [0 to 1/2].
    """
    young: dict[tuple[Sex, Pair], Fraction] = {}
    from_dam = gametes(dam)
    for sex, from_sire in sire_gametes(sire, recombination=recombination).items():
        for sire_allele, first in from_sire.items():
            for dam_allele, second in from_dam.items():
                son = sex is Sex.MALE
                pair = (dam_allele, sire_allele) if son else locus.ordered(dam_allele, sire_allele)
                key = (sex, pair)
                young[key] = young.get(key, Fraction(0)) + HALF * first * second
    return tuple((sex, pair, chance) for (sex, pair), chance in young.items())
