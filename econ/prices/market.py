"""What any combination is worth at any date: one model of all the breeder's prices, trends by lead trait."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

import numpy as np
from scipy.special import ndtri

from econ.money import minor_digits
from econ.prices.adjust import PriceModel, Ratio, fit_price_model, sold_effect
from econ.prices.basis import asked_factor, basis_of_price, basis_of_trait, typed_basis
from econ.prices.design import build_design, year_of
from econ.prices.forecast import PROBABILITIES, PastForecast, Trend, fit_trends
from econ.prices.history import combination_key
from econ.prices.observations import PriceObservation, Stage
from econ.prices.outlook import PricePoint, TraitOutlook, status_of
from econ.prices.pool import DEFAULT_MEAN, DEFAULT_SD, DEFAULT_SHARE, MarketDrift, default_market
from econ.prices.results import AskedFactor, Basis, PriceForecast, bands, no_price, price_forecast
from econ.prices.trend import DAMPING, Floats, series_of
from genetics.genes.traits import Sex, Trait

__all__ = [
    "AskedFactor",
    "BadDate",
    "Basis",
    "Market",
    "NoSuchSeries",
    "PastForecast",
    "PriceForecast",
    "TraitOutlook",
    "fit_market",
]

TYPED_SD = float(np.log(2.0) / ndtri(0.9))  # 8 in 10 between half and double the typed price


class NoSuchSeries(LookupError):
    """A trait without prices of its own was asked for."""


class BadDate(ValueError):
    """A price was asked for on no day."""


@dataclass(frozen=True)
class Market:
    """All prices of a book as one fitted model.

    Attributes
    ----------
    as_of
        The day called today.
    currency
        Code of the book's currency; all prices are in it.
    traits
        How each lead trait is doing, by name.
    drift
        Drift the traits share.
    asked_to_sold
        What asked prices count for.
    model
        Effects of traits, sex, stage and the like; None in a book without prices.
    """

    as_of: date
    currency: str
    traits: tuple[TraitOutlook, ...]
    drift: MarketDrift
    asked_to_sold: AskedFactor
    model: PriceModel | None
    _outlooks: Mapping[str, TraitOutlook]
    _of_combination: Mapping[str, int]

    def outlook(self, key: str) -> TraitOutlook:
        """How one trait is doing.

        Raises
        ------
        NoSuchSeries
            If no price has this trait as its lead trait.
        """
        found = self._outlooks.get(key)
        if found is None:
            allowed = ", ".join(self._outlooks) or "none yet"
            raise NoSuchSeries(f"no prices of {key!r}; traits with prices: {allowed}")
        return found

    def price(
        self,
        traits: Sequence[Trait],
        *,
        on: Sequence[date],
        sex: Sex = Sex.UNSEXED,
        stage: Stage = "hatchling",
    ) -> PriceForecast:
        """Price of one combination when sold, at some dates.

        Raises
        ------
        BadDate
            If `on` is empty.
        """
        return self.price_many([traits], on=on, sexes=[sex], stages=[stage])[0]

    def price_many(
        self,
        combinations: Sequence[Sequence[Trait]],
        *,
        on: Sequence[date],
        sexes: Sequence[Sex] | None = None,
        stages: Sequence[Stage] | None = None,
    ) -> tuple[PriceForecast, ...]:
        """Prices of many combinations when sold, at the same dates, in the order given.

        Parameters
        ----------
        combinations
            Traits of each animal; an empty one is a normal.
        on
            Dates, at least one. Days before a series' last price are read off its fit.
        sexes, stages
            One per combination; unsexed hatchlings if left out.

        Raises
        ------
        BadDate
            If `on` is empty.
        ValueError
            If sexes or stages are not as many as combinations.
        """
        days = tuple(on)
        if not days:
            raise BadDate("a price needs a day; allowed: one date or more")
        count = len(combinations)
        all_sexes = list(sexes) if sexes is not None else [Sex.UNSEXED] * count
        all_stages: list[str] = list(stages) if stages is not None else ["hatchling"] * count
        if len(all_sexes) != count or len(all_stages) != count:
            raise ValueError(f"{count} combinations need as many sexes and stages, or none")
        if self.model is None or not count:
            return tuple(self._unknown(c, days) for c in combinations)
        ratios = self.model.ratios(list(zip(combinations, all_sexes, all_stages, strict=True)))
        return self._forecasts(self.model, combinations, ratios, days)

    def _unknown(self, traits: Sequence[Trait], days: tuple[date, ...]) -> PriceForecast:
        return no_price(days, combination_key(traits), tuple(sorted({t.key for t in traits})))

    def _forecasts(
        self,
        model: PriceModel,
        combinations: Sequence[Sequence[Trait]],
        ratios: Sequence[Ratio],
        days: tuple[date, ...],
    ) -> tuple[PriceForecast, ...]:
        at = np.array([year_of(d) for d in days])
        leads = sorted({r.lead for r in ratios if r.lead})
        levels = {lead: self._outlooks[lead].trend for lead in leads}
        found = {lead: (*trend.level(at), trend.offsets(at)) for lead, trend in levels.items()}
        blank = (np.full(at.size, np.nan),) * 2 + (np.zeros((PROBABILITIES.size, at.size)),)
        per_animal = [found.get(r.lead, blank) for r in ratios]
        steps = np.array([[r.mean] for r in ratios])
        drifts = np.array([[r.drift] for r in ratios])
        mean = np.stack([p[0] for p in per_animal]) + steps + drifts * _damped_since(model, at)
        sd = np.stack([p[1] for p in per_animal])
        offsets = np.stack([p[2] for p in per_animal], axis=1)
        relative = np.array([[r.sd] for r in ratios])
        priced = bands(mean, sd, relative, offsets)
        results = []
        for i, (traits, ratio) in enumerate(zip(combinations, ratios, strict=True)):
            if not ratio.lead:
                results.append(self._unknown(traits, days))
                continue
            outlook = self._outlooks[ratio.lead]
            name = combination_key(traits)
            basis = basis_of_price(name, ratio, outlook.basis, self._of_combination.get(name, 0))
            results.append(
                price_forecast(
                    days,
                    priced,
                    i,
                    relative_sd=ratio.sd,
                    sale_sd=outlook.trend.sale_sd,
                    lead=ratio.lead,
                    basis=basis,
                )
            )
        return tuple(results)

    def typed_price(self, price: float, *, on: Sequence[date], name: str) -> PriceForecast:
        """Forecast from a price typed for today: a range of half to double, and the market's drift.

        Raises
        ------
        BadDate
            If `on` is empty.
        ValueError
            If the price is not above zero.
        """
        days = tuple(on)
        if not days:
            raise BadDate("a price needs a day; allowed: one date or more")
        if not 0.0 < price < float("inf"):
            raise ValueError(f"typed price of {name} is {price}; allowed: above zero")
        ahead = np.maximum(np.array([year_of(d) for d in days]) - year_of(self.as_of), 0.0)
        path = (1.0 - np.exp(-DAMPING * ahead)) / DAMPING
        drift, drift_sd = _drift_of(self.drift)
        mean = np.log(price) + drift * path
        sd = np.sqrt(TYPED_SD**2 + (drift_sd * path) ** 2)
        offsets = np.broadcast_to(ndtri(PROBABILITIES)[:, None, None], (PROBABILITIES.size, 1, mean.size))
        found = bands(mean[None, :], sd[None, :], np.zeros((1, 1)), offsets)
        return price_forecast(
            days, found, 0, relative_sd=0.0, sale_sd=0.0, lead=name, basis=typed_basis(name)
        )


def _damped_since(model: PriceModel, at: Floats) -> Floats:
    """Damped time since the book's newest price, 0 before it [years]."""
    ahead = np.maximum(at - model.design.last_year, 0.0)
    path: Floats = (1.0 - np.exp(-DAMPING * ahead)) / DAMPING
    return path


