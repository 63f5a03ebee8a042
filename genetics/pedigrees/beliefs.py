"""How exact chances become beliefs that a pairing can be reckoned with."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from fractions import Fraction
from itertools import combinations
from typing import TypeVar

State = TypeVar("State", bound=Hashable)

SIMPLE = 10_000
"""Largest denominator of a fraction that a chance is taken to be."""
CLOSE = 1e-12
"""How near a chance must be to such a fraction."""
GRID = 10**9
"""Other chances are rounded to this part of one."""
INDEPENDENT = 1e-10
"""Joint chances that differ from the product by less are independent."""


def as_fractions(chances: Mapping[State, float]) -> dict[State, Fraction]:
    """Chances as fractions that sum to exactly 1.

    A chance within `CLOSE` of a fraction with a denominator of at most `SIMPLE` is taken to be that
    fraction (2/3, 4/9); any other is rounded to a billionth. What is missing from 1 goes to the
    largest.
    """
    found: dict[State, Fraction] = {}
    for state, chance in chances.items():
        simple = Fraction(chance).limit_denominator(SIMPLE)
        if abs(float(simple) - chance) > CLOSE:
            simple = Fraction(round(chance * GRID), GRID)
        if simple:
            found[state] = simple
    largest = max(found, key=lambda state: found[state])
    found[largest] += 1 - sum(found.values(), Fraction(0))
    return found


def marginal(
    table: Mapping[tuple[Hashable, ...], float], places: Sequence[int]
) -> dict[tuple[Hashable, ...], float]:
    """Joint chance of some of the variables of a table."""
    found: dict[tuple[Hashable, ...], float] = {}
    for states, chance in table.items():
        key = tuple(states[place] for place in places)
        found[key] = found.get(key, 0.0) + chance
    return found


def independent_blocks(table: Mapping[tuple[Hashable, ...], float], count: int) -> list[tuple[int, ...]]:
    """Variables of a joint table, put together where they depend on each other.

    Parameters
    ----------
    table
        Joint chances; sum 1.
    count
        Number of variables.
    """
    block_of = {place: {place} for place in range(count)}
    for one, other in combinations(range(count), 2):
        if block_of[one] is block_of[other]:
            continue
        if not _product(table, [(one,), (other,)]):
            merged = block_of[one] | block_of[other]
            for place in merged:
                block_of[place] = merged
    distinct = {id(block): block for block in block_of.values()}
    blocks = sorted(tuple(sorted(block)) for block in distinct.values())
    return blocks if _product(table, blocks) else [tuple(range(count))]


def _product(table: Mapping[tuple[Hashable, ...], float], blocks: Sequence[tuple[int, ...]]) -> bool:
    """Whether blocks of variables are independent of each other."""
    parts = [marginal(table, block) for block in blocks]
    together = tuple(place for block in blocks for place in block)
    whole = marginal(table, together)
    gap, seen = 0.0, 0.0
    for states, chance in whole.items():
        product, start = 1.0, 0
        for part, block in zip(parts, blocks, strict=True):
            product *= part[states[start : start + len(block)]]
            start += len(block)
        gap = max(gap, abs(product - chance))
        seen += product
    return gap < INDEPENDENT and abs(seen - 1.0) < INDEPENDENT
