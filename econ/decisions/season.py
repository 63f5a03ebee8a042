"""What does a whole season leave: all pairings of the plan, less the costs no single one causes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from econ.costs import CostSheet
from econ.decisions.outcomes import Outcomes

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class SeasonOutcome:
    """Margin of a season.

    Attributes
    ----------
    pairings_mean
        Exact expected margin of all pairings together [money].
    shared
        Costs no single pairing causes, line by line.
    draws
        Margin of each drawn season after the shared costs, shape (N,) [money]; empty without pairings.
    """

    pairings_mean: float
    shared: CostSheet
    draws: Floats

    @property
    def mean(self) -> float:
        """Exact expected margin of the season [money]."""
        return self.pairings_mean - self.shared.total

    @property
    def loss_chance(self) -> float:
        """Share of the drawn seasons that end below break-even."""
        return float(np.mean(self.draws < 0.0)) if self.draws.size else float(self.mean < 0.0)

    def quantiles(self, *shares: float) -> Floats:
        """Margins below which the given shares of the seasons lie [money]."""
        points: Floats = (
            np.quantile(self.draws, shares) if self.draws.size else np.full(len(shares), self.mean)
        )
        return points


def season_outcome(pairings: Sequence[Outcomes], *, shared: CostSheet) -> SeasonOutcome:
    """Add up the pairings of a plan, season by drawn season.

    Parameters
    ----------
    pairings
        Outcomes drawn with the same swings, so that what they have in common adds up.
    shared
        Costs no single pairing causes.

    Raises
    ------
    ValueError
        If the pairings were drawn for different numbers of seasons.
    """
    sizes = {outcome.draws.size for outcome in pairings}
    if len(sizes) > 1:
        raise ValueError(f"pairings were drawn for {sorted(sizes)} seasons; allowed: the same number for all")
    draws = np.sum([outcome.draws for outcome in pairings], axis=0) if pairings else np.empty(0)
    return SeasonOutcome(
        pairings_mean=float(sum(outcome.mean for outcome in pairings)),
        shared=shared,
        draws=draws - shared.total,
    )
