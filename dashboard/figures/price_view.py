"""What the price chart of one trait shows, as plain records, and its message in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from dashboard.words import day, month_words, num, plural, price, rng


@dataclass(frozen=True)
class SeenPrice:
    """One price as it was noted: date, amount [money], asked or sold."""

    on: date
    price: float
    kind: Literal["asked", "sold"]


@dataclass(frozen=True)
class Band:
    """Forecast by date: most likely, 8 in 10 and 19 in 20 edges [any unit], dates rising."""

    on: tuple[date, ...]
    middle: tuple[float, ...]
    low80: tuple[float, ...]
    high80: tuple[float, ...]
    low95: tuple[float, ...]
    high95: tuple[float, ...]


@dataclass(frozen=True)
class SaleWindow:
    """When the breeder's own young sell, the price then [money], and the words of its label.

    "|" breaks the label's line.
    """

    start: date
    end: date
    price: float
    words: str


@dataclass(frozen=True)
class SupplyView:
    """Supply on the same time axis.

    Attributes
    ----------
    counted
        (date, animals offered) rising by date.
    on, middle, low, high
        Expected supply by date and its 8 in 10 edges; empty when nothing is expected.
    limit
        Most that ever sold [animals]; None when unknown.
    limit_words
        Label of the limit.
    words
        Label of the panel.
    """

    counted: tuple[tuple[date, float], ...]
    on: tuple[date, ...] = ()
    middle: tuple[float, ...] = ()
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()
    limit: float | None = None
    limit_words: str = ""
    words: str = "Offered per month"


@dataclass(frozen=True)
class PriceView:
    """All that the chart of one trait shows.

    Attributes
    ----------
    name, currency, today
        The trait, the code of the currency, the date of the line.
    seen
        Prices as noted.
    fitted
        (date, fitted price) rising by date; empty when nothing was fitted.
    forecast
        Bands from today on; None when nothing can be said.
    window
        When own young sell; None when there are none.
    supply
        Supply beneath; None leaves the lower panel out.
    look_back
        Years shown before today; None shows all.
    """

    name: str
    currency: str
    today: date
    seen: tuple[SeenPrice, ...]
    fitted: tuple[tuple[date, float], ...] = ()
    forecast: Band | None = None
    window: SaleWindow | None = None
    supply: SupplyView | None = None
    look_back: float | None = None


def price_alt(view: PriceView) -> str:
    """Say the chart's message for those who don't see it."""
    sold = sum(p.kind == "sold" for p in view.seen)
    asked = len(view.seen) - sold
    words = [
        f"{view.name}: {sold} sold and {asked} asked {plural(len(view.seen), 'price')} to {day(view.today)}"
    ]
    band = view.forecast
    if band is not None:
        likely = f"most likely {price(band.middle[-1])} {view.currency} in {month_words(band.on[-1])}"
        words.append(f"{likely}, 8 in 10 from {rng(band.low80[-1], band.high80[-1], show=price)}")
    else:
        words.append("too few to fit a line or to forecast")
    if view.supply is not None and view.supply.counted:
        words.append(f"last supply count {num(view.supply.counted[-1][1])}")
    return "; ".join(words) + "."
