"""Small panels, one per trait: three years back, today, three years ahead, grouped by direction."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from dashboard.figures.marks import mark, meaning
from dashboard.figures.markup import esc, link, strong
from dashboard.words import plural, price

YEARS: Final = 3.0  # shown on either side of today [years]
_HEIGHT: Final = 66.0  # of a panel's picture [px]
_FLOOR: Final = 62.0  # where 0 lies [px from the top]
_MOST_POINTS: Final = 24  # a line with more becomes medians of two months


@dataclass(frozen=True)
class Fan:
    """Forecast of one trait's price when sold.

    Attributes
    ----------
    years
        Years from today, rising from 0.
    middle, low80, high80, low95, high95
        Most likely price and its 8 in 10 and 19 in 20 edges at those years [money].
    """

    years: tuple[float, ...]
    middle: tuple[float, ...]
    low80: tuple[float, ...]
    high80: tuple[float, ...]
    low95: tuple[float, ...]
    high95: tuple[float, ...]


@dataclass(frozen=True)
class Panel:
    """One trait.

    Attributes
    ----------
    name, link
        The trait and the target of its name.
    today
        Its price today [money]; None when nothing is known.
    history
        (years from today, 0 or less; adjusted price) of what was observed.
    ahead
        Its forecast; None when nothing can be said, then the dots stay open and unjoined.
    change
        Words under the panel: "−24 % a year", "no clear change", "only 7 prices".
    prices
        Number of prices it rests on [count].
    marks
        (kind, words) pairs shown in place of the number of prices.
    """

    name: str
    link: str
    today: float | None
    history: tuple[tuple[float, float], ...]
    ahead: Fan | None
    change: str
    prices: int
    marks: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class PanelGroup:
    """Traits that move alike: "falling", "holding", "rising" or "none", the rule in words, its panels."""

    status: str
    rule: str
    panels: tuple[Panel, ...]


def trait_panels(groups: Sequence[PanelGroup], *, currency: str) -> str:
    """Write all groups that have panels, each panel from 0 on its own height.

    Parameters
    ----------
    groups
        In the order to show.
    currency
        Code of the breeder's currency.
    """
    reading = (
        f"Three years back and three ahead of today’s line. Each panel starts at 0 {currency} and has "
        "its own height. Outlined band: 8 in 10. Pale band: 19 in 20."
    )
    sections = "".join(_section(group, currency=currency) for group in groups if group.panels)
    return f'<p class="reading">{esc(reading)}</p><div class="panels">{sections}</div>'


def _section(group: PanelGroup, *, currency: str) -> str:
    found = meaning(group.status)
    narrow = " narrow" if len(group.panels) <= 2 else ""
    head = (
        f'<div class="group-head"><h2 class="small"><span aria-hidden="true">{found.shape}</span> '
        f'{esc(found.word)}</h2><span class="sub">{esc(group.rule)}</span></div>'
    )
    panels = "".join(_panel(panel, currency=currency) for panel in group.panels)
    return f'<section class="group{narrow}">{head}{panels}</section>'


def _panel(panel: Panel, *, currency: str) -> str:
    said = "" if panel.ahead is None else f"{panel.prices} {plural(panel.prices, 'price')}"
    marks = "".join(mark(kind, words) for kind, words in panel.marks)
    top = (
        f'<div class="ends">{link(panel.name, panel.link, strong=True)}'
        f'<span class="one-line">{strong(price(panel.today))}</span></div>'
    )
    foot = (
        f'<div class="ends foot sub"><span>{esc(panel.change)}</span><span>{marks or esc(said)}</span></div>'
    )
    return f'<div class="panel">{top}{_picture(panel, currency=currency)}{foot}</div>'


def _picture(panel: Panel, *, currency: str) -> str:
    seen = [(year, value) for year, value in sorted(panel.history) if -YEARS <= year <= 0]
    if panel.ahead is not None:
        seen = _calmed(seen)
    top = _top(panel, seen)
    drawn, dots = "", ""
    if panel.ahead is None:
        dots = "".join(
            f'<circle class="open" cx="{_x(year):.2f}%" cy="{_y(value, top):.1f}" r="2.6"/>'
            for year, value in seen
        )
    else:
        drawn = _fan(panel.ahead, top) + _polyline(seen, top, css="seen")
    label = f"{panel.name}: {price(panel.today)} {currency} today, {panel.change}{_ahead_words(panel)}"
    return (
        f'<svg role="img" aria-label="{esc(label)}">'
        f'<svg width="100%" height="{_HEIGHT:g}" viewBox="0 0 100 {_HEIGHT:g}" '
        f'preserveAspectRatio="none">{drawn}</svg>'
        f'<line class="base" x1="0" x2="100%" y1="{_FLOOR + 0.5:g}" y2="{_FLOOR + 0.5:g}"/>'
        f'<line class="upright" x1="50%" x2="50%" y1="0" y2="{_HEIGHT:g}"/>{dots}</svg>'
    )


def _ahead_words(panel: Panel) -> str:
    if panel.ahead is None:
        return ""
    low, high = panel.ahead.low80[-1], panel.ahead.high80[-1]
    return f"; in {panel.ahead.years[-1]:.0f} years 8 in 10 from {price(low)} to {price(high)}"


def _calmed(seen: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Bring many prices down to medians of two months, so that a line can be read."""
    if len(seen) <= _MOST_POINTS:
        return seen
    months: dict[int, list[tuple[float, float]]] = {}
    for year, value in seen:
        months.setdefault(int((year + YEARS) * 6), []).append((year, value))
    return [
        (statistics.fmean(y for y, _ in group), statistics.median(v for _, v in group))
        for _, group in sorted(months.items())
    ]


def _top(panel: Panel, seen: Sequence[tuple[float, float]]) -> float:
    highest = max([value for _, value in seen], default=0.0)
    if panel.ahead is not None:
        band = max(panel.ahead.high80)
        highest = max(highest, band, min(max(panel.ahead.high95), 1.3 * band))
    return 1.05 * max(highest, panel.today or 0.0) or 1.0


def _fan(ahead: Fan, top: float) -> str:
    def points(values: tuple[float, ...]) -> list[tuple[float, float]]:
        return [(year, value) for year, value in zip(ahead.years, values, strict=True) if year <= YEARS]

    wide = _polygon(points(ahead.low95), points(ahead.high95), top=top, css="pale95")
    narrow = _polygon(points(ahead.low80), points(ahead.high80), top=top, css="pale80")
    edges = _polyline(points(ahead.low80), top, css="edge") + _polyline(points(ahead.high80), top, css="edge")
    return wide + narrow + edges + _polyline(points(ahead.middle), top, css="ahead")


def _x(year: float) -> float:
    return 50 + 50 * year / YEARS


def _y(value: float, top: float) -> float:
    return _FLOOR - (_FLOOR - 2) * min(max(value, 0.0), top) / top


def _points(series: Sequence[tuple[float, float]], top: float) -> str:
    return " ".join(f"{_x(year):.2f},{_y(value, top):.2f}" for year, value in series)


def _polyline(series: Sequence[tuple[float, float]], top: float, *, css: str) -> str:
    return f'<polyline class="{css}" points="{_points(series, top)}"/>' if series else ""


def _polygon(
    low: Sequence[tuple[float, float]], high: Sequence[tuple[float, float]], *, top: float, css: str
) -> str:
    return f'<polygon class="{css}" points="{_points([*high, *reversed(low)], top)}"/>' if low else ""
