"""What is a price made of: columns of the log-price model and their priors, from the observations."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from econ.prices.history import combination_key, price_in
from econ.prices.observations import PriceObservation
from econ.prices.trend import Floats
from genetics.genes.traits import Sex, Trait

DAYS_A_YEAR = 365.25

# priors of the columns, log units: mean and sd. The drift is the method's; the others are
# common practice, no source: asked prices are a little above sold ones, sex, channel and age matter somewhat.
DRIFT_PRIOR = (-0.10, 0.20)
OWN_DRIFT_SD = 0.15  # of a lead trait about the common drift
SIDE_DRIFT_PRIOR = (0.0, 0.10)  # of what any further trait adds
OWN_SIDE_DRIFT_SD = 0.07  # of one further trait about that
OWN_FURTHER_SD = 0.15  # of one further trait about what is usual
FURTHER_PRIOR = (-0.3, 0.3)  # a gene beside a dearer one adds so much less (log) than alone; no source
SOLD_PRIOR = (-0.10, 0.10)
SEX_SD = 0.20
STAGE_SD = 0.35
CHANNEL_SD = 0.20

SOLD = "sold"
DRIFT = "drift"
ANY = "any"


@dataclass(frozen=True)
class Column:
    """One effect in the model.

    Attributes
    ----------
    kind
        "trait", "drift", "own drift" (of a lead trait), "side drift" (of what further traits add),
        "further" (how much less traits add beside a dearer one), "sold", "sex", "stage" or "channel".
    name
        Trait key, sex, stage or channel it belongs to.
    mean, sd
        Prior of the effect [log]; a trait's sd is None, it is averaged over a grid.
    """

    kind: str
    name: str
    mean: float
    sd: float | None


@dataclass(frozen=True)
class Design:
    """The observations as numbers.

    Attributes
    ----------
    columns
        What each column of `rows` means.
    rows
        (n, p); traits by their chance, drift in years since the last price (so never above 0).
    log_prices
        (n,) per animal, in the book's currency [log].
    years
        (n,) date [years on a common count].
    group
        (n,) number of each row's exact combination.
    combinations
        Key of each combination.
    traits_of
        Traits of each combination.
    last_year
        Date of the newest price [years].
    """

    columns: tuple[Column, ...]
    rows: Floats
    log_prices: Floats
    years: Floats
    group: NDArray[np.int64]
    combinations: tuple[str, ...]
    traits_of: tuple[tuple[Trait, ...], ...]
    last_year: float

    def index(self) -> dict[tuple[str, str], int]:
        """Place of each column by kind and name."""
        return {(c.kind, c.name): i for i, c in enumerate(self.columns)}


def year_of(on: date) -> float:
    """Date as years on a common count."""
    return on.toordinal() / DAYS_A_YEAR


def build_design(
    observations: Sequence[PriceObservation],
    *,
    currency: str,
    rates: Mapping[str, float],
) -> Design:
    """Columns and rows of the log-price model.

    Parameters
    ----------
    observations
        At least one.
    currency, rates
        The book's currency and what one unit of each other currency is worth in it.

    Raises
    ------
    MissingRate
        If a price is in another currency without a rate.
    ValueError
        If there is no observation.
    """
    if not observations:
        raise ValueError("the price model needs at least one observation")
    logs = np.log([price_in(o, currency, rates) for o in observations])
    years = np.array([year_of(o.on) for o in observations])
    columns = _columns(observations)
    place = {(c.kind, c.name): i for i, c in enumerate(columns)}
    last = float(years.max())
    rows = np.zeros((len(observations), len(columns)))
    for i, o in enumerate(observations):
        fill_row(rows[i], place, traits=o.traits, sex=o.sex, stage=o.stage, years=years[i] - last)
        if o.kind == "sold" and ("sold", SOLD) in place:
            rows[i, place["sold", SOLD]] = 1.0
        if ("channel", o.channel) in place:
            rows[i, place["channel", o.channel]] = 1.0
    keys = [combination_key(o.traits) for o in observations]
    traits_of = dict(zip(keys, (o.traits for o in observations), strict=True))
    names = sorted(traits_of)
    number = {key: i for i, key in enumerate(names)}
    return Design(
        columns=tuple(columns),
        rows=rows,
        log_prices=logs,
        years=years,
        group=np.array([number[k] for k in keys], dtype=np.int64),
        combinations=tuple(names),
        traits_of=tuple(traits_of[k] for k in names),
        last_year=last,
    )


def fill_row(
    row: Floats,
    place: Mapping[tuple[str, str], int],
    *,
    traits: Sequence[Trait],
    sex: Sex,
    stage: str,
    years: float,
) -> None:
    """Write one animal at one time into a row of zeros; what has no column is left out."""
    for trait in traits:
        at = place.get(("trait", trait.key))
        if at is not None:
            row[at] += trait.chance
    for kind, name, value in (("drift", DRIFT, years), ("sex", sex, 1.0), ("stage", stage, 1.0)):
        at = place.get((kind, name))
        if at is not None:
            row[at] = value


def _columns(observations: Sequence[PriceObservation]) -> list[Column]:
    """All columns with their priors, in a fixed order."""
    seen = {t.key for o in observations for t in o.traits}
    columns = [Column("trait", key, 0.0, None) for key in sorted(seen)]
    columns.append(Column("drift", DRIFT, *DRIFT_PRIOR))
    columns.append(Column("sold", SOLD, *SOLD_PRIOR))
    sexes = {o.sex for o in observations}
    columns += [Column("sex", s, 0.0, SEX_SD) for s in (Sex.FEMALE, Sex.MALE) if s in sexes]
    stages = {o.stage for o in observations}
    columns += [Column("stage", s, 0.0, STAGE_SD) for s in ("grown", "proven breeder") if s in stages]
    channels = Counter(o.channel for o in observations)
    if len(channels) > 1:
        columns += [Column("channel", c, 0.0, CHANNEL_SD) for c in sorted(channels) if c]
    return columns


def add_roles(design: Design, leads: Sequence[str], *, effects: Mapping[str, float]) -> Design:
    """Tell lead traits from further ones: a drift for every lead, and what any further trait adds.

    Parameters
    ----------
    design
        With the common drift alone.
    leads
        Lead trait of each combination, "normal" for none.
    effects
        Log effect of each trait as it stands alone, from a first fit.

    A drift is added only where it is seen three times over a quarter of a year.
    """
    since = design.years - design.last_year
    place = design.index()
    lead_of_row = np.array([place.get(("trait", leads[g]), -1) for g in design.group])
    columns, added = list(design.columns), []
    beside, worth = np.zeros(len(since)), np.zeros(len(since))
    for i, column in enumerate(design.columns):
        if column.kind != "trait":
            continue
        own = np.where(lead_of_row == i, design.rows[:, i], 0.0)
        side = design.rows[:, i] - own
        beside += side
        worth += side * max(effects.get(column.name, 0.0), 0.0)
        if side.any() and own.any():
            columns.append(Column("further", column.name, 0.0, OWN_FURTHER_SD))
            added.append(side)
        for kind, chance, sd in (("own drift", own, OWN_DRIFT_SD), ("side drift", side, OWN_SIDE_DRIFT_SD)):
            if _shows_drift(since[chance > 0.0]):
                columns.append(Column(kind, column.name, 0.0, sd))
                added.append(chance * since)
    columns.append(Column("side drift", ANY, *SIDE_DRIFT_PRIOR))
    added.append(beside * since)
    if worth.any():
        columns.append(Column("further", ANY, *FURTHER_PRIOR))
        added.append(worth)
    return replace(design, columns=tuple(columns), rows=np.column_stack([design.rows, *added]))


def _shows_drift(years: Floats) -> bool:
    return years.size >= 3 and float(years.max() - years.min()) >= 0.25
