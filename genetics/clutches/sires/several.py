"""What a female hatches that may have been with several males."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.cases import NothingHatches, PairingError, cases_of, joint_table
from genetics.clutches.clutch import Clutch, checked_fractions, placed
from genetics.clutches.look_table import LookRow, LookTable
from genetics.clutches.queries.ask import Asked, kinds_of, two_kinds_of
from genetics.clutches.queries.kinds import Kind, TwoKinds
from genetics.clutches.queries.pattern import BadPattern
from genetics.clutches.queries.states import Ask, JointUnit, Sight, States, states_of
from genetics.clutches.sires.cases import SireCases, sire_cases
from genetics.clutches.sires.factors import hatchling_of
from genetics.clutches.sires.table import CommonClasses, common_classes, mixed_rows
from genetics.clutches.ties import linked_groups
from genetics.clutches.units import factors_at, fractions_at, unit_at
from genetics.clutches.welfare import Harmed, HarmShare, harmed_kind, harms_of_look, mixed_harms
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal
from genetics.genes.loci import Harm
from genetics.genes.traits import Sex

Floats = NDArray[np.float64]
Each = Literal["egg", "clutch"]

MOST_SIRES = 6
"""Possible sires of one clutch."""


@dataclass(frozen=True, eq=False)
class MixedClutch:
    """The young of a female and one of several males, or several of them.

    It answers what a `Clutch` answers. Shares of hatchlings are those of the eggs that hatch.
    Where some of the parents' possible genotypes lose more eggs than others and each egg has its own
    sire, a table of looks and `hatchling` may differ in the third digit; `kind` is exact.

    Attributes
    ----------
    sires
        The males with their chance.
    dam, catalogue
        The female and the genes.
    each
        "egg": every egg has its own sire, the chance is his share of the eggs; "clutch": one of them
        is the sire of all eggs, and it is not known which.
    clutches
        The clutch with each male, all over the same units.
    joint_units
        Independent parts of the clutches with the dam's genotype in common.
    """

    sires: tuple[tuple[Animal, Fraction], ...]
    dam: Animal
    catalogue: Catalogue
    each: Each
    clutches: tuple[Clutch, ...]
    joint_units: tuple[JointUnit, ...]

    @property
    def chances(self) -> tuple[Fraction, ...]:
        """Chance of each sire."""
        return tuple(chance for _, chance in self.sires)

    @property
    def loci(self) -> frozenset[str]:
        """Ids of the loci at which a parent may differ from the wild type."""
        return self.clutches[0].loci

    @property
    def lost_share(self) -> Fraction:
        """Share of the fertile eggs lost to their genes, averaged over the parents' genotypes."""
        pairs = zip(self.chances, self.clutches, strict=True)
        return sum((chance * clutch.lost_share for chance, clutch in pairs), Fraction(0))

    @property
    def hatchling_chances(self) -> tuple[Fraction, ...]:
        """Chance that a hatchling's sire is each male: of those whose eggs hatch, by their eggs."""
        if self.each == "clutch":
            return self.chances
        kept = 1 - self.lost_share
        pairs = zip(self.chances, self.clutches, strict=True)
        return tuple(chance * (1 - clutch.lost_share) / kept for chance, clutch in pairs)

    @cached_property
    def harms(self) -> tuple[HarmShare, ...]:
        """Harms the young can have, of one gene or of several together, worst first."""
        return mixed_harms([clutch.harms for clutch in self.clutches], self.chances, self.hatchling_chances)

    @property
    def welfare(self) -> Harmed:
        """Harms the young can have, worst first: note, genes, share of the eggs or hatchlings."""
        return tuple((harm.note, harm.name, harm.share) for harm in self.harms)

    def states(self, asks: Sequence[Ask]) -> States:
        """Shares of kinds by everything the parents may be; for questions of the program itself."""
        if self.each == "egg":
            return states_of(self.joint_units, asks)
        return tuple(
            (chance * weight, shares)
            for chance, clutch in zip(self.chances, self.clutches, strict=True)
            for weight, shares in clutch.states(asks)
        )

    def kind(self, asked: Asked) -> Kind:
        """One kind of hatchling, as `Clutch.kind`."""
        return self.kinds((asked,))[0]

    def kinds(self, asked: Sequence[Asked]) -> tuple[Kind, ...]:
        """Several kinds with their parents in one order, as `Clutch.kinds`."""
        return kinds_of(asked, self.states, self.catalogue, self._find, sires=self._mixing)

    def two_kinds(self, first: Asked, second: Asked) -> TwoKinds:
        """Two kinds of hatchlings together, as `Clutch.two_kinds`."""
        return two_kinds_of(first, second, self.states, self.catalogue, self._find, sires=self._mixing)

    def harmed(self, harm: Harm) -> Kind:
        """Hatchlings with the genes for a harm, as a kind whose numbers can be asked for."""
        return harmed_kind(harm, self.states, self.loci, self.catalogue, sires=self._mixing)

    def looks(self, *, limit: int | None = 64) -> LookTable:
        """List the looks of the young, most likely first, as `Clutch.looks`.

        Raises
        ------
        TooManyLooks
            If all are asked for and there are too many to list.
        ValueError
            If the limit is below 1.
        """
        if limit is not None and limit < 1:
            raise ValueError(f"limit is {limit}; allowed: 1 or more")
        found = mixed_rows(
            [clutch.units for clutch in self.clutches],
            self._classes,
            self._factors,
            eggs=self.chances,
            per_egg=self.each == "egg",
            limit=limit,
        )
        rest = 1 - sum((row.per_hatchling for row in found.rows), Fraction(0))
        weights, shares, lost, averaged = self._by_parents(found.picks, rest=bool(rest))
        return LookTable(
            rows=found.rows,
            rest_share=rest,
            rest_count=found.count - len(found.rows),
            weights=weights,
            shares=shares,
            lost=lost,
            picks=found.picks,
            averaged=averaged,
        )

    def at_least_one(self, which: int | Callable[[LookRow], bool], hatchlings: int) -> float:
        """Chance of at least one hatchling of a look, as `Clutch.at_least_one`."""
        if isinstance(which, int):
            table = self.looks()
            sight = self._sight(table.picks[which].tolist())
            (kind,) = kinds_of(
                (table.rows[which].label,), self.states, self.catalogue, lambda _: sight, sires=self._mixing
            )
            return kind.at_least(hatchlings=hatchlings)
        table = self.looks(limit=None)
        rows = [place for place, row in enumerate(table.rows) if which(row)]
        hit = table.shares[:, rows, :].sum(axis=(1, 2))
        return float(1.0 - table.weights @ np.power(np.clip(1.0 - hit, 0.0, 1.0), hatchlings))

    def hatchling(self, table: LookTable, row: int, *, sex: Sex) -> Animal:
        """Say what a hatchling of one look and sex may be, as `Clutch.hatchling`.

        Raises
        ------
        PairingError
            If no hatchling of that look has that sex.
        """
        return hatchling_of(
            self.clutches,
            self._factors,
            self._classes,
            table.picks[row],
            sex=sex,
            label=table.rows[row].label,
            per_egg=self.each == "egg",
        )

    def harms_of_row(self, table: LookTable, row: int) -> Harmed:
        """Harms of the hatchlings of one look, as `Clutch.harms_of_row`."""
        look = table.rows[row]
        young = {
            sex: (self.hatchling(table, row, sex=sex), share / look.per_hatchling)
            for sex, share in ((Sex.MALE, look.male), (Sex.FEMALE, look.female))
            if share
        }
        return harms_of_look(young, self.catalogue)

    @property
    def _mixing(self) -> tuple[Fraction, ...]:
        """Shares of the eggs over which each joint case of the parents is mixed."""
        return self.chances if self.each == "egg" else (Fraction(1),)

    @property
    def _factors(self) -> tuple[Fraction, ...]:
        """What turns each sire's own shares, of his eggs or hatchlings, into shares of the hatchlings."""
        if self.each == "clutch":
            return self.chances
        kept = 1 - self.lost_share
        return tuple(chance / kept for chance in self.chances)

    @cached_property
    def _classes(self) -> CommonClasses:
        return common_classes([clutch.units for clutch in self.clutches])

    def _find(self, label: str) -> Sight | None:
        """What the eye sees of a look of the table, by its label."""
        table = self.looks(limit=None)
        for row, pick in zip(table.rows, table.picks.tolist(), strict=True):
            if row.label == label:
                return self._sight(pick)
        raise BadPattern(f"this clutch has no look '{label}'")

    def _sight(self, pick: Sequence[int]) -> Sight | None:
        """What the eye sees of a look given by its common classes; None if it is covered."""
        if pick and min(pick) < 0:
            return None
        return tuple(seen[place] for seen, place in zip(self._classes.sights, pick, strict=True))

    def _by_parents(
        self, picks: NDArray[np.int64], *, rest: bool
    ) -> tuple[Floats, Floats, Floats, tuple[str, ...]]:
        """Weights, shares of the rows, lost share, and averaged loci, by everything the parents may be."""
        sights, covers = self._classes.sights, self._classes.covers
        if self.each == "egg":
            cases = sire_cases(self.joint_units, sights, picks, covers)
            return _egg_by_egg(cases, np.array([float(q) for q in self.chances]), rest=rest)
        most = 512 // len(self.clutches)
        parts = [sire_cases(clutch.joint_units, sights, picks, covers, most=most) for clutch in self.clutches]
        mixed = [_egg_by_egg(part, np.ones(1), rest=rest) for part in parts]
        return (
            np.concatenate([float(q) * part[0] for q, part in zip(self.chances, mixed, strict=True)]),
            np.concatenate([part[1] for part in mixed]),
            np.concatenate([part[2] for part in mixed]),
            tuple(dict.fromkeys(name for part in mixed for name in part[3])),
        )


