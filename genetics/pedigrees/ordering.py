"""In which order are the variables of a network best summed out?

The one that newly ties the fewest pairs of others comes first (least fill). Choosing the variable with
the fewest neighbours instead lets the tables explode on looped pedigrees.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence

import numpy as np

WORTH_A_SEARCH = 2 * 10**6
"""For so many entries of all tables one other order is tried [entries]."""

MOST_SEARCHES = 12
"""Most other orders that are tried."""


def elimination_order(
    sizes: Sequence[int], scopes: Sequence[tuple[int, ...]], *, draw: np.random.Generator | None = None
) -> list[int]:
    """Order of the variables: least fill first, then the smallest table, then the lowest number.

    Parameters
    ----------
    sizes
        Number of states of each variable.
    scopes
        Variables of each term.
    draw
        If given, each newly tied pair counts by the sizes of its two tables, blurred by up to three
        tenths, so that repeated orders differ.
    """
    near = _neighbours(len(sizes), scopes)
    return _ordered(near, [math.log(size) for size in sizes], range(len(sizes)), draw)[0]


def _ordered(
    near: list[int], weights: Sequence[float], variables: Iterable[int], draw: np.random.Generator | None
) -> tuple[list[int], int]:
    """Order of some variables (their ties in `near` are used up), and how many ties nothing at first."""

    def cost(variable: int) -> tuple[float, float]:
        fill, weight = _cost(variable, near, weights, by_size=draw is not None)
        return fill if draw is None else fill * (1.0 + 0.3 * draw.random()), weight

    costs = {v: cost(v) for v in variables}
    queue = [(*price, v) for v, price in costs.items()]
    heapq.heapify(queue)
    order: list[int] = []
    easy = -1
    while queue:
        fill, weight, chosen = heapq.heappop(queue)
        if costs.get(chosen) != (fill, weight):
            continue
        if fill > 0 and easy < 0:
            easy = len(order)
        del costs[chosen]
        order.append(chosen)
        for changed in _take_out(chosen, near, filled=fill > 0):
            price = cost(changed)
            if costs[changed] != price:
                costs[changed] = price
                heapq.heappush(queue, (*price, changed))
    return order, len(order) if easy < 0 else easy


def _neighbours(count: int, scopes: Sequence[tuple[int, ...]]) -> list[int]:
    """For each variable the others that share a term with it, as bits."""
    near = [0] * count
    for scope in scopes:
        together = 0
        for variable in scope:
            together |= 1 << variable
        for variable in scope:
            near[variable] |= together & ~(1 << variable)
    return near


def _bits(mask: int) -> list[int]:
    """Numbers of the bits that are set."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


def _cost(
    variable: int, near: Sequence[int], weights: Sequence[float], *, by_size: bool
) -> tuple[float, float]:
    """Pairs that would be newly tied (each twice), counted or weighed, and log size of the table."""
    around = near[variable]
    fill, weight = 0.0, weights[variable]
    for other in _bits(around):
        missing = around & ~near[other] & ~(1 << other)
        weight += weights[other]
        if by_size and missing:
            fill += weights[other] * sum(weights[third] for third in _bits(missing))
        else:
            fill += missing.bit_count()
    return fill, round(weight, 9)


def _take_out(variable: int, near: list[int], *, filled: bool) -> list[int]:
    """Tie the neighbours of a variable together; the variables whose cost may have changed."""
    around = near[variable]
    touched = around
    for other in _bits(around):
        near[other] = (near[other] | around) & ~(1 << variable) & ~(1 << other)
        if filled:
            touched |= near[other]
    return _bits(touched)


def _entries(near: list[int], sizes: Sequence[int], order: Sequence[int]) -> float:
    """Entries of all tables that an order needs; the ties in `near` are used up."""
    total = 0.0
    for variable in order:
        total += math.prod((sizes[other] for other in _bits(near[variable])), start=float(sizes[variable]))
        _take_out(variable, near, filled=False)
    return total


def best_order(sizes: tuple[int, ...], scopes: tuple[tuple[int, ...], ...]) -> list[int]:
    """Order by least fill; where that needs large tables, the best of some blurred ones too.

    Variables that tie nothing new come first in the best order anyway; only the rest is searched.
    """
    weights = [math.log(size) for size in sizes]
    order, easy = _ordered(_neighbours(len(sizes), scopes), weights, range(len(sizes)), None)
    core = _neighbours(len(sizes), scopes)
    _entries(core, sizes, order[:easy])
    rest = order[easy:]
    least = _entries(core.copy(), sizes, rest)
    for seed in range(min(MOST_SEARCHES, int(least / WORTH_A_SEARCH))):
        other, _ = _ordered(core.copy(), weights, rest, np.random.default_rng(seed))
        entries = _entries(core.copy(), sizes, other)
        if entries < least:
            least, rest = entries, other
    return [*order[:easy], *rest]
