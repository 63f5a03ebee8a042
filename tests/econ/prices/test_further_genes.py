"""A further gene beside a dearer one: what it adds is learned, and is less than it is worth alone."""

from __future__ import annotations

import math
from datetime import date, timedelta

import numpy as np
import pytest

from econ.prices.market import fit_market
from econ.prices.observations import PriceObservation
from genetics import Trait

TODAY = date(2026, 11, 20)
ALONE = {"pastel": 60.0, "enchi": 90.0, "clown": 300.0, "pied": 420.0}
NORMAL = 30.0


def book(share: float, *, seed: int = 3, scatter: float = 0.08) -> list[PriceObservation]:
    """Prices in which a further gene adds this share of its log premium beside the dearest one."""
    rng = np.random.default_rng(seed)
    kinds = [(), *[(gene,) for gene in ALONE], ("pastel", "clown"), ("enchi", "clown"), ("pastel", "pied")]
    rows = []
    for genes in kinds:
        for _ in range(12):
            price = truth(genes, share) * math.exp(scatter * rng.standard_normal())
            rows.append(
                PriceObservation(
                    on=TODAY - timedelta(days=int(rng.integers(0, 700))),
                    what=" ".join(genes) or "normal",
                    traits=tuple(sorted(Trait(gene, "visual") for gene in genes)),
                    kind="sold",
                    price_minor=round(100 * price),
                    currency="EUR",
                )
            )
    return rows


def truth(genes: tuple[str, ...], share: float) -> float:
    if not genes:
        return NORMAL
    lead = max(genes, key=ALONE.__getitem__)
    further = sum(share * math.log(ALONE[gene] / NORMAL) for gene in genes if gene != lead)
    return ALONE[lead] * math.exp(further)


def forecast(share: float, genes: tuple[str, ...]):
    market = fit_market(book(share), today=TODAY, currency="EUR")
    return market.price([Trait(gene, "visual") for gene in genes], on=[TODAY])


@pytest.mark.parametrize("share", [0.3, 0.6, 1.0])
def test_a_combination_never_seen_is_priced_by_what_further_genes_add_in_others(share):
    unseen = ("enchi", "pied")
    found = forecast(share, unseen)
    assert found.basis.of_this_combination == 0
    assert found.low80[0] < truth(unseen, share) < found.high80[0]
    assert math.log(found.median[0] / truth(unseen, share)) == pytest.approx(0.0, abs=0.25)


def test_where_further_genes_add_little_the_price_lies_far_below_the_product():
    product = NORMAL * (ALONE["enchi"] / NORMAL) * (ALONE["pied"] / NORMAL)
    assert forecast(0.3, ("enchi", "pied")).median[0] < 0.75 * product
