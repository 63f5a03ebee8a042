"""How long until a wanted hatchling of this pairing, and what does the rule of thumb say instead?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from dashboard.jobs.recent import Recent, number_of
from dashboard.jobs.valuation import Couple
from econ.decisions.clutch_odds import clutch_odds
from econ.decisions.pairing_budget import LookValue
from genetics import (
    ByYear,
    Catalogue,
    Kind,
    LookTable,
    Pattern,
    SeasonOfEggs,
    Sex,
    Waiting,
    cross,
    waiting,
    year_chart,
)
from genetics.clutches.waiting import CHANCES, Counted

WantedSex = Literal["either sex", "a male", "a female", "one of each sex"]
SEXES: Final[tuple[WantedSex, ...]] = ("either sex", "a male", "a female", "one of each sex")
MOST_FEMALES: Final = 6
COUNTED: Final[tuple[Counted, ...]] = ("hatchlings", "eggs", "clutches", "seasons")
FEWEST_YEARS: Final = 5
MOST_YEARS: Final = 30
"""Fewest and most seasons that the chart shows."""

_ASKED: Final[dict[WantedSex, Sex | None]] = {"a male": Sex.MALE, "a female": Sex.FEMALE}
_kinds: Recent[Kind] = Recent(400)


@dataclass(frozen=True)
class Wanted:
    """What is waited for.

    Attributes
    ----------
    label
        Label of a look of the clutch.
    sex
        Of which sex.
    females
        Females of the very same genes as the dam, all with this sire [1 to 6].

    Raises
    ------
    ValueError
        If the sex is none of `SEXES`, or the number of females is outside its range.
    """

    label: str
    sex: WantedSex = "either sex"
    females: int = 1

    def __post_init__(self) -> None:
        if self.sex not in SEXES:
            raise ValueError(f"the sex is “{self.sex}”; allowed: {', '.join(SEXES)}")
        if not 1 <= self.females <= MOST_FEMALES:
            raise ValueError(f"{self.females} females; allowed: 1 to {MOST_FEMALES}")


@dataclass(frozen=True)
class Needed:
    """How many of what is counted give each chance, rounded up; None for a chance that is never reached."""

    counted: Counted
    points: tuple[tuple[float, int | None], ...]

    def at(self, chance: float) -> int | None:
        """Fewest that give one of the chances."""
        return dict(self.points)[chance]


@dataclass(frozen=True, eq=False)
class OddsAnswer:
    """How long it takes until a wanted hatchling.

    Attributes
    ----------
    wanted
        What is waited for.
    first_season
        Year of the first eggs.
    per_hatchling
        Share of the hatchlings that is wanted; with one of each sex, of either.
    ever
        Chance that the parents can give it at all [0 to 1].
    a_season
        Expected wanted hatchlings of all females in one season, on which the rule of thumb rests.
    needed
        Points in hatchlings, eggs laid, clutches laid and seasons.
    chart
        Chance by season, and the rule of thumb.
    """

    wanted: Wanted
    first_season: int
    per_hatchling: float
    ever: float
    a_season: float
    needed: tuple[Needed, ...]
    chart: ByYear

    def seasons(self, chance: float) -> int | None:
        """Fewest seasons that give a chance of 50, 80, 90 or 95 %; None if never reached."""
        return next(item for item in self.needed if item.counted == "seasons").at(chance)


def looks_to_wait_for(looks: Sequence[LookValue]) -> tuple[str, ...]:
    """Labels of the looks of a clutch, the dearest first; those without a price last, the rarest first."""
    priced = [look for look in looks if look.basis.kind != "none"]
    others = [look for look in looks if look.basis.kind == "none"]
    priced.sort(key=lambda look: (-look.price, look.number, look.look.label))
    others.sort(key=lambda look: (look.number, look.look.label))
    return tuple(look.look.label for look in (*priced, *others))


def odds_answer(couple: Couple, looks: LookTable, wanted: Wanted, *, catalogue: Catalogue) -> OddsAnswer:
    """Chance by season of a wanted hatchling, exact over the parents as all records know them.

    Parameters
    ----------
    couple
        The parents, and the breeder's figures on laying, eggs, fertility and hatching.
    looks
        Table of looks of their clutch.
    wanted
        What is waited for.
    catalogue
        The genes.

    Raises
    ------
    NotationError, PairingError
        If a parent can't be read, or the two can't breed.
    BadPattern
        If the clutch has no look of that label.
    TooManyParents
        If the parents may be too many things that all give different chances.
    Contradiction
        If no clutch size has the mean and the spread that were entered.
    """
    kind = _kind(couple, wanted, catalogue)
    season, females = _season(couple, looks), wanted.females
    each = wanted.sex == "one of each sex"
    curves = {
        counted: waiting(kind, counted, season=season, females=females, each_sex=each) for counted in COUNTED
    }
    ever = _ever(kind, each_sex=each)
    share = float(kind.per_egg) * season.fertile * season.hatching
    eggs = females * season.mean_eggs
    needed = tuple(_needed(curve, float(ever)) for curve in curves.values())
    return OddsAnswer(
        wanted=wanted,
        first_season=couple.season,
        per_hatchling=float(kind.per_hatchling),
        ever=float(ever) if season.mean_eggs * season.fertile * season.hatching > 0 else 0.0,
        a_season=share * eggs,
        needed=needed,
        chart=year_chart(curves["seasons"], share, eggs_a_year=eggs, years=_years(needed[-1], share * eggs)),
    )


def _kind(couple: Couple, wanted: Wanted, catalogue: Catalogue) -> Kind:
    parents, sex = couple.genes(catalogue), _ASKED.get(wanted.sex)

    def make() -> Kind:
        return cross(*parents, catalogue).kind(Pattern(label=wanted.label, sex=sex))

    return _kinds.get((*parents, wanted.label, sex, number_of(catalogue)), make)


def _season(couple: Couple, looks: LookTable) -> SeasonOfEggs:
    """What a female may lay in a season, by the breeder's figures."""
    figures = couple.assumptions
    odds = clutch_odds(figures, looks.weights, lost=looks.lost)
    return SeasonOfEggs(
        eggs=odds.eggs / odds.eggs.sum(),
        laying=odds.laying,
        fertile=figures["clutch.fertile_share"],
        hatching=figures["clutch.hatching_share"],
    )


def _ever(kind: Kind, *, each_sex: bool) -> Fraction:
    """Chance that the parents can give it at all, exact."""
    rows = zip(kind.weights, kind.male, kind.female, kind.alive, strict=True)
    can = (w for w, m, f, alive in rows if alive and (m and f if each_sex else m or f))
    return sum(can, Fraction(0))


def _needed(curve: Waiting, ever: float) -> Needed:
    points = ((chance, curve.needed(chance) if chance < ever - 1e-12 else None) for chance in CHANCES)
    return Needed(curve.counted, tuple(points))


def _years(seasons: Needed, a_season: float) -> int:
    """Last year of the chart: most points and the rule of thumb shall be on it."""
    found = [number for _, number in seasons.points if number is not None]
    if a_season > 0:
        found.append(int(1.0 / a_season) + 2)
    return min(MOST_YEARS, max(FEWEST_YEARS, *found, 0))
