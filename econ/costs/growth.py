"""How heavy a ball python is at an age.

Gompertz growth: mass = A (m / A)^exp(-k t), from m at hatching towards A when grown. The rate k
is set so that the mass after one year is a stated multiple of the mass at hatching (four: Ellis
and Chappell 1987). The form is chosen because it needs no more than these three figures, rises
all life long and never passes the grown mass; a measured curve for the species was not found.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from econ.assumptions import Assumptions
from genetics.genes.traits import Sex

Floats = NDArray[np.float64]
DAYS_A_YEAR = 365.25
DAYS_A_MONTH = DAYS_A_YEAR / 12


class BadAge(ValueError):
    """An age is negative or not a number."""


@dataclass(frozen=True)
class GrowthCurve:
    """Growth of one sex.

    Attributes
    ----------
    hatchling, grown
        Mass at hatching and when grown [g].
    rate
        Rate at which the gap on the log scale closes [1 / day].
    """

    hatchling: float
    grown: float
    rate: float

    def grown_up(self, age_days: ArrayLike) -> Floats:
        """How much of the way from hatching to grown is behind it, on the log scale [0 to 1]."""
        way: Floats = -np.expm1(-self.rate * checked_age(age_days))
        return way

    def mass(self, age_days: ArrayLike) -> Floats:
        """Body mass at each age, same shape as the ages [g]."""
        start, end = np.log(self.hatchling), np.log(self.grown)
        mass: Floats = np.exp(start + (end - start) * self.grown_up(age_days))
        return mass


def growth_curve(sex: Sex, assumptions: Assumptions) -> GrowthCurve:
    """Curve of one sex.

    Raises
    ------
    ValueError
        For an unsexed animal, which has no curve of its own: it is the mean of both.
    """
    if sex is Sex.UNSEXED:
        raise ValueError("an unsexed animal has no growth curve; allowed: male or female")
    start = assumptions["growth.hatchling_mass"]
    grown = assumptions[f"growth.adult_{sex.value}_mass"]
    behind = np.log(assumptions["growth.first_year_multiple"]) / np.log(grown / start)
    return GrowthCurve(start, grown, float(-np.log1p(-behind) / DAYS_A_YEAR))


def mass_at(age_days: ArrayLike, *, sex: Sex, assumptions: Assumptions) -> Floats:
    """Body mass at each age [g]; for an unsexed animal the mean of both sexes.

    Parameters
    ----------
    age_days
        Days since hatching, any shape, 0 or more [days].

    Raises
    ------
    BadAge
        If an age is negative or not a number.
    """
    masses = [growth_curve(one, assumptions).mass(age_days) for one in sexes_of(sex)]
    mean: Floats = np.mean(masses, axis=0)
    return mean


def sexes_of(sex: Sex) -> tuple[Sex, ...]:
    """Sexes an animal may have: its own, or both, equally likely, when unsexed."""
    return (Sex.MALE, Sex.FEMALE) if sex is Sex.UNSEXED else (sex,)


def checked_age(age_days: ArrayLike) -> Floats:
    """Ages as an array.

    Raises
    ------
    BadAge
        If an age is negative or not a number.
    """
    ages = np.asarray(age_days, dtype=np.float64)
    if not np.all(np.isfinite(ages)) or np.any(ages < 0):
        raise BadAge(f"age is {ages.tolist()} days; allowed: numbers from 0 upwards")
    return ages
