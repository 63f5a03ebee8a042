"""What the parents may be, as cases that all young of one clutch share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import prod

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.units import Unit

Floats = NDArray[np.float64]

MOST_CASES = 512
"""Joint genotypes of the parents that are kept apart; beyond it the least telling are averaged."""


@dataclass(frozen=True, eq=False)
class ParentCases:
    """Joint genotypes of the parents that make a visible difference.

    Attributes
    ----------
    weights
        Chance of each case, shape (S,).
    tables
        For each unit, shares per hatchling by its own cases, class and sex, shape (s, K, 2); a unit
        that does not know the sexes has the same in both columns.
    case_of
        For each unit, its own case in each joint case, shape (S,).
    lost
        Share of the fertile eggs that is lost, by case, shape (S,).
    averaged
        Loci whose cases were averaged.
    """

    weights: Floats
    tables: tuple[Floats, ...]
    case_of: tuple[NDArray[np.int64], ...]
    lost: Floats
    averaged: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class _UnitCases:
    """Cases of one unit as arrays."""

    weights: Floats
    table: Floats
    lost: Floats

    @property
    def tells(self) -> float:
        """How much the cases differ: mean distance of their shares from the average."""
        mean = np.tensordot(self.weights, self.table, axes=1)
        distance = np.abs(self.table - mean).sum(axis=(1, 2)) + np.abs(self.lost - self.weights @ self.lost)
        return float(self.weights @ distance)

    def average(self) -> _UnitCases:
        """Put all cases into one."""
        mean = np.tensordot(self.weights, self.table, axes=1)
        return _UnitCases(np.ones(1), mean[None], np.array([self.weights @ self.lost]))


@lru_cache(maxsize=8192)
def _unit_cases(unit: Unit) -> _UnitCases:
    """Cases of one unit."""
    table = np.array([[[float(x) for x in share] for share in case.hatch] for case in unit.scenarios])
    return _UnitCases(
        weights=np.array([float(case.weight) for case in unit.scenarios]),
        table=table if unit.sexed else np.repeat(table, 2, axis=2),
        lost=np.array([float(case.lost) for case in unit.scenarios]),
    )


def parent_cases(units: Sequence[Unit], *, most: int = MOST_CASES) -> ParentCases:
    """Joint cases of all units; never more than a stated number.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    most
        Most joint cases; beyond it the units whose cases differ least are averaged and named.
    """
    parts = [_unit_cases(unit) for unit in units]
    averaged: list[str] = []
    while prod(part.weights.size for part in parts) > most:
        open_units = [place for place, part in enumerate(parts) if part.weights.size > 1]
        least = min(open_units, key=lambda place: (parts[place].tells, place))
        averaged.extend(locus.name for locus in units[least].loci)
        parts[least] = parts[least].average()
    sizes = [part.weights.size for part in parts]
    count = prod(sizes)
    case_of = np.unravel_index(np.arange(count), sizes) if sizes else ()
    weights = np.ones(count)
    kept = np.ones(count)
    for part, chosen in zip(parts, case_of, strict=True):
        weights = weights * part.weights[chosen]
        kept = kept * (1.0 - part.lost[chosen])
    return ParentCases(
        weights=weights,
        tables=tuple(part.table for part in parts),
        case_of=tuple(np.asarray(chosen, dtype=np.int64) for chosen in case_of),
        lost=1.0 - kept,
        averaged=tuple(averaged),
    )
