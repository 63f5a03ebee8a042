"""Slow second ways to the same answers, written without the packages under test."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from scipy import stats


def gamete_list(pair: tuple[str, str]) -> list[str]:
    """Both gametes of an allele pair, each as likely."""
    return [pair[0], pair[1]]


def square(
    sire: Sequence[tuple[str, str]], dam: Sequence[tuple[str, str]]
) -> dict[tuple[tuple[str, str], ...], Fraction]:
    """The pencil square: all 2^L gametes of the sire against all 2^L of the dam, 4^L cells."""
    cells: dict[tuple[tuple[str, str], ...], Fraction] = {}
    each = Fraction(1, 4 ** len(sire))
    for from_sire in product(*map(gamete_list, sire)):
        for from_dam in product(*map(gamete_list, dam)):
            young = tuple(tuple(sorted(pair)) for pair in zip(from_sire, from_dam, strict=True))
            cells[young] = cells.get(young, Fraction(0)) + each
    return cells


def sex_linked_square(
    sire: tuple[str, str], dam: tuple[str, str], r: Fraction
) -> dict[tuple[str, tuple[str, str]], Fraction]:
    """Young of a sire (X allele, Y allele) by his four kinds of gamete; son = (X allele, Y allele)."""
    on_x, on_y = sire
    kinds = [
        ("female", on_x, (1 - r) / 2),
        ("female", on_y, r / 2),
        ("male", on_y, (1 - r) / 2),
        ("male", on_x, r / 2),
    ]
    cells: dict[tuple[str, tuple[str, str]], Fraction] = {}
    for sex, allele, chance in kinds:
        for mother in dam:
            pair = (mother, allele) if sex == "male" else tuple(sorted((mother, allele)))
            cells[(sex, pair)] = cells.get((sex, pair), Fraction(0)) + chance / 2
    return cells


def miss_all(shares: Sequence[float], weights: Sequence[float], hatchlings: int) -> float:
    """Chance that none of several hatchlings is wanted, counted parent by parent."""
    total = 0.0
    for share, weight in zip(shares, weights, strict=True):
        missed = 1.0
        for _ in range(hatchlings):
            missed *= 1.0 - share
        total += weight * missed
    return total


@dataclass(frozen=True)
class SlowPrice:
    """Log price of one look, sex and month of sale: its middle, its spreads, and who shares them [log]."""

    middle: float
    level: float
    own: float
    sale: float
    lead: str
    look: str

    def mean(self) -> float:
        if self.middle == -math.inf:
            return 0.0
        spread = math.sqrt(self.level**2 + self.own**2 + self.sale**2)
        return (
            float(stats.lognorm.mean(spread, scale=math.exp(self.middle)))
            if spread
            else math.exp(self.middle)
        )

    def mean_square(self) -> float:
        if self.middle == -math.inf:
            return 0.0
        spread = math.sqrt(self.level**2 + self.own**2 + self.sale**2)
        if not spread:
            return math.exp(2 * self.middle)
        return float(stats.lognorm.moment(2, spread, scale=math.exp(self.middle)))

    def mean_product(self, other: SlowPrice, common: float) -> float:
        """Expected product of two sales of different animals."""
        if -math.inf in (self.middle, other.middle):
            return 0.0
        shared = self.level * other.level * (1.0 if self.lead == other.lead else common)
        shared += self.own * other.own if self.look == other.look else 0.0
        return self.mean() * other.mean() * math.exp(shared)


@dataclass(frozen=True)
class SlowClutch:
    """A pairing as its parts, to be added up by loops.

    Parents: chance of each genotype of both, and what of a hundred fertile eggs of theirs becomes which
    look and sex; what is missing to one is lost. Eggs: chance of each number. Sold: chance of sale by
    month after hatching, given that it lives; keep: cost of keeping one until a month.
    """

    parents: Sequence[tuple[float, Mapping[tuple[str, str], float]]]
    eggs: Mapping[int, float]
    laying: float
    fertile: float
    hatching: float
    survival: float
    sold: Mapping[int, float]
    first: int
    last: int
    keep: Callable[[int], float]
    price: Callable[[str, str, int], SlowPrice]
    fee: float
    sale_cost: float
    season_cost: float
    clutch_cost: float
    common: float

    def counts(self, shares: Mapping[tuple[str, str], float]) -> dict[int, float]:
        """Chance of each number of hatchlings of two parents once she has laid."""
        each = self.fertile * self.hatching * math.fsum(shares.values())
        found: dict[int, float] = {}
        for eggs, chance in self.eggs.items():
            for young in range(eggs + 1):
                split = math.comb(eggs, young) * each**young * (1 - each) ** (eggs - young)
                found[young] = found.get(young, 0.0) + chance * split
        return found

    def fates(
        self, shares: Mapping[tuple[str, str], float]
    ) -> list[tuple[float, float, float, SlowPrice | None]]:
        """All fates of one hatchling: chance, part of the price that stays, what it has cost, price."""
        alive = math.fsum(shares.values())
        unsold = 1.0 - math.fsum(self.sold.values())
        found: list[tuple[float, float, float, SlowPrice | None]] = []
        for (look, sex), share in shares.items():
            here = share / alive
            found.append((here * (1 - self.survival), 0.0, self.keep(self.first), None))
            found.append((here * self.survival * unsold, 0.0, self.keep(self.last), None))
            for month, chance in self.sold.items():
                cost = self.keep(month) + self.sale_cost
                price = self.price(look, sex, month)
                found.append((here * self.survival * chance, 1 - self.fee, cost, price))
        return found

    def hatchlings(self) -> float:
        """Expected number of hatchlings."""
        total = 0.0
        for weight, shares in self.parents:
            for young, chance in self.counts(shares).items():
                total += self.laying * weight * chance * young
        return total

    def sales(self) -> float:
        """Expected money from sales."""
        total = 0.0
        for weight, shares in self.parents:
            one = math.fsum(p * price.mean() for p, _, _, price in self.fates(shares) if price is not None)
            for young, chance in self.counts(shares).items():
                total += self.laying * weight * chance * young * one
        return total

    def moments(self) -> tuple[float, float]:
        """Expected margin and its standard deviation."""
        first = second = 0.0
        for weight, shares in self.parents:
            mean, square, product = self._one_and_two(self.fates(shares))
            for young, chance in self.counts(shares).items():
                here = self.laying * weight * chance
                fixed = -self.clutch_cost
                first += here * (fixed + young * mean)
                two = young * square + young * (young - 1) * product
                second += here * (fixed**2 + 2 * fixed * young * mean + two)
        return first - self.season_cost, math.sqrt(max(second - first**2, 0.0))

    def _one_and_two(
        self, fates: list[tuple[float, float, float, SlowPrice | None]]
    ) -> tuple[float, float, float]:
        """Expected value and square of what one hatchling leaves, and product of what two leave."""
        mean = square = product = 0.0
        prices = [price.mean() if price is not None else 0.0 for _, _, _, price in fates]
        for (chance, part, cost, price), expected in zip(fates, prices, strict=True):
            mean += chance * (part * expected - cost)
            both = part**2 * price.mean_square() if price is not None else 0.0
            square += chance * (both - 2 * part * expected * cost + cost**2)
            for (chance2, part2, cost2, price2), expected2 in zip(fates, prices, strict=True):
                joint = 0.0
                if price is not None and price2 is not None:
                    joint = part * part2 * price.mean_product(price2, self.common)
                crossed = -part * expected * cost2 - part2 * expected2 * cost
                product += chance * chance2 * (joint + crossed + cost * cost2)
        return mean, square, product

    def at_least_one(self, look: str) -> float:
        """Chance of one or more of a look in the season, by the binomial distribution of scipy."""
        missed = 1.0 - self.laying
        for weight, shares in self.parents:
            alive = math.fsum(shares.values())
            share = math.fsum(part for (name, _), part in shares.items() if name == look) / alive
            for young, chance in self.counts(shares).items():
                missed += self.laying * weight * chance * float(stats.binom.pmf(0, young, share))
        return 1.0 - missed


SlowPairs = tuple[tuple[str, str], ...]
SlowBelief = Sequence[tuple[SlowPairs, Fraction]]


@dataclass(frozen=True)
class SlowLocus:
    """One locus: its alleles in the order in which a pair is written, r if it is sex-linked, and the
    chance of each pair that its egg is not lost."""

    alleles: tuple[str, ...]
    r: Fraction | None
    survival: Mapping[tuple[str, str], Fraction]

    def young(
        self, sire: tuple[str, str], dam: tuple[str, str]
    ) -> dict[tuple[str, tuple[str, str]], Fraction]:
        """Chance per egg of each sex and pair; a son's pair at a sex-linked locus is (X, Y)."""
        found: dict[tuple[str, tuple[str, str]], Fraction] = {}
        rank = self.alleles.index
        for sex, own, other in (("male", sire[1], sire[0]), ("female", sire[0], sire[1])):
            move = Fraction(1, 2) if self.r is None else self.r
            for from_sire, chance in ((own, 1 - move), (other, move)):
                for from_dam in dam:
                    pair = (from_dam, from_sire)
                    if self.r is None or sex == "female":
                        pair = tuple(sorted(pair, key=rank))
                    found[(sex, pair)] = found.get((sex, pair), Fraction(0)) + chance / 4
        return found


