"""How traits do and what that rests on: panels, the chart in depth, its key, the report card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from dashboard.figures import strips
from dashboard.figures.markup import (
    Column,
    esc,
    heading,
    name_cell,
    number_cell,
    row,
    strip_cell,
    strong,
    sub,
    table,
)
from dashboard.figures.panels import Fan, Panel, PanelGroup, trait_panels
from dashboard.figures.price_chart import price_chart
from dashboard.figures.price_view import Band, PriceView, SaleWindow, SeenPrice, SupplyView, price_alt
from dashboard.figures.scales import Scale
from dashboard.words import num, percent

__all__ = [
    "Band",
    "Fan",
    "FitLine",
    "Panel",
    "PanelGroup",
    "PriceView",
    "SaleWindow",
    "SeenPrice",
    "SupplyView",
    "basis_note",
    "key_html",
    "price_alt",
    "price_chart",
    "report_table",
    "trait_panels",
]

_SVG: Final = '<svg width="26" height="12" aria-hidden="true">'
_LINE: Final = _SVG + '<line x1="0" x2="26" y1="6" y2="6" class="{}"/></svg>'
_BAND: Final = _SVG + '<rect width="26" height="12" class="{}"/></svg>'


@dataclass(frozen=True)
class FitLine:
    """One way of forecasting, tried on the breeder's own past prices.

    Attributes
    ----------
    name, words
        What it is called, and what it does in a sentence.
    error
        Typical miss as a share of the price; None when too few forecasts could be tried.
    forecasts
        Number of past forecasts tried [count].
    used
        Whether this is the one the forecast uses.
    """

    name: str
    words: str
    error: float | None
    forecasts: int
    used: bool = False


def key_html(*, forecast: bool = True, supply: bool = False, expected: bool = False) -> str:
    """Write the chart's key in words; it wraps on a phone. Each part can be left out with its lines."""
    items = ['<span aria-hidden="true">●</span> sold', '<span aria-hidden="true">–</span> asked']
    if forecast:
        items += [_LINE.format("key-fit") + "fitted", _LINE.format("key-ahead") + "forecast"]
        items += [_BAND.format("key-80") + "8 in 10", _BAND.format("key-95") + "19 in 20"]
    if supply:
        items.append(_LINE.format("key-offered") + "offered")
    if expected:
        items.append(_LINE.format("key-expected") + "expected supply")
    return '<ul class="key">' + "".join(f"<li>{item}</li>" for item in items) + "</ul>"


def basis_note(text: str, lead: str = "What this rests on.") -> str:
    """Write what the figure above rests on; the texts are escaped here."""
    rest = text.removeprefix("Rests on ")
    text = rest[:1].upper() + rest[1:]
    return f'<p class="spaced">{strong(lead)} {esc(text)}</p>'


def report_table(title: str, reading: str, *, rows: Sequence[FitLine]) -> str:
    """Write how far simple ways of forecasting missed, tried on past prices.

    Parameters
    ----------
    title, reading
        What the table shows, and how to read it.
    rows
        Ways of forecasting in the order to show, best first.
    """
    scale = Scale.around([line.error or 0.0 for line in rows] + [0.01], margin=0.1)
    columns = (
        Column("Way of forecasting", 40),
        Column("Typical miss, share of the price", 30),
        Column("Typical|miss", 14, "number"),
        Column("Forecasts|tried", 16, "number"),
    )
    body = [_fit_row(line, scale) for line in rows]
    return heading(title, reading, spaced=True) + table(title, columns, rows=body, zero=scale.zero)


def _fit_row(line: FitLine, scale: Scale) -> str:
    miss = percent(line.error)
    name = strong(f"{line.name}, used here") if line.used else esc(line.name)
    drawn = strips.bar(
        scale,
        0.0,
        line.error or 0.0,
        css="income" if line.used else "",
        label=f"{line.name} missed by {miss}",
        thick=14,
    )
    cells = (
        name_cell(name + sub(line.words)),
        strip_cell(drawn),
        number_cell(miss, label="Typical miss", phone=3),
        number_cell(num(line.forecasts), label="Forecasts tried", phone=3),
    )
    return row(cells)
