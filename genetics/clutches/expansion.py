"""How the units of a clutch are multiplied out: the likeliest looks, or all of them with labels.

Shares are whole numbers over one common denominator, so they stay exact; labels are joined from
the units' own words, and only when they are asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from math import lcm, prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.units import Share, Unit

Whole = NDArray[Any]
Floats = NDArray[np.float64]

MOST_LOOKS = 2**20
"""Looks up to which a clutch is multiplied out in full."""

_SAFE = 2**62


class TooManyLooks(ValueError):
    """A clutch has more looks than can be listed one by one."""

    def __init__(self, count: int) -> None:
        self.count = count
        super().__init__(f"the clutch has {count} looks; at most {MOST_LOOKS} are listed, so give a limit")


@dataclass(frozen=True, eq=False)
class UnitNumbers:
    """Shares of one unit as whole numbers.

    Attributes
    ----------
    denominator
        Common denominator.
    numerators
        Numerators, shape (classes, 1) or (classes, 2) with the columns male, female.
    """

    denominator: int
    numerators: tuple[tuple[int, ...], ...]

    def column(self, places: Sequence[int], sex: int | None) -> list[int]:
        """Numerators of some classes; of one sex, or (None) of both together."""
        rows = (self.numerators[place] for place in places)
        return [sum(row) if sex is None or len(row) == 1 else row[sex] for row in rows]


@lru_cache(maxsize=8192)
def hatch_numbers(unit: Unit) -> UnitNumbers:
    """Shares per hatchling as whole numbers."""
    return _numbers(unit.hatch)


@lru_cache(maxsize=8192)
def egg_numbers(unit: Unit) -> UnitNumbers:
    """Shares per fertile egg as whole numbers."""
    return _numbers(unit.egg)


def _numbers(shares: tuple[Share, ...]) -> UnitNumbers:
    denominator = lcm(*(share.denominator for row in shares for share in row))
    numerators = tuple(
        tuple(share.numerator * (denominator // share.denominator) for share in row) for row in shares
    )
    return UnitNumbers(denominator, numerators)


@lru_cache(maxsize=8192)
def open_classes(unit: Unit) -> tuple[int, ...]:
    """Positions of the classes that do not cover all other genes."""
    return tuple(place for place, kind in enumerate(unit.classes) if not kind.hides_all)


def whole_array(numbers: Sequence[int], largest: int) -> Whole:
    """Whole numbers as an array that can't overflow while products stay up to a largest number."""
    return np.array(numbers, dtype=np.int64 if largest < _SAFE else object)


def look_count(units: Sequence[Unit]) -> int:
    """Count the looks of a clutch; all that are covered by a gene that hides all count as one."""
    seen = prod(len(open_classes(unit)) for unit in units)
    return seen + any(kind.hides_all for unit in units for kind in unit.classes)


def likeliest(units: Sequence[Unit], limit: int | None) -> NDArray[np.int64]:
    """Classes of the likeliest looks, most likely first, ties in class order, shape (rows, units).

    A look that is not among the likeliest for the units so far can't be among them for more
    units, so each step keeps only as many as are asked for.

    Parameters
    ----------
    units
        Units of the clutch.
    limit
        Most rows; None for all.

    Raises
    ------
    TooManyLooks
        If all are asked for and there are more than `MOST_LOOKS`.
    """
    if limit is None and look_count(units) > MOST_LOOKS:
        raise TooManyLooks(look_count(units))
    largest = prod(hatch_numbers(unit).denominator for unit in units)
    totals = whole_array([1], largest)
    picks = np.zeros((1, 0), dtype=np.int64)
    for unit in units:
        places = open_classes(unit)
        part = whole_array(hatch_numbers(unit).column(places, None), largest)
        totals = np.multiply.outer(totals, part).ravel()
        order = np.argsort(-totals, kind="stable") if limit is not None else np.arange(totals.size)
        order = order[:limit]
        before, here = np.divmod(order, max(len(places), 1))
        picks = np.column_stack([picks[before], np.asarray(places, dtype=np.int64)[here]])
        totals = totals[order]
    if limit is None:
        picks = picks[np.argsort(-totals, kind="stable")]
    return picks


