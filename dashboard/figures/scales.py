"""Where on a figure an amount lies, and which round figures stand along its axis."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

from dashboard.words import num

_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)
_LEAST_SPAN: Final = 1e-6  # below it two amounts can't be told apart on a scale
_LETTER: Final = 6.4  # width of a figure at 12.5 px [px]
_NARROWEST: Final = 300.0  # width of a strip on a small phone [px]


@dataclass(frozen=True)
class Scale:
    """A straight scale from left (0 %) to right (100 %).

    Attributes
    ----------
    low, high
        Ends of the scale [any unit], low below high.
    ticks
        Round figures inside the scale, rising.
    """

    low: float
    high: float
    ticks: tuple[float, ...]

    def __call__(self, value: float) -> float:
        """Give the place of a value [%], held inside the scale."""
        held = min(max(value, self.low), self.high)
        return 100.0 * min((held - self.low) / (self.high - self.low), 1.0)

    @property
    def zero(self) -> float:
        """Place of zero [%]."""
        return self(0.0)

    @property
    def step(self) -> float:
        """Distance between two ticks; the whole width where there is only one."""
        return self.ticks[1] - self.ticks[0] if len(self.ticks) > 1 else self.high - self.low

    @staticmethod
    def around(values: Iterable[float], *, ticks: int = 5, margin: float = 0.04) -> Scale:
        """Fit a scale around the values and zero; values that are not finite are passed over.

        Parameters
        ----------
        values
            What must fit on the scale; without any, it runs from 0 to 1.
        ticks
            Steps wanted between the ends [about].
        margin
            Free room at an end that is not zero [share of the width].

        Raises
        ------
        ValueError
            If no step at all is asked for.
        """
        if ticks < 1:
            raise ValueError(f"{ticks} ticks were asked for; allowed: 1 and more")
        finite = [float(v) for v in values if math.isfinite(v)]
        low, high = min([0.0, *finite]), max([0.0, *finite])
        if high - low < _LEAST_SPAN:
            high = low + 1.0
        room = (high - low) * margin
        low, high = low - (room if low < 0 else 0.0), high + (room if high > 0 else 0.0)
        step = nice_step((high - low) / ticks)
        first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
        marks = tuple(_clean(k * step) for k in range(first, last + 1))
        return Scale(low, high, marks)


def nice_step(rough: float) -> float:
    """Give the round step (1, 2, 2.5 or 5 times a power of ten) at or just above a rough one."""
    power = 10.0 ** math.floor(math.log10(rough))
    return next((s * power for s in _STEPS if s * power >= rough * (1 - 1e-9)), 10.0 * power)


def tick_words(scale: Scale, value: float) -> str:
    """Print a tick with as many decimals as its step needs; above a billion in millions or billions."""
    for size, word in ((1e9, "billion"), (1e6, "million")):
        if scale.step >= size / 10 and max(abs(scale.low), abs(scale.high)) >= size * 10:
            return f"{tick_number(value / size, scale.step / size)} {word}" if value else "0"
    return tick_number(value, scale.step)


def tick_number(value: float, step: float) -> str:
    """Print a round figure with the decimals its step shows."""
    decimals = 0
    while decimals < 6 and abs(step * 10**decimals - round(step * 10**decimals)) > 1e-6:
        decimals += 1
    return num(value, 10.0**-decimals if decimals else 1, decimals=decimals)


def labelled_ticks(
    scale: Scale,
    *,
    zero_name: str = "",
    words: Callable[[Scale, float], str] = tick_words,
    width: float = _NARROWEST,
) -> list[tuple[float, str]]:
    """Choose the ticks whose labels fit beside each other on the narrowest screen; zero goes first.

    Returns
    -------
    list
        (value, label) rising by value.
    """
    taken: list[tuple[float, float, float, str]] = []
    for value in sorted(scale.ticks, key=lambda tick: (tick != 0, -tick if tick > 0 else tick)):
        label = zero_name if value == 0 and zero_name else words(scale, value)
        half = 0.5 * len(label) * _LETTER + 5
        centre = scale(value) / 100 * width
        if all(centre + half <= left or centre - half >= right for left, right, _, _ in taken):
            taken.append((centre - half, centre + half, value, label))
    return sorted((value, label) for _, _, value, label in taken)


def _clean(value: float) -> float:
    """Take away the crumbs of floating point: 0.30000000000000004 becomes 0.3."""
    return float(f"{value:.12g}")