def _drift_of(market: MarketDrift) -> tuple[float, float]:
    """Mean and sd of a new trait's drift in this market [log a year]."""
    share = np.append(market.default_weight * DEFAULT_SHARE, 1.0 - market.default_weight)
    means = np.append(DEFAULT_MEAN, market.mean)
    sds = np.append(DEFAULT_SD, market.between_sd)
    mean = float(share @ means)
    return mean, float(np.sqrt(share @ (sds**2 + means**2) - mean**2))


def fit_market(
    observations: Sequence[PriceObservation],
    *,
    today: date,
    currency: str,
    rates: Mapping[str, float] = MappingProxyType({}),
    past_forecasts: Sequence[PastForecast] = (),
    leave_out: Sequence[str] = (),
) -> Market:
    """One model of all prices up to today.

    Parameters
    ----------
    observations
        Prices of the book in any order; those after `today` are left aside.
    today
        The day the forecasts start from.
    currency, rates
        The book's currency, and what one unit of each other currency is worth in it.
    past_forecasts
        Own forecasts with what was seen since; ten or more may widen the bands.
    leave_out
        Keys of traits that must not teach the others.

    Raises
    ------
    MissingRate
        If a price is in another currency without a rate.
    UnknownCurrency
        If the book's currency is not on the list.
    """
    minor_digits(currency)
    seen = [o for o in observations if o.on <= today]
    if not seen:
        return _empty_market(today, currency)
    design = build_design(seen, currency=currency, rates=rates)
    model = fit_price_model(design)
    series = {k: series_of(design.years[list(s.members)], s.adjusted) for k, s in model.series.items()}
    trends, drift = fit_trends(series, left_out=leave_out, past_forecasts=past_forecasts)
    spreads = _bare_spreads(model)
    raw = np.exp(design.log_prices)
    outlooks = {
        key: _outlook(trends[key], model, seen, raw, today=today, relative_sd=spreads[key], drift=drift)
        for key in sorted(trends)
    }
    sold = sum(o.kind == "sold" for o in seen)
    counts = Counter(design.combinations[g] for g in design.group)
    factor = asked_factor(sold_effect(model), sold, len(seen) - sold)
    return Market(
        as_of=today,
        currency=currency,
        traits=tuple(outlooks.values()),
        drift=drift,
        asked_to_sold=factor,
        model=model,
        _outlooks=MappingProxyType(outlooks),
        _of_combination=MappingProxyType(counts),
    )