def exact_shares(
    units: Sequence[Unit], picks: NDArray[np.int64], *, per_egg: bool
) -> tuple[Whole, Whole, int]:
    """Exact share of each row among males and females: numerators (male, female), denominator.

    Parameters
    ----------
    units
        Units of the clutch.
    picks
        Classes of each row, shape (rows, units).
    per_egg
        True for shares of the fertile eggs, False for shares of the hatchlings.
    """
    numbers = [(egg_numbers if per_egg else hatch_numbers)(unit) for unit in units]
    halved = not any(unit.sexed for unit in units)
    denominator = prod(part.denominator for part in numbers) * (2 if halved else 1)
    columns = []
    for sex in (0, 1):
        product = whole_array([1] * len(picks), denominator)
        for place, part in enumerate(numbers):
            column = whole_array(part.column(range(len(part.numerators)), sex), denominator)
            product = product * column[picks[:, place]]
        columns.append(product)
    return columns[0], columns[1], denominator


def hidden_shares(units: Sequence[Unit], *, per_egg: bool) -> tuple[Fraction, Fraction]:
    """Share of the young covered by a gene that hides all (male, female)."""
    halved = Fraction(1) if any(unit.sexed for unit in units) else Fraction(1, 2)
    shares = []
    for sex in (0, 1):
        whole, seen = halved, halved
        for unit in units:
            part = (egg_numbers if per_egg else hatch_numbers)(unit)
            whole *= Fraction(sum(part.column(range(len(part.numerators)), sex)), part.denominator)
            seen *= Fraction(sum(part.column(open_classes(unit), sex)), part.denominator)
        shares.append(whole - seen)
    return shares[0], shares[1]


def join_label(shown: str, carried: str) -> str:
    """Label of a look from its parts; "normal" if it neither shows nor carries anything."""
    return f"{shown} {carried}".strip() or "normal"


@dataclass(frozen=True, eq=False)
class Expansion:
    """All looks of a clutch that no other gene covers, in class order (last unit fastest).

    Attributes
    ----------
    units
        Units of the clutch.
    numerators, denominator
        Exact share of each look per hatchling, shape (looks,).
    """

    units: tuple[Unit, ...]
    numerators: Whole
    denominator: int

    @cached_property
    def shares(self) -> Floats:
        """Share of each look per hatchling, shape (looks,)."""
        shares: Floats = np.asarray(self.numerators, dtype=float) / float(self.denominator)
        return shares

    @cached_property
    def labels(self) -> tuple[str, ...]:
        """Label of each look, joined when first asked for."""
        half = len(self.units) // 2
        first = _joined_words(self.units[:half])
        last = _joined_words(self.units[half:])
        labels = [f"{a}{b}{c}{d}"[1:] or "normal" for a, c in first for b, d in last]
        return tuple(labels)

    def mean(self, parts: Sequence[Floats]) -> float:
        """Average the product over units of a value for each class, without multiplying out.

        Parameters
        ----------
        parts
            One value per class that is not covered, for each unit.
        """
        mean = 1.0
        for unit, values in zip(self.units, parts, strict=True):
            numbers = hatch_numbers(unit)
            column = np.array(numbers.column(open_classes(unit), None), dtype=float)
            mean *= float(column @ values) / numbers.denominator
        return mean


@lru_cache(maxsize=8192)
def _words(unit: Unit) -> tuple[tuple[str, str], ...]:
    """Words of a unit's classes, each with a space before it: what shows, what is carried."""
    kinds = (unit.classes[place] for place in open_classes(unit))
    return tuple((f" {k.shown}" if k.shown else "", f" {k.carried}" if k.carried else "") for k in kinds)


def _joined_words(units: Sequence[Unit]) -> list[tuple[str, str]]:
    """Words of all looks of some units: what shows, what is carried."""
    words = [("", "")]
    for unit in units:
        words = [(a + b, c + d) for a, c in words for b, d in _words(unit)]
    return words


def expand(units: Sequence[Unit]) -> Expansion:
    """All looks of a clutch with their exact shares.

    Raises
    ------
    TooManyLooks
        If there are more than `MOST_LOOKS`.
    """
    if look_count(units) > MOST_LOOKS:
        raise TooManyLooks(look_count(units))
    denominator = prod(hatch_numbers(unit).denominator for unit in units)
    totals = whole_array([1], denominator)
    for unit in units:
        part = whole_array(hatch_numbers(unit).column(open_classes(unit), None), denominator)
        totals = np.multiply.outer(totals, part).ravel()
    return Expansion(tuple(units), totals, denominator)
