"""Which pattern's price counts for which hatchlings, found unit by unit.

A pattern allows some classes of each unit. Going through the units, hatchlings are kept apart only by
the patterns they can still meet; those that can meet the same are added up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.queries.labels import picks_of_label
from genetics.clutches.queries.pattern import BadPattern, Conditions, Pattern, conditions_of
from genetics.clutches.queries.states import SEXES
from genetics.clutches.units import Unit
from genetics.genes.catalogue import Catalogue
from genetics.genes.traits import Sex

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_STATES = 200_000
"""Sets of patterns kept apart; adding up overlapping patterns has no shorter way in general."""


class TooManyPatterns(ValueError):
    """Patterns that overlap in more ways than can be told apart."""

    def __init__(self, count: int) -> None:
        self.count = count
        super().__init__(
            f"the prices by pattern overlap in more than {MOST_STATES} ways; give fewer of them, or exact "
            "combinations instead"
        )


@dataclass(frozen=True, eq=False)
class Rule:
    """One pattern with its price, as the classes of each unit that are certain to meet it.

    Attributes
    ----------
    price
        Its price [money].
    seen, covered
        For hatchlings that nothing covers and for covered ones, by unit: classes allowed for each
        sex, shape (K, 2), or None where all are.
    sexes
        Whether males and females can meet it.
    """

    price: float
    seen: tuple[Bools | None, ...]
    covered: tuple[Bools | None, ...]
    sexes: tuple[bool, bool]


@dataclass(frozen=True)
class Part:
    """Some hatchlings: their share, their share of the mean price, and the share priced by pattern."""

    share: float
    value: float
    by_pattern: float

    def nothing(self) -> Part:
        """No hatchlings at all."""
        return Part(0.0, 0.0, 0.0)


@dataclass(frozen=True, eq=False)
class SexColumns:
    """Shares and price factors of the classes of each unit.

    Attributes
    ----------
    start
        For each sex, what the products start from: share, and share times base price.
    shares
        Share per hatchling by class and sex, one (K, 2) for each unit.
    factors
        Price factor by class, one (K,) for each unit.
    covers
        Whether a class covers all other genes, one (K,) for each unit.
    """

    start: tuple[tuple[float, float], tuple[float, float]]
    shares: tuple[Floats, ...]
    factors: tuple[Floats, ...]
    covers: tuple[Bools, ...]

    def at(self, picks: NDArray[np.int64]) -> tuple[Floats, Floats]:
        """Share, and share times price as a product, of some looks by sex, shape (M, 2) each."""
        share = np.tile([start for start, _ in self.start], (len(picks), 1))
        value = np.tile([start for _, start in self.start], (len(picks), 1))
        for place, (table, factor) in enumerate(zip(self.shares, self.factors, strict=True)):
            pick = picks[:, place]
            part = table[pick]
            share = share * part
            value = value * part * factor[pick, None]
        return share, value

    def ruled(self, picks: NDArray[np.int64], rules: Sequence[Rule]) -> tuple[Floats, Bools]:
        """Price by pattern of some looks by sex, and whether a pattern meets them, shape (M, 2) each."""
        price = np.zeros((len(picks), 2))
        met = np.zeros((len(picks), 2), dtype=bool)
        for rule in rules:
            here = np.tile(np.array(rule.sexes), (len(picks), 1))
            for place, allowed in enumerate(rule.seen):
                if allowed is not None:
                    here &= allowed[picks[:, place]]
            price[here & ~met] = rule.price
            met |= here
        return price, met


def winners(
    patterns: Sequence[tuple[Pattern, float]], units: Sequence[Unit], catalogue: Catalogue
) -> tuple[Rule, ...]:
    """Patterns in the order in which they count: more conditions first, then as listed.

    Raises
    ------
    UnknownGene
        If the catalogue lacks a look or gene of a pattern.
    """
    order = sorted(patterns, key=lambda item: -item[0].conditions)
    rules = (_rule(pattern, price, units, catalogue) for pattern, price in order)
    return tuple(rule for rule in rules if rule is not None)


def _rule(pattern: Pattern, price: float, units: Sequence[Unit], catalogue: Catalogue) -> Rule | None:
    """Classes that are certain to meet a pattern; None if the clutch has no such hatchling."""
    conditions = conditions_of(pattern, catalogue)
    if conditions.missing({locus.id for unit in units for locus in unit.loci}):
        return None
    covers = any(kind.hides_all for unit in units for kind in unit.classes)
    seen = [_allowed(unit, conditions, covered=False) for unit in units]
    covered = [_allowed(unit, conditions, covered=True) if covers else None for unit in units]
    if pattern.label is not None:
        try:
            picks = picks_of_label(units, pattern.label)
        except BadPattern:
            return None
        for place, unit in enumerate(units):
            chosen = np.zeros((len(unit.classes), 2), dtype=bool)
            if picks is None:
                seen[place] = chosen
                continue
            covered[place] = chosen.copy()
            chosen[picks[place]] = True
            seen[place] = chosen if seen[place] is None else chosen & seen[place]
    sexes = (conditions.sex in (None, Sex.MALE), conditions.sex in (None, Sex.FEMALE))
    return Rule(price, tuple(seen), tuple(covered), sexes)


@lru_cache(maxsize=16384)
def _allowed(unit: Unit, conditions: Conditions, *, covered: bool) -> Bools | None:
    """Classes all of whose young meet the conditions, by sex; None if the unit is not asked about."""
    if not conditions.touches({locus.id for locus in unit.loci}):
        return None
    return np.array(
        [
            [
                all(
                    conditions.met(unit.loci, pairs, sex=sex, covered=covered)
                    for who, pairs, _ in kind.young
                    if who in (None, sex)
                )
                for sex in SEXES
            ]
            for kind in unit.classes
        ]
    )


def seen_mean(columns: SexColumns, rules: Sequence[Rule]) -> Part:
    """Hatchlings that nothing covers."""
    parts = []
    for sex, (share, value) in enumerate(columns.start):
        mine = [rule for rule in rules if rule.sexes[sex]]
        tables = [(~hides, rate) for hides, rate in zip(columns.covers, columns.factors, strict=True)]
        parts.append(_walk(columns, mine, sex, [rule.seen for rule in mine], tables, start=(share, value)))
    return _sum(parts)


def covered_mean(columns: SexColumns, rules: Sequence[Rule]) -> Part:
    """Hatchlings that a gene covers: all as if covered, less those that no unit covers."""
    if not any(hides.any() for hides in columns.covers):
        return Part(0.0, 0.0, 0.0)
    parts = []
    for sex, start in enumerate(columns.start):
        mine = [rule for rule in rules if rule.sexes[sex]]
        masks = [rule.covered for rule in mine]
        rates = [np.where(h, f, 1.0) for h, f in zip(columns.covers, columns.factors, strict=True)]
        every = [(np.ones(rate.size, dtype=bool), rate) for rate in rates]
        none = [(~hides, rate) for hides, rate in zip(columns.covers, rates, strict=True)]
        parts.append(_walk(columns, mine, sex, masks, every, start=start))
        less = _walk(columns, mine, sex, masks, none, start=start)
        parts.append(Part(-less.share, -less.value, -less.by_pattern))
    return _sum(parts)


def _sum(parts: Sequence[Part]) -> Part:
    return Part(
        sum(part.share for part in parts),
        sum(part.value for part in parts),
        sum(part.by_pattern for part in parts),
    )


def _walk(
    columns: SexColumns,
    rules: Sequence[Rule],
    sex: int,
    masks: Sequence[tuple[Bools | None, ...]],
    tables: Sequence[tuple[Bools, Floats]],
    *,
    start: tuple[float, float],
) -> Part:
    """Go through the units of one sex; the state is the set of patterns that can still be met."""
    states: dict[int, tuple[float, float]] = {(1 << len(rules)) - 1: start}
    open_later = _still_open(masks, len(tables))
    for place, (used, factor) in enumerate(tables):
        share = columns.shares[place][:, sex] * used
        value = share * factor
        groups = _groups(masks, place, sex, share, value)
        grown: dict[int, tuple[float, float]] = {}
        for state, (mass, money) in states.items():
            for key, (more, worth) in groups.items():
                left = _without_beaten(state & key, open_later[place])
                before = grown.get(left, (0.0, 0.0))
                grown[left] = (before[0] + mass * more, before[1] + money * worth)
        if len(grown) > MOST_STATES:
            raise TooManyPatterns(len(grown))
        states = grown
    return _priced(states, rules)


def _priced(states: dict[int, tuple[float, float]], rules: Sequence[Rule]) -> Part:
    """Price the hatchlings of each set of patterns by the first that counts, else as a product."""
    share = value = by_pattern = 0.0
    for state, (mass, money) in states.items():
        share += mass
        if state:
            by_pattern += mass
            value += mass * rules[(state & -state).bit_length() - 1].price
        else:
            value += money
    return Part(share, value, by_pattern)


def _groups(
    masks: Sequence[tuple[Bools | None, ...]], place: int, sex: int, share: Floats, value: Floats
) -> dict[int, tuple[float, float]]:
    """Share and value of the classes of a unit, by the set of patterns they allow."""
    full = (1 << len(masks)) - 1
    asked = [(bit, allowed) for bit, mask in enumerate(masks) if (allowed := mask[place]) is not None]
    if not asked:
        return {full: (float(share.sum()), float(value.sum()))}
    keys = [full] * share.size
    for bit, allowed in asked:
        for row, fits in enumerate(allowed[:, sex].tolist()):
            if not fits:
                keys[row] &= ~(1 << bit)
    groups: dict[int, tuple[float, float]] = {}
    for key, mass, money in zip(keys, share.tolist(), value.tolist(), strict=True):
        if mass:
            before = groups.get(key, (0.0, 0.0))
            groups[key] = (before[0] + mass, before[1] + money)
    return groups


def _still_open(masks: Sequence[tuple[Bools | None, ...]], count: int) -> list[int]:
    """For each unit, the set of patterns that later units still ask about."""
    later = [0] * count
    for place in range(count - 2, -1, -1):
        asked = sum(1 << bit for bit, mask in enumerate(masks) if mask[place + 1] is not None)
        later[place] = later[place + 1] | asked
    return later


def _without_beaten(state: int, open_later: int) -> int:
    """Leave out patterns that count less than one that is met whatever comes."""
    met = state & ~open_later
    return state & ((met & -met) * 2 - 1) if met else state
