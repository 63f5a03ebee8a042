"""How right the market is on invented ones: ranges that cover, and drifts of single traits that pay."""

from __future__ import annotations

import math
from datetime import timedelta

import numpy as np
import pytest

from econ.prices import adjust
from econ.prices.market import fit_market
from genetics.genes.traits import Trait
from tests.econ.prices.cases import GENES, MONTHS_BACK, TODAY, simulate


def market_of(observations):
    return fit_market(observations, today=TODAY, currency="EUR")


def test_true_prices_lie_in_the_ranges_as_often_as_said():
    inside = {0: [], 12: []}
    for seed in range(8):
        truth = simulate(300, seed=100 + seed)
        market = market_of(truth.observations)
        rng = np.random.default_rng(seed)
        animals = [(g,) for g in range(len(GENES))]
        animals += [tuple(rng.choice(len(GENES), 2, replace=False)) for _ in range(20)]
        for months, hits in inside.items():
            on = [TODAY + timedelta(days=round(months * 30.4375))]
            traits = [tuple(Trait(GENES[g], "visual") for g in a) for a in animals]
            for animal, price in zip(animals, market.price_many(traits, on=on), strict=True):
                level = math.exp(truth.level(animal, MONTHS_BACK + months))
                hits.append(price.low80[0] <= level <= price.high80[0])
    for months, hits in inside.items():
        assert 0.74 <= np.mean(hits) <= 0.92, f"80 % range covers {np.mean(hits):.2f} after {months} months"


def pair_errors(monkeypatch, *, drifts, drift, share):
    """Mean gap of pairs' log prices today and a year on, with or without drifts of single traits."""
    gaps = []
    with monkeypatch.context() as patch:
        if not drifts:
            patch.setattr(adjust, "add_roles", lambda design, _leads, effects: design)
        for seed in range(6):
            truth = simulate(300, seed=seed, drift=drift, share=share)
            market = market_of(truth.observations)
            rng = np.random.default_rng(seed)
            for _ in range(25):
                pair = tuple(rng.choice(len(GENES), 2, replace=False))
                traits = tuple(Trait(GENES[g], "visual") for g in pair)
                price = market.price(traits, on=[TODAY, TODAY + timedelta(days=365)])
                gaps += [abs(price.log_mean[i] - truth.level(pair, MONTHS_BACK + 12 * i)) for i in (0, 1)]
    return float(np.mean(gaps))


@pytest.mark.parametrize(
    ("drift", "share", "most"),
    [
        ((-0.10, 0.00), 1.0, 0.80),  # all fall alike
        ((-0.10, 0.25), 1.0, 0.60),  # they fall at different speeds
        ((-0.10, 0.10), 0.5, 0.95),  # half of a further trait's fall passes into the price
        ((0.00, 0.00), 1.0, 1.07),  # nothing drifts: hardly any harm
        ((-0.10, 0.10), 0.3, 1.15),  # little passes: some harm
    ],
)
def test_drifts_of_single_traits_pay_where_traits_drift_and_cost_little_elsewhere(
    monkeypatch, drift, share, most
):
    with_drifts = pair_errors(monkeypatch, drifts=True, drift=drift, share=share)
    without = pair_errors(monkeypatch, drifts=False, drift=drift, share=share)
    assert with_drifts <= most * without
