"""How did the weight of an animal go? A small line from zero, with its ends named."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from dashboard.figures.markup import esc
from dashboard.words import num

_HIGH = 60.0
_WIDE = 1000.0


def weight_line(points: Sequence[tuple[date, float]]) -> str:
    """Draw weights by day [g], oldest first, as a line whose ground is 0 g; nothing for fewer than two.

    Parameters
    ----------
    points
        Day and weight, each day once, in order.
    """
    if len(points) < 2:
        return ""
    first, last = points[0], points[-1]
    span = (last[0] - first[0]).days
    top = max(grams for _, grams in points)

    def place(day: date, grams: float) -> tuple[float, float]:
        return _WIDE * (day - first[0]).days / span, _HIGH * (1 - grams / top)

    drawn = [place(day, grams) for day, grams in points]
    path = " ".join(f"{x:.1f},{y:.2f}" for x, y in drawn)
    words = (
        f"{len(points)} weights from {num(first[1])} g on {first[0].isoformat()} "
        f"to {num(last[1])} g on {last[0].isoformat()}"
    )
    svg = (
        f'<svg role="img" aria-label="{esc(words)}" viewBox="0 -3 {_WIDE:g} {_HIGH + 6:g}" height="66" '
        'preserveAspectRatio="none" style="display:block;width:100%">'
        f'<line x1="0" x2="{_WIDE:g}" y1="{_HIGH:g}" y2="{_HIGH:g}" class="base" '
        'vector-effect="non-scaling-stroke"/>'
        f'<polyline points="{path}" class="seen"/></svg>'
    )
    ends = (
        f'<div class="ends"><span class="sub">{esc(first[0].isoformat())}, {esc(num(first[1]))} g</span>'
        f'<span class="sub">{esc(last[0].isoformat())}, {esc(num(last[1]))} g</span></div>'
    )
    return f'<div style="max-width:420px">{svg}{ends}</div>'
