"""Costs on screen: what the figures add up to, and one figure beside its input."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.figures import strips
from dashboard.figures.markup import (
    Column,
    action,
    cell,
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
from dashboard.figures.scales import Scale
from dashboard.words import figure

BACK = "back"
"""Target of the link that goes back to the default."""


@dataclass(frozen=True)
class SumLine:
    """One sum: what it is, its largest parts in words, and the amount as printed."""

    name: str
    parts: str
    amount: str


@dataclass(frozen=True)
class FigureLine:
    """One figure beside its input.

    Attributes
    ----------
    name, help
        Plain name, and one sentence of help.
    value
        The figure in use [its unit]; None if it was emptied.
    ends, allowed
        Where 8 in 10 lie, and what may be entered [its unit].
    unit, currency
        Unit in words ("share", "money a year"), and the ISO 4217 code that stands for "money".
    source
        Where the default comes from.
    default
        The registry's own figure, to go back to [its unit].
    changed
        Whether the figure in use is the breeder's own.
    """

    name: str
    help: str
    value: float | None
    ends: tuple[float, float]
    allowed: tuple[float, float]
    unit: str
    currency: str
    source: str
    default: float
    changed: bool = False


def sums_table(title: str, reading: str, *, rows: Sequence[SumLine]) -> str:
    """Write sums with their parts in words, amounts to the right."""
    columns = (Column("What", 80), Column("Cost", 20, "number"))
    body = [
        row(
            (
                name_cell(esc(r.name) + sub(r.parts), phone=4),
                number_cell(r.amount, weight="chief", to_right=True),
            )
        )
        for r in rows
    ]
    return heading(title, reading) + table(title, columns, rows=body)


def figure_row(r: FigureLine) -> str:
    """Write one figure without its value, which stands in the input beside it."""
    columns = (Column("Figure", 44), Column("8 in 10", 22, "strip"), Column("Source", 34))
    low, high = (figure(end, r.unit) for end in r.ends)
    source = sub(r.source)
    if r.changed:
        back = action(f"back to {figure(r.default, r.unit)}", BACK)
        source = f'<div class="sub">your own; {back}, {esc(r.source)}</div>'
    cells = (
        name_cell((strong(r.name) if r.changed else esc(r.name)) + sub(r.help)),
        strip_cell(_strip(r, low, high), line=False),
        cell(esc(f"{low} to {high} {unit_words(r.unit, r.currency)}".strip()) + source),
    )
    return table(r.name, columns, rows=[row(cells)], look="bare")


def _strip(r: FigureLine, low: str, high: str) -> str:
    if r.value is None:
        return ""
    scale = _scale(r, r.value)
    pieces = '<line x1="0" x2="100%" y1="14" y2="14" class="grid"/>'
    pieces += strips.line(scale, *r.ends, y=14, css="most")
    pieces += f'<circle cx="{scale(r.value):.2f}%" cy="14" r="5.5" class="dot"/>'
    words = f"{figure(r.value, r.unit)} {unit_words(r.unit, r.currency)}, 8 in 10 from {low} to {high}"
    return strips.picture(pieces, 28, label=words)


def _scale(r: FigureLine, value: float) -> Scale:
    """Give a scale around 8 in 10 with half of it again on either side, within what is allowed."""
    low, high = r.ends
    room = 0.5 * (high - low)
    least, most = max(r.allowed[0], low - room), min(r.allowed[1], high + room)
    return Scale(min(least, value), max(most, value), ())


def unit_words(unit: str, currency: str) -> str:
    """Write a unit after a printed figure: a share is printed as percent, money by its code."""
    if unit.startswith("share"):
        return unit.removeprefix("share").strip()
    return unit.replace("money", currency, 1)
