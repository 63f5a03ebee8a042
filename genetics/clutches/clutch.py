"""What a pairing hatches."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

import numpy as np

from genetics.clutches.expansion import Expansion, expand
from genetics.clutches.hidden import covered_young
from genetics.clutches.look_table import LookRow, LookTable, look_table
from genetics.clutches.narrowing import loci_named, narrowed_units
from genetics.clutches.queries.ask import Asked, finder, kinds_of, two_kinds_of
from genetics.clutches.queries.kinds import Kind, TwoKinds
from genetics.clutches.queries.labels import sight_of_picks
from genetics.clutches.queries.prices import PriceMean, ProductPrice, mean_price
from genetics.clutches.queries.states import Ask, JointUnit, States, joint_unit, states_of
from genetics.clutches.sex_linkage import checked_recombination
from genetics.clutches.ties import possible_hiding
from genetics.clutches.units import PairingError, Unit, units_of
from genetics.clutches.welfare import Harmed, HarmShare, harm_shares, harmed_kind, harms_of_look
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, BadBelief, Pairs, make_animal, with_sex
from genetics.genes.loci import Harm
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
    recombination
        Recombination fraction by sex-linked locus, where it is not the catalogue's own.
    """

    sire: Animal
    dam: Animal
    catalogue: Catalogue
    units: tuple[Unit, ...]
    recombination: Mapping[str, Fraction] = field(default_factory=dict)

    @property
    def lost_share(self) -> Fraction:
        """Share of the fertile eggs lost to their genes, averaged over the parents' genotypes."""
        kept = Fraction(1)
        for unit in self.units:
            kept *= 1 - unit.lost
        return 1 - kept

    @cached_property
    def welfare(self) -> Harmed:
        """Harms the young can have, worst first: note, genes, share of the eggs or hatchlings."""
        return tuple((harm.note, harm.name, harm.share) for harm in self.harms)

    @cached_property
    def harms(self) -> tuple[HarmShare, ...]:
        """Harms the young can have, of one gene or of several together, worst first."""
        return harm_shares(self.units, self.catalogue)

    def harmed(self, harm: Harm) -> Kind:
        """Hatchlings with the genes for a harm, as a kind whose numbers can be asked for."""
        return harmed_kind(harm, self.states, self.loci, self.catalogue)

    def harms_of_row(self, table: LookTable, row: int) -> Harmed:
        """Harms of the hatchlings of one look: note, genes, chance within the look.

        Parameters
        ----------
        table
            A table of this clutch.
        row
            Position of the look in the table.
        """
        look = table.rows[row]
        young = {
            sex: (self.hatchling(table, row, sex=sex), share / look.per_hatchling)
            for sex, share in ((Sex.MALE, look.male), (Sex.FEMALE, look.female))
            if share
        }
        return harms_of_look(young, self.catalogue)

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

    @cached_property
    def joint_units(self) -> tuple[JointUnit, ...]:
        """Independent parts as questions need them."""
        return tuple(joint_unit(unit) for unit in self.units)

    @property
    def loci(self) -> frozenset[str]:
        """Ids of the loci at which a parent may differ from the wild type."""
        return frozenset(locus.id for unit in self.units for locus in unit.loci)

    @cached_property
    def hiding_left_out(self) -> tuple[tuple[str, str], ...]:
        """Loci of which the first would hide the second, and that are listed as if it did not.

        That is so only where more genotypes than `MOST_TOGETHER` would have to be kept together.
        """
        place = {locus.id: number for number, unit in enumerate(self.units) for locus in unit.loci}
        return tuple(
            (one, other)
            for one, other in possible_hiding((self.sire, self.dam), self.catalogue)
            if one in place and other in place and place[one] != place[other]
        )

    def states(self, asks: Sequence[Ask]) -> States:
        """Shares of kinds by everything the parents may be; for questions of the program itself."""
        return states_of(self.joint_units, asks)

    def only(self, genes: Collection[str]) -> Clutch:
        """Give the same clutch looked at through some genes only; what is lost stays lost.

        Parameters
        ----------
        genes
            Names of genes or loci; a gene that hides all others counts only if it is among them.

        Raises
        ------
        UnknownGene
            If the catalogue lacks one.
        """
        loci = loci_named(genes, self.catalogue)
        return replace(self, units=narrowed_units(self.units, loci))

    def kind(self, asked: Asked) -> Kind:
        """One kind of hatchling: its shares by parents, and all that can be counted.

        Parameters
        ----------
        asked
            A pattern, or the label of a look.

        Raises
        ------
        UnknownGene
            If the catalogue lacks a look or gene of the pattern.
        BadPattern
            If the clutch has no look of that label.
        TooManyParents
            If the parents have too many joint genotypes that all give different chances.
        """
        return self.kinds((asked,))[0]

    def kinds(self, asked: Sequence[Asked]) -> tuple[Kind, ...]:
        """Several kinds with their parents in one order; errors as in `kind`."""
        return kinds_of(asked, self.states, self.catalogue, finder(self.units))

    def two_kinds(self, first: Asked, second: Asked) -> TwoKinds:
        """Two kinds of hatchlings together; errors as in `kind`."""
        return two_kinds_of(first, second, self.states, self.catalogue, finder(self.units))

    def mean_price(self, price: ProductPrice) -> PriceMean:
        """Mean price of a hatchling, averaged over the parents, and what it rests on.

        Raises
        ------
        UnknownGene
            If a pattern names what the catalogue does not have.
        TooManyPatterns
            If patterns overlap in more ways than can be told apart.
        """
        return mean_price(self.units, self.catalogue, price)

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
            picks = table.picks[range(len(table.rows))[which]].tolist()
            sight = None if picks and min(picks) < 0 else sight_of_picks(self.units, picks)
            label = table.rows[which].label
            (kind,) = kinds_of((label,), self.states, self.catalogue, lambda _: sight)
            return kind.at_least(hatchlings=hatchlings)
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
            belief = belief_in_class(unit, index, sex)
            if not belief:
                raise PairingError(f"no {sex.value} of this pairing can be {table.rows[row].label}")
            factors.append((tuple(locus.id for locus in unit.loci), belief))
        return make_animal(sex, factors)


def belief_in_class(unit: Unit, index: int, sex: Sex) -> dict[Pairs, Fraction]:
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
    male = placed(sire, Sex.MALE, catalogue, place="sire")
    female = placed(dam, Sex.FEMALE, catalogue, place="dam")
    given = checked_fractions(recombination, catalogue)
    return Clutch(male, female, catalogue, units_of(male, female, catalogue, recombination=given), given)


def checked_fractions(
    recombination: Mapping[str, Fraction | float | str] | Fraction | float | str | None, catalogue: Catalogue
) -> dict[str, Fraction]:
    """Recombination fraction by sex-linked locus, where it is not the catalogue's own.

    Raises
    ------
    BadRecombination
        If one is not between 0 and 1/2.
    """
    if recombination is None:
        return {}
    if isinstance(recombination, Mapping):
        return {catalogue.locus(name).id: checked_recombination(r) for name, r in recombination.items()}
    linked = [locus.id for locus in catalogue.loci if locus.sex_linked]
    return dict.fromkeys(linked, checked_recombination(recombination))


def placed(animal: Animal, sex: Sex, catalogue: Catalogue, *, place: str) -> Animal:
    """Parent in the place of a sire or dam, with the sex of the place.

    Raises
    ------
    PairingError
        If it has the other sex.
    """
    try:
        return with_sex(animal, sex, catalogue)
    except BadBelief:
        raise PairingError(f"the {place} is a {animal.sex.value}; it must be a {sex.value}") from None
