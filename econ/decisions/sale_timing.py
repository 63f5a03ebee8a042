"""When do the young sell? A monthly chance of sale from the first month they can be offered."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SaleTiming:
    """Months from hatching to sale of one hatchling.

    Attributes
    ----------
    first
        First month after hatching in which it can be offered [months].
    monthly_chance
        Chance that an offered hatchling sells within a month at the forecast price [0 to 1].
    last
        Month after hatching at which an unsold one is given away [months].

    Raises
    ------
    ValueError
        If the months are out of order or the chance is not above 0 and at most 1.
    """

    first: int
    monthly_chance: float
    last: int

    def __post_init__(self) -> None:
        if not 0 <= self.first < self.last:
            raise ValueError(
                f"months of sale run from {self.first} to {self.last}; allowed: 0 <= first < last"
            )
        if not 0.0 < self.monthly_chance <= 1.0:
            raise ValueError(f"monthly chance of sale is {self.monthly_chance}; allowed: above 0, at most 1")

    @property
    def months(self) -> NDArray[np.int64]:
        """Months after hatching in which a sale can fall, shape (T,) [months]."""
        return np.arange(self.first, self.last, dtype=np.int64)

    @property
    def chances(self) -> Floats:
        """Chance that the sale falls in each of these months, shape (T,)."""
        waiting: Floats = np.power(1.0 - self.monthly_chance, np.arange(self.months.size, dtype=float))
        return self.monthly_chance * waiting

    @property
    def unsold(self) -> float:
        """Chance that it has not sold by the last month and is given away."""
        return float((1.0 - self.monthly_chance) ** self.months.size)

    @property
    def expected_months(self) -> float:
        """Expected months from hatching until it leaves, by sale or as a gift [months]."""
        return float(self.chances @ self.months + self.unsold * self.last)

    def sample(self, uniform: Floats) -> NDArray[np.int64]:
        """Position of the month of sale for each uniform number in (0, 1); T means unsold."""
        if self.monthly_chance >= 1.0:
            return np.zeros(uniform.shape, dtype=np.int64)
        waited = np.floor(np.log(uniform) / np.log1p(-self.monthly_chance))
        positions: NDArray[np.int64] = np.minimum(waited, self.months.size).astype(np.int64)
        return positions
