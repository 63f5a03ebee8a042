"""The whole spread of a pairing's margin: exact mean and spread, and seeded draws of whole seasons.

Draws share one market swing and one swing a leading trait across all pairings of a season, so that
sums over pairings keep what they have in common. The same seed gives the same draws, so a changed
assumption moves the answer and chance does not.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from econ.decisions.clutch_odds import ClutchOdds
from econ.decisions.young import Young

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Outcomes:
    """Margins of one pairing over many equally likely seasons.

    Attributes
    ----------
    mean
        Exact expected margin [money].
    draws
        Margin of each drawn season, shape (N,) [money].
    hatchlings
        Hatchlings of each drawn season, shape (N,).
    sales
        Money from sales in each drawn season, shape (N,) [money].
    """

    mean: float
    draws: Floats
    hatchlings: Whole
    sales: Floats

    def quantiles(self, *shares: float) -> Floats:
        """Margins below which the given shares of the seasons lie [money]."""
        points: Floats = np.quantile(self.draws, shares)
        return points

    @property
    def loss_chance(self) -> float:
        """Share of the seasons that end below break-even."""
        return float(np.mean(self.draws < 0.0))

    @property
    def loss_without_young(self) -> float:
        """Share of the losing seasons in which nothing hatched; 0 when no season loses."""
        losing = self.draws < 0.0
        return float(np.mean(self.hatchlings[losing] == 0)) if losing.any() else 0.0


def expected_margin(odds: ClutchOdds, young: Young, *, season_cost: float, clutch_cost: float) -> float:
    """Exact expected margin of a pairing [money].

    Parameters
    ----------
    odds, young
        Numbers of hatchlings, and what one of them brings and costs.
    season_cost
        Spent whether or not she lays [money].
    clutch_cost
        Spent once she has laid [money].
    """
    by_parents = young.shares @ young.net_per_hatchling
    hatched = float(odds.weights @ (odds.mean_by_parents * by_parents))
    return hatched - season_cost - odds.laying * clutch_cost


def margin_sd(odds: ClutchOdds, young: Young, *, clutch_cost: float) -> float:
    """Exact standard deviation of the margin of a pairing [money], by the law of total variance."""
    mean = young.shares @ young.net_per_hatchling
    square = young.shares @ young.second_moment()
    product = np.einsum("sc,cd,sd->s", young.shares, young.product_moment(), young.shares)
    hatched = odds.mean_by_parents * square + odds.pairs_by_parents * product
    first = float(odds.weights @ (odds.mean_by_parents * mean))
    # with L = 1 if she lays and X the young's sum: X = 0 unless L = 1, so E[L X] = E[X]
    second = float(odds.weights @ hatched) - 2 * clutch_cost * first + clutch_cost**2 * odds.laying
    return float(np.sqrt(max(second - (first - odds.laying * clutch_cost) ** 2, 0.0)))


class Swings:
    """Swings of the market, of each leading trait and of each look, shared by a season's pairings.

    Parameters
    ----------
    seed
        The same seed gives the same swings.
    draws
        Number of seasons drawn, N.
    """

    def __init__(self, *, seed: int, draws: int = 4000) -> None:
        self.seed = seed
        self.draws = draws
        self._kept: dict[tuple[str, ...], Floats] = {}

    def of(self, *names: str) -> Floats:
        """Give the standard normal swing of one thing, shape (N,), the same at each call."""
        if names not in self._kept:
            self._kept[names] = _stream(self.seed, *names).standard_normal(self.draws)
        return self._kept[names]


def _stream(seed: int, *names: str) -> np.random.Generator:
    return np.random.default_rng([seed, *(zlib.crc32(name.encode()) for name in names)])


def draw_outcomes(
    odds: ClutchOdds,
    young: Young,
    *,
    leads: tuple[str, ...],
    looks: tuple[str, ...],
    swings: Swings,
    name: str,
    season_cost: float,
    clutch_cost: float,
) -> Outcomes:
    """Draw whole seasons of one pairing.

    Parameters
    ----------
    odds, young
        Numbers of hatchlings, and what one of them brings and costs.
    leads
        Names of the leading traits, in the order of `young.level_sd`, shape (L,).
    looks
        Names of the looks, in the order of the numbers in `young.look`.
    swings
        Shared swings; `swings.draws` seasons are drawn.
    name
        Name of the pairing; it picks the pairing's own stream of chance.
    season_cost, clutch_cost
        Spent in any case, and once she has laid [money].
    """
    rng = _stream(swings.seed, "pairing", name)
    parents, laid, count = _draw_numbers(odds, rng, swings.draws)
    season = np.repeat(np.arange(swings.draws), count)
    place = np.arange(season.size) - np.repeat(np.cumsum(count) - count, count)
    # one row a season and one column a hatchling: the n-th of a season keeps its luck when others change
    luck = rng.random((4, swings.draws, odds.hatchlings.shape[1]))[:, season, place]
    cells = _pick(young.shares, parents[season], luck[0])
    level = _levels(young, cells, season=season, leads=leads, looks=looks, swings=swings)
    left, sales = _draw_money(young, cells, luck=luck[1:], level=level)
    draws = np.bincount(season, weights=left, minlength=swings.draws) - season_cost - clutch_cost * laid
    mean = expected_margin(odds, young, season_cost=season_cost, clutch_cost=clutch_cost)
    total: Floats = np.bincount(season, weights=sales, minlength=swings.draws).astype(np.float64)
    return Outcomes(mean=mean, draws=draws, hatchlings=count, sales=total)


def _draw_numbers(
    odds: ClutchOdds, rng: np.random.Generator, draws: int
) -> tuple[Whole, NDArray[np.bool_], Whole]:
    """Parents' genotype, whether she lays, and number of hatchlings of each season."""
    parents = _pick(odds.weights[None, :], np.zeros(draws, dtype=np.int64), rng.random(draws))
    laid = rng.random(draws) < odds.laying
    count = np.where(laid, _pick(odds.hatchlings, parents, rng.random(draws)), 0)
    return parents, laid, count.astype(np.int64)


