"""How does an animal's price compare with its lead trait's: one series per lead trait, ratios with spread.

The lead trait of a combination is the dearest trait in it by the fitted effects; every observation
belongs to exactly one series, that of its lead trait, after its price is brought to that of the bare lead
trait: a hatchling, unsexed, sold, through the usual mix of channels.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from econ.prices.design import ANY, DRIFT, SOLD, Design, add_roles, fill_row
from econ.prices.hedonic import QUICK_GRID, WIDE_GRID, Grid, Posterior, fit_hedonic
from econ.prices.history import NORMAL, combination_key
from econ.prices.trend import DAMPING, Floats
from genetics.genes.traits import Sex, Trait

_YEAR_AHEAD = float((1.0 - np.exp(-DAMPING)) / DAMPING)
_RECENT_YEARS = 1.0  # prices older than this count less for where a series stands now


@dataclass(frozen=True)
class LeadSeries:
    """Prices whose lead trait is `key`.

    Attributes
    ----------
    key
        Trait key, or "normal".
    members
        Rows of the design.
    adjusted
        Log prices as those of the bare lead trait [log].
    gap
        Mean difference between the members and the bare lead trait in all effects, recent ones weighing
        more; what the series rests on and so what a ratio is uncertain against.
    pulled, own
        Covariance of the effects times `gap`, and the variance of `gap`'s total effect.
    """

    key: str
    members: tuple[int, ...]
    adjusted: Floats
    gap: Floats
    pulled: Floats
    own: float


@dataclass(frozen=True)
class Ratio:
    """Price of an animal against its lead trait, in logs; and what could not be priced.

    Attributes
    ----------
    lead
        Series that carries it; "" for none.
    mean
        Log ratio at the day of the newest price.
    drift
        What the ratio gains a year, damped as all drifts are [log]; what further traits add erodes too.
    sd
        Spread of the log ratio a year after the newest price, against what the series rests on.
    """

    lead: str
    mean: float
    drift: float
    sd: float
    unpriced: tuple[str, ...]


@dataclass(frozen=True)
class PriceModel:
    """The fitted effects, the series they leave, and what the bare animal looks like as a row."""

    design: Design
    posterior: Posterior
    place: Mapping[tuple[str, str], int]
    combination: Mapping[str, int]
    usual: Floats  # (p,) row of a sold, unsexed hatchling without traits, usual channels
    ranking: Mapping[str, float]  # log effect of each trait by which leads are found
    alone: Mapping[str, float]  # log effect of each trait alone, of which it adds a part beside a dearer one
    series: Mapping[str, LeadSeries]

    def anchor(self) -> str:
        """Series that carries what has none of its own: "normal", else the longest; "" for none."""
        if NORMAL in self.series or not self.series:
            return NORMAL if self.series else ""
        return max(self.series, key=lambda k: (len(self.series[k].members), k))

    def lead_of(self, traits: Sequence[Trait]) -> str:
        """Series that carries a combination; "" if there is none.

        The dearest trait with a series; without one, the anchor, if anything at all is known of the
        animal: a price of one of its traits, or the price of normals.
        """
        if not traits:
            return NORMAL if NORMAL in self.series else ""
        dearest = dearest_trait([t for t in traits if t.key in self.series], self.ranking)
        if dearest:
            return dearest
        known = any(t.key in self.ranking for t in traits)
        return self.anchor() if known or NORMAL in self.series else ""

    def ratios(self, animals: Sequence[tuple[Sequence[Trait], Sex, str]]) -> list[Ratio]:
        """Ratio of each animal (traits, sex, stage) to its lead trait, all at once."""
        leads = [self.lead_of(traits) for traits, _, _ in animals]
        own = [self.combination.get(combination_key(traits), -1) for traits, _, _ in animals]
        bare = [self.combination.get(lead, -1) for lead in leads]
        rows = np.zeros((len(animals), 1 + self.usual.size))
        side = np.zeros(rows.shape)
        for i, (lead, (traits, sex, stage)) in enumerate(zip(leads, animals, strict=True)):
            if lead:
                fill_row(rows[i, 1:], self.place, traits=traits, sex=sex, stage=stage, years=0.0)
                _take_lead(rows[i, 1:], self.place, lead)
                _fill_further(rows[i, 1:], self, traits, lead)
                _fill_side(side[i, 1:], self.place, traits, lead)
        mean, _ = _combine(self, rows, own, bare, leads)
        _, variance = _combine(self, rows + _YEAR_AHEAD * side, own, bare, leads)
        drift = side @ self.posterior.mean[: side.shape[1]]
        results = []
        for i, (traits, _, _) in enumerate(animals):
            missing = [t for t in traits if t.key not in self.ranking]
            extra = sum(t.chance**2 for t in missing) * self.posterior.trait_sd**2
            sd = float(np.sqrt(max(variance[i] + extra, 0.0)))
            names = tuple(sorted({t.key for t in missing}))
            results.append(Ratio(leads[i], float(mean[i]), float(drift[i]), sd, names))
        return results


def dearest_trait(traits: Sequence[Trait], effects: Mapping[str, float]) -> str:
    """Key of the trait that adds most at its chance, ties by name; "" if none is known."""
    ranked = [(effects[t.key] * t.chance, t.key) for t in traits if t.key in effects]
    return min(ranked, key=lambda pair: (-pair[0], pair[1]))[1] if ranked else ""


def _take_lead(row: Floats, place: Mapping[tuple[str, str], int], lead: str) -> None:
    at = place.get(("trait", lead))
    if at is not None:
        row[at] -= 1.0


def _fill_further(row: Floats, model: PriceModel, traits: Sequence[Trait], lead: str) -> None:
    """Write what the traits beside the lead are worth alone, of which they add a part."""
    for trait in traits:
        if trait.key == lead:
            continue
        for name, value in ((ANY, max(model.alone.get(trait.key, 0.0), 0.0)), (trait.key, 1.0)):
            at = model.place.get(("further", name))
            if at is not None:
                row[at] += trait.chance * value


def _fill_side(row: Floats, place: Mapping[tuple[str, str], int], traits: Sequence[Trait], lead: str) -> None:
    """Write the traits beside the lead into the columns of what they add a year."""
    for trait in traits:
        if trait.key == lead or ("trait", trait.key) not in place:
            continue
        for name in (trait.key, ANY):
            at = place.get(("side drift", name))
            if at is not None:
                row[at] += trait.chance


def _combine(
    model: PriceModel, rows: Floats, own: Sequence[int], bare: Sequence[int], leads: Sequence[str]
) -> tuple[Floats, Floats]:
    """Mean and variance of rows' effects plus own less bare combination, against each lead series' gap."""
    post = model.posterior
    k = rows.shape[1]
    has_own, has_bare = np.array([o >= 0 for o in own]), np.array([b >= 0 for b in bare])
    at_own = np.where(has_own, k + np.array(own, dtype=np.int64), 0)
    at_bare = np.where(has_bare, k + np.array(bare, dtype=np.int64), 0)
    cov, block = post.covariance, post.covariance[:k, :k]
    mean = rows @ post.mean[:k] + has_own * post.mean[at_own] - has_bare * post.mean[at_bare]
    cross_own, cross_bare = cov[at_own, :k], cov[at_bare, :k]
    variance = ((rows @ block) * rows).sum(axis=1)
    variance += 2.0 * ((rows * cross_own).sum(axis=1) * has_own - (rows * cross_bare).sum(axis=1) * has_bare)
    variance += has_own * cov[at_own, at_own] + has_bare * cov[at_bare, at_bare]
    variance -= 2.0 * has_own * has_bare * cov[at_own, at_bare]
    pulled = np.stack([model.series[lead].pulled if lead else np.zeros(len(post.mean)) for lead in leads])
    total = np.array([model.series[lead].own if lead else 0.0 for lead in leads])
    index = np.arange(len(rows))
    along = (rows * pulled[:, :k]).sum(axis=1)
    along += has_own * pulled[index, at_own] - has_bare * pulled[index, at_bare]
    unseen = np.where(has_own, 0.0, post.combination_sd**2)
    return mean, np.maximum(variance - 2.0 * along + total, 0.0) + unseen


def fit_price_model(design: Design) -> PriceModel:
    """Effects of all columns and combinations, and the series of every lead trait.

    A quick fit finds the lead traits, a second one with a drift for each of them confirms them as they
    rank today, and the last one is averaged over the whole grid.
    """
    ranking = _effects(design, _fit(design, QUICK_GRID))
    drifting = add_roles(design, _leads(design, ranking), effects=ranking)
    ranking = _effects(drifting, _fit(drifting, QUICK_GRID))
    leads = _leads(design, ranking)
    drifting = add_roles(design, leads, effects=ranking)
    posterior = _fit(drifting, WIDE_GRID)
    place = drifting.index()
    combination = {key: i for i, key in enumerate(design.combinations)}
    usual = _usual_row(drifting)
    members: dict[str, list[int]] = defaultdict(list)
    for i, group in enumerate(design.group):
        members[leads[group]].append(i)
    series = {
        key: _lead_series(key, members[key], drifting, posterior, place, combination, usual)
        for key in sorted(members)
    }
    return PriceModel(drifting, posterior, place, combination, usual, ranking, ranking, series)


def _fit(design: Design, grid: Grid) -> Posterior:
    means = np.array([c.mean for c in design.columns])
    sds = np.array([np.nan if c.sd is None else c.sd for c in design.columns])
    return fit_hedonic(
        design.rows, design.log_prices, group=design.group, prior_mean=means, prior_sd=sds, grid=grid
    )


def _effects(design: Design, posterior: Posterior) -> dict[str, float]:
    """Log effect of each trait at the day of the newest price."""
    names = [(i, c.name) for i, c in enumerate(design.columns) if c.kind == "trait"]
    return {name: float(posterior.mean[1 + i]) for i, name in names}


def _leads(design: Design, ranking: Mapping[str, float]) -> list[str]:
    """Lead trait of each combination, "normal" for none."""
    return [dearest_trait(traits, ranking) or NORMAL for traits in design.traits_of]


def _usual_row(design: Design) -> Floats:
    """Row of a sold, unsexed hatchling without traits at the newest price's date, usual mix of channels."""
    row = np.zeros(len(design.columns))
    for i, column in enumerate(design.columns):
        if column.kind == "sold":
            row[i] = 1.0
        elif column.kind == "channel":
            row[i] = design.rows[:, i].mean()
    return row


