"""One male with several females: how likely a wanted hatchling is over all their clutches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from genetics.clutches.cases import PairingError, cases_of, joint_table
from genetics.clutches.clutch import Clutch, checked_fractions, cross
from genetics.clutches.queries.ask import ask_for
from genetics.clutches.queries.counts import BadCount
from genetics.clutches.queries.pattern import BadPattern, Pattern
from genetics.clutches.queries.states import JointUnit, states_of
from genetics.clutches.ties import linked_groups
from genetics.clutches.units import factors_at, fractions_at
from genetics.clutches.waiting import SeasonOfEggs, Waiting
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal


@dataclass(frozen=True, eq=False)
class SeveralFemales:
    """The clutches of one male with several females; they share what he may be.

    Attributes
    ----------
    clutches
        The clutch with each female, in the order given.
    joint_units
        Independent parts of all clutches with the sire's genotype in common.
    catalogue
        The genes.
    """

    clutches: tuple[Clutch, ...]
    joint_units: tuple[JointUnit, ...]
    catalogue: Catalogue

    def waiting(
        self,
        asked: Pattern,
        *,
        season: SeasonOfEggs | Sequence[SeasonOfEggs],
        each_sex: bool = False,
    ) -> Waiting:
        """Chance by seasons of at least one of a kind from any of the females.

        Parameters
        ----------
        asked
            The wanted hatchlings; a pattern without a label, since labels differ between clutches.
        season
            What a female may lay, for all or for each of them.
        each_sex
            True for one male and one female of the kind.

        Raises
        ------
        BadPattern
            If the pattern has a label.
        BadCount
            If there are not as many seasons as females.
        UnknownGene
            If the catalogue lacks a look or gene.
        TooManyParents
            If the parents have too many joint genotypes that all give different chances.
        """
        if asked.label is not None:
            raise BadPattern(f"'{asked.label}' is a label of one clutch; give what shows and is carried")
        seasons = [season] * len(self.clutches) if isinstance(season, SeasonOfEggs) else list(season)
        if len(seasons) != len(self.clutches):
            raise BadCount(f"{len(seasons)} seasons for {len(self.clutches)} females; allowed: one for each")
        states = states_of(self.joint_units, [ask_for(asked, self.catalogue, lambda _: None)])
        weights = np.array([float(weight) for weight, _ in states])
        missed = np.ones((3, weights.size))
        for place, laid in enumerate(seasons):
            mine = [shares[place] for _, shares in states]
            by_sex = np.array([[float(s.alive * part) for part in s.kinds[0]] for s in mine])
            for row, share in enumerate((by_sex.sum(axis=1), by_sex[:, 0], by_sex[:, 1])):
                missed[row] *= laid.none(share)
        if not each_sex:
            return Waiting("seasons", weights, missed[0])
        return Waiting("seasons", np.concatenate([-weights, weights, weights]), missed.ravel())


def with_females(
    sire: Animal,
    dams: Sequence[Animal],
    catalogue: Catalogue,
    *,
    recombination: Mapping[str, Fraction | float | str] | Fraction | float | str | None = None,
) -> SeveralFemales:
    """Clutches of one male with several females.

    Parameters
    ----------
    sire, dams
        The male and the females.
    catalogue
        The genes.
    recombination
        As in `cross`.

    Raises
    ------
    PairingError
        If there is no female, an animal has the wrong sex, or no egg of a pair can hatch.
    BadRecombination
        If a recombination fraction is not between 0 and 1/2.
    """
    if not dams:
        raise PairingError("no female; allowed: one or more")
    clutches = tuple(cross(sire, dam, catalogue, recombination=recombination) for dam in dams)
    male, females = clutches[0].sire, [clutch.dam for clutch in clutches]
    given = checked_fractions(recombination, catalogue)
    units = []
    for group in linked_groups((male, *females), catalogue):
        loci = tuple(catalogue.locus(name) for name in group)
        fractions = fractions_at(loci, given)
        tables = [joint_table(factors_at(female, group), group) for female in females]
        rows = []
        for pairs, chance in joint_table(factors_at(male, group), group):
            his = ((pairs, Fraction(1)),)
            rows.append((chance, tuple(cases_of(loci, his, table, fractions) for table in tables)))
        alike = any(len(shared.intersection(group)) > 1 for shared in catalogue.shared_looks)
        units.append(JointUnit(loci, any(part is not None for part in fractions), alike, tuple(rows)))
    return SeveralFemales(clutches, tuple(units), catalogue)
