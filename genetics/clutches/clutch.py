"""What a pairing hatches."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import numpy as np

from genetics.clutches.expansion import Expansion, expand
from genetics.clutches.hidden import covered_young
from genetics.clutches.look_table import LookRow, LookTable, look_table
from genetics.clutches.sex_linkage import checked_recombination
from genetics.clutches.units import PairingError, Unit, units_of
from genetics.clutches.welfare import Harmed, harms_of
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, BadBelief, Pairs, make_animal, with_sex
from genetics.genes.traits import Sex


@dataclass(frozen=True, eq=False)
class Clutch:
    """The young of one pairing, kept as a product of independent parts.

    Attributes
    ----------
    sire, dam
        The parents.
    catalogue
        The genes.
    units
        Independent parts, in the catalogue's order.
    """

    sire: Animal
    dam: Animal
    catalogue: Catalogue
    units: tuple[Unit, ...]

    @property
    def lost_share(self) -> Fraction:
        """Share of the fertile eggs lost to their genes, averaged over the parents' genotypes."""
        kept = Fraction(1)
        for unit in self.units:
            kept *= 1 - unit.lost
        return 1 - kept

    @cached_property
    def welfare(self) -> Harmed:
        """Harms the young can have, worst first: note, gene, share of the eggs or hatchlings."""
        return harms_of(self.units)

    def looks(self, *, limit: int | None = 64) -> LookTable:
        """List the looks of the young, most likely first.

        Parameters
        ----------
        limit
            Most rows; None for all.

        Raises
        ------
        TooManyLooks
            If all are asked for and there are too many to list.
        """
        return look_table(self.units, limit=limit)

    def expand(self) -> Expansion:
        """All looks that nothing covers as arrays, labels on demand.

        Raises
        ------
        TooManyLooks
            If there are too many to list.
        """
        return expand(self.units)

    def at_least_one(self, which: int | Callable[[LookRow], bool], hatchlings: int) -> float:
        """Chance of at least one hatchling of a look, as a mixture over the parents' genotypes.

        Parameters
        ----------
        which
            Position of a row of `looks()`, or a question asked of every row of the full table.
        hatchlings
            Number of hatchlings of this one clutch, or of clutches of the same two parents.

        Raises
        ------
        IndexError
            If there is no such row.
        TooManyLooks
            If a question is asked of more looks than can be listed.
        ValueError
            If the number of hatchlings is below 0.
        """
        if hatchlings < 0:
            raise ValueError(f"{hatchlings} hatchlings; allowed: 0 or more")
        if isinstance(which, int):
            table = self.looks()
            rows = [range(len(table.rows))[which]]
        else:
            table = self.looks(limit=None)
            rows = [place for place, row in enumerate(table.rows) if which(row)]
        hit = table.shares[:, rows, :].sum(axis=(1, 2))
        missed = np.power(np.clip(1.0 - hit, 0.0, 1.0), hatchlings)
        return float(1.0 - table.weights @ missed)

    def hatchling(self, table: LookTable, row: int, *, sex: Sex) -> Animal:
        """Say what a hatchling of one look and sex may be, as an animal.

        Parameters
        ----------
        table
            A table of this clutch.
        row
            Position of its look in the table.
        sex
            Its sex; of an unsexed one the sex-linked genes stay open.

        Raises
        ------
        PairingError
            If no hatchling of that look has that sex.
        """
        picks = table.picks[row].tolist()
        if picks and min(picks) < 0:
            return make_animal(sex, covered_young(self.units, sex=sex))
        factors = []
        for unit, index in zip(self.units, picks, strict=True):
            belief = _belief(unit, index, sex)
            if not belief:
                raise PairingError(f"no {sex.value} of this pairing can be {table.rows[row].label}")
            factors.append((tuple(locus.id for locus in unit.loci), belief))
        return make_animal(sex, factors)


def _belief(unit: Unit, index: int, sex: Sex) -> dict[Pairs, Fraction]:
    """Chance of each genotype of a unit within a class, for one sex."""
    found: dict[Pairs, Fraction] = {}
    for who, pairs, chance in unit.classes[index].young:
        if who is None or sex in (who, Sex.UNSEXED):
            key = pairs
            if sex is Sex.UNSEXED:
                key = tuple(locus.ordered(*pair) for locus, pair in zip(unit.loci, pairs, strict=True))
            found[key] = found.get(key, Fraction(0)) + chance
    total = sum(found.values(), Fraction(0))
    return {pairs: chance / total for pairs, chance in found.items()}


def cross(
    sire: Animal,
    dam: Animal,
    catalogue: Catalogue,
    *,
    recombination: Mapping[str, Fraction | float | str] | Fraction | float | str | None = None,
) -> Clutch:
    """Young of a male and a female.

    Parameters
    ----------
    sire, dam
        The parents; an unsexed animal takes the sex of its place.
    catalogue
        The genes.
    recombination
        Recombination fraction in sires, by sex-linked locus or one for all [0 to 1/2]; the
        catalogue's own default where it is not given.

    Raises
    ------
    PairingError
        If the sire is a female or the dam a male, or no egg of theirs can hatch.
    BadRecombination
        If a recombination fraction is not between 0 and 1/2.
    """
    if sire.sex is dam.sex and sire.sex is not Sex.UNSEXED:
        raise PairingError(f"both animals are {sire.sex.value}s; a pairing needs a male and a female")
    male = _placed(sire, Sex.MALE, catalogue, place="sire")
    female = _placed(dam, Sex.FEMALE, catalogue, place="dam")
    if recombination is None:
        given = {}
    elif isinstance(recombination, Mapping):
        given = {catalogue.locus(name).id: checked_recombination(r) for name, r in recombination.items()}
    else:
        linked = [locus.id for locus in catalogue.loci if locus.sex_linked]
        given = dict.fromkeys(linked, checked_recombination(recombination))
    return Clutch(male, female, catalogue, units_of(male, female, catalogue, recombination=given))


def _placed(animal: Animal, sex: Sex, catalogue: Catalogue, *, place: str) -> Animal:
    """Parent in the place of a sire or dam, with the sex of the place."""
    try:
        return with_sex(animal, sex, catalogue)
    except BadBelief:
        raise PairingError(f"the {place} is a {animal.sex.value}; it must be a {sex.value}") from None