def _lead_series(
    key: str,
    members: Sequence[int],
    design: Design,
    posterior: Posterior,
    place: Mapping[tuple[str, str], int],
    combination: Mapping[str, int],
    usual: Floats,
) -> LeadSeries:
    """Bring the prices of one lead trait to the bare trait, and note what they rest on."""
    index = np.asarray(members)
    rows = design.rows[index] - usual
    since = design.years[index] - design.last_year
    for kind, name, taken in (("trait", key, 1.0), ("drift", DRIFT, since), ("own drift", key, since)):
        at = place.get((kind, name))
        if at is not None:
            rows[:, at] -= taken
    k = 1 + rows.shape[1]
    bare = combination.get(key, -1)
    shift = rows @ posterior.mean[1:k] + posterior.mean[k + design.group[index]]
    if bare >= 0:
        shift -= posterior.mean[k + bare]
    weight = np.exp((since - since.max()) / _RECENT_YEARS)
    weight /= weight.sum()
    gap = np.zeros(posterior.mean.size)
    gap[1:k] = weight @ rows
    np.add.at(gap, k + design.group[index], weight)
    if bare >= 0:
        gap[k + bare] -= 1.0
    pulled = posterior.covariance @ gap
    return LeadSeries(key, tuple(members), design.log_prices[index] - shift, gap, pulled, float(gap @ pulled))


def sold_effect(model: PriceModel) -> tuple[float, float]:
    """Mean and sd of the log price of a sold animal against an asked one."""
    at = 1 + model.place["sold", SOLD]
    return float(model.posterior.mean[at]), float(np.sqrt(model.posterior.covariance[at, at]))
