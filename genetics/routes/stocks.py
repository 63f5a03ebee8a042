"""Animals of a serial route: what they are, where they come from, and when they can be paired."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import factorial

import numpy as np
from numpy.typing import NDArray

from genetics.routes.biology import Biology
from genetics.routes.founders import Founder
from genetics.routes.kinds import Joint, Kind, Sets, States, certain, genotypes, share_of
from genetics.routes.waiting import Case, after, enough_by, steps

Floats = NDArray[np.float64]


class NotExact(ValueError):
    """A plan whose waits depend on each other, so that it can only be simulated."""


@dataclass(frozen=True, eq=False)
class Pairing:
    """A male and the females he is paired with, season after season.

    Attributes
    ----------
    sire, dams
        The animals.
    start
        Chance of each number of seasons before they can be paired, index = seasons; it may sum to
        less than 1.
    """

    sire: Stock
    dams: Stock
    start: Floats


@dataclass(frozen=True, eq=False)
class Stock:
    """One male, or some females, of one kind.

    Attributes
    ----------
    kind
        What each of them is, independent of each other.
    male
        Whether it is a male.
    count
        How many.
    ready
        Chance of each number of seasons before they can be paired, index = seasons.
    founders
        The animals, if the route starts from them.
    pairing
        Their parents, if they are held back from the young.
    sets
        Genotypes at each locus for which they are held back.
    """

    kind: Kind
    male: bool
    count: int
    ready: Floats
    founders: tuple[Founder, ...] = ()
    pairing: Pairing | None = None
    sets: Sets = ()

    @cached_property
    def line(self) -> frozenset[Stock]:
        """The animals themselves and all they come from."""
        if self.pairing is None:
            return frozenset({self})
        return self.pairing.sire.line | self.pairing.dams.line | {self}

    @cached_property
    def pairings(self) -> tuple[Pairing, ...]:
        """Pairings they come from, each once."""
        return tuple(
            {id(each.pairing): each.pairing for each in self.line if each.pairing is not None}.values()
        )

    @cached_property
    def sources(self) -> frozenset[Founder]:
        """Founders they are or come from."""
        return frozenset(founder for stock in self.line for founder in stock.founders)

    @cached_property
    def dams_before(self) -> frozenset[Founder]:
        """Founders that are dams in a step they come from."""
        return frozenset(founder for each in self.pairings for founder in each.dams.founders)

    @cached_property
    def uncertain(self) -> bool:
        """Whether more than one genotype is possible."""
        return not certain(self.kind)

    @cached_property
    def uncertain_parents(self) -> frozenset[Stock]:
        """Animals of uncertain genes in the steps they come from."""
        parents = (parent for each in self.pairings for parent in (each.sire, each.dams))
        return frozenset(parent for parent in parents if parent.uncertain)

    @cached_property
    def price(self) -> float:
        """Price of the animals that have to be bought for them [money]."""
        return sum(founder.price or 0.0 for founder in self.sources)

    @cached_property
    def animals(self) -> int:
        """Animals kept on the way, themselves included."""
        held = sum(stock.count for stock in self.line if stock.pairing is not None)
        return held + len(self.sources)


def founder_stock(founders: tuple[Founder, ...], kind: Kind, *, seasons: int) -> Stock:
    """Founders of one kind and sex that are paired together."""
    ready = np.zeros(seasons + 1)
    wait = max(founder.ready_in for founder in founders)
    if wait <= seasons:
        ready[wait] = 1.0
    return Stock(kind, founders[0].male, len(founders), ready, founders)


def cases_of(
    sire: Stock,
    dams: Stock,
    states: States,
    biology: Biology,
    *,
    sons: Sets | None,
    daughters: Sets | None,
    lives: float,
) -> tuple[Case, ...]:
    """What the parents may be, with the chance of wanted sons and daughters from each dam.

    Parameters
    ----------
    sire, dams
        The parents.
    states, biology
        The loci, and the life history.
    sons, daughters
        Genotypes wanted at each locus; None if none of that sex is wanted.
    lives
        Chance that a hatchling lives until it counts [0 to 1].
    """
    found: list[Case] = []
    for father, weight in genotypes(sire.kind):
        chances: dict[tuple[float, float], Fraction] = {}
        for mother, part in genotypes(dams.kind):
            pair = _wanted(father, mother, states, biology, sons, daughters, lives)
            chances[pair] = chances.get(pair, Fraction(0)) + part
        for group, part in _groups(tuple(chances.items()), dams.count):
            found.append(Case(float(weight * part), group))
    return tuple(found)


def _wanted(
    father: Joint,
    mother: Joint,
    states: States,
    biology: Biology,
    sons: Sets | None,
    daughters: Sets | None,
    lives: float,
) -> tuple[float, float]:
    """Chance that a fertile egg that hatches at all becomes a wanted male, and a wanted female."""
    male = share_of(states, father, mother, male=True, sets=sons) if sons is not None else 0
    female = share_of(states, father, mother, male=False, sets=daughters) if daughters is not None else 0
    return float(male) * biology.male_share * lives, float(female) * (1.0 - biology.male_share) * lives


def _groups(
    chances: tuple[tuple[tuple[float, float], Fraction], ...], count: int
) -> Iterator[tuple[tuple[tuple[float, float], ...], Fraction]]:
    """Every way in which several dams can be of these kinds, with its chance (multinomial)."""
    if len(chances) == 1:
        yield (chances[0][0],) * count, chances[0][1] ** count
        return
    (first, chance), rest = chances[0], chances[1:]
    left = 1 - chance
    for number in range(count + 1):
        ways = Fraction(factorial(count), factorial(number) * factorial(count - number))
        scaled = tuple((key, part / left) for key, part in rest)
        for others, share in _groups(scaled, count - number):
            yield (first,) * number + others, ways * chance**number * left ** (count - number) * share


def joined(sire: Stock, dams: Stock, states: States, biology: Biology) -> Floats:
    """Chance of each number of seasons before two stocks can both be paired.

    Exact in these cases: they come from one and the same pairing; one comes from the other; or they
    share no dam and no animal whose genes are uncertain.

    Raises
    ------
    NotExact
        In every other case.
    """
    _check_uncertain(sire, dams)
    if sire.pairing is not None and sire.pairing is dams.pairing:
        return _siblings(sire, dams, sire.pairing, states, biology)
    if dams in sire.line:
        return sire.ready
    if sire in dams.line:
        return dams.ready
    _check_apart(sire, dams, biology)
    return steps(np.cumsum(sire.ready) * np.cumsum(dams.ready))


def _check_apart(sire: Stock, dams: Stock, biology: Biology) -> None:
    """Refuse branches of a plan that wait for the same young, or need the same animal at a time."""
    if any(stock.pairing is not None for stock in sire.line & dams.line):
        raise NotExact("two branches of the plan wait for the same young")
    females = sire.dams_before & (dams.dams_before | set(dams.founders))
    if females:
        raise NotExact(f"two branches of the plan need the same female ({min(f.name for f in females)})")
    mates: dict[Founder, int] = {}
    for each in sire.pairings + dams.pairings:
        for founder in each.sire.founders:
            mates[founder] = mates.get(founder, 0) + each.dams.count
    busy = [founder.name for founder, count in mates.items() if count > biology.females_per_male]
    shared = {f.name for s in sire.line & dams.line for f in s.founders}
    if shared.intersection(busy):
        raise NotExact(f"{min(busy)} would be paired with more than {biology.females_per_male} females")


def _check_uncertain(sire: Stock, dams: Stock) -> None:
    """Refuse a plan that uses an animal of uncertain genes in two steps."""
    before = sire.uncertain_parents | dams.uncertain_parents
    if not before:
        return
    founders = {founder for stock in before for founder in stock.founders}
    now = {stock for stock in (sire, dams) if stock.uncertain}
    again = before & now or founders.intersection(f for stock in now for f in stock.founders)
    shared = sire.uncertain_parents & dams.uncertain_parents
    uses = [
        {id(each) for each in sire.pairings + dams.pairings if parent in (each.sire, each.dams)}
        for parent in shared
    ]
    if again or any(len(pairings) > 1 for pairings in uses):
        raise NotExact("an animal whose genes are uncertain is used in two steps")


def _siblings(sire: Stock, dams: Stock, parents: Pairing, states: States, biology: Biology) -> Floats:
    """Both sexes held back from one pairing: one of each is not two independent events."""
    cases = cases_of(
        parents.sire,
        parents.dams,
        states,
        biology,
        sons=sire.sets,
        daughters=dams.sets,
        lives=biology.survival,
    )
    by = enough_by(
        cases,
        (sire.count, dams.count),
        biology,
        seasons=parents.start.size - 1,
        delays=(biology.male_maturity - 1, biology.female_maturity - 1),
    )
    return after(parents.start, steps(by))


def held_back(
    parents: Pairing, kind: Kind, sets: Sets, states: States, biology: Biology, *, male: bool, count: int
) -> Stock:
    """Young of one kind held back from a pairing until they can be paired.

    Every wanted young is held back until enough of them live to be paired; those that die do not
    count.

    Parameters
    ----------
    parents
        Their parents.
    kind, sets
        What they are, and the genotypes for which they are held back.
    states, biology
        The loci, and the life history.
    male, count
        Sex and number.
    """
    cases = cases_of(
        parents.sire,
        parents.dams,
        states,
        biology,
        sons=sets if male else None,
        daughters=None if male else sets,
        lives=biology.survival,
    )
    late = biology.maturity(male=male) - 1
    by = enough_by(
        cases,
        (count, 0) if male else (0, count),
        biology,
        seasons=parents.start.size - 1,
        delays=(late, late),
    )
    return Stock(kind, male, count, after(parents.start, steps(by)), (), parents, sets)
