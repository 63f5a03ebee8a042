"""Which harms a pairing can do to its young and to its dam, worst first."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import combinations
from math import prod

from genetics.clutches.queries.ask import StatesOf
from genetics.clutches.queries.kinds import Kind, kinds_from
from genetics.clutches.queries.pattern import Conditions
from genetics.clutches.queries.states import Ask, Share
from genetics.clutches.units import Unit
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Pairs
from genetics.genes.harms import harms_of_animal
from genetics.genes.loci import HARMS, CombinedHarm, Harm, HealthNote
from genetics.genes.traits import Sex

Harmed = tuple[tuple[HealthNote, str, Fraction], ...]
ONLY_FEMALES = "females that can't lay safely"
LOSS = "not hatching"
SEXES = (Sex.MALE, Sex.FEMALE)

Wanted = Mapping[str, tuple[str, int]]
Table = Sequence[tuple[Sex | None, Pairs, Fraction]]


@dataclass(frozen=True)
class HarmShare:
    """One known harm with the share of the young that has the genes for it.

    Shares are those of the genes, not of animals that suffer: how many do is not known. Only
    daughters count where only females are harmed.

    Attributes
    ----------
    note
        The harm, what is known of it, and the source.
    name
        The gene, the compound, or the genes of several loci it belongs to.
    per_egg
        Share of the fertile eggs: of eggs that do not hatch all with the genes, else those that hatch.
    per_hatchling
        Share of the hatchlings.
    together
        True if genes of several loci do it together.
    """

    note: HealthNote
    name: str
    per_egg: Fraction
    per_hatchling: Fraction
    together: bool = False

    @property
    def share(self) -> Fraction:
        """Share to be shown: of the fertile eggs where eggs do not hatch, else of the hatchlings."""
        return self.per_egg if self.note.harm == LOSS else self.per_hatchling


def harm_shares(units: Sequence[Unit], catalogue: Catalogue) -> tuple[HarmShare, ...]:
    """Harms the young of a pairing can have, worst first, then by how many it meets.

    Averaged over the parents' genotypes.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    catalogue
        The genes.
    """
    noted = [unit for unit in units if _noted(unit)]
    kept = prod((1 - unit.lost for unit in units), start=Fraction(1))
    found = []
    for unit in noted:
        in_eggs, in_young, in_alive = (_single(unit, table) for table in _tables(unit))
        elsewhere = kept / (1 - unit.lost)
        for (note, name), share in in_eggs.items():
            alive = in_alive.get((note, name), Fraction(0)) * elsewhere
            per_egg = share if note.harm == LOSS else alive
            found.append(HarmShare(note, name, per_egg, in_young.get((note, name), Fraction(0))))
    loci = {locus.id for unit in units for locus in unit.loci}
    for harm, wanted in _combined(catalogue):
        if loci.issuperset(wanted):
            tables = [_tables(unit) for unit in units]
            of_eggs, of_young, of_alive = (
                _together(harm, wanted, units, part) for part in zip(*tables, strict=True)
            )
            per_egg = of_eggs if harm.note.harm == LOSS else of_alive
            found.append(HarmShare(harm.note, harm.name, per_egg, of_young, together=True))
    return tuple(sorted((item for item in found if item.share), key=_worst_first))


def _worst_first(harm: HarmShare) -> tuple[int, Fraction, str]:
    return HARMS.index(harm.note.harm), -harm.share, harm.name


@lru_cache(maxsize=8192)
def _noted(unit: Unit) -> bool:
    """Whether any egg of a unit has genes with a note."""
    return any(
        locus.look(pair).notes
        for _, pairs, _ in unit.eggs
        for locus, pair in zip(unit.loci, pairs, strict=True)
    )


@lru_cache(maxsize=8192)
def _tables(unit: Unit) -> tuple[Table, Table, Table]:
    """Chance of each genotype, averaged over the parents: per egg, per hatchling, per egg and not lost."""
    young = [
        (sex, pairs, sum(share, Fraction(0)) * chance)
        for share, kind in zip(unit.hatch, unit.classes, strict=True)
        for sex, pairs, chance in kind.young
    ]
    alive = [
        (sex, pairs, case.weight * (1 - case.lost) * chance)
        for case in unit.cases
        for (sex, pairs), chance in case.hatched.items()
    ]
    return unit.eggs, young, alive


@lru_cache(maxsize=64)
def _combined(catalogue: Catalogue) -> tuple[tuple[CombinedHarm, Wanted], ...]:
    """Harms of genes of several loci, each with what it needs at which locus."""
    return tuple(
        (harm, {catalogue.gene(gene).locus: (gene, copies) for gene, copies in harm.genes})
        for harm in catalogue.combined_harms
    )


def _single(unit: Unit, table: Table) -> dict[tuple[HealthNote, str], Fraction]:
    """Share of the young with the genes of each harm that one locus of a unit does."""
    found: dict[tuple[HealthNote, str], Fraction] = {}
    for sex, pairs, chance in table:
        for locus, pair in zip(unit.loci, pairs, strict=True):
            for key in locus.look(pair).notes:
                found[key] = found.get(key, Fraction(0)) + chance * _harmed_share(key[0], sex)
    return found


def _harmed_share(note: HealthNote, sex: Sex | None) -> Fraction:
    """Part of the young of a kind that a note can harm."""
    if note.harm != ONLY_FEMALES or sex is Sex.FEMALE:
        return Fraction(1)
    return Fraction(0) if sex is Sex.MALE else Fraction(1, 2)


def _together(harm: CombinedHarm, wanted: Wanted, units: Sequence[Unit], tables: Sequence[Table]) -> Fraction:
    """Share of the young with all genes of a harm; units are independent given the sex."""
    whole = Fraction(1) if any(unit.sexed for unit in units) else Fraction(1, 2)
    total = Fraction(0)
    for sex in SEXES:
        share = whole * _harmed_share(harm.note, sex)
        for unit, table in zip(units, tables, strict=True):
            here = [wanted.get(locus.id) for locus in unit.loci]
            met = (chance for who, pairs, chance in table if who in (None, sex) and _has(pairs, here))
            share *= sum(met, Fraction(0))
        total += share
    return total


def _has(pairs: Pairs, wanted: Iterable[tuple[str, int] | None]) -> bool:
    """Whether a genotype has all that is wanted of its loci."""
    return all(ask is None or pair.count(ask[0]) >= ask[1] for pair, ask in zip(pairs, wanted, strict=True))


def harmed_kind(
    harm: Harm,
    states: StatesOf,
    loci: Collection[str],
    catalogue: Catalogue,
    *,
    sires: tuple[Fraction, ...] = (Fraction(1),),
) -> Kind:
    """Hatchlings with the genes for a harm, of one locus or of several together, as a kind to be counted.

    Parameters
    ----------
    harm
        The harm.
    states
        Gives the shares of kinds by parents.
    loci
        Ids of the loci at which the young may differ from the wild type.
    catalogue
        The genes.
    sires
        Share of the eggs of each sire.
    """
    further = [_condition(item, catalogue) for item in catalogue.combined_harms if item.note.harm == harm]
    further = [item for item in further if not item.missing(loci) and not _met_alone(item, harm, catalogue)]
    unharmed = Conditions(without=frozenset((harm,)))
    asks, signs = [Ask()], [1]
    for size in range(len(further) + 1):
        for chosen in combinations(further, size):
            conditions = unharmed
            for item in chosen:
                conditions = conditions.joined(item)
            if size and harm == ONLY_FEMALES:
                conditions = conditions.joined(Conditions(sex=Sex.FEMALE))
            asks.append(Ask(conditions))
            signs.append(-((-1) ** size))
    signed = tuple(
        (weight, tuple(_signed(share, signs) for share in shares)) for weight, shares in states(asks)
    )
    return kinds_from(signed, (harm,), sires)[0]


def _condition(harm: CombinedHarm, catalogue: Catalogue) -> Conditions:
    """All genes of a harm that genes of several loci do together."""
    return Conditions(
        carries=frozenset((catalogue.gene(gene).locus, gene, copies) for gene, copies in harm.genes)
    )


def _met_alone(conditions: Conditions, harm: Harm, catalogue: Catalogue) -> bool:
    """Whether one of the genes of a combined harm always does the harm by itself."""
    return any(
        all(
            any(note.harm == harm for note, _ in look.notes)
            for pair, look in catalogue.locus(locus).looks.items()
            if pair.count(gene) >= copies
        )
        for locus, gene, copies in conditions.carries
    )


def _signed(share: Share, signs: Sequence[int]) -> Share:
    """Sum of the kinds with their signs, as one kind."""
    male, female = (
        sum((sign * kind[sex] for sign, kind in zip(signs, share.kinds, strict=True)), Fraction(0))
        for sex in (0, 1)
    )
    return Share(share.alive, ((male, female),))


def mixed_harms(
    by_sire: Sequence[Sequence[HarmShare]], eggs: Sequence[Fraction], hatchlings: Sequence[Fraction]
) -> tuple[HarmShare, ...]:
    """Harms of the young of several possible sires, worst first.

    Parameters
    ----------
    by_sire
        Harms with each of them.
    eggs, hatchlings
        Share of the eggs and of the hatchlings of each.
    """
    found: dict[tuple[HealthNote, str], HarmShare] = {}
    for harms, of_eggs, of_young in zip(by_sire, eggs, hatchlings, strict=True):
        for harm in harms:
            key = (harm.note, harm.name)
            known = found.get(key, replace(harm, per_egg=Fraction(0), per_hatchling=Fraction(0)))
            found[key] = replace(
                known,
                per_egg=known.per_egg + of_eggs * harm.per_egg,
                per_hatchling=known.per_hatchling + of_young * harm.per_hatchling,
            )
    return tuple(sorted(found.values(), key=_worst_first))


def harms_of_look(
    young: Mapping[Sex, tuple[Animal, Fraction]], catalogue: Catalogue
) -> tuple[tuple[HealthNote, str, Fraction], ...]:
    """Harms of the hatchlings of one look, with the chance within the look that the genes are there.

    Parameters
    ----------
    young
        For each sex that the look can have, the hatchling and its share of the look.
    catalogue
        The genes.
    """
    found: dict[tuple[HealthNote, str], Fraction] = {}
    for animal, share in young.values():
        for note, name, chance in harms_of_animal(animal, catalogue):
            found[(note, name)] = found.get((note, name), Fraction(0)) + share * chance
    met = [(note, name, chance) for (note, name), chance in found.items()]
    return tuple(sorted(met, key=lambda item: (HARMS.index(item[0].harm), -item[2], item[1])))


def harms_to_dam(dam: Animal, catalogue: Catalogue) -> Harmed:
    """Harms that laying can do to the dam herself, by her genes, with the chance that she has them."""
    female = dam if dam.sex is Sex.FEMALE else Animal(Sex.FEMALE, dam.belief)
    harms = harms_of_animal(female, catalogue)
    return tuple(item for item in harms if item[0].harm == ONLY_FEMALES)
