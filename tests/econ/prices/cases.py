"""Invented markets for the tests: prices drawn from stated trends, with what is true about them kept."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import numpy as np

from econ.prices.history import combination_key
from econ.prices.observations import PriceObservation
from genetics.genes.traits import Sex, Trait

TODAY = date(2026, 11, 20)
GENES = [
    *("clown", "pied", "axanthic", "banana", "enchi", "pastel", "mojave", "leopard", "fire"),
    *("gravel", "vanilla", "blackhead", "acid", "sunset", "spotnose", "cinnamon", "lavender", "pinstripe"),
]


@cache
def published() -> dict[str, tuple[float, float]]:
    """Value and tolerance of every published check, by name."""
    path = Path(__file__).resolve().parents[2] / "reference" / "prices_published.csv"
    with path.open(encoding="utf-8", newline="") as rows:
        return {
            row["check"]: (float(row["value"]), float(row["abs_tolerance"])) for row in csv.DictReader(rows)
        }


def seen(
    what: str, price: float, on: date, *, traits=None, currency: str = "EUR", **more
) -> PriceObservation:
    """One price observation; `what` names visible genes apart by blanks unless traits are given."""
    if traits is None:
        traits = () if what == "normal" else tuple(Trait(g, "visual") for g in what.split())
    return PriceObservation(
        on=on, what=what, traits=traits, price_minor=round(price * 100), currency=currency, **more
    )


def days_ago(days: float) -> date:
    return TODAY - timedelta(days=round(days))


@dataclass(frozen=True)
class Simulated:
    """Prices of an invented market, and the true log level of any combination (genes by number) by year."""

    observations: tuple[PriceObservation, ...]
    effects: np.ndarray
    paths: np.ndarray
    share: float

    def level(self, genes: tuple[int, ...], month: int) -> float:
        order = sorted(genes, key=lambda g: -self.effects[g])
        parts = [
            self.effects[g] + self.paths[g, month] * (self.share if k else 1.0) for k, g in enumerate(order)
        ]
        return float(np.log(50.0) + sum(parts))


MONTHS_BACK = 48


def simulate(
    n: int = 300, *, seed: int = 0, drift=(-0.10, 0.10), walk=0.08, noise=0.15, share=1.0, asked_over=0.18
) -> Simulated:
    """Draw a market of 18 genes over four years; `share` of a further gene's fall passes into the price."""
    rng = np.random.default_rng(seed)
    effects = rng.uniform(0.1, 1.8, len(GENES))
    months = MONTHS_BACK + 37
    drifts = rng.normal(*drift, len(GENES))
    steps = rng.normal(0.0, walk / np.sqrt(12), (len(GENES), months))
    paths = np.cumsum(steps, axis=1) + drifts[:, None] * np.arange(months) / 12
    market = Simulated((), effects, paths, share)
    rows = []
    for _ in range(n):
        genes = tuple(rng.choice(len(GENES), rng.choice(4, p=[0.05, 0.45, 0.35, 0.15]), replace=False))
        month = float(rng.uniform(0, MONTHS_BACK))
        sold = rng.random() < 0.25
        log = market.level(genes, int(month)) + (0.0 if sold else asked_over) + rng.normal(0.0, noise)
        traits = tuple(Trait(GENES[g], "visual") for g in sorted(genes))
        rows.append(
            seen(
                combination_key(traits),
                float(np.exp(log)),
                days_ago((MONTHS_BACK - month) * 30.4375),
                traits=traits,
                kind="sold" if sold else "asked",
                sex=list(Sex)[rng.integers(3)],
            )
        )
    return Simulated(tuple(rows), effects, paths, share)
