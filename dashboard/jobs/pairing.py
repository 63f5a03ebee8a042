"""One pairing in depth: what it leaves, what it needs, and what the answer hangs on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from dashboard.jobs.currencies import animals_at_home
from dashboard.jobs.knowledge import known_belief
from dashboard.jobs.market import market_of, supplies_of
from dashboard.jobs.season import (
    couple_of,
    females_with,
    pairing_flood,
    value_pairings,
    young_by_lead,
)
from dashboard.jobs.valuation import Couple, Valued, expected_margin_of, value_couple
from dashboard.jobs.which_season import next_season
from dashboard.records import AnimalRecord, Book, PairingRecord
from econ.assumptions import Assumptions
from econ.decisions.flood import FloodWarning, combined_sd
from econ.decisions.look_prices import RANGE_80, months_after
from econ.decisions.pairing_budget import LookValue
from econ.decisions.what_ifs import WhatIf, what_ifs
from genetics import Catalogue, Sex

Floats = NDArray[np.float64]

RANGE_50 = 0.6744897501960817  # standard normal: half of all lie within so many standard deviations

# the assumptions a breeder may know better for one pairing, tried one by one
ASKED = (
    "price.level",
    "clutch.laying_chance",
    "clutch.eggs_mean",
    "clutch.fertile_share",
    "clutch.hatching_share",
    "sale.monthly_chance",
    "sale.first_month",
    "feeding.hatchling_interval_days",
    "feeding.weaned_price",
    "sale.packing_shipping",
    "young.survival_to_sale",
    "breeder.years",
)


@dataclass(frozen=True)
class AveragePrice:
    """Forecast price of the average hatchling when sold [money]: expected, and points of its level."""

    expected: float
    low80: float
    low50: float
    high50: float
    high80: float


@dataclass(frozen=True, eq=False)
class PairingAnswer:
    """One pairing as the page shows it.

    Attributes
    ----------
    pairing
        The record, or None for a couple that is not in the book's list.
    valued
        Its clutch as money.
    flood
        Flood warning with the whole plan's young on the market; None where nothing can be sold.
    looks
        Looks, the one that brings most first.
    what_ifs
        Assumptions, the one that moves the margin most first.
    average
        Forecast price of the average hatchling.
    last_month
        Year and month up to which all may be sold together with costs covered, as a date's first
        day; None if in no month.
    open_ended
        Whether costs are still covered in the last month looked at.
    hours
        Hours of work on the clutch and its young.
    own
        Ids of the figures that are this pairing's own.
    """

    pairing: PairingRecord | None
    valued: Valued
    currency: str
    flood: FloodWarning | None
    looks: tuple[LookValue, ...]
    what_ifs: tuple[WhatIf, ...]
    average: AveragePrice
    last_month: date | None
    open_ended: bool
    hours: float
    own: tuple[str, ...]


@dataclass(frozen=True)
class Parents:
    """Animals that can be paired: males, females, pairings of the season, and the year of its eggs."""

    males: tuple[AnimalRecord, ...]
    females: tuple[AnimalRecord, ...]
    pairings: tuple[PairingRecord, ...]
    season: int


def parents(book: Book, season: int | None = None) -> Parents:
    """Animals that can be chosen on the page; those sold or dead are left out.

    Parameters
    ----------
    book
        The records.
    season
        Year in which the eggs come; None takes the season to come.
    """
    here = [animal for animal in book.animals() if animal.status not in {"sold", "died"}]
    pairings = book.pairings()
    seasons = tuple(sorted({pairing.season for pairing in pairings}, reverse=True))
    chosen = season if season is not None else next_season(seasons, today=book.today())
    return Parents(
        males=tuple(animal for animal in here if animal.sex is Sex.MALE),
        females=tuple(animal for animal in here if animal.sex is Sex.FEMALE),
        pairings=tuple(pairing for pairing in pairings if pairing.season == chosen),
        season=chosen,
    )


def pairing_answer(
    book: Book,
    sire_id: int,
    dam_id: int,
    *,
    catalogue: Catalogue,
    season: int | None = None,
    trial: Mapping[str, float] = MappingProxyType({}),
) -> PairingAnswer:
    """Value one sire with one dam in a season.

    Parameters
    ----------
    book
        The records.
    sire_id, dam_id
        The two animals.
    catalogue
        The genes.
    season
        Year in which the eggs come; None takes the season to come.
    trial
        Figures to try for this couple without storing them.

    Raises
    ------
    NotationError, PairingError, AssumptionError, NoPrices, NotStored
        As `value_couple`; NotStored if an animal is not in the book.
    """
    choice = parents(book, season)
    pairing = next((p for p in choice.pairings if (p.sire_id, p.dam_id) == (sire_id, dam_id)), None)
    couple = _couple(book, choice, pairing, (sire_id, dam_id))
    couple = replace(couple, assumptions=couple.assumptions.with_values(trial))
    market = market_of(book)
    valued = value_couple(couple, market, catalogue=catalogue, currency=book.currency)
    points = valued.points
    month = points.last_month
    hatch = valued.hatch
    return PairingAnswer(
        pairing=pairing,
        valued=valued,
        currency=book.currency,
        flood=_flood(book, choice, valued, catalogue=catalogue),
        looks=valued.budget.look_values(),
        what_ifs=_what_ifs(couple, book, catalogue),
        average=_average_price(valued),
        last_month=None if month is None else months_after(hatch, month),
        open_ended=month == points.horizon,
        hours=_hours(valued),
        own=_own(book, pairing, trial),
    )


def _couple(book: Book, choice: Parents, pairing: PairingRecord | None, ids: tuple[int, int]) -> Couple:
    animals = animals_at_home(book)
    count = females_with(choice.pairings, *ids)
    if pairing is not None:
        return couple_of(book, pairing, animals, females=count)
    sire, dam = (animals[id_] if id_ in animals else book.animal(id_) for id_ in ids)
    return Couple(
        sire=sire,
        dam=dam,
        sire_known=known_belief(book, sire),
        dam_known=known_belief(book, dam),
        season=choice.season,
        females=count,
        assumptions=Assumptions(book.assumptions()),
    )


def _own(book: Book, pairing: PairingRecord | None, trial: Mapping[str, float]) -> tuple[str, ...]:
    stored = book.pairing_assumptions(pairing.id) if pairing is not None else {}
    return tuple(sorted({*stored, *trial}))


def _flood(book: Book, choice: Parents, valued: Valued, *, catalogue: Catalogue) -> FloodWarning | None:
    """Flood warning of a couple as it is valued here, beside the young of the plan's other pairings."""
    couple = (valued.couple.sire.id, valued.couple.dam.id)
    plan = [pairing for pairing in choice.pairings if pairing.planned]
    animals = animals_at_home(book)
    values, _ = value_pairings(book, plan, animals, catalogue=catalogue)
    others = [p.id for p in plan if (p.sire_id, p.dam_id) != couple and p.id in values]
    return pairing_flood(valued, supplies_of(book), others=young_by_lead(values[id_] for id_ in others))


