"""Simulated markets that flood, hold or come back, and how warnings fare on them.

The warning sees noisy, irregular prices only; the cost of a hatchling is tied to the last observed price,
never to the true level. The shapes are our own assumptions (no source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from econ.decisions.flood import flood_level, flood_warning
from econ.prices.forecast import fit_trends
from econ.prices.trend import series_of

YEARS = 4.0
TURNS = (1.0, 3.25)  # a market turns at least nine months before its last price
KINDS = ("flood", "hold", "come back")


@dataclass(frozen=True)
class Warned:
    """One trait of one market: the chance that was warned of, and whether it flooded."""

    kind: str
    chance: float
    level: str
    flooded: bool


def warned_markets(*, markets: int, seed: int) -> list[Warned]:
    """Warn in many markets of nine traits each, sale 9 to 15 months on, cost 30 to 60 % of the last price."""
    rng = np.random.default_rng(seed)
    return [warning for _ in range(markets) for warning in _market(rng)]


def _market(rng: np.random.Generator) -> list[Warned]:
    common = rng.normal(-0.06, 0.05)
    kinds = [KINDS[n % 3] for n in range(9)]
    paths = {f"{kind} {n}": _path(kind, common, rng) for n, kind in enumerate(kinds)}
    seen = {key: _observed(path, rng) for key, path in paths.items()}
    trends, _ = fit_trends({key: series_of(at, logs) for key, (at, logs) in seen.items()})
    found = []
    for key, (_, logs) in seen.items():
        sale = YEARS + rng.uniform(0.75, 1.25)
        cost = float(np.exp(logs[-1])) * rng.uniform(0.3, 0.6)
        mean, sd = trends[key].level(np.array([sale]))
        warning = flood_warning(
            key,
            unit_cost=cost,
            today=float(np.exp(logs[-1])),
            log_price=float(mean[0]),
            level_sd=float(sd[0]),
            own_young=0.0,
            supply=None,
        )
        truth = float(np.interp(sale, *paths[key]))
        kind = key.rsplit(" ", 1)[0]
        found.append(Warned(kind, warning.chance, flood_level(warning.chance), truth < np.log(cost)))
    return found


def _path(kind: str, common: float, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """True log price by month for the years observed and two more."""
    at = np.arange(0.0, YEARS + 2.0, 1 / 12)
    drift = np.full(at.size, common + rng.normal(0.0, 0.05))
    turn = rng.uniform(*TURNS)
    if kind == "flood":
        drift += np.where(at > turn, -rng.uniform(0.35, 0.9), 0.0)
    elif kind == "come back":
        drift += np.where(at > turn, rng.uniform(0.1, 0.4), -rng.uniform(0.2, 0.6))
    walk = np.cumsum(drift / 12 + 0.08 * np.sqrt(1 / 12) * rng.standard_normal(at.size))
    return at, np.log(rng.uniform(60, 600)) + walk


def _observed(path: tuple[np.ndarray, np.ndarray], rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    count = int(rng.integers(14, 40))
    at = np.sort(np.append(rng.uniform(0.0, YEARS, count - 1), YEARS - rng.uniform(0.0, 0.1)))
    return at, np.interp(at, *path) + 0.14 * rng.standard_normal(count)


def caught_and_false(warned: list[Warned], *, above: float) -> tuple[float, float]:
    """Share of the floods that were warned of, and share of the warnings that came to nothing."""
    floods = [w for w in warned if w.flooded]
    warnings = [w for w in warned if w.chance > above]
    caught = sum(w.chance > above for w in floods) / len(floods)
    return caught, sum(not w.flooded for w in warnings) / len(warnings)


def brier_skill(warned: list[Warned]) -> float:
    """Brier skill of the chances against the base rate: 1 is perfect, 0 no better than the base rate."""
    flooded = np.array([w.flooded for w in warned], dtype=float)
    chances = np.array([w.chance for w in warned])
    return float(1.0 - np.mean((chances - flooded) ** 2) / np.mean((flooded.mean() - flooded) ** 2))
