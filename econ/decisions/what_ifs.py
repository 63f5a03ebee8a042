"""Which assumption moves the answer most? And the value at which the decision turns."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from scipy.optimize import brentq

from econ.assumptions import AssumptionError, Assumptions, assumption

Margin = Callable[[Assumptions], float]


@dataclass(frozen=True)
class WhatIf:
    """What the expected margin becomes when one assumption alone moves over its range.

    Attributes
    ----------
    id
        Id of the assumption.
    low, high
        Ends of the range the assumption lies in 8 times out of 10 [its unit].
    now
        Its value now [its unit].
    margin_low, margin_high
        Expected margin at these ends [money].
    """

    id: str
    low: float
    high: float
    now: float
    margin_low: float
    margin_high: float

    @property
    def width(self) -> float:
        """How far the expected margin moves between the two ends [money]."""
        return abs(self.margin_high - self.margin_low)


def what_ifs(ids: Iterable[str], assumptions: Assumptions, *, margin: Margin) -> tuple[WhatIf, ...]:
    """Move one assumption at a time from the low to the high end of its range.

    The range is that of the registry, moved along when the breeder's own value differs from the
    default: the breeder's value replaces the middle and the ends keep their distance as factors.

    Parameters
    ----------
    ids
        Assumptions to try.
    assumptions
        Values now.
    margin
        Expected margin for given assumptions [money].

    Returns
    -------
    tuple of WhatIf
        The one that moves the margin most comes first.
    """
    rows = [_one(id_, assumptions, margin) for id_ in ids]
    return tuple(sorted(rows, key=lambda row: (-row.width, row.id)))


def turning_point(row: WhatIf, assumptions: Assumptions, *, margin: Margin) -> float | None:
    """Value between the two ends at which the expected margin is zero [its unit].

    None if the margin does not turn between them, or the figure takes whole numbers only.
    """
    ends = row.margin_low, row.margin_high
    if assumption(row.id).whole or ends[0] == ends[1] or ends[0] * ends[1] > 0:
        return None
    root = brentq(
        lambda value: _margin_at(row.id, value, assumptions, margin),
        row.low,
        row.high,
        xtol=1e-6 * (row.high - row.low),
        rtol=1e-8,
    )
    return float(root)


def range_around(id_: str, value: float) -> tuple[float, float]:
    """Find the ends of the 8-in-10 range about a value, to two digits, inside what is allowed [its unit]."""
    entry = assumption(id_)
    if value == entry.value:
        return entry.low, entry.high
    if entry.value > 0:
        low, high = value * entry.low / entry.value, value * entry.high / entry.value
    else:
        low, high = value + entry.low - entry.value, value + entry.high - entry.value
    low, high = max(float(f"{low:.2g}"), entry.minimum), min(float(f"{high:.2g}"), entry.maximum)
    if entry.whole:
        low, high = float(round(low)), float(round(high))
    return min(low, value), max(high, value)


def _one(id_: str, assumptions: Assumptions, margin: Margin) -> WhatIf:
    now = assumptions[id_]
    low, high = range_around(id_, now)
    ends = _margin_at(id_, low, assumptions, margin), _margin_at(id_, high, assumptions, margin)
    return WhatIf(
        id=id_,
        low=low,
        high=high,
        now=now,
        margin_low=ends[0],
        margin_high=ends[1],
    )


def _margin_at(id_: str, value: float, assumptions: Assumptions, margin: Margin) -> float:
    """Margin at a value; where two figures would clash, the value now stands in for it."""
    try:
        return margin(assumptions.with_values({id_: value}))
    except AssumptionError:
        return margin(assumptions)