def _what_ifs(couple: Couple, book: Book, catalogue: Catalogue) -> tuple[WhatIf, ...]:
    market, currency = market_of(book), book.currency

    def margin(assumptions: Assumptions) -> float:
        changed = replace(couple, assumptions=assumptions)
        return expected_margin_of(changed, market, catalogue=catalogue, currency=currency)

    known = [id_ for id_ in ASKED if not couple.assumptions.is_missing(id_)]
    return what_ifs(known, couple.assumptions, margin=margin)


def _average_price(valued: Valued) -> AveragePrice:
    budget = valued.budget
    chances = budget.young.timing.chances / budget.young.timing.chances.sum()
    median = float(budget.price_path()[: chances.size] @ chances)
    level = budget.prices.level_sd @ chances
    sd = combined_sd(budget.lead_shares(), level, common_share=budget.young.common_share)
    edges = [median * float(np.exp(z * sd)) for z in (-RANGE_80, -RANGE_50, RANGE_50, RANGE_80)]
    return AveragePrice(budget.price_each, edges[0], edges[1], edges[2], edges[3])


def _hours(valued: Valued) -> float:
    """Add up the expected hours of work on the clutch and its young."""
    budget = valued.budget
    clutch = budget.odds.laying * valued.couple.assumptions["work.clutch_hours"]
    return clutch + budget.odds.mean * budget.costs.hours_each