def slow_eggs(
    loci: Sequence[SlowLocus], sire: SlowPairs, dam: SlowPairs
) -> dict[tuple[str, SlowPairs], Fraction]:
    """Chance of each sex and whole genotype among the fertile eggs of two known parents that survive."""
    tables = [locus.young(*pairs) for locus, pairs in zip(loci, zip(sire, dam, strict=True), strict=True)]
    found: dict[tuple[str, SlowPairs], Fraction] = {}
    for sex in ("male", "female"):
        parts = [[(pair, 2 * c) for (who, pair), c in table.items() if who == sex and c] for table in tables]
        for choice in product(*parts):
            chance = Fraction(1, 2)
            for locus, (pair, part) in zip(loci, choice, strict=True):
                chance *= part * locus.survival[pair]
            if chance:
                key = (sex, tuple(pair for pair, _ in choice))
                found[key] = found.get(key, Fraction(0)) + chance
    return found


def slow_parents(
    loci: Sequence[SlowLocus], sire: SlowBelief, dam: SlowBelief
) -> list[tuple[Fraction, dict[tuple[str, SlowPairs], Fraction]]]:
    """Every joint genotype of two parents: its chance, and what survives of their eggs."""
    return [(first * second, slow_eggs(loci, one, other)) for one, first in sire for other, second in dam]


def slow_numbers(share: Fraction, count: int) -> list[Fraction]:
    """Chance of each number of hits in a known number of draws, by exact binomials."""
    return [math.comb(count, k) * share**k * (1 - share) ** (count - k) for k in range(count + 1)]
