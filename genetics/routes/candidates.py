"""Which plans lead to a target: a best-first search over what can be held back and paired."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import count

import numpy as np
from numpy.typing import NDArray

from genetics.genes.catalogue import Catalogue
from genetics.genes.loci import Harm
from genetics.routes.biology import Biology
from genetics.routes.founders import Founder, checked_founders
from genetics.routes.kinds import Kind, States, YoungKind, kind_harms, kind_of, lacking, young_kinds
from genetics.routes.serial import Plan, paired, plan_of, target_by
from genetics.routes.states import Recombination, states_of
from genetics.routes.stocks import NotExact, Pairing, Stock, founder_stock, held_back
from genetics.routes.target import Target

Floats = NDArray[np.float64]
Progress = Callable[[int, int], None]

MOST_LOOKED_AT = 600
"""Stocks the search settles before it stops by itself."""

MOST_WAYS = 2
"""Ways kept of getting the same animals: each needs fewer animals or less money than the faster ones."""


@dataclass(frozen=True, eq=False)
class Routes:
    """Plans found, best first.

    Attributes
    ----------
    plans
        Plans none of which is beaten by another in seasons, animals and money at once, by the mean
        wait (those that miss counted with all seasons), then animals, then price.
    looked_at
        Stocks (animals held, bought or held back on the way) that were looked at.
    complete
        False if the search stopped at its limit, so that a better plan may exist.
    left_out
        Pairings left out because their waits depend on each other and can only be simulated.
    basis
        What the plans rest on.
    """

    plans: tuple[Plan, ...]
    looked_at: int
    complete: bool
    left_out: int
    basis: tuple[str, ...]


@dataclass(eq=False)
class _Search:
    """State of one search; made for it and thrown away."""

    target: Target
    states: States
    catalogue: Catalogue
    biology: Biology
    seasons: int
    avoid: frozenset[Harm]
    heap: list[tuple[float, int, float, int, Stock | Pairing]] = field(default_factory=list)
    settled: dict[tuple[Kind, bool, int], list[Stock]] = field(default_factory=dict)
    by_sex: dict[bool, list[Stock]] = field(default_factory=lambda: {True: [], False: []})
    tickets: Iterator[int] = field(default_factory=count)
    left_out: int = 0

    def wait(self, pmf: Floats) -> float:
        """Mean wait, those that miss counted with all seasons."""
        return float((1.0 - np.cumsum(pmf)[:-1]).sum())

    def push(self, item: Stock | Pairing, pmf: Floats, animals: int, price: float) -> None:
        """Put animals or an end of the route in line, unless they are hopeless or known better."""
        wait = self.wait(pmf)
        if wait > self.seasons - 0.05 or (isinstance(item, Stock) and self.beaten(item, wait)):
            return
        heappush(self.heap, (wait, animals, price, next(self.tickets), item))

    def beaten(self, stock: Stock, wait: float) -> bool:
        """Whether the same animals can be had as fast with no more animals and money."""
        known = self.settled.get((stock.kind, stock.male, stock.count), [])
        return len(known) >= MOST_WAYS or any(
            other.animals <= stock.animals
            and other.price <= stock.price
            and self.wait(other.ready) <= wait + 1e-12
            for other in known
        )

    def settle(self, stock: Stock) -> None:
        """Keep a stock and pair it with all that are settled."""
        self.settled.setdefault((stock.kind, stock.male, stock.count), []).append(stock)
        self.by_sex[stock.male].append(stock)
        for other in self.by_sex[not stock.male]:
            sire, dams = (stock, other) if stock.male else (other, stock)
            self.pair(sire, dams)

    def pair(self, sire: Stock, dams: Stock) -> None:
        """Put what two stocks lead to in line."""
        try:
            pairing = paired(sire, dams, self.states, self.biology)
        except NotExact:
            self.left_out += 1
            return
        end = target_by(pairing, self.target, self.states, self.biology)
        if end is not None:
            line = sire.line | dams.line
            founders = {founder for stock in line for founder in stock.founders}
            animals = len(founders) + sum(stock.count for stock in line if stock.pairing is not None)
            self.push(pairing, end, animals, sum(founder.price or 0.0 for founder in founders))
        for male in (True, False):
            for young in young_kinds(self.states, sire.kind, dams.kind, male=male):
                if self.useful(young, sire if male else dams):
                    self.hold(pairing, young, male=male)

    def useful(self, young: YoungKind, parent: Stock) -> bool:
        """Whether young are ahead of the parent of their sex at some locus, and allowed."""
        if self.avoid and any(note.harm in self.avoid for note, _ in kind_harms(self.states, young.kind)):
            return False
        pairs = zip(lacking(self.states, young.kind), lacking(self.states, parent.kind), strict=True)
        return any(own < before - 1e-12 for own, before in pairs)

    def hold(self, pairing: Pairing, young: YoungKind, *, male: bool) -> None:
        """Put young held back in line: one male, or one female and as many as a male can be paired with."""
        counts = {1} if male else {1, self.biology.females_per_male}
        for number in sorted(counts):
            if len(self.settled.get((young.kind, male, number), ())) >= MOST_WAYS:
                continue
            stock = held_back(
                pairing, young.kind, young.sets, self.states, self.biology, male=male, count=number
            )
            self.push(stock, stock.ready, stock.animals, stock.price)


def find_routes(
    target: Target,
    founders: Sequence[Founder],
    catalogue: Catalogue,
    *,
    biology: Biology,
    seasons: int = 25,
    limit: int = 6,
    avoid: Collection[Harm] = (),
    recombination: Recombination | None = None,
    most: int = MOST_LOOKED_AT,
    progress: Progress | None = None,
) -> Routes:
    """Serial plans from founders to a target, best first.

    Animals are settled in the order of their mean wait, so the first plan found is the fastest
    within what is searched: one male with one kind of female at a time, young held back only for
    what can be told by eye, no animal of uncertain genes used twice. Looks of different loci are taken
    to be told apart unless one of them hides the other.

    Parameters
    ----------
    target
        What is wanted.
    founders
        Animals held, and animals that could be bought.
    catalogue
        The genes.
    biology
        The life history.
    seasons
        Seasons looked at.
    limit
        Most plans handed out.
    avoid
        Harms no animal held back may have.
    recombination
        Recombination fraction by sex-linked locus, where it is not the catalogue's own.
    most
        Stocks looked at before the search stops.
    progress
        Called with stocks looked at and `most`; it may raise to stop the search.

    Raises
    ------
    BadFounders, TooManyGenotypes, BadRecombination
        If the animals can't be used, or a locus has too many genotypes.
    """
    held = checked_founders(founders)
    states = states_of(target, [f.animal for f in held], catalogue, recombination=recombination)
    search = _Search(target, states, catalogue, biology, seasons, frozenset(avoid))
    for stock in _founder_stocks(held, states, biology, seasons=seasons):
        search.push(stock, stock.ready, stock.animals, stock.price)
    ends: list[tuple[float, int, float, Pairing]] = []
    looked_at = 0
    while search.heap and looked_at < most and len(ends) < limit:
        wait, animals, price, _, item = heappop(search.heap)
        if isinstance(item, Stock):
            if not search.beaten(item, wait):
                looked_at += 1
                search.settle(item)
                if progress is not None:
                    progress(looked_at, most)
        elif not any(a <= animals and p <= price for _, a, p, _ in ends):
            ends.append((wait, animals, price, item))
    written = (plan_of(end, target, states, catalogue, biology) for *_, end in ends)
    plans = [plan for plan in written if plan is not None]
    plans.sort(key=lambda plan: (plan.first_year.wait, plan.animals, plan.price))
    complete = not search.heap or looked_at < most
    return Routes(tuple(plans), looked_at, complete, search.left_out, _basis(biology, seasons=seasons))


def _basis(biology: Biology, *, seasons: int) -> tuple[str, ...]:
    return (
        f"ranked by the mean wait within {seasons} seasons, then animals kept, then price",
        "young are held back only for what can be told by eye",
        *biology.described(),
    )


def _founder_stocks(
    founders: Sequence[Founder], states: States, biology: Biology, *, seasons: int
) -> Iterator[Stock]:
    """Founders to begin with: each male, and females of one kind, the cheapest and readiest first."""
    groups: dict[tuple[Kind, bool], list[Founder]] = {}
    for founder in founders:
        groups.setdefault((kind_of(founder.animal, states), founder.male), []).append(founder)
    for (kind, male), members in groups.items():
        members.sort(key=lambda each: (each.price or 0.0, each.ready_in, each.name))
        if male:
            for founder in members:
                yield founder_stock((founder,), kind, seasons=seasons)
            continue
        for founder in members:
            yield founder_stock((founder,), kind, seasons=seasons)
        for number in range(2, min(len(members), biology.females_per_male) + 1):
            yield founder_stock(tuple(members[:number]), kind, seasons=seasons)
