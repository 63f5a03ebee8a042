"""How do the odds of a wanted hatchling read: how long, how many, and what the rule of thumb says?"""

from __future__ import annotations

from typing import Final

from dashboard.jobs.odds import OddsAnswer, Wanted
from dashboard.jobs.pairing import PairingAnswer
from dashboard.words import num, number_word, of_hundred, percent, plural

NOT_REACHED: Final = "never"
_COUNTED: Final = {
    "hatchlings": "hatchlings",
    "eggs": "eggs laid",
    "clutches": "clutches laid",
    "seasons": "seasons",
}
_AN: Final = ("a", "e", "i", "o", "u", "8", "11 ", "11%", "18 ", "18%")


def subject(wanted: Wanted) -> str:
    """Name what is waited for: "a clown", "a male clown", "a male and a female clown"."""
    if wanted.sex == "one of each sex":
        return f"a male and a female {wanted.label}"
    if wanted.sex == "either sex":
        return f"{article(wanted.label)} {wanted.label}"
    return f"{wanted.sex} {wanted.label}"


def article(words: str) -> str:
    """Give "a" or "an" for what follows."""
    return "an" if words.lower().startswith(_AN) else "a"


def title(found: OddsAnswer) -> str:
    """Say how long it takes, in one sentence with its number."""
    what = subject(found.wanted)
    start = what[:1].upper() + what[1:]
    verb = "hatch" if found.wanted.sex == "one of each sex" else "hatches"
    if found.ever <= 0:
        return f"{start} can’t hatch from this pairing"
    for chance, words in ((0.8, "8 of 10"), (0.5, "half of")):
        seasons = found.seasons(chance)
        if seasons is not None:
            return f"{start} {verb} within {_seasons(seasons)} in {words} such pairings"
    return f"Of 100 such pairings {of_hundred(1 - found.ever)} can’t give {what} at all"


def title_reading(found: OddsAnswer) -> str:
    """Say what the title rests on."""
    females = found.wanted.females
    who = "one female" if females == 1 else f"{number_word(females)} females of her genes"
    return f"With {who} and your figures of laying, eggs and hatching, from season {found.first_season} on."


def _seasons(count: int) -> str:
    return f"{number_word(count)} {plural(count, 'season')}"


def chart_title(found: OddsAnswer) -> str:
    """Say what the chart shows against the rule of thumb."""
    chart = found.chart
    if chart.rule_year is None or chart.chance_at_rule_year is None or found.ever <= 0:
        return title(found)
    waiting = of_hundred(1 - chart.chance_at_rule_year)
    when = "one season" if chart.rule_year == 1 else f"{number_word(chart.rule_year)} seasons"
    return f"The rule of thumb says {when}; {waiting} of 100 are still waiting then"


def chart_reading(found: OddsAnswer) -> str:
    """Say how the chart is read."""
    return (
        f"Of 100 such pairings so many have it by the end of each season, the first being "
        f"{found.first_season}. Hollow dot and dotted line: the rule of thumb."
    )


def rule_sentence(found: OddsAnswer) -> str:
    """Say how the rule of thumb is reckoned, and why it is no promise."""
    chart, wanted = found.chart, found.wanted
    if chart.rule_years is None or chart.rule_year is None or chart.chance_at_rule_year is None:
        return ""
    females = "one female" if wanted.females == 1 else f"{number_word(wanted.females)} such females"
    years = num(chart.rule_years, decimals=1)
    words = (
        f"With {females} a season brings {_small(found.a_season)} of them on average. The rule of thumb "
        f"divides one by that, {years}, and says {_seasons(chart.rule_year)}. "
        f"By then {of_hundred(chart.chance_at_rule_year)} of 100 have one: "
        "where some get two or more, others get none."
    )
    if wanted.sex == "one of each sex":
        words += " The rule counts either sex; waiting for both takes longer."
    if found.ever < 1 - 1e-9:
        words += (
            f" In {of_hundred(1 - found.ever)} of 100 cases it never hatches, because a parent may not carry "
            "what it takes."
        )
    return words


def _small(value: float) -> str:
    return num(value, decimals=2) if value >= 0.01 else num(value, decimals=4)


def points_title(found: OddsAnswer) -> str:
    """Say what is enough, in hatchlings, eggs and clutches."""
    for chance, words in ((0.8, "8 in 10"), (0.5, "half")):
        points = {item.counted: item.at(chance) for item in found.needed}
        young, eggs, clutches = (points[counted] for counted in ("hatchlings", "eggs", "clutches"))
        if young is not None and eggs is not None and clutches is not None:
            return (
                f"Enough in {words}: {number_word(young)} {plural(young, 'hatchling')}, "
                f"{number_word(eggs)} {plural(eggs, 'egg')} or {number_word(clutches)} "
                f"{plural(clutches, 'clutch', 'clutches')}"
            )
    return "No number is enough in half of such pairings"


def points_reading(found: OddsAnswer) -> str:
    """Say how the table of points is read."""
    share = percent(found.per_hatchling, 1)
    words = f"Fewest that are enough, rounded up. Of the hatchlings {share} are of this kind."
    if found.wanted.sex == "one of each sex":
        words = f"Fewest that are enough, rounded up. Of the hatchlings {share} are of this look, either sex."
    if any(number is None for item in found.needed for _, number in item.points):
        words += f" “{NOT_REACHED.capitalize()}”: the chance that the parents can give it at all is smaller."
    return words


def counted_name(counted: str) -> str:
    """Name what is counted."""
    return _COUNTED[counted].capitalize()


def counted_under(counted: str, found: OddsAnswer) -> str:
    """Say what a way of counting leaves open."""
    females = found.wanted.females
    if counted == "eggs":
        return "some are not fertile or don’t hatch"
    if counted == "clutches":
        return "of a size as in your figures"
    if counted == "seasons":
        who = "a female" if females == 1 else f"each of {number_word(females)} females"
        return f"from {found.first_season} on; {who} may not lay"
    return ""


def number(count: int | None) -> str:
    """Print a point, or that it is never reached."""
    return NOT_REACHED if count is None else num(count)


def source(answer: PairingAnswer, found: OddsAnswer) -> str:
    """Say what the chart rests on, for a page of its own."""
    figures = answer.valued.couple.assumptions
    return (
        f"{answer.valued.name}, from season {found.first_season}; females: {num(found.wanted.females)}; "
        f"{num(figures['clutch.eggs_mean'], decimals=1)} eggs a clutch; "
        f"{percent(figures['clutch.laying_chance'])} lay, "
        f"{percent(figures['clutch.fertile_share'])} fertile, "
        f"{percent(figures['clutch.hatching_share'])} of those hatch."
    )
