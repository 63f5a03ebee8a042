"""What the parents might be instead: other genotypes that look the same, other losses."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from genetics.clutches.cases import Case, cases_of, joint_table
from genetics.clutches.clutch import Clutch
from genetics.clutches.look_alikes import appearance
from genetics.clutches.queries.kinds import Kind, kinds_from
from genetics.clutches.queries.states import Ask, JointUnit, states_of
from genetics.clutches.ties import linked_groups
from genetics.clutches.units import factors_at, fractions_at
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Pairs, make_animal
from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.traits import Sex


@dataclass(frozen=True, eq=False)
class Setting:
    """What a clutch rests on, so that one part of it can be changed.

    Attributes
    ----------
    sire, dam, catalogue
        Parents and genes.
    recombination
        Recombination fraction by sex-linked locus, where it is not the catalogue's own.
    survival
        Chance that an egg with an allele pair of a locus is not lost, where it is not the catalogue's.
    """

    sire: Animal
    dam: Animal
    catalogue: Catalogue
    recombination: Mapping[str, Fraction]
    survival: Mapping[tuple[str, Pair], Fraction]


def setting_of(clutch: Clutch) -> Setting:
    """What a clutch rests on."""
    return Setting(clutch.sire, clutch.dam, clutch.catalogue, clutch.recombination, {})


def kinds_under(setting: Setting, clutch: Clutch, asks: Sequence[Ask]) -> tuple[Kind, ...]:
    """Kinds of hatchlings under a changed setting; its loci are kept together as they were.

    Parameters
    ----------
    setting
        The changed setting.
    clutch
        The clutch as recorded.
    asks
        Kinds as they were asked of it.
    """
    before = [tuple(locus.id for locus in unit.loci) for unit in clutch.units]
    known = {name for group in before for name in group}
    groups = linked_groups((setting.sire, setting.dam), setting.catalogue)
    free = (tuple(name for name in group if name not in known) for group in groups)
    order = [*before, *(group for group in free if group)]
    units = [_unit(setting, group) for group in order]
    wild = tuple(
        appearance(unit.loci, ((WILD, WILD),) * len(unit.loci), joined=unit.alike)
        for unit in units[len(before) :]
    )
    asked = [ask if ask.sight is None else replace(ask, sight=(*ask.sight, *wild)) for ask in asks]
    return kinds_from(states_of(units, asked), ("",) * len(asked), (Fraction(1),))


def _unit(setting: Setting, group: tuple[str, ...]) -> JointUnit:
    """Unit of some loci under a setting."""
    loci = tuple(setting.catalogue.locus(name) for name in group)
    fractions = fractions_at(loci, setting.recombination)
    tables = [joint_table(factors_at(animal, group), group) for animal in (setting.sire, setting.dam)]
    cases = cases_of(loci, tables[0], tables[1], fractions)
    changed = {key for key in setting.survival if key[0] in group}
    if changed:
        cases = tuple(_with_survival(loci, case, setting.survival) for case in cases)
    alike = any(len(shared.intersection(group)) > 1 for shared in setting.catalogue.shared_looks)
    sexed = any(part is not None for part in fractions)
    return JointUnit(loci, sexed, alike, ((Fraction(1), (cases,)),))


def _with_survival(
    loci: tuple[Locus, ...], case: Case, survival: Mapping[tuple[str, Pair], Fraction]
) -> Case:
    """Case with other losses."""
    alive = {}
    for (sex, pairs), chance in case.eggs.items():
        share = chance
        for locus, pair in zip(loci, pairs, strict=True):
            own = locus.look(pair).survival
            share *= survival.get((locus.id, locus.ordered(*pair)), own)
        if share:
            alive[(sex, pairs)] = share
    kept = sum(alive.values(), Fraction(0))
    hatched = {key: share / kept for key, share in alive.items()}
    return Case(case.weight, case.eggs, hatched, 1 - kept)


def other_parents(
    clutch: Clutch, loci: Sequence[Locus], *, asked: Collection[str]
) -> Iterator[tuple[Locus, dict[Sex, Pair], Setting]]:
    """Other genotypes at one locus that the parents' looks allow, one or both changed.

    Only alleles that one of them may have, or that were asked for, are tried.

    Parameters
    ----------
    clutch
        The clutch as recorded.
    loci
        Loci to be tried.
    asked
        Genes that were asked for.
    """
    base = setting_of(clutch)
    for locus in loci:
        sire, dam = _pairs_at(clutch.sire, locus), _pairs_at(clutch.dam, locus)
        known = {allele for pair in (*sire, *dam) for allele in pair} - {WILD}
        alleles = [gene.name for gene in locus.genes if gene.name in known or gene.name in asked]
        options = [
            [None, *_look_the_same(locus, now, alleles, sex=sex)]
            for sex, now in ((Sex.MALE, sire), (Sex.FEMALE, dam))
        ]
        for his, hers in product(*options):
            given = {sex: pair for sex, pair in ((Sex.MALE, his), (Sex.FEMALE, hers)) if pair is not None}
            if given:
                yield (
                    locus,
                    given,
                    replace(
                        base,
                        sire=base.sire if his is None else with_pair(base.sire, locus, his),
                        dam=base.dam if hers is None else with_pair(base.dam, locus, hers),
                    ),
                )


def _pairs_at(animal: Animal, locus: Locus) -> dict[Pair, Fraction]:
    """Allele pairs that an animal may have at a locus."""
    for factor in animal.belief:
        if locus.id in factor.loci:
            place = factor.loci.index(locus.id)
            found: dict[Pair, Fraction] = {}
            for pairs, chance in factor.table:
                found[pairs[place]] = found.get(pairs[place], Fraction(0)) + chance
            return found
    return {(WILD, WILD): Fraction(1)}


def _look_the_same(
    locus: Locus, now: Mapping[Pair, Fraction], alleles: Sequence[str], *, sex: Sex
) -> list[Pair]:
    """Allele pairs that look like what an animal may be, but for the one it is for certain."""
    seen = {locus.look(pair).appearance for pair in now}
    every = [(one, other) for one in (*alleles, WILD) for other in (*alleles, WILD)]
    if not (locus.sex_linked and sex is Sex.MALE):
        every = sorted({locus.ordered(*pair) for pair in every})
    return [
        pair
        for pair in every
        if locus.look(pair).appearance in seen and locus.look(pair).survival and now.get(pair) != 1
    ]


def with_pair(animal: Animal, locus: Locus, pair: Pair) -> Animal:
    """Animal with a certain allele pair at one locus, the rest of its belief as it was."""
    factors: list[tuple[tuple[str, ...], dict[Pairs, Fraction]]] = [((locus.id,), {(pair,): Fraction(1)})]
    for factor in animal.belief:
        kept = [place for place, name in enumerate(factor.loci) if name != locus.id]
        if kept:
            table: dict[Pairs, Fraction] = {}
            for pairs, chance in factor.table:
                key = tuple(pairs[place] for place in kept)
                table[key] = table.get(key, Fraction(0)) + chance
            factors.append((tuple(factor.loci[place] for place in kept), table))
    return make_animal(animal.sex, factors)


def other_losses(clutch: Clutch) -> Iterator[tuple[Pair, bool, Setting]]:
    """Two copies of a gene that are lost though recorded as hatching, and the other way round.

    A pair that a parent itself may have does hatch and is not tried. Each comes with True if the pair
    is lost under the changed setting.
    """
    base = setting_of(clutch)
    for unit in clutch.units:
        pairs = {
            (locus, locus.ordered(*pair))
            for _, entry, _ in unit.eggs
            for locus, pair in zip(unit.loci, entry, strict=True)
            if WILD not in pair
        }
        for locus, pair in sorted(pairs, key=lambda item: (item[0].id, item[1])):
            theirs = (_pairs_at(clutch.sire, locus), _pairs_at(clutch.dam, locus))
            if any(pair in own or pair[::-1] in own for own in theirs):
                continue
            lost = locus.look(pair).survival < 1
            changed = {(locus.id, pair): Fraction(1 if lost else 0)}
            yield pair, not lost, replace(base, survival=changed)