def _egg_by_egg(
    cases: SireCases, chances: Floats, *, rest: bool
) -> tuple[Floats, Floats, Floats, tuple[str, ...]]:
    """Mix the partners by their eggs; where no egg hatches the average stands in."""
    brings = chances * cases.alive
    alive = brings.sum(axis=1)
    dead = alive <= 0.0
    part = brings / np.where(dead, 1.0, alive)[:, None]
    by_sire = cases.shares
    if rest:
        beyond = np.clip(cases.totals - by_sire.sum(axis=2), 0.0, None)
        by_sire = np.concatenate([by_sire, beyond[:, :, None, :]], axis=2)
    shares = np.einsum("cp,cprs->crs", part, by_sire)
    if dead.any():
        live = np.where(dead, 0.0, cases.weights)
        shares[dead] = np.tensordot(live / live.sum(), shares, axes=1)
    return cases.weights, shares, 1.0 - alive, cases.averaged


def cross_of_several(
    sires: Sequence[tuple[Animal, Fraction | float | str]],
    dam: Animal,
    catalogue: Catalogue,
    *,
    each: Each,
    recombination: Mapping[str, Fraction | float | str] | Fraction | float | str | None = None,
) -> MixedClutch:
    """Young of a female and several possible males.

    Parameters
    ----------
    sires
        The males, each with his chance; the chances sum to 1.
    dam
        The female.
    catalogue
        The genes.
    each
        "egg": every egg has its own sire (a clutch of several fathers); "clutch": one male is the sire
        of the whole clutch, and it is not known which.
    recombination
        As in `cross`.

    Raises
    ------
    PairingError
        If there is no sire or there are too many, their chances do not sum to 1, an animal has the
        wrong sex, or no egg of one of the males can hatch.
    BadRecombination
        If a recombination fraction is not between 0 and 1/2.
    """
    shares = [Fraction(str(chance)) if isinstance(chance, float) else Fraction(chance) for _, chance in sires]
    if not 1 <= len(sires) <= MOST_SIRES:
        raise PairingError(f"{len(sires)} possible sires; allowed: 1 to {MOST_SIRES}")
    if sum(shares) != 1 or min(shares) <= 0:
        raise PairingError(f"the sires' chances sum to {sum(shares)}; allowed: each above 0, sum 1")
    if each not in ("egg", "clutch"):
        raise PairingError(f"each is {each!r}; allowed: 'egg' or 'clutch'")
    female = placed(dam, Sex.FEMALE, catalogue, place="dam")
    males = [placed(sire, Sex.MALE, catalogue, place="sire") for sire, _ in sires]
    given = checked_fractions(recombination, catalogue)
    groups = linked_groups((*males, female), catalogue)
    clutches = []
    for number, male in enumerate(males, 1):
        try:
            units = tuple(unit_at(group, male, female, catalogue, recombination=given) for group in groups)
        except NothingHatches as fault:
            raise NothingHatches(f"sire {number}: {fault}") from None
        clutches.append(Clutch(male, female, catalogue, units, given))
    joint = tuple(
        _joint_unit(group, males, female, catalogue, given, alike=unit.alike)
        for group, unit in zip(groups, clutches[0].units, strict=True)
    )
    pairs = tuple(zip(males, shares, strict=True))
    return MixedClutch(pairs, female, catalogue, each, tuple(clutches), joint)


def _joint_unit(
    group: tuple[str, ...],
    males: Sequence[Animal],
    female: Animal,
    catalogue: Catalogue,
    given: Mapping[str, Fraction],
    *,
    alike: bool,
) -> JointUnit:
    """Unit of a female with each male, by her genotype."""
    loci = tuple(catalogue.locus(name) for name in group)
    fractions = fractions_at(loci, given)
    tables = [joint_table(factors_at(male, group), group) for male in males]
    rows = []
    for pairs, chance in joint_table(factors_at(female, group), group):
        hers = ((pairs, Fraction(1)),)
        rows.append((chance, tuple(cases_of(loci, table, hers, fractions) for table in tables)))
    return JointUnit(loci, any(part is not None for part in fractions), alike, tuple(rows))
