"""How many young a pairing gives: laying, clutch size, fertile eggs, hatching, lost eggs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from econ.assumptions import Assumptions, Contradiction
from genetics import ImpossibleClutchSize, clutch_size_pmf, hatchling_pmf

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class ClutchOdds:
    """Numbers of hatchlings of one pairing in one season.

    Attributes
    ----------
    laying
        Chance that the female lays.
    eggs
        Chance of each clutch size when she lays, index = eggs, shape (E,).
    hatchlings
        Chance of each number of hatchlings when she lays, by parents' genotype, shape (S, E).
    weights
        Chance of each joint genotype of the parents, shape (S,).
    """

    laying: float
    eggs: Floats
    hatchlings: Floats
    weights: Floats

    @property
    def mean_by_parents(self) -> Floats:
        """Expected hatchlings a season by parents' genotype, laying included, shape (S,)."""
        counts = np.arange(self.hatchlings.shape[1])
        mean: Floats = self.laying * (self.hatchlings @ counts)
        return mean

    @property
    def pairs_by_parents(self) -> Floats:
        """Expected number of ordered pairs of hatchlings, N (N - 1), shape (S,)."""
        counts = np.arange(self.hatchlings.shape[1])
        pairs: Floats = self.laying * (self.hatchlings @ (counts * (counts - 1)))
        return pairs

    @property
    def mean(self) -> float:
        """Expected hatchlings a season."""
        return float(self.weights @ self.mean_by_parents)

    @property
    def mean_eggs(self) -> float:
        """Expected eggs a season."""
        return float(self.laying * (self.eggs @ np.arange(self.eggs.size)))

    @property
    def none_hatch(self) -> float:
        """Chance that the season gives no hatchling at all."""
        return float(1.0 - self.laying + self.laying * (self.weights @ self.hatchlings[:, 0]))

    def at_least_one(self, shares: Floats) -> float:
        """Chance of at least one hatchling of a kind in the season.

        Parameters
        ----------
        shares
            Share of the kind among the hatchlings, by parents' genotype, shape (S,).
        """
        misses = np.power(1.0 - np.clip(shares, 0.0, 1.0)[:, None], np.arange(self.hatchlings.shape[1]))
        none = (self.hatchlings * misses).sum(axis=1)
        return float(self.laying * (self.weights @ (1.0 - none)))


def _clutch_sizes(assumptions: Assumptions) -> Floats:
    """Chance of each clutch size."""
    mean, sd = assumptions["clutch.eggs_mean"], assumptions["clutch.eggs_sd"]
    try:
        return clutch_size_pmf(mean, sd)
    except ImpossibleClutchSize as fault:
        raise Contradiction(
            ("clutch.eggs_mean", "clutch.eggs_sd"),
            f"A mean of {mean:g} eggs with a spread of {sd:g} is not possible: {fault}.",
        ) from fault


def clutch_odds(assumptions: Assumptions, weights: Floats, *, lost: Floats) -> ClutchOdds:
    """Numbers of hatchlings from the breeder's assumptions and the eggs lost to a lethal pair.

    Parameters
    ----------
    assumptions
        Laying chance, eggs a clutch, fertile share and hatching share are read from here.
    weights
        Chance of each joint genotype of the parents, shape (S,).
    lost
        Share of the fertile eggs that can't hatch, by parents' genotype, shape (S,).

    Raises
    ------
    Contradiction
        If no clutch size has the mean and the spread that were entered.
    """
    eggs = _clutch_sizes(assumptions)
    by_parents = [
        hatchling_pmf(
            eggs,
            laying=1.0,
            fertile=assumptions["clutch.fertile_share"],
            hatching=assumptions["clutch.hatching_share"],
            lost=float(share),
        )
        for share in lost
    ]
    return ClutchOdds(
        laying=assumptions["clutch.laying_chance"],
        eggs=np.asarray(eggs, dtype=float),
        hatchlings=np.vstack(by_parents),
        weights=np.asarray(weights, dtype=float),
    )
