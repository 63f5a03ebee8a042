"""What the average hatchling of a clutch fetches, by a price that is a product over its traits.

The price of a look is a base times a factor for each trait, unless the exact combination or a pattern
has a price of its own. Which price counts: an exact combination before any pattern; of two patterns
the one with more conditions; of two as long the one listed first. The mean is taken unit by unit and
never over the looks one by one.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.hidden import covered_classes, covered_from
from genetics.clutches.queries.pattern import Pattern
from genetics.clutches.queries.patterns_priced import Rule, SexColumns, covered_mean, seen_mean, winners
from genetics.clutches.units import Unit
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import traits_with_chances
from genetics.genes.traits import Trait

Floats = NDArray[np.float64]
NORMAL: frozenset[str] = frozenset()


class BadPrice(ValueError):
    """A price or factor that is not a number of 0 or more."""


@dataclass(frozen=True, eq=False)
class ProductPrice:
    """Price of a hatchling as a product, with prices of their own for combinations and patterns.

    Attributes
    ----------
    base
        Price of a normal hatchling [money].
    traits
        Factor of a trait by its name ("clown", "super pastel", "het clown"); 1 where none is given.
        A trait with a chance c counts 1 + c (factor - 1).
    male, female
        Factor of each sex.
    exact
        Price of an exact combination, both sexes [money]; the key holds all its traits as the trade
        writes them: {"pastel", "66% het clown"}, empty for normal.
    patterns
        Patterns with the price of every look that is certain to meet them [money].
    """

    base: float
    traits: Mapping[str, float] = field(default_factory=dict)
    male: float = 1.0
    female: float = 1.0
    exact: Mapping[frozenset[str], float] = field(default_factory=dict)
    patterns: tuple[tuple[Pattern, float], ...] = ()

    def __post_init__(self) -> None:
        given = [self.base, self.male, self.female, *self.traits.values(), *self.exact.values()]
        given += [price for _, price in self.patterns]
        wrong = [value for value in given if not 0.0 <= value < np.inf]
        if wrong:
            raise BadPrice(f"a price or factor is {wrong[0]}; allowed: 0 or more")

    def factor(self, traits: Collection[Trait]) -> float:
        """Product of the factors of some traits."""
        product = 1.0
        for trait in traits:
            product *= 1.0 + trait.chance * (self.traits.get(trait.key, 1.0) - 1.0)
        return product


@dataclass(frozen=True)
class PriceMean:
    """Mean price of a hatchling, and what it rests on.

    Attributes
    ----------
    mean
        Mean over the hatchlings [money].
    by_exact, by_pattern, by_product
        Share of the hatchlings priced in each way; they sum to 1.
    """

    mean: float
    by_exact: float
    by_pattern: float
    by_product: float


def mean_price(units: Sequence[Unit], catalogue: Catalogue, price: ProductPrice) -> PriceMean:
    """Mean price of a hatchling of a clutch.

    A covered hatchling has the factors of what covers it and of nothing beneath.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    catalogue
        The genes.
    price
        How looks are priced.

    Raises
    ------
    UnknownGene, BadPattern
        If a pattern names what the catalogue or the clutch does not have.
    TooManyPatterns
        If so many patterns overlap in so many ways that they can't be told apart.
    """
    columns = _columns(units, price)
    rules = winners(price.patterns, units, catalogue)
    seen = seen_mean(columns, rules)
    exact_share, exact_value, instead = _exact(units, columns, price, rules)
    covered = covered_mean(columns, rules)
    own = _covered_price(units, price) if covered.share else None
    if own is not None:
        exact_share += covered.share
        exact_value += own * covered.share
        covered = covered.nothing()
    by_pattern = seen.by_pattern + covered.by_pattern - instead.by_pattern
    return PriceMean(
        mean=seen.value + covered.value + exact_value - instead.value,
        by_exact=exact_share,
        by_pattern=by_pattern,
        by_product=1.0 - exact_share - by_pattern,
    )


@dataclass(frozen=True)
class _Instead:
    """What some looks would have fetched without a price of their own, and how much of it by pattern."""

    value: float
    by_pattern: float


def _columns(units: Sequence[Unit], price: ProductPrice) -> SexColumns:
    """Shares and factors of the classes of each unit, by sex."""
    half = 1.0 if any(unit.sexed for unit in units) else 0.5
    return SexColumns(
        start=((half, half * price.base * price.male), (half, half * price.base * price.female)),
        shares=tuple(_shares(unit) for unit in units),
        factors=tuple(
            np.array([price.factor(kind.priced_traits) for kind in unit.classes]) for unit in units
        ),
        covers=tuple(np.array([kind.hides_all for kind in unit.classes]) for unit in units),
    )


@lru_cache(maxsize=8192)
def _shares(unit: Unit) -> Floats:
    """Share of each class per hatchling by sex, shape (K, 2)."""
    table = np.array([[float(share) for share in row] for row in unit.hatch])
    return table if unit.sexed else np.repeat(table, 2, axis=1)


def _exact(
    units: Sequence[Unit], columns: SexColumns, price: ProductPrice, rules: Sequence[Rule]
) -> tuple[float, float, _Instead]:
    """Share and value of the exact combinations, and what they would have fetched otherwise."""
    picks, prices = _picks(units, price.exact)
    if not prices.size:
        return 0.0, 0.0, _Instead(0.0, 0.0)
    share, product = columns.at(picks)
    ruled, by_rule = columns.ruled(picks, rules)
    instead = np.where(by_rule, share * ruled, product)
    return (
        float(share.sum()),
        float(share.sum(axis=1) @ prices),
        _Instead(float(instead.sum()), float(share[by_rule].sum())),
    )


@lru_cache(maxsize=8192)
def _words(unit: Unit) -> tuple[Mapping[str, int], Mapping[frozenset[str], int]]:
    """Classes that nothing covers by their traits in words: those of one trait, and all."""
    every = {
        frozenset(map(str, kind.priced_traits)): place
        for place, kind in enumerate(unit.classes)
        if not kind.hides_all
    }
    single = {next(iter(words)): place for words, place in every.items() if len(words) == 1}
    return single, every


def _picks(units: Sequence[Unit], exact: Mapping[frozenset[str], float]) -> tuple[NDArray[np.int64], Floats]:
    """Classes and price of the combinations that this clutch can give, shape (M, units) and (M,)."""
    tables = [_words(unit) for unit in units]
    spots = [(word, unit, place) for unit, (single, _) in enumerate(tables) for word, place in single.items()]
    where = {word: code for code, (word, _, _) in enumerate(spots)}
    get = where.get
    codes = np.array([get(word, -1) for words in exact for word in words], dtype=np.int64)
    lengths = np.fromiter(map(len, exact), dtype=np.int64, count=len(exact))
    plain = np.array([every.get(NORMAL, -1) for _, every in tables], dtype=np.int64)
    picks = np.tile(plain, (len(exact), 1))
    rows = np.repeat(np.arange(len(exact)), lengths)
    known = codes >= 0
    filled = np.zeros(picks.shape, dtype=bool)
    if known.any():
        at = np.array([[unit, place] for _, unit, place in spots])[codes[known]]
        picks[rows[known], at[:, 0]] = at[:, 1]
        filled[rows[known], at[:, 0]] = True
    there = np.ones(len(exact), dtype=bool)
    odd = np.flatnonzero(filled.sum(axis=1) != lengths)
    if odd.size:
        unit_of = {word: unit for unit, (_, every) in enumerate(tables) for words in every for word in words}
        names = list(exact)
        for row in odd.tolist():
            pick = plain.tolist()
            there[row] = _by_groups(pick, names[row], unit_of, tables)
            picks[row] = pick
    there &= (picks >= 0).all(axis=1)
    prices = np.fromiter(exact.values(), dtype=float, count=len(exact))
    return picks[there], prices[there]


def _by_groups(
    pick: list[int],
    words: Collection[str],
    unit_of: Mapping[str, int],
    tables: Sequence[tuple[Mapping[str, int], Mapping[frozenset[str], int]]],
) -> bool:
    """Fill in the classes of a combination with several traits of one unit; False if there is no such."""
    groups: dict[int, set[str]] = {}
    for word in words:
        if word not in unit_of:
            return False
        groups.setdefault(unit_of[word], set()).add(word)
    for unit, group in groups.items():
        pick[unit] = tables[unit][1].get(frozenset(group), -1)
    return True


def _covered_price(units: Sequence[Unit], price: ProductPrice) -> float | None:
    """Price of the covered look as an exact combination, if it has one."""
    covered = covered_from(covered_classes(units))
    return price.exact.get(frozenset(map(str, traits_with_chances(dict(covered.traits)))))
