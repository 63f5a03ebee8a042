"""Exact chances in a small network of discrete variables: elimination by least fill, two passes.

Variables are numbered; a term is a table over some of them. The product of all terms is summed out
variable by variable, each time the one that ties the fewest new pairs together (least fill); what is
left at each step hangs together as a tree, along which one pass inwards gives the chance of the
evidence and one pass outwards the chances of every variable. Method: Lauritzen SL, Spiegelhalter DJ
(1988), Local Computations with Probabilities on Graphical Structures and Their Application to Expert
Systems (citation from memory). Choosing the variable with the fewest neighbours instead lets the
tables explode on looped pedigrees.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from genetics.pedigrees.ordering import best_order

Array = NDArray[np.float64]

LARGEST_TABLE = 2**23
"""Most entries of one table [entries]; 8 bytes each."""


class TooTangled(ValueError):
    """Relations so entangled that an exact answer would need a table beyond the limit."""

    def __init__(self, entries: float) -> None:
        self.entries = entries
        super().__init__(
            f"the animals are too entangled for an exact answer: a table of {entries:.3g} entries would be "
            f"needed; allowed: {LARGEST_TABLE}"
        )


@dataclass(frozen=True, eq=False)
class Term:
    """One factor of the product.

    Attributes
    ----------
    scope
        Numbers of its variables.
    values
        Table with one axis for each variable, in the order of `scope`; not below 0.
    """

    scope: tuple[int, ...]
    values: Array


@dataclass(frozen=True)
class _Step:
    """How one variable is summed out.

    Attributes
    ----------
    scope
        The variable itself first, then what it is tied to, in the order of elimination.
    shape
        Number of states of each.
    terms
        Place of each term, the order of its axes, and its shape within the step's table.
    messages
        Earlier steps that hand their result to this one, with the shape of it here.
    parent
        Step that gets the result; -1 at a root.
    apart
        Axes of the parent's table that this step does not have.
    """

    scope: tuple[int, ...]
    shape: tuple[int, ...]
    terms: tuple[tuple[int, tuple[int, ...], tuple[int, ...]], ...]
    messages: tuple[tuple[int, tuple[int, ...]], ...]
    parent: int
    apart: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Solution:
    """Chances of all variables of a network.

    Attributes
    ----------
    log_evidence
        Natural log of the sum of the product of all terms; minus infinity if it is impossible.
    chances
        For each variable the chance of each state (sums to 1); empty if it is impossible.
    order
        Order in which the variables were summed out.
    entries
        Entries of all tables that it needed.
    """

    log_evidence: float
    chances: tuple[Array, ...]
    order: tuple[int, ...]
    entries: int

    @property
    def possible(self) -> bool:
        """Whether any state of the network is possible."""
        return self.log_evidence > -math.inf


@lru_cache(maxsize=1024)
def _plan(
    sizes: tuple[int, ...], scopes: tuple[tuple[int, ...], ...], known: tuple[int, ...] | None = None
) -> tuple[_Step, ...]:
    """Steps of the elimination for one shape of network, in an order that is known or searched."""
    order = best_order(sizes, scopes) if known is None else known
    rank = {variable: position for position, variable in enumerate(order)}
    own: list[list[int]] = [[] for _ in order]
    members: list[set[int]] = [{position} for position in range(len(order))]
    for place, scope in enumerate(scopes):
        ranks = [rank[variable] for variable in scope]
        own[min(ranks)].append(place)
        members[min(ranks)].update(ranks)
    handed: list[list[int]] = [[] for _ in order]
    layout: list[list[int]] = []
    for position in range(len(order)):
        inside = sorted(members[position])
        layout.append(inside)
        if len(inside) > 1:
            members[inside[1]].update(inside[1:])
            handed[inside[1]].append(position)
    steps = []
    for position, inside in enumerate(layout):
        shape = tuple(sizes[order[r]] for r in inside)
        if math.prod(shape) > LARGEST_TABLE:
            raise TooTangled(float(math.prod(shape)))
        parent = inside[1] if len(inside) > 1 else -1
        outer = layout[parent] if parent >= 0 else []
        steps.append(
            _Step(
                scope=tuple(order[r] for r in inside),
                shape=shape,
                terms=tuple(_placed(place, scopes[place], rank, inside, shape) for place in own[position]),
                messages=tuple(
                    (child, _spread(layout[child][1:], inside, shape)) for child in handed[position]
                ),
                parent=parent,
                apart=tuple(axis for axis, r in enumerate(outer) if r not in inside),
            )
        )
    return tuple(steps)


def _spread(ranks: Sequence[int], inside: Sequence[int], shape: tuple[int, ...]) -> tuple[int, ...]:
    """Shape of a smaller table within a larger one: 1 where it has no axis."""
    kept = set(ranks)
    return tuple(size if r in kept else 1 for r, size in zip(inside, shape, strict=True))


def _placed(
    place: int, scope: tuple[int, ...], rank: dict[int, int], inside: Sequence[int], shape: tuple[int, ...]
) -> tuple[int, tuple[int, ...], tuple[int, ...]]:
    """Place of a term, the order of its axes by rank, and its shape within the step's table."""
    ranks = [rank[variable] for variable in scope]
    axes = tuple(sorted(range(len(scope)), key=ranks.__getitem__))
    return place, axes, _spread(ranks, inside, shape)


