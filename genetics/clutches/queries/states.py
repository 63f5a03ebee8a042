"""How likely some kinds of hatchlings are for each thing the parents may be.

All young of two parents share the parents' genotypes, so a statement about several of them is a
mixture over those genotypes. Each unit of a clutch gives a few numbers for each genotype of the
parents; over the units they are multiplied, and genotypes that give the same numbers are merged, so
that units a question does not touch cost nothing. All numbers are exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product

from genetics.clutches.cases import Case
from genetics.clutches.look_alikes import appearance
from genetics.clutches.queries.pattern import Conditions
from genetics.clutches.units import Unit
from genetics.genes.genotype import Pairs
from genetics.genes.loci import Locus
from genetics.genes.traits import Sex

MOST_STATES = 2**14
"""Joint genotypes of the parents that are kept apart when they all give different chances."""

SEXES = (Sex.MALE, Sex.FEMALE)
Sight = tuple[tuple[str, ...], ...]
"""What the eye sees of a hatchling that nothing covers, unit by unit."""

Numbers = tuple[Fraction, ...]


class TooManyParents(ValueError):
    """The parents may be more things that matter to a question than can be told apart."""

    def __init__(self, count: int) -> None:
        self.count = count
        super().__init__(
            f"the parents have {count} joint genotypes that all give other chances of this; at most "
            f"{MOST_STATES} are kept apart, so ask about fewer genes"
        )


@dataclass(frozen=True)
class Ask:
    """One kind of hatchling as it is asked of every unit.

    Attributes
    ----------
    conditions
        What its genes must meet.
    sight
        What the eye must see unit by unit; None for anything.
    covered
        True if only hatchlings are meant that a gene covers.
    """

    conditions: Conditions = field(default_factory=Conditions)
    sight: Sight | None = None
    covered: bool = False

    def joined(self, other: Ask) -> Ask:
        """Hatchlings that are of both kinds."""
        conditions = self.conditions.joined(other.conditions)
        differ = self.sight is not None and other.sight is not None and self.sight != other.sight
        clash = (self.covered and other.sight is not None) or (other.covered and self.sight is not None)
        if differ or clash:
            conditions = conditions.joined(Conditions(never=True))
        sight = other.sight if self.sight is None else self.sight
        return Ask(conditions, sight, self.covered or other.covered)


@dataclass(frozen=True, eq=False)
class JointUnit:
    """One independent part of the clutches that one parent has with one or more partners.

    Attributes
    ----------
    loci
        Its loci.
    sexed
        True if its cases tell the sexes apart.
    alike
        True if its loci have look-alikes of each other.
    rows
        For each genotype of the shared parent its chance and, for each partner, what may come of it.
    """

    loci: tuple[Locus, ...]
    sexed: bool
    alike: bool
    rows: tuple[tuple[Fraction, tuple[tuple[Case, ...], ...]], ...]


@dataclass(frozen=True)
class Share:
    """What one clutch gives for one joint genotype of its parents.

    Attributes
    ----------
    alive
        Share of the fertile eggs that is not lost to their genes.
    kinds
        For each kind asked about, its share of the hatchlings (male, female).
    """

    alive: Fraction
    kinds: tuple[tuple[Fraction, Fraction], ...]


States = tuple[tuple[Fraction, tuple[Share, ...]], ...]
"""Chance of what the parents are, and what that gives with each partner."""


def joint_unit(unit: Unit) -> JointUnit:
    """Unit of two parents, as one of a parent with a single partner."""
    return JointUnit(unit.loci, unit.sexed, unit.alike, ((Fraction(1), (unit.cases,)),))


def states_of(units: Sequence[JointUnit], asks: Sequence[Ask]) -> States:
    """Share of some kinds of hatchlings for everything the parents may be.

    Parameters
    ----------
    units
        Independent parts of the clutches.
    asks
        Kinds of hatchlings.

    Raises
    ------
    TooManyParents
        If the parents have too many joint genotypes that all give different chances.
    """
    partners = len(units[0].rows[0][1]) if units else 1
    covering = any(_covers(unit.loci, pairs) for unit in units for pairs in _genotypes(unit))
    width = 1 + len(asks) * (6 if covering else 2)
    states: dict[tuple[Numbers, ...], Fraction] = {((Fraction(1),) * width,) * partners: Fraction(1)}
    for place, unit in enumerate(units):
        options = _options(unit, place, asks, covering=covering)
        if len(states) * len(options) > MOST_STATES:
            raise TooManyParents(len(states) * len(options))
        grown: dict[tuple[Numbers, ...], Fraction] = {}
        for (known, weight), (added, chance) in product(states.items(), options.items()):
            key = tuple(
                tuple(a * b for a, b in zip(one, other, strict=True))
                for one, other in zip(known, added, strict=True)
            )
            grown[key] = grown.get(key, Fraction(0)) + weight * chance
        states = grown
    half = Fraction(1) if any(unit.sexed for unit in units) else Fraction(1, 2)
    loci = {locus.id for unit in units for locus in unit.loci}
    return tuple(
        (weight, tuple(_share(numbers, asks, loci, half=half) for numbers in state))
        for state, weight in sorted(states.items(), reverse=True)
    )


def _genotypes(unit: JointUnit) -> Iterable[Pairs]:
    """All genotypes of the hatchlings of a unit."""
    for _, partners in unit.rows:
        for cases in partners:
            for case in cases:
                for _, pairs in case.hatched:
                    yield pairs


def _covers(loci: Sequence[Locus], pairs: Pairs) -> bool:
    """Whether a genotype hides all other genes."""
    return any(locus.look(pair).hides == "all" for locus, pair in zip(loci, pairs, strict=True))


def _options(
    unit: JointUnit, place: int, asks: Sequence[Ask], *, covering: bool
) -> dict[tuple[Numbers, ...], Fraction]:
    """Numbers of a unit with each partner, by everything its parents may be, merged."""
    options: dict[tuple[Numbers, ...], Fraction] = {}
    for chance, partners in unit.rows:
        tables: list[dict[Numbers, Fraction]] = []
        for cases in partners:
            table: dict[Numbers, Fraction] = {}
            for case in cases:
                numbers = _numbers(unit, place, case, asks, covering=covering)
                table[numbers] = table.get(numbers, Fraction(0)) + case.weight
            tables.append(table)
        for choice in product(*(table.items() for table in tables)):
            weight = chance
            for _, part in choice:
                weight *= part
            key = tuple(numbers for numbers, _ in choice)
            options[key] = options.get(key, Fraction(0)) + weight
    return options


def _numbers(unit: JointUnit, place: int, case: Case, asks: Sequence[Ask], *, covering: bool) -> Numbers:
    """Numbers of one genotype of the parents that are multiplied over the units.

    The first is the share of eggs that is not lost. Then, for each kind and sex: the share of the
    hatchlings that meets it where nothing covers; and if anything can cover, the share that meets it
    beneath a cover, and that part of it in which this unit does not cover.
    """
    found = [1 - case.lost]
    seen = [
        (who, pairs, chance, covering and _covers(unit.loci, pairs))
        for (who, pairs), chance in case.hatched.items()
    ]
    for ask in asks:
        untouched = ask.sight is None and not ask.conditions.touches({locus.id for locus in unit.loci})
        for sex in SEXES:
            plain = beneath = open_beneath = Fraction(0)
            for who, pairs, chance, covers in seen:
                if who not in (None, sex):
                    continue
                if not covers and (untouched or _met(unit, place, pairs, ask, sex=sex)):
                    plain += chance
                if covering and (untouched or ask.conditions.met(unit.loci, pairs, sex=sex, covered=True)):
                    beneath += chance
                    open_beneath += Fraction(0) if covers else chance
            found += [plain, beneath, open_beneath] if covering else [plain]
    return tuple(found)


def _met(unit: JointUnit, place: int, pairs: Pairs, ask: Ask, *, sex: Sex) -> bool:
    """Whether a genotype that nothing covers meets what is asked of its unit."""
    if ask.sight is not None and appearance(unit.loci, pairs, joined=unit.alike) != ask.sight[place]:
        return False
    return ask.conditions.met(unit.loci, pairs, sex=sex, covered=False)


def _share(numbers: Numbers, asks: Sequence[Ask], loci: set[str], *, half: Fraction) -> Share:
    """Shares of the kinds from the products over all units."""
    step = (len(numbers) - 1) // max(2 * len(asks), 1)
    kinds = []
    for index, ask in enumerate(asks):
        pair = []
        for column, sex in enumerate(SEXES):
            start = 1 + step * (2 * index + column)
            share = Fraction(0) if ask.covered else numbers[start]
            if step > 1 and ask.sight is None:
                share += numbers[start + 1] - numbers[start + 2]
            wanted = ask.conditions.sex in (None, sex) and not ask.conditions.never
            pair.append(half * share if wanted and not ask.conditions.missing(loci) else Fraction(0))
        kinds.append((pair[0], pair[1]))
    return Share(numbers[0], tuple(kinds))
