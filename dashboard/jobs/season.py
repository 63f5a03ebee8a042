"""Which pairings, what will they earn, and what is about to flood?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from genetics import Catalogue, NotationError, PairingError
from numpy.typing import NDArray

from dashboard.jobs.market import SupplyBook, market_of, supplies_of
from dashboard.jobs.valuation import Couple, NoPrices, Valued, value_couple
from dashboard.records import AnimalRecord, Book, PairingRecord
from econ.assumptions import AssumptionError, Assumptions
from econ.costs import CostSheet, shared_costs
from econ.decisions.flood import FloodWarning, combined_sd, flood_warning
from econ.decisions.season import SeasonOutcome, season_outcome

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class SeasonRow:
    """One pairing of a season: its value, or why it has none.

    Attributes
    ----------
    pairing, sire, dam
        The records.
    valued
        What it is worth; None if it can't be valued.
    flood
        Flood warning of the trait that brings most; None if it can't be valued.
    fault
        Why it can't be valued, as a sentence; empty if it can.
    """

    pairing: PairingRecord
    sire: AnimalRecord
    dam: AnimalRecord
    valued: Valued | None
    flood: FloodWarning | None
    fault: str

    @property
    def name(self) -> str:
        """Name of the pairing: sire × dam."""
        return f"{self.sire.name} × {self.dam.name}"


@dataclass(frozen=True, eq=False)
class SeasonAnswer:
    """One season as the page shows it.

    Attributes
    ----------
    season
        Year in which the eggs come.
    seasons
        All seasons that have pairings, newest first.
    currency
        ISO 4217 code of the book's money.
    rows
        Pairings, the one expected to earn most first; those without a value last.
    outcome
        The plan as a whole, after shared costs.
    shared
        Costs no single pairing causes.
    animals
        How many animals the book holds.
    prices
        How many price observations it holds.
    """

    season: int
    seasons: tuple[int, ...]
    currency: str
    rows: tuple[SeasonRow, ...]
    outcome: SeasonOutcome
    shared: CostSheet
    animals: int
    prices: int

    @property
    def planned(self) -> tuple[SeasonRow, ...]:
        """Rows that are in the plan and have a value."""
        return tuple(row for row in self.rows if row.pairing.planned and row.valued is not None)


def season_answer(book: Book, season: int | None = None, *, catalogue: Catalogue) -> SeasonAnswer:
    """Value every pairing of a season and the plan as a whole.

    Parameters
    ----------
    book
        The records.
    season
        Year in which the eggs come; None takes the next season that has pairings.
    catalogue
        The genes.
    """
    pairings = book.pairings()
    seasons = tuple(sorted({pairing.season for pairing in pairings}, reverse=True))
    chosen = season if season is not None else next_season(seasons, today_year=book.today().year)
    of_season = [pairing for pairing in pairings if pairing.season == chosen]
    animals = {animal.id: animal for animal in book.animals()}
    values, faults = _value_all(book, of_season, animals, catalogue)
    floods = plan_floods(
        [(values[p.id], p.planned) for p in of_season if p.id in values], supplies_of(book)
    )
    rows = [
        SeasonRow(
            pairing=pairing,
            sire=animals[pairing.sire_id],
            dam=animals[pairing.dam_id],
            valued=values.get(pairing.id),
            flood=floods.get(values[pairing.id].name) if pairing.id in values else None,
            fault=faults.get(pairing.id, ""),
        )
        for pairing in of_season
    ]
    shared = _shared(book)
    plan = [values[p.id].outcomes for p in of_season if p.planned and p.id in values]
    return SeasonAnswer(
        season=chosen,
        seasons=seasons,
        currency=book.currency,
        rows=tuple(sorted(rows, key=_by_margin)),
        outcome=season_outcome(plan, shared=shared),
        shared=shared,
        animals=len(animals),
        prices=len(book.price_versions()),
    )


def next_season(seasons: Sequence[int], *, today_year: int) -> int:
    """The earliest season that is not over, or the last one, or next year when there is none."""
    ahead = [season for season in seasons if season > today_year]
    if ahead:
        return min(ahead)
    return max(seasons, default=today_year + 1)


def couple_of(book: Book, pairing: PairingRecord, animals: Mapping[int, AnimalRecord], *, females: int) -> Couple:
    """All that goes into the value of a pairing of the book."""
    figures = {**book.assumptions(), **book.pairing_assumptions(pairing.id)}
    return Couple(
        sire=animals[pairing.sire_id],
        dam=animals[pairing.dam_id],
        season=pairing.season,
        females=females,
        assumptions=Assumptions(figures),
    )


def females_of_sires(pairings: Sequence[PairingRecord]) -> Counter[int]:
    """Females each sire is paired with in the plan of one season."""
    return Counter(pairing.sire_id for pairing in pairings if pairing.planned)


def _value_all(
    book: Book, pairings: Sequence[PairingRecord], animals: Mapping[int, AnimalRecord], catalogue: Catalogue
) -> tuple[dict[int, Valued], dict[int, str]]:
    market = market_of(book)
    females = females_of_sires(pairings)
    values: dict[int, Valued] = {}
    faults: dict[int, str] = {}
    for pairing in pairings:
        try:
            couple = couple_of(book, pairing, animals, females=max(females[pairing.sire_id], 1))
            values[pairing.id] = value_couple(couple, market, catalogue=catalogue, currency=book.currency)
        except (NotationError, PairingError, AssumptionError, NoPrices) as fault:
            faults[pairing.id] = str(fault)
    return values, faults


def plan_floods(pairings: Sequence[tuple[Valued, bool]], supplies: SupplyBook) -> dict[str, FloodWarning]:
    """Flood warning of each pairing, with the young of the whole plan on the market.

    Parameters
    ----------
    pairings
        Each valued pairing, and whether it is in the plan.
    supplies
        What is counted of the supply of each trait.
    """
    own: dict[str, float] = {}
    for valued, planned in pairings:
        if planned:
            for lead in valued.budget.prices.leads:
                own[lead] = own.get(lead, 0.0) + valued.budget.young_of(lead)
    floods: dict[str, FloodWarning] = {}
    for valued, planned in pairings:
        found = pairing_flood(valued, supplies, own=own, planned=planned)
        if found is not None:
            floods[valued.name] = found
    return floods


def pairing_flood(
    valued: Valued, supplies: SupplyBook, *, own: Mapping[str, float], planned: bool
) -> FloodWarning | None:
    """Flood warning of one pairing, named for the trait whose fall costs it most.

    None when its average hatchling has no price or nothing is expected to be sold.
    """
    budget, needed = valued.budget, valued.points.price
    shares = budget.lead_shares()
    lead = budget.prices.leads[int(np.argmax(shares * (1.0 + _falls(valued))))]
    chances = budget.young.timing.chances
    path = budget.price_path()
    median = float(path[: chances.size] @ chances / chances.sum())
    if needed is None or needed <= 0 or median <= 0:
        return None
    level = budget.prices.level_sd @ chances / chances.sum()
    sd = combined_sd(shares, level, common_share=budget.young.common_share)
    young = own.get(lead, 0.0) + (0.0 if planned else budget.young_of(lead))
    return flood_warning(
        lead,
        unit_cost=needed,
        today=budget.price_today(),
        log_price=float(np.log(median)),
        level_sd=sd,
        own_young=young,
        supply=supplies.now(lead),
        path=[float(value) for value in path],
        first_month=int(budget.prices.late_months[0]),
    )


def _falls(valued: Valued) -> Floats:
    """Fall of each leading trait between today and the mean month of sale, 0 where it rises, shape (L,) [log].

    It is weighed ten to one against the mere share of the money, so that a falling trait gives a flood its
    name before a dearer one that holds.
    """
    prices, chances = valued.budget.prices, valued.budget.young.timing.chances
    first = np.array([int(np.flatnonzero(prices.lead == number)[0]) for number in range(len(prices.leads))])
    known = np.isfinite(prices.today_log_price[first])
    later = prices.log_price[first] @ chances / chances.sum()
    fall = np.where(known, prices.today_log_price[first] - later, 0.0)
    falls: Floats = 10.0 * np.maximum(fall, 0.0)
    return falls


def _shared(book: Book) -> CostSheet:
    return shared_costs(Assumptions(book.assumptions()))


def _by_margin(row: SeasonRow) -> tuple[bool, float, str]:
    return row.valued is None, -row.valued.budget.margin if row.valued is not None else 0.0, row.name