def solve(
    sizes: Sequence[int],
    terms: Sequence[Term],
    *,
    order: tuple[int, ...] | None = None,
    entries: float = math.inf,
) -> Solution:
    """Chance of the evidence, and of every state of every variable.

    Parameters
    ----------
    sizes
        Number of states of each variable.
    terms
        The product.
    order
        Order of elimination, if a good one is known; any order gives the same chances.
    entries
        Most entries of all tables for which the known order is used; else one is searched.

    Raises
    ------
    TooTangled
        If a table would have more than `LARGEST_TABLE` entries.
    """
    steps = _plan_within(tuple(sizes), tuple(term.scope for term in terms), order, entries)
    used = tuple(step.scope[0] for step in steps)
    needed = sum(math.prod(step.shape) for step in steps)
    log_evidence, tables, sums = _inwards(steps, terms)
    if log_evidence == -math.inf:
        return Solution(log_evidence, (), used, needed)
    beliefs = _outwards(steps, tables, sums)
    chances: list[Array] = [np.empty(0)] * len(sizes)
    for step, belief in zip(steps, beliefs, strict=True):
        chance = belief.reshape(step.shape[0], -1).sum(axis=1)
        chances[step.scope[0]] = chance / chance.sum()
    return Solution(log_evidence, tuple(chances), used, needed)


def _plan_within(
    sizes: tuple[int, ...], scopes: tuple[tuple[int, ...], ...], order: tuple[int, ...] | None, entries: float
) -> tuple[_Step, ...]:
    """Steps in a known order if they need few enough entries, else in one that is searched."""
    if order is not None:
        try:
            steps = _plan(sizes, scopes, order)
        except TooTangled:
            return _plan(sizes, scopes)
        if sum(math.prod(step.shape) for step in steps) <= entries:
            return steps
    return _plan(sizes, scopes)


def joint(sizes: Sequence[int], terms: Sequence[Term], asked: Sequence[int]) -> Array:
    """Joint chance of some variables, axes in the order asked; sums to 1.

    Raises
    ------
    TooTangled
        If a table would have more than `LARGEST_TABLE` entries.
    ValueError
        If the terms contradict each other.
    """
    tie = Term(tuple(asked), np.ones([sizes[variable] for variable in asked]))
    steps = _plan(tuple(sizes), (*(term.scope for term in terms), tie.scope))
    log_evidence, tables, sums = _inwards(steps, [*terms, tie])
    if log_evidence == -math.inf:
        raise ValueError("the terms contradict each other, so nothing has a chance")
    beliefs = _outwards(steps, tables, sums)
    places = (place for place, step in enumerate(steps) if set(asked) <= set(step.scope))
    place = next(places)  # the variables of a term always meet in one step
    scope, belief = steps[place].scope, beliefs[place]
    others = tuple(axis for axis, variable in enumerate(scope) if variable not in asked)
    table = belief.sum(axis=others) if others else belief
    left = [variable for variable in scope if variable in asked]
    table = table.transpose([left.index(variable) for variable in asked])
    return np.asarray(table / table.sum())


def _inwards(steps: Sequence[_Step], terms: Sequence[Term]) -> tuple[float, list[Array], list[Array]]:
    """Pass inwards: log of the whole sum, each step's table, and the table summed over its variable."""
    total = 0.0
    tables: list[Array] = []
    sums: list[Array] = []
    messages: list[Array] = []
    for step in steps:
        parts = [terms[place].values.transpose(axes).reshape(shape) for place, axes, shape in step.terms]
        parts.extend(messages[child].reshape(shape) for child, shape in step.messages)
        table = _product(parts, step.shape)
        summed = table.sum(axis=0)
        largest = float(summed.max())
        if largest == 0.0:
            return -math.inf, tables, sums
        total += math.log(largest)
        tables.append(table)
        sums.append(summed)
        messages.append(summed / largest)
    return total, tables, sums


def _product(parts: list[Array], shape: tuple[int, ...]) -> Array:
    """Product of tables with the same axes, the small ones first."""
    parts.sort(key=np.size)
    table = parts[0] if parts else np.ones(shape)
    for part in parts[1:]:
        table = table * part
    return table if table.shape == shape else np.broadcast_to(table, shape)


def _outwards(steps: Sequence[_Step], tables: Sequence[Array], sums: Sequence[Array]) -> list[Array]:
    """Pass outwards: joint chance of each step's variables."""
    beliefs: list[Array] = [np.empty(0)] * len(steps)
    for position in range(len(steps) - 1, -1, -1):
        step, table, summed = steps[position], tables[position], sums[position]
        if step.parent < 0:
            beliefs[position] = table / summed
            continue
        outer = beliefs[step.parent]
        outside = outer.sum(axis=step.apart) if step.apart else outer
        ratio = np.divide(outside, summed, out=np.zeros_like(outside), where=summed > 0.0)
        beliefs[position] = table * ratio
    return beliefs
