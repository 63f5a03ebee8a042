"""Invented pairings written out twice: as the product reads them, and as squares drawn by pencil."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from functools import cache

import numpy as np

from econ.assumptions import Assumptions
from econ.costs import (
    adult_year_cost,
    capital_recovery,
    feeding_cost,
    place_cost_per_month,
)
from econ.decisions.look_prices import look_prices
from econ.decisions.pairing_budget import PairingBudget, pairing_budget
from econ.decisions.pairing_costs import LATE_MONTHS, pairing_costs
from econ.prices.market import Market, fit_market
from econ.prices.observations import PriceObservation
from genetics import Sex, Trait, clutch_size_pmf, cross, load_catalogue, read_animal
from tests.oracles import SlowClutch, SlowPrice, sex_linked_square, square

TODAY = date(2026, 11, 20)
SEASON = 2027
WORTH = {
    "normal": 30.0,
    "pastel": 55.0,
    "enchi": 70.0,
    "clown": 260.0,
    "het clown": 60.0,
    "banana": 120.0,
    "spider": 80.0,
}
TRAITS: dict[str, tuple[Trait, ...]] = {
    "normal": (),
    "het clown": (Trait("clown", "het"),),
    **{name: (Trait(name, "visual"),) for name in WORTH if name not in ("normal", "het clown")},
}
DAYS_A_MONTH = 365.25 / 12

Parents = list[tuple[float, dict[tuple[str, str], float]]]


def small_prices(*, times: int = 1) -> list[PriceObservation]:
    """Seven quarters of invented prices of a few kinds, females dearer than males, all slowly falling."""
    rng = np.random.default_rng(4)
    rows = []
    for name, worth in WORTH.items():
        for quarter in range(7):
            for sex, factor in ((Sex.MALE, 1.0), (Sex.FEMALE, 1.6)):
                price = worth * factor * math.exp(-0.04 * quarter + rng.normal(0.0, 0.08))
                rows.append(
                    PriceObservation(
                        on=date(2025 + quarter // 4, 1 + 3 * (quarter % 4), 5),
                        what=name,
                        traits=TRAITS[name],
                        sex=sex,
                        kind="sold",
                        price_minor=round(price * 100) * times,
                        currency="EUR",
                    )
                )
    return rows


@cache
def small_market(*, without: tuple[str, ...] = (), times: int = 1, turned: bool = False) -> Market:
    """Fit the invented prices, all or some, in their order or turned about."""
    kept = [row for row in small_prices(times=times) if row.what not in without]
    return fit_market(kept[::-1] if turned else kept, today=TODAY, currency="EUR")


def budget_of(
    sire: str,
    dam: str,
    figures: Assumptions,
    market: Market,
    *,
    limit: int = 64,
    females: float | None = None,
) -> PairingBudget:
    """Budget of a couple as the product reads it."""
    genes = load_catalogue()
    clutch = cross(read_animal(sire, genes, sex=Sex.MALE), read_animal(dam, genes, sex=Sex.FEMALE), genes)
    looks = clutch.looks(limit=limit)
    costs = pairing_costs(figures, females=females)
    hatch = date(SEASON, int(figures["clutch.hatch_month"]), 15)
    prices = look_prices(looks, market, figures, hatch=hatch, timing=costs.timing, months=LATE_MONTHS)
    return pairing_budget(looks, prices, figures, costs=costs)


def both_sexes(shares: Mapping[str, Fraction]) -> dict[tuple[str, str], float]:
    """Looks that say nothing of the sex: half of each."""
    return {(look, sex): float(share) / 2 for look, share in shares.items() for sex in ("male", "female")}


def possible_hets() -> Parents:
    """66% het clown x 66% het clown: four cases; young that don't show it can't be told apart."""
    two_thirds, found = Fraction(2, 3), []
    carrier, plain = ("c", "+"), ("+", "+")
    for sire, p in ((carrier, two_thirds), (plain, 1 - two_thirds)):
        for dam, q in ((carrier, two_thirds), (plain, 1 - two_thirds)):
            cells = square([sire], [dam])
            clown = sum((s for (pair,), s in cells.items() if pair == ("c", "c")), Fraction(0))
            found.append((float(p * q), both_sexes({"clown": clown, "50% het clown": 1 - clown})))
    return found


def male_maker() -> Parents:
    """Banana male with the gene on the Y x normal female; 1 in 20 recombines, as the catalogue has it."""
    cells = sex_linked_square(("+", "b"), ("+", "+"), Fraction(1, 20))
    shares: dict[tuple[str, str], float] = {}
    for (sex, pair), share in cells.items():
        key = ("banana" if "b" in pair else "normal", sex)
        shares[key] = shares.get(key, 0.0) + float(share)
    return [(1.0, shares)]


def lethal_pair() -> Parents:
    """Spider x spider: a quarter of the eggs is lost."""
    cells = square([("s", "+")], [("s", "+")])
    return [(1.0, both_sexes({"spider": cells[(("+", "s"),)], "normal": cells[(("+", "+"),)]}))]


def lethal_if_carried() -> Parents:
    """Spider male het clown x 66% het clown spider female: lost eggs and uncertain parents together."""
    found = []
    for dam, chance in ((("c", "+"), Fraction(2, 3)), (("+", "+"), Fraction(1, 3))):
        shares: dict[str, Fraction] = {}
        for (spider, clown), share in square([("s", "+"), ("c", "+")], [("s", "+"), dam]).items():
            if spider == ("s", "s"):
                continue
            names = ["spider"] if "s" in spider else []
            # of the young that don't show it: 2/3 x 2/3 + 1/3 x 1/2 are het, of 3/4 x 2/3 + 1/3 = 5/6
            names += ["clown"] if clown == ("c", "c") else ["60% het clown"]
            look = " ".join(names)
            shares[look] = shares.get(look, Fraction(0)) + share
        found.append((float(chance), both_sexes(shares)))
    return found


COUPLES = {
    "uncertain parents": ("66% het clown", "66% het clown", possible_hets),
    "male maker": ("banana (from sire)", "normal", male_maker),
    "lost eggs": ("spider", "spider", lethal_pair),
    "lost eggs of uncertain parents": ("spider het clown", "spider 66% het clown", lethal_if_carried),
}
PRICED = {
    **TRAITS,
    "50% het clown": (Trait("clown", "het", 0.5),),
    "60% het clown": (Trait("clown", "het", 0.6),),
    "spider 60% het clown": (Trait("clown", "het", 0.6), Trait("spider", "visual")),
    "spider clown": (Trait("clown", "visual"), Trait("spider", "visual")),
}


def by_hand(parents: Parents, a: Assumptions, market: Market, *, females: float | None = None) -> SlowClutch:
    """Write out a couple by loops and from the smallest pieces of the costs."""
    first, last = int(a["sale.first_month"]), int(a["sale.last_month"])
    sold, left = {}, 1.0
    for month in range(first, last):
        sold[month] = left * a["sale.monthly_chance"]
        left -= sold[month]
    eggs = clutch_size_pmf(a["clutch.eggs_mean"], a["clutch.eggs_sd"])

    @cache
    def price(look: str, sex: str, month: int) -> SlowPrice:
        number = int(a["clutch.hatch_month"]) - 1 + month
        on = date(SEASON + number // 12, number % 12 + 1, 15)
        found = market.price(PRICED[look], on=[on], sex=Sex(sex))
        if not found.known:
            return SlowPrice(-math.inf, 0.0, 0.0, 0.0, "", look)
        middle = float(found.log_mean[0]) + math.log(a["price.level"])
        return SlowPrice(middle, float(found.level_sd[0]), found.relative_sd, found.sale_sd, found.lead, look)

    share = a["male.females_per_season"] if females is None else females
    return SlowClutch(
        parents=parents,
        eggs={count: float(chance) for count, chance in enumerate(eggs)},
        laying=a["clutch.laying_chance"],
        fertile=a["clutch.fertile_share"],
        hatching=a["clutch.hatching_share"],
        survival=a["young.survival_to_sale"],
        sold=sold,
        first=first,
        last=last,
        keep=cache(lambda month: kept_until(month, a)),
        price=price,
        fee=a["sale.fee_share"],
        sale_cost=a["sale.advert_cost"] + a["sale.packing_shipping"],
        season_cost=breeder_year(Sex.FEMALE, a) + breeder_year(Sex.MALE, a) / share,
        clutch_cost=one_clutch(a),
        common=a["price.common_share"],
    )


def kept_until(month: int, a: Assumptions) -> float:
    """Cost of keeping one hatchling until a month, month by month."""
    cost = feeding_cost(0.0, month * DAYS_A_MONTH, sex=Sex.UNSEXED, assumptions=a)
    for step in range(month):
        small = step < a["housing.small_place_months"]
        cost += place_cost_per_month(a, "hatchling" if small else "grown").total
        cost += a["work.hatchling_hours_month"] * a["work.hour_rate"]
    return cost


def breeder_year(sex: Sex, a: Assumptions) -> float:
    """Cost of one breeder's year."""
    paid, end = a["breeder.purchase"], a["breeder.purchase"] * a["breeder.salvage_share"]
    cost = adult_year_cost(sex, breeding=True, assumptions=a)
    cost += 12 * place_cost_per_month(a, "grown").total + a["breeder.vet"]
    cost += capital_recovery(paid, end, a["breeder.years"], a["capital.interest"])
    return cost + a["breeder.death_chance"] * (paid + end) / 2


def one_clutch(a: Assumptions) -> float:
    """Cost of one laid clutch: box, power of the incubator, work."""
    power = a["incubation.watts"] / 1000 * 24 * a["clutch.incubation_days"] * a["housing.tariff"]
    return a["incubation.supplies"] + power + a["work.clutch_hours"] * a["work.hour_rate"]
