"""How is a trait doing? And what any combination is worth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from dashboard.jobs.market import TraitSupply, market_of, supplies_of
from dashboard.jobs.recent import Recent
from dashboard.jobs.season import SeasonAnswer, season_answer
from dashboard.records import Book, ShownForecast
from econ.decisions.flood import FloodWarning
from econ.decisions.look_prices import months_after
from econ.prices.history import combination_key
from econ.prices.market import Market
from econ.prices.observations import Stage
from econ.prices.outlook import Status, TraitOutlook
from econ.prices.report_card import FitReport, report_card
from econ.prices.results import AskedFactor, Bands, PriceForecast
from genetics import Catalogue, Sex, read_animal, traits_of

AHEAD_MONTHS = 36
HORIZONS = (9, 12, 24, 36)  # months ahead that are printed
ORDER: tuple[Status, ...] = ("falling", "holding", "rising", "can't say")

_cards: Recent[tuple[FitReport, ...]] = Recent(60)


@dataclass(frozen=True, eq=False)
class TraitAnswer:
    """One trait: its outlook, its forecast by month to 36 months, and its supply.

    Attributes
    ----------
    outlook
        Observations, fit and status.
    ahead
        Levels at 0 to 36 months, shape (37,).
    supply
        What was counted, or None.
    flood
        Worst flood warning among the season's pairings that this trait leads, or None.
    """

    outlook: TraitOutlook
    ahead: Bands
    supply: TraitSupply | None
    flood: FloodWarning | None

    @property
    def yearly(self) -> float:
        """Change of the median level over the next twelve months [log]."""
        return float(self.ahead.log_mean[12] - self.ahead.log_mean[0])


@dataclass(frozen=True, eq=False)
class PricesAnswer:
    """All traits of a book with prices.

    Attributes
    ----------
    today, currency
        The day the forecasts start from, and the book's money.
    traits
        Every trait, those falling first, each group by the size of its fall or rise.
    asked_to_sold
        What an asked price counts for.
    market
        The fit itself.
    """

    today: date
    currency: str
    traits: tuple[TraitAnswer, ...]
    asked_to_sold: AskedFactor
    market: Market

    def of(self, status: Status) -> tuple[TraitAnswer, ...]:
        """Traits of one status."""
        return tuple(trait for trait in self.traits if trait.outlook.status == status)

    def trait(self, key: str) -> TraitAnswer | None:
        """One trait by key, or None."""
        return next((trait for trait in self.traits if trait.outlook.key == key), None)


@dataclass(frozen=True)
class OwnYoung:
    """When the breeder's own young of a trait sell, and what the average one of them should bring.

    Attributes
    ----------
    season
        Season of the young.
    start, end
        Months between which half of them sell.
    price
        Median price of the bare trait in the middle [money], with its 8-in-10 range.
    low, high
        Ends of that range [money].
    """

    season: int
    start: date
    end: date
    price: float
    low: float
    high: float


def prices_answer(book: Book, *, catalogue: Catalogue) -> PricesAnswer:
    """How every trait of the book is doing."""
    market = market_of(book)
    supplies = supplies_of(book)
    floods = _floods_by_trait(season_answer(book, catalogue=catalogue))
    years = np.arange(AHEAD_MONTHS + 1) / 12.0
    traits = [
        TraitAnswer(
            outlook=outlook,
            ahead=outlook.forecast(years),
            supply=supplies.traits.get(outlook.key),
            flood=floods.get(outlook.key),
        )
        for outlook in market.traits
    ]
    return PricesAnswer(
        today=book.today(),
        currency=book.currency,
        traits=tuple(sorted(traits, key=_order)),
        asked_to_sold=market.asked_to_sold,
        market=market,
    )


def trait_report(book: Book, outlook: TraitOutlook) -> tuple[FitReport, ...]:
    """Report card of simple fits for one trait; takes a second or so, and is kept."""
    key = (outlook.key, tuple((point.on, point.adjusted) for point in outlook.points), book.today())
    return _cards.get(key, lambda: report_card(outlook))


def own_young(book: Book, trait: TraitAnswer, *, catalogue: Catalogue) -> OwnYoung | None:
    """When the young of the plan that this trait leads will sell; None without such young."""
    answer = season_answer(book, catalogue=catalogue)
    key = trait.outlook.key
    rows = [row for row in answer.planned if row.valued is not None and key in row.valued.budget.prices.leads]
    if not rows or rows[0].valued is None:
        return None
    valued = rows[0].valued
    timing = valued.budget.young.timing
    spread = np.cumsum(timing.chances) / timing.chances.sum()
    first, middle, last = (int(timing.months[np.searchsorted(spread, p)]) for p in (0.25, 0.5, 0.75))
    days = [months_after(valued.hatch, month) for month in (first, middle, last)]
    ahead = max((days[1] - book.today()).days / 365.25, 0.0)
    level = trait.outlook.forecast(np.array([ahead]))
    return OwnYoung(
        season=answer.season,
        start=days[0],
        end=days[2],
        price=float(level.median[0]),
        low=float(level.low80[0]),
        high=float(level.high80[0]),
    )


@dataclass(frozen=True, eq=False)
class PricedAnimal:
    """What one animal, as written, is worth when sold: now and later.

    Attributes
    ----------
    name
        Its traits, as one name.
    on, forecast
        Days, and the forecast on them.
    """

    name: str
    on: tuple[date, ...]
    forecast: PriceForecast


def price_of(
    book: Book,
    text: str,
    *,
    sex: Sex,
    stage: Stage,
    catalogue: Catalogue,
    months: Sequence[int] = (0, *HORIZONS),
) -> PricedAnimal:
    """Price any animal as breeders write it.

    Raises
    ------
    NotationError
        If it can't be read.
    """
    traits = traits_of(read_animal(text, catalogue, sex=sex), catalogue)
    days = tuple(months_after(book.today(), month) for month in months)
    forecast = market_of(book).price(traits, on=days, sex=sex, stage=stage)
    return PricedAnimal(name=combination_key(traits), on=days, forecast=forecast)


def remember_shown(book: Book, answer: PricesAnswer) -> int:
    """Keep today's forecasts, so that they can be held against what happens; gives how many were new."""
    shown = [
        ShownForecast(
            made_on=answer.today,
            trait=trait.outlook.key,
            horizon=months_after(answer.today, month),
            log_mean=float(trait.ahead.log_mean[month]),
            level_sd=float(trait.ahead.level_sd[month]),
            sale_sd=trait.outlook.trend.sale_sd,
        )
        for trait in answer.traits
        for month in HORIZONS
    ]
    return book.remember_forecasts(shown) if shown else 0


def _order(trait: TraitAnswer) -> tuple[int, float, str]:
    return ORDER.index(trait.outlook.status), -abs(trait.yearly), trait.outlook.key


def _floods_by_trait(answer: SeasonAnswer) -> dict[str, FloodWarning]:
    floods: dict[str, FloodWarning] = {}
    for row in answer.rows:
        flood = row.flood
        if flood is not None and row.pairing.planned:
            worst = floods.get(flood.trait)
            if worst is None or flood.chance > worst.chance:
                floods[flood.trait] = flood
    return floods
