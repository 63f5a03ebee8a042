"""Which pairings, and what will they earn? With what is about to flood."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dashboard.jobs.currencies import animals_at_home
from dashboard.jobs.knowledge import known_belief
from dashboard.jobs.market import SupplyBook, market_of, supplies_of
from dashboard.jobs.valuation import Couple, NoPrices, Valued, value_couple
from dashboard.jobs.which_season import next_season
from dashboard.records import AnimalRecord, Book, PairingRecord
from econ.assumptions import AssumptionError, Assumptions
from econ.costs import CostSheet, shared_costs
from econ.decisions.flood import FloodWarning, combined_sd, flood_warning
from econ.decisions.season import SeasonOutcome, season_outcome
from genetics import Catalogue, NotationError, PairingError

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
    def doubled(self) -> tuple[AnimalRecord, ...]:
        """Females that stand in the plan more than once, though one lays a single clutch a season."""
        dams = Counter(row.dam.id for row in self.rows if row.pairing.planned)
        named = {row.dam.id: row.dam for row in self.rows}
        return tuple(named[id_] for id_, times in dams.items() if times > 1)

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
    chosen = season if season is not None else next_season(seasons, today=book.today())
    of_season = [pairing for pairing in pairings if pairing.season == chosen]
    animals = animals_at_home(book)
    values, faults = value_pairings(book, of_season, animals, catalogue=catalogue)
    plan = {p.id: values[p.id] for p in of_season if p.planned and p.id in values}
    floods = _floods(values, plan, supplies_of(book))
    rows = [
        SeasonRow(
            pairing=pairing,
            sire=animals[pairing.sire_id],
            dam=animals[pairing.dam_id],
            valued=values.get(pairing.id),
            flood=floods.get(pairing.id),
            fault=faults.get(pairing.id, ""),
        )
        for pairing in of_season
    ]
    shared = _shared(book)
    return SeasonAnswer(
        season=chosen,
        seasons=seasons,
        currency=book.currency,
        rows=tuple(sorted(rows, key=_by_margin)),
        outcome=season_outcome([valued.outcomes for valued in plan.values()], shared=shared),
        shared=shared,
        animals=len(animals),
        prices=len(book.price_versions()),
    )


def couple_of(
    book: Book,
    pairing: PairingRecord,
    animals: Mapping[int, AnimalRecord],
    *,
    females: int,
    figures: Mapping[str, float | None] | None = None,
) -> Couple:
    """Gather all that goes into the value of a pairing of the book.

    Parameters
    ----------
    book, pairing, animals
        The records.
    females
        Females the sire has in the season.
    figures
        The book's own figures, if they were read already.
    """
    own = book.assumptions() if figures is None else figures
    sire, dam = animals[pairing.sire_id], animals[pairing.dam_id]
    return Couple(
        sire=sire,
        dam=dam,
        sire_known=known_belief(book, sire),
        dam_known=known_belief(book, dam),
        season=pairing.season,
        females=females,
        assumptions=Assumptions({**own, **book.pairing_assumptions(pairing.id)}),
    )


def females_with(pairings: Sequence[PairingRecord], sire_id: int, dam_id: int) -> int:
    """Count a sire's females in the plan of one season, this dam among them whether planned or not."""
    return len({p.dam_id for p in pairings if p.planned and p.sire_id == sire_id} | {dam_id})


def value_pairings(
    book: Book,
    pairings: Sequence[PairingRecord],
    animals: Mapping[int, AnimalRecord],
    *,
    catalogue: Catalogue,
) -> tuple[dict[int, Valued], dict[int, str]]:
    """Value all pairings of one season: the values, and why some have none, both by pairing id."""
    market, figures, currency = market_of(book), book.assumptions(), book.currency
    values: dict[int, Valued] = {}
    faults: dict[int, str] = {}
    for pairing in pairings:
        females = females_with(pairings, pairing.sire_id, pairing.dam_id)
        try:
            couple = couple_of(book, pairing, animals, females=females, figures=figures)
            values[pairing.id] = value_couple(couple, market, catalogue=catalogue, currency=currency)
        except (NotationError, PairingError, AssumptionError, NoPrices) as fault:
            faults[pairing.id] = str(fault)
    return values, faults


def young_by_lead(plan: Iterable[Valued]) -> dict[str, float]:
    """Add up the expected young of some pairings by the trait their price follows [animals]."""
    young: dict[str, float] = {}
    for valued in plan:
        for lead in valued.budget.prices.leads:
            young[lead] = young.get(lead, 0.0) + valued.budget.young_of(lead)
    return young


def pairing_flood(
    valued: Valued, supplies: SupplyBook, *, others: Mapping[str, float]
) -> FloodWarning | None:
    """Warn of a flood for one pairing, named for the trait whose fall costs it most.

    None when its average hatchling has no price or nothing is expected to be sold.

    Parameters
    ----------
    valued
        The pairing.
    supplies
        What is counted of the supply of each trait.
    others
        Expected young of the plan's other pairings, by the trait their price follows [animals].
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
    return flood_warning(
        lead,
        unit_cost=needed,
        today=budget.price_today(),
        log_price=float(np.log(median)),
        level_sd=sd,
        own_young=others.get(lead, 0.0) + budget.young_of(lead),
        supply=supplies.now(lead),
        share=float(shares[budget.prices.leads.index(lead)]),
        path=[float(value) for value in path],
        first_month=int(budget.prices.late_months[0]),
    )


def _falls(valued: Valued) -> Floats:
    """Fall of each leading trait from today to its sale, 0 where it rises, shape (L,) [ten times log].

    It is weighed ten to one against the mere share of the money, so that a falling trait gives a flood
    its name before a dearer one that holds.
    """
    prices, chances = valued.budget.prices, valued.budget.young.timing.chances
    first = np.array([int(np.flatnonzero(prices.lead == place)[0]) for place in range(len(prices.leads))])
    today, later = prices.today_log_price[first], prices.log_price[first]
    fall = np.zeros(first.size)
    known = np.isfinite(today)
    fall[known] = today[known] - later[known] @ chances / chances.sum()
    falls: Floats = 10.0 * np.maximum(fall, 0.0)
    return falls


def _floods(
    values: Mapping[int, Valued], plan: Mapping[int, Valued], supplies: SupplyBook
) -> dict[int, FloodWarning | None]:
    """Flood warning of each pairing, the young of the plan's other pairings on the market beside it."""
    whole = young_by_lead(plan.values())
    floods = {}
    for id_, valued in values.items():
        own = young_by_lead([valued]) if id_ in plan else {}
        others = {lead: count - own.get(lead, 0.0) for lead, count in whole.items()}
        floods[id_] = pairing_flood(valued, supplies, others=others)
    return floods


def _shared(book: Book) -> CostSheet:
    return shared_costs(Assumptions(book.assumptions()))


def _by_margin(row: SeasonRow) -> tuple[bool, float, str]:
    return row.valued is None, -row.valued.budget.margin if row.valued is not None else 0.0, row.name
