"""What a price rests on, in words: prices counted, trend or stand-in named, missing traits named."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
from scipy.special import ndtri

from econ.prices.adjust import Ratio
from econ.prices.design import SOLD_PRIOR
from econ.prices.forecast import Trend
from econ.prices.pool import MarketDrift
from econ.prices.results import AskedFactor, Basis

_TEN_PERCENT_POINT = float(ndtri(0.9))


def basis_of_trait(trend: Trend, first: date, last: date, *, sold: int, drift: MarketDrift) -> Basis:
    """Basis of one lead trait's series."""
    n = trend.series.count
    own = trend.series.has_trend
    kinds = f"{sold} sold, {n - sold} asked"
    if n == 1:
        rests = f"1 price of {trend.key}, from {first.isoformat()}"
    elif first == last:
        rests = f"{n} prices of {trend.key}, all from {first.isoformat()}"
    else:
        rests = f"{n} prices of {trend.key} from {first.isoformat()} to {last.isoformat()}"
    if own:
        words = f"Rests on {rests}: {kinds}."
    else:
        stand_in = "the drift of your other traits" if drift.pooled else "the usual drift of novelties"
        words = f"Rests on {rests}: {kinds}. That is too few for a trend, so {stand_in} stands in."
    return Basis("own trend" if own else "market drift", n, 0, sold, first, last, trend.key, (), words)


def basis_of_price(name: str, ratio: Ratio, lead: Basis, of_this: int) -> Basis:
    """Basis of one combination, from that of its lead trait."""
    parts = [lead.words]
    if name != ratio.lead:
        seen = f"{of_this} of exactly this combination" if of_this else "none of exactly this combination"
        parts.append(f"{name.capitalize()} is set against {ratio.lead} by its traits; prices seen: {seen}.")
    if ratio.unpriced:
        parts.append(f"No price for {', '.join(ratio.unpriced)}: nothing extra for it, and a wider range.")
    return replace(lead, of_this_combination=of_this, unpriced=ratio.unpriced, words=" ".join(parts))


def typed_basis(name: str) -> Basis:
    """Basis of a price the breeder typed."""
    words = f"The price you typed for {name}, with a range of half to double and the market's drift."
    return Basis("typed", 0, 0, 0, None, None, name, (), words)


def asked_factor(effect: tuple[float, float] | None, sold: int, asked: int) -> AskedFactor:
    """Asked-to-sold factor from the log effect's mean and sd, or from its prior where there are no prices."""
    mean, sd = effect if effect is not None else SOLD_PRIOR
    reach = _TEN_PERCENT_POINT * sd
    value, low, high = (float(np.exp(mean + step)) for step in (0.0, -reach, reach))
    share = f"Asked prices count at {100 * value:.0f} %"
    if sold and asked:
        why = f"because that is what your {sold} sold prices say beside {asked} asked ones"
    elif sold:
        why = "as commonly practised, no source; your book has only sold prices, so nothing hangs on it"
    else:
        why = "as commonly practised, no source; your book has no sold price to learn it from"
    words = f"{share} ({100 * low:.0f} to {100 * high:.0f} %), {why}."
    return AskedFactor(value, low, high, sold, asked, words)
