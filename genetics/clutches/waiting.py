"""How long until a wanted hatchling: over hatchlings, eggs, clutches, seasons and females.

Whatever is counted, the chance of not having it after n of them is a sum of powers: for each thing the
parents may be, its chance times (chance to miss once)^n. One of each sex adds three such sums. So every
chance is exact for any n, and never the power of an average.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.queries.counts import BadCount, Count, chances_of_count, none_of
from genetics.clutches.queries.kinds import Kind

Floats = NDArray[np.float64]
Counted = Literal["hatchlings", "eggs", "clutches", "seasons"]

CHANCES = (0.5, 0.8, 0.9, 0.95)
NEVER = 1.0 - 1e-12
"""A chance of missing it at one try from which on it is never reached; sums of chances end just below 1."""

MOST_COUNTED = 1_000_000
"""Number up to which a point is looked for."""


@dataclass(frozen=True, eq=False)
class SeasonOfEggs:
    """What one female may lay in one season.

    Attributes
    ----------
    eggs
        Eggs when she lays: a number, or the chance of each number (index = eggs).
    laying
        Chance that she lays [0 to 1].
    fertile
        Share of the eggs that is fertile [0 to 1].
    hatching
        Chance that a fertile egg not lost to its genes hatches [0 to 1].

    Raises
    ------
    BadCount
        If one of them is no chance.
    """

    eggs: Count
    laying: float = 1.0
    fertile: float = 1.0
    hatching: float = 1.0

    def __post_init__(self) -> None:
        chances_of_count(self.eggs)
        for name in ("laying", "fertile", "hatching"):
            if not 0.0 <= getattr(self, name) <= 1.0:
                raise BadCount(f"{name} is {getattr(self, name)}; allowed: 0 to 1")

    @property
    def mean_eggs(self) -> float:
        """Expected eggs of one female in one season, laying included."""
        chances = chances_of_count(self.eggs)
        return float(self.laying * (chances @ np.arange(chances.size)))

    def none(self, share: Floats, *, laid: bool = False) -> Floats:
        """Chance that a season gives no hit, by parents, shape (S,).

        Parameters
        ----------
        share
            Share of the hits among the fertile eggs that would hatch, by parents, shape (S,).
        laid
            True if it is known that she lays.
        """
        missed = none_of(chances_of_count(self.eggs), share * self.fertile * self.hatching)
        return missed if laid else (1.0 - self.laying) + self.laying * missed


@dataclass(frozen=True, eq=False)
class Waiting:
    """Chance of having what is wanted after any number of what is counted.

    Attributes
    ----------
    counted
        What is counted.
    coefficients, bases
        The chance of not having it after n is the sum of coefficients x bases^n, shape (T,) each.
    """

    counted: Counted
    coefficients: Floats
    bases: Floats

    def chance(self, number: float) -> float:
        """Chance of having it after so many; a number between two whole ones is read off the curve.

        Raises
        ------
        BadCount
            If the number is below 0.
        """
        if number < 0:
            raise BadCount(f"{number} {self.counted}; allowed: 0 or more")
        missed = float(self.coefficients @ np.power(self.bases, number))
        return min(1.0, max(0.0, 1.0 - missed))

    @property
    def ceiling(self) -> float:
        """Chance that it is ever reached."""
        return float(1.0 - self.coefficients[self.bases >= NEVER].sum())

    def needed(self, chance: float) -> int | None:
        """Fewest that give a chance, rounded up; None if it is never reached.

        Raises
        ------
        BadCount
            If the chance is not above 0 and below 1.
        """
        if not 0.0 < chance < 1.0:
            raise BadCount(f"the chance asked for is {chance}; allowed: above 0, below 1")
        if self.ceiling <= chance - 1e-12:
            return None
        low, high = 0, 1
        while self.chance(high) < chance - 1e-12:
            low, high = high, 2 * high
            if low > MOST_COUNTED:
                return None
        while high - low > 1:
            middle = (low + high) // 2
            enough = self.chance(middle) >= chance - 1e-12
            low, high = (low, middle) if enough else (middle, high)
        return high

    def points(self, chances: Sequence[float] = CHANCES) -> tuple[tuple[float, int | None], ...]:
        """Median and further points: each chance with the fewest that give it, rounded up.

        Raises
        ------
        BadCount
            As in `needed`.
        """
        return tuple((chance, self.needed(chance)) for chance in chances)


def waiting(
    kind: Kind,
    counted: Counted,
    *,
    season: SeasonOfEggs | None = None,
    females: int = 1,
    each_sex: bool = False,
) -> Waiting:
    """Chance of at least one of a kind, over whatever is counted.

    Parameters
    ----------
    kind
        The wanted hatchlings.
    counted
        "hatchlings"; "eggs" laid; "clutches" laid; or "seasons", in which a female may not lay.
    season
        What a female may lay; left out for hatchlings, and for eggs that all are fertile and hatch.
    females
        Females with the very same genes as the dam, all with the same sire; for others see
        `with_females`.
    each_sex
        True for one male and one female of the kind.

    Raises
    ------
    BadCount
        If clutches or seasons are counted and no season is given, or there is no female.
    """
    if females < 1:
        raise BadCount(f"{females} females; allowed: 1 or more")
    if season is None and counted in ("clutches", "seasons"):
        raise BadCount(f"{counted} need a season: eggs, laying, fertile and hatching share")
    weights, male, female = kind.shares(eggs=counted != "hatchlings")

    def missed(share: Floats) -> Floats:
        return np.power(_missed_once(share, counted, season), females if counted == "seasons" else 1)

    if not each_sex:
        return Waiting(counted, weights, missed(male + female))
    coefficients = np.concatenate([weights, weights, -weights])
    return Waiting(
        counted, coefficients, np.concatenate([missed(male), missed(female), missed(male + female)])
    )


def _missed_once(share: Floats, counted: Counted, season: SeasonOfEggs | None) -> Floats:
    """Chance that one of what is counted gives no hit, by parents."""
    if counted == "hatchlings" or season is None:
        return 1.0 - share
    if counted == "eggs":
        return 1.0 - share * season.fertile * season.hatching
    return season.none(share, laid=counted == "clutches")
