"""How fast and how surely the animals multiply: the figures every route rests on."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.clutch_size import clutch_size_pmf, hatchling_pmf
from genetics.genes.sources import CUSTOM, Source

Floats = NDArray[np.float64]

SOURCES: dict[str, Source] = {
    "male_maturity": CUSTOM,
    "female_maturity": CUSTOM,
    "females_per_male": CUSTOM,
    "laying": CUSTOM,
    "eggs_mean": Source(
        "paper",
        "captive females 5 to 6 eggs: Ellis TM, Chappell MA (1987) Metabolism, temperature relations, "
        "maternal behavior, and reproductive energetics in the ball python. J Comp Physiol B 157 (volume "
        "from memory); about six: common practice, no source",
    ),
    "eggs_sd": CUSTOM,
    "fertile": CUSTOM,
    "hatching": CUSTOM,
    "survival": CUSTOM,
    "male_share": Source(
        "paper",
        "XX and XY, so 1:1: Gamble T et al. (2017) The Discovery of XY Sex Chromosomes in a Boa and Python. "
        "Current Biology 27(14):2148-2153",
    ),
    "adult_deaths": CUSTOM,
}
"""Where each default of `Biology` comes from, by its name."""

_CHANCES = ("laying", "fertile", "hatching", "survival", "male_share", "adult_deaths")


class BadBiology(ValueError):
    """A figure of the life history that no animal can have."""


@dataclass(frozen=True)
class Biology:
    """Figures of the life history; each default is the trade's custom unless `SOURCES` says more.

    Attributes
    ----------
    male_maturity, female_maturity
        Seasons from the one an animal hatches in to the first one it has young in [seasons, 1 or
        more].
    females_per_male
        Most females one male is paired with in a season.
    laying
        Chance that a paired female lays [0 to 1].
    eggs_mean, eggs_sd
        Mean and spread of the clutch size [eggs].
    fertile
        Share of the eggs that is fertile [0 to 1].
    hatching
        Chance that a fertile egg hatches, eggs lost to their genes left aside [0 to 1].
    survival
        Chance that a hatchling held back lives until it can be paired [0 to 1].
    male_share
        Share of sons before any losses [0 to 1].
    adult_deaths
        Chance that a grown animal dies between two seasons [0 to 1]; used by simulated routes only.

    Raises
    ------
    BadBiology
        If a figure is outside its range.
    ImpossibleClutchSize
        If no distribution has the mean and spread of the clutch size.
    """

    male_maturity: int = 2
    female_maturity: int = 3
    females_per_male: int = 3
    laying: float = 0.75
    eggs_mean: float = 6.0
    eggs_sd: float = 1.5
    fertile: float = 0.85
    hatching: float = 0.9
    survival: float = 0.9
    male_share: float = 0.5
    adult_deaths: float = 0.03

    def __post_init__(self) -> None:
        for name in ("male_maturity", "female_maturity", "females_per_male"):
            value = getattr(self, name)
            if value != int(value) or value < 1:
                raise BadBiology(f"{name} is {value}; allowed: whole numbers from 1")
        for name in _CHANCES:
            value = getattr(self, name)
            if not 0.0 <= value <= 1.0:
                raise BadBiology(f"{name} is {value}; allowed: 0 to 1")
        clutch_size_pmf(self.eggs_mean, self.eggs_sd)

    @property
    def eggs_pmf(self) -> Floats:
        """Chance of each number of eggs when a female lays, index = eggs."""
        return clutch_size_pmf(self.eggs_mean, self.eggs_sd)

    @property
    def each_hatches(self) -> float:
        """Chance that an egg hatches, eggs lost to their genes left aside."""
        return self.fertile * self.hatching

    @property
    def young_pmf(self) -> Floats:
        """Chance of each number of young of one paired female, before eggs lost to their genes."""
        return _young_pmf(self)

    def maturity(self, *, male: bool) -> int:
        """Seasons from hatching to the first season with young."""
        return self.male_maturity if male else self.female_maturity

    def described(self) -> tuple[str, ...]:
        """One sentence part a figure, for the basis of a result."""
        return tuple(f"{field.name.replace('_', ' ')} {getattr(self, field.name)}" for field in fields(self))


@lru_cache(maxsize=64)
def _young_pmf(biology: Biology) -> Floats:
    pmf = hatchling_pmf(
        biology.eggs_pmf, laying=biology.laying, fertile=biology.fertile, hatching=biology.hatching
    )
    pmf.setflags(write=False)
    return pmf


def seasons_to_maturity(months: float, *, hatch_month: int = 7, last_pairing_month: int = 4) -> int:
    """Seasons from hatching to the first season with young, for an age at maturity in months.

    An animal that hatches in July is paired for the season after k years if it has reached the age
    by the last month of pairing, which lies 12 k - 3 months after hatching when that month is April.

    Parameters
    ----------
    months
        Age at which it can be paired [months].
    hatch_month, last_pairing_month
        Months of the year [1 to 12] (common practice, no source).

    Raises
    ------
    BadBiology
        If a month is not in the year, or the age not above 0.
    """
    for month in (hatch_month, last_pairing_month):
        if not 1 <= month <= 12:
            raise BadBiology(f"month {month}; allowed: 1 to 12")
    if not months > 0:
        raise BadBiology(f"age at maturity is {months} months; allowed: above 0")
    gap = (hatch_month - last_pairing_month) % 12
    seasons = 1
    while 12 * seasons - gap < months:
        seasons += 1
    return seasons
