"""Small invented pairings for the tests of decisions."""

from __future__ import annotations

import numpy as np
from scipy import stats

from econ.decisions.clutch_odds import ClutchOdds
from econ.decisions.sale_timing import SaleTiming
from econ.decisions.young import Young


def binomial_odds(*, eggs: int, hatch: float, laying: float = 1.0, parents: int = 1) -> ClutchOdds:
    """A clutch of a fixed number of eggs, each hatching by itself with the same chance."""
    sizes = np.zeros(eggs + 1)
    sizes[eggs] = 1.0
    pmf = stats.binom.pmf(np.arange(eggs + 1), eggs, hatch)
    weights = np.full(parents, 1.0 / parents)
    return ClutchOdds(laying=laying, eggs=sizes, hatchlings=np.tile(pmf, (parents, 1)), weights=weights)


def make_young(**changes: object) -> Young:
    """Two looks of one trait each and two possible genotypes of the parents."""
    parts: dict[str, object] = {
        "weights": np.array([0.4, 0.6]),
        "shares": np.array([[0.5, 0.3, 0.2], [0.0, 0.6, 0.4]]),
        "log_price": np.log(np.array([[300.0, 280.0, 260.0], [80.0, 78.0, 76.0], [60.0, 60.0, 60.0]])),
        "level_sd": np.array([[0.25, 0.28, 0.30], [0.10, 0.12, 0.14]]),
        "lead": np.array([0, 1, 1]),
        "own_sd": np.array([0.1, 0.05, 0.0]),
        "look": np.array([0, 1, 2]),
        "sale_sd": np.array([0.15, 0.15, 0.2]),
        "common_share": 0.3,
        "timing": SaleTiming(first=3, monthly_chance=0.4, last=6),
        "keeping": np.array([8.0, 11.0, 14.0, 17.0]),
        "fee_share": 0.05,
        "sale_cost": 4.0,
        "survival": 0.95,
        "loss_cost": 5.0,
    }
    parts.update(changes)
    return Young(**parts)  # type: ignore[arg-type]


def flat_young(*, price: float, keeping: float = 0.0) -> Young:
    """One look at one certain price, sold at once, without fees or losses."""
    return Young(
        weights=np.array([1.0]),
        shares=np.array([[1.0]]),
        log_price=np.log([[price]]),
        level_sd=np.zeros((1, 1)),
        lead=np.array([0]),
        own_sd=np.zeros(1),
        look=np.array([0]),
        sale_sd=np.zeros(1),
        common_share=0.0,
        timing=SaleTiming(first=0, monthly_chance=1.0, last=1),
        keeping=np.array([keeping, keeping]),
        fee_share=0.0,
        sale_cost=0.0,
        survival=1.0,
        loss_cost=0.0,
    )
