"""Fifty equally likely outcomes, stacked so that no dot straddles break-even."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Dot:
    """One of the equally likely outcomes.

    Attributes
    ----------
    at
        Middle of its bin [money].
    height
        Dots beneath it in the same stack [count].
    value
        The outcome itself [money].
    """

    at: float
    height: int
    value: float

    @property
    def is_loss(self) -> bool:
        """Whether the outcome lies below break-even."""
        return self.value < 0


@dataclass(frozen=True)
class DotStacks:
    """Dots in bins of one width, with a bin edge at zero.

    Attributes
    ----------
    dots
        All dots, smallest outcome first.
    low, high
        Outer edges of the bins [money]; zero is between them or one of them.
    width
        Width of a bin [money].
    tallest
        Dots in the highest stack [count].
    """

    dots: tuple[Dot, ...]
    low: float
    high: float
    width: float
    tallest: int

    @property
    def bins(self) -> int:
        """Number of bins from edge to edge."""
        return round((self.high - self.low) / self.width)

    @property
    def losses(self) -> int:
        """Number of dots below break-even."""
        return sum(dot.is_loss for dot in self.dots)


class OutcomesError(ValueError):
    """There is no finite outcome to show."""


def fifty(outcomes: Sequence[float] | np.ndarray) -> tuple[float, ...]:
    """Take fifty equally likely values out of many outcomes: their 1st, 3rd, ... 99th percentiles.

    Raises
    ------
    OutcomesError
        If nothing finite is among them.
    """
    values = np.asarray(outcomes, dtype=float)
    values = values[np.isfinite(values)]
    if not values.size:
        raise OutcomesError("there is no outcome to show; allowed: at least one finite number")
    points = np.percentile(values, np.arange(1, 100, 2))
    return tuple(float(v) for v in points)


def stack(values: Sequence[float], *, bins: int = 28, highest: int = 10, most_bins: int = 44) -> DotStacks:
    """Stack dots in bins whose edges include zero.

    Starts with the bins asked for and takes more, narrower ones while a stack is over `highest`;
    if `most_bins` is reached first, the stack stays higher and the drawing closes it up.

    Raises
    ------
    OutcomesError
        If there is no value, or one that is not finite.
    """
    if not values or not all(math.isfinite(v) for v in values):
        raise OutcomesError("the outcomes to stack are missing or not finite numbers")
    for wanted in range(bins, most_bins + 1, 4):
        made = _stack(sorted(values), wanted)
        if made.tallest <= highest:
            return made
    return made


def _stack(values: list[float], bins: int) -> DotStacks:
    low, high = min(values[0], 0.0), max(values[-1], 0.0)
    width = (high - low) / (bins - 2) or 1.0
    first, last = math.floor(low / width), max(math.floor(high / width) + 1, 1)
    below: Counter[int] = Counter()
    dots = []
    for value in values:
        place = min(math.floor(value / width), last - 1) if value >= 0 else min(math.floor(value / width), -1)
        dots.append(Dot((place + 0.5) * width, below[place], value))
        below[place] += 1
    return DotStacks(tuple(dots), first * width, last * width, width, max(below.values()))
