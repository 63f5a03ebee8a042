"""How one row shows a range, a change or a set of outcomes against the break-even line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from dashboard.figures.markup import esc
from dashboard.figures.quantile_dots import DotStacks, stack
from dashboard.figures.scales import Scale, labelled_ticks, tick_words
from dashboard.words import BREAK_EVEN, money, rng

__all__ = ["Scale", "axis", "bar", "change", "dots50", "interval", "line", "swing", "under_axis"]

_EDGE: Final = 6.0  # nearer than this to an end [%], a label leans inwards


def line(scale: Scale, start: float, end: float, *, y: float, css: str) -> str:
    """Draw a level piece of line from one amount to another."""
    return f'<line x1="{scale(start):.2f}%" x2="{scale(end):.2f}%" y1="{y:g}" y2="{y:g}" class="{css}"/>'


def _upright(at: float, top: float, *, bottom: float, css: str) -> str:
    return f'<line x1="{at:.2f}%" x2="{at:.2f}%" y1="{top:g}" y2="{bottom:g}" class="{css}"/>'


def _dot(scale: Scale, value: float, *, y: float, css: str = "dot", r: float = 6) -> str:
    return f'<circle cx="{scale(value):.2f}%" cy="{y:g}" r="{r:g}" class="{css}"/>'


def picture(inside: str, height: float, *, label: str, css: str = "strip") -> str:
    """Wrap drawn pieces as an image with words that say its message."""
    return f'<svg class="{css}" height="{height:g}" role="img" aria-label="{esc(label)}">{inside}</svg>'


def _split(scale: Scale, low: float, high: float, *, y: float, css: str) -> str:
    """Draw a range in two pieces, the part below break-even as a loss."""
    parts = []
    if low < 0:
        parts.append(line(scale, low, min(high, 0.0), y=y, css=f"{css} loss"))
    if high > 0:
        parts.append(line(scale, max(low, 0.0), high, y=y, css=css))
    return "".join(parts)


def interval(
    scale: Scale, quantiles: Sequence[float], *, mean: float, currency: str = "", height: float = 44
) -> str:
    """Draw expected value (dot), half of all outcomes (bar) and 8 in 10 (line); left of zero as a loss.

    Parameters
    ----------
    scale
        Shared by all rows of the table.
    quantiles
        The 10, 25, 50, 75 and 90 % points [money].
    mean
        Expected amount [money].
    currency
        Code, for the words read aloud.

    Raises
    ------
    ValueError
        If there are not five quantiles.
    """
    if len(quantiles) != 5:
        raise ValueError(f"{len(quantiles)} quantiles were given; allowed: five (10, 25, 50, 75, 90 %)")
    low, quarter, _, three_quarters, high = quantiles
    y = height / 2
    pieces = _split(scale, quarter, three_quarters, y=y, css="half") + _split(
        scale, low, high, y=y, css="most"
    )
    pieces += _dot(scale, mean, y=y, css="dot loss" if mean < 0 else "dot")
    words = f"expected {money(mean)}, 8 in 10 outcomes from {rng(low, high)} {currency}"
    return picture(pieces, height, label=words.strip())


def swing(scale: Scale, low: float, high: float, *, now: float, label: str, height: float = 44) -> str:
    """Draw what an amount becomes between two settings, with a dotted line and a dot for now."""
    y = height / 2
    pieces = _upright(scale(now), 0, bottom=height, css="now")
    pieces += _split(scale, min(low, high), max(low, high), y=y, css="swing")
    pieces += _dot(scale, now, y=y, css="dot loss" if now < 0 else "dot")
    return picture(pieces, height, label=label)


def change(scale: Scale, before: float, now: float, *, label: str, height: float = 44) -> str:
    """Draw a move: hollow dot then, filled dot now, joined."""
    y = height / 2
    pieces = line(scale, before, now, y=y, css="joined") + _dot(scale, before, y=y, css="dot before", r=5)
    pieces += _dot(scale, now, y=y, css="dot loss" if now < 0 else "dot")
    return picture(pieces, height, label=label)


def bar(
    scale: Scale,
    start: float,
    end: float,
    *,
    css: str,
    label: str,
    height: float = 38,
    thick: float = 18,
    words: str = "",
) -> str:
    """Draw a bar between two amounts; `words` are written at its right end."""
    low, high = min(start, end), max(start, end)
    width = max(scale(high) - scale(low), 0.15)
    top = (height - thick) / 2
    inside = (
        f'<rect x="{scale(low):.2f}%" width="{width:.2f}%" y="{top:g}" height="{thick:g}" class="bar {css}"/>'
    )
    if words:
        inside += (
            f'<svg x="{scale(high):.2f}%" y="0" overflow="visible">'
            f'<text class="value" x="6" y="{height / 2 + 5:g}">{esc(words)}</text></svg>'
        )
    return picture(inside, height, label=label)


def _tick_label(scale: Scale, value: float, *, words: str, y: float, css: str = "") -> str:
    place = scale(value)
    anchor = "start" if place < _EDGE else "end" if place > 100 - _EDGE else "middle"
    if css and place < _EDGE:
        place = 0.0
    extra = f' class="{css}"' if css else ""
    return f'<text x="{place:.2f}%" y="{y:g}" text-anchor="{anchor}"{extra}>{esc(words)}</text>'


def axis(scale: Scale, *, zero_name: str = BREAK_EVEN, height: float = 20) -> str:
    """Draw the names of the ticks above a column of strips; zero carries the name of the upright line."""
    names = "".join(
        _tick_label(scale, value, words=words, y=14, css="zero-name" if value == 0 else "")
        for value, words in labelled_ticks(scale, zero_name=zero_name)
    )
    return f'<svg class="axis" height="{height:g}" aria-hidden="true">{names}</svg>'


def under_axis(scale: Scale, *, y: float, zero_name: str = "") -> str:
    """Draw a level axis with short ticks and their names, for figures that stand alone."""
    pieces = [f'<line x1="0" x2="100%" y1="{y:g}" y2="{y:g}" class="base"/>']
    for value, words in labelled_ticks(scale, zero_name=zero_name, words=tick_words):
        bold = "zero-name" if value == 0 and zero_name else ""
        pieces.append(_upright(scale(value), y, bottom=y + 4, css="base"))
        pieces.append(_tick_label(scale, value, words=words, y=y + 18, css=bold))
    return "".join(pieces)


def dots50(values: Sequence[float], *, currency: str, what: str = "season", widest: int = 420) -> str:
    """Draw equally likely outcomes as stacked dots; losses are hollow, no dot straddles break-even.

    Parameters
    ----------
    values
        Equally likely outcomes [money], usually fifty made by `quantile_dots.fifty`.
    currency
        Code, for the words read aloud.
    what
        What one dot is: "season", "clutch".
    widest
        Width beyond which the figure does not grow [px].
    """
    stacks = stack(values)
    base = Scale.around([stacks.low, stacks.high], ticks=5, margin=0)
    scale = Scale(stacks.low, stacks.high, tuple(t for t in base.ticks if stacks.low <= t <= stacks.high))
    radius, pitch = _dot_size(stacks)
    top = 14 + stacks.tallest * pitch
    drawn = "".join(
        f'<circle cx="{scale(dot.at):.2f}%" cy="{top - radius - 2 - dot.height * pitch:.1f}" '
        f'r="{radius - (1 if dot.is_loss else 0):g}" class="outcome{" loss" if dot.is_loss else ""}"/>'
        for dot in stacks.dots
    )
    pieces = under_axis(scale, y=top, zero_name=BREAK_EVEN) + drawn
    pieces += _upright(scale.zero, 0, bottom=top + 4, css="upright")
    words = (
        f"{len(values)} equally likely {what} outcomes from {rng(min(values), max(values))} {currency}; "
        f"{stacks.losses} of them end with a loss"
    )
    return f'<div style="max-width:{widest}px">{picture(pieces, top + 24, label=words)}</div>'


def _dot_size(stacks: DotStacks) -> tuple[float, float]:
    """Choose radius and vertical pitch [px] so that dots fit a phone and a tall stack stays low."""
    radius = min(5.5, 330 / stacks.bins / 2 - 0.25)
    return radius, min(2 * radius + 1, 150 / stacks.tallest)