def _empty_market(today: date, currency: str) -> Market:
    """Market of a book without prices."""
    return Market(
        as_of=today,
        currency=currency,
        traits=(),
        drift=default_market(),
        asked_to_sold=asked_factor(None, 0, 0),
        model=None,
        _outlooks=MappingProxyType({}),
        _of_combination=MappingProxyType({}),
    )


def _bare_spreads(model: PriceModel) -> dict[str, float]:
    """Spread of the step from each series' animals to the bare lead trait [log]."""
    return {key: float(np.sqrt(max(series.own, 0.0))) for key, series in model.series.items()}


def _outlook(
    trend: Trend,
    model: PriceModel,
    seen: Sequence[PriceObservation],
    raw: Floats,
    *,
    today: date,
    relative_sd: float,
    drift: MarketDrift,
) -> TraitOutlook:
    """Outlook of one lead trait."""
    own = model.series[trend.key]
    rows = sorted(zip(own.members, own.adjusted, strict=True), key=lambda pair: (seen[pair[0]].on, pair[0]))
    points = tuple(PricePoint(seen[i].on, float(np.exp(a)), seen[i].kind, float(raw[i])) for i, a in rows)
    sold = sum(p.kind == "sold" for p in points)
    mean, _ = trend.level(np.array([year_of(today)]))
    return TraitOutlook(
        key=trend.key,
        status=status_of(trend, today),
        today=float(np.exp(mean[0])),
        as_of=today,
        points=points,
        trend=trend,
        relative_sd=relative_sd,
        drift_before=trend.drift_before,
        drift_after=trend.drift_after,
        n=len(points),
        sold=sold,
        asked=len(points) - sold,
        first=points[0].on,
        last=points[-1].on,
        basis=basis_of_trait(trend, points[0].on, points[-1].on, sold=sold, drift=drift),
    )