def _pick(chances: Floats, rows: Whole, uniform: Floats) -> Whole:
    """Position drawn from the given row of chances for each uniform number."""
    steps = np.cumsum(chances, axis=1)
    steps /= steps[:, -1:]
    ladder = (steps + np.arange(steps.shape[0])[:, None]).ravel()
    place = np.searchsorted(ladder, uniform + rows, side="right") - rows * steps.shape[1]
    picked: Whole = np.clip(place, 0, steps.shape[1] - 1).astype(np.int64)
    return picked


def _levels(
    young: Young,
    cells: Whole,
    *,
    season: Whole,
    leads: tuple[str, ...],
    looks: tuple[str, ...],
    swings: Swings,
) -> tuple[Floats, Floats]:
    """Find each drawn hatchling's standard swing of the leading trait, and swing of its look [log]."""
    trait = np.vstack([swings.of("trait", lead) for lead in leads])
    look = np.vstack([swings.of("look", name) for name in looks])
    level = np.sqrt(young.common_share) * swings.of("market")[season]
    level += np.sqrt(1.0 - young.common_share) * trait[young.lead[cells], season]
    return level, young.own_sd[cells] * look[young.look[cells], season]


def _draw_money(
    young: Young, cells: Whole, *, luck: Floats, level: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    """Draw what each drawn hatchling leaves, and what it sells for [money]."""
    month = young.timing.sample(1.0 - luck[0])
    alive = luck[1] < young.survival
    sold = alive & (month < young.timing.months.size)
    when = np.minimum(month, young.timing.months.size - 1)
    trait, look = level
    log_price = young.log_price[cells, when] + young.level_sd[young.lead[cells], when] * trait + look
    log_price += young.sale_sd[cells] * ndtri(np.clip(luck[2], 1e-12, 1.0 - 1e-12))
    sales = np.where(sold, np.exp(log_price), 0.0)
    spent = np.where(alive, young.keeping[month], young.loss_cost)
    left = sales * (1.0 - young.fee_share) - np.where(sold, young.sale_cost, 0.0) - spent
    return left, sales
