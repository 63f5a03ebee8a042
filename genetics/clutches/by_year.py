"""By which year a wanted hatchling has come, and what the trade's rule of thumb says instead.

The rule "1/p eggs divided by eggs a year" names the year by which it has come with a chance of about
63 % (1 - 1/e) when p is small: one project in three is still waiting then.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from genetics.clutches.queries.counts import BadCount
from genetics.clutches.queries.kinds import Kind
from genetics.clutches.waiting import CHANCES, SeasonOfEggs, Waiting, waiting


@dataclass(frozen=True)
class ByYear:
    """Data of a chart: the chance that it has happened by each year, and the rule of thumb.

    Attributes
    ----------
    years
        1 to the last year.
    chances
        Chance that it has happened by the end of each.
    rule_years
        The rule of thumb [years]; None if it can't be reckoned, since no egg gives it.
    rule_year
        The rule rounded up to a whole season.
    chance_at_rule
        Chance that it has happened by then, read off the curve at `rule_years`.
    chance_at_rule_year
        The same at the end of the whole season.
    points
        Median and further points [years], rounded up; None if never reached.
    ceiling
        Chance that it ever happens.
    """

    years: tuple[int, ...]
    chances: tuple[float, ...]
    rule_years: float | None
    rule_year: int | None
    chance_at_rule: float | None
    chance_at_rule_year: float | None
    points: tuple[tuple[float, int | None], ...]
    ceiling: float


def by_year(
    kind: Kind,
    season: SeasonOfEggs,
    *,
    females: int = 1,
    years: int = 25,
    each_sex: bool = False,
) -> ByYear:
    """Chance by year for one pair, or for a male with several females of the very same genes.

    Parameters
    ----------
    kind
        The wanted hatchlings.
    season
        What a female may lay in a season; one season a year.
    females
        Number of females.
    years
        Last year.
    each_sex
        True for one male and one female of the kind; the rule of thumb stays that of one.

    Raises
    ------
    BadCount
        If there is no year or no female.
    """
    curve = waiting(kind, "seasons", season=season, females=females, each_sex=each_sex)
    share = float(kind.per_egg) * season.fertile * season.hatching
    return year_chart(curve, share, eggs_a_year=females * season.mean_eggs, years=years)


def year_chart(curve: Waiting, share: float, *, eggs_a_year: float, years: int = 25) -> ByYear:
    """Chance by year from a curve over seasons.

    Parameters
    ----------
    curve
        Chance by season.
    share
        Share of the laid eggs that gives a wanted hatchling [0 to 1].
    eggs_a_year
        Expected eggs of all females in a year.
    years
        Last year.

    Raises
    ------
    BadCount
        If there is no year, or the curve does not count seasons.
    """
    if years < 1:
        raise BadCount(f"{years} years; allowed: 1 or more")
    if curve.counted != "seasons":
        raise BadCount(f"the curve counts {curve.counted}; allowed: seasons")
    rate = share * eggs_a_year
    rule = 1.0 / rate if rate > 0.0 else None
    whole = None if rule is None else max(1, ceil(rule - 1e-9))
    numbers = tuple(range(1, years + 1))
    return ByYear(
        years=numbers,
        chances=tuple(curve.chance(year) for year in numbers),
        rule_years=rule,
        rule_year=whole,
        chance_at_rule=None if rule is None else curve.chance(rule),
        chance_at_rule_year=None if whole is None else curve.chance(whole),
        points=curve.points(CHANCES),
        ceiling=curve.ceiling,
    )
