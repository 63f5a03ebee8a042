"""How were the demo's files made? From the scenario and one seed: run `python -m demo_prices.make_demo`."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from random import Random

from demo_prices.scenario import (
    ANIMALS,
    CLUTCHES,
    FIGURES,
    FIRST,
    GENE_TESTS,
    LAST,
    LISTINGS,
    PAIRINGS,
    PATHS,
    RATES,
    SHOWS,
    SPENDING,
    SUPPLY,
    WEIGHTS,
    YOUNG,
    Listing,
    Row,
)

SEED = 20261120
SOLD_SHARE = 0.22
SOLD_FACTOR = 0.86  # an animal goes for 14 % less than was asked
PRICE_NOISE = 0.10  # standard deviation of the logarithm of a price
COUNT_NOISE = 0.07
CHANNELS = ("online advert", "show", "club list", "at the door")
CHANNEL_WEIGHTS = (60, 20, 12, 8)
SEX_FACTOR = {"male": 1.0, "female": 1.12, "unsexed": 0.97}
STAGE_FACTOR = {
    ("hatchling", "male"): 1.0,
    ("hatchling", "female"): 1.0,
    ("hatchling", "unsexed"): 1.0,
    ("grown", "male"): 1.1,
    ("grown", "female"): 1.4,
    ("grown", "unsexed"): 1.15,
    ("proven breeder", "male"): 1.3,
    ("proven breeder", "female"): 1.9,
    ("proven breeder", "unsexed"): 1.4,
}
HEADER = """\
# INVENTED: every row of this file was made up for the demo book of Hatchmargin.
# No animal, price, count or person in it is real; it says nothing about any market.
# Made by demo_prices/make_demo.py from demo_prices/scenario.py with the seed {seed}.
"""


def main(folder: Path | None = None) -> None:
    """Write the files of the demo into a folder (this one if none is given)."""
    place = folder or Path(__file__).parent
    for name, heads, rows in (
        ("prices.csv", _PRICE_HEADS, price_rows(Random(SEED))),
        ("supply.csv", ("date", "what", "offered"), supply_rows(Random(SEED + 1))),
        ("animals.csv", _ANIMAL_HEADS, animal_rows()),
        ("pairings.csv", _PAIRING_HEADS, PAIRINGS),
        ("clutches.csv", _CLUTCH_HEADS, CLUTCHES),
        ("young.csv", _YOUNG_HEADS, young_rows()),
        ("weights.csv", ("animal", "date", "grams"), WEIGHTS),
        ("gene_tests.csv", ("animal", "date", "gene", "result", "fee", "currency", "note"), GENE_TESTS),
        ("shows.csv", _SHOW_HEADS, SHOWS),
        ("spending.csv", ("date", "kind", "for", "amount", "currency", "animal", "note"), SPENDING),
        ("exchange_rates.csv", ("date", "currency", "rate"), RATES),
        ("figures.csv", ("figure", "value"), FIGURES),
    ):
        (place / name).write_bytes(as_file(heads, rows))
        print(f"{name}: {len(rows)} rows")


_PRICE_HEADS = (
    "date", "what", "sex", "stage", "asked or sold", "price", "currency", "channel", "how many"
)  # fmt: skip
_ANIMAL_HEADS = (
    "name", "sex", "what", "hatched", "paid", "currency", "status", "sire", "dam", "note"
)  # fmt: skip
_PAIRING_HEADS = ("season", "sire", "dam", "planned", "introduced", "locked", "note")
_CLUTCH_HEADS = (
    "pairing", "clutch", "laid", "fertile eggs", "infertile eggs", "hatched on", "hatched", "note"
)  # fmt: skip
_YOUNG_HEADS = (
    "name", "sex", "what", "status", "clutch", "fed since", "asked", "asked currency", "sold for",
    "sold currency", "sold on", "sold where", "note",
)  # fmt: skip
_SHOW_HEADS = (
    "show", "first day", "days", "place", "table fee", "travel", "currency", "going", "note"
)  # fmt: skip


def as_file(heads: Row, rows: Iterable[Row]) -> bytes:
    """CSV with the note that it is invented on top."""
    out = io.StringIO(newline="")
    out.write(HEADER.format(seed=SEED))
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(heads)
    writer.writerows(rows)
    return out.getvalue().encode("utf-8")


def price_rows(draw: Random) -> list[Row]:
    """Invented prices in the order of their dates."""
    rows = [_price(listing, on, draw) for listing in LISTINGS for on in _days(listing.seen, draw)]
    return sorted(rows)


def _price(listing: Listing, on: date, draw: Random) -> Row:
    sex = draw.choices(("male", "female", "unsexed"), (44, 46, 10))[0]
    stages = ("hatchling", "grown", "proven breeder")
    stage = draw.choices(stages, (80, 14, 6))[0]
    if "66%" in listing.what or sex == "unsexed":
        stage = "hatchling"
    kind = "sold" if draw.random() < SOLD_SHARE else "asked"
    path = PATHS[listing.lead]
    level = path.level * along(path.turns, years_since(on)) * listing.ratio
    level *= SEX_FACTOR[sex] * STAGE_FACTOR[stage, sex] * (SOLD_FACTOR if kind == "sold" else 1.0)
    price = rounded(level * math.exp(draw.gauss(0.0, PRICE_NOISE)))
    channel = draw.choices(CHANNELS, CHANNEL_WEIGHTS)[0]
    several = 2 if stage == "hatchling" and draw.random() < 0.05 else 1
    return (
        on.isoformat(), listing.what, sex, stage, kind, f"{price}.00", "EUR", channel, str(several)
    )  # fmt: skip


def _days(count: int, draw: Random) -> list[date]:
    """Irregular days over the four years; autumn, when hatchlings are sold, comes up more often."""
    span = (LAST - FIRST).days
    days: list[date] = [FIRST + timedelta(days=draw.randrange(30)), LAST - timedelta(days=draw.randrange(40))]
    while len(days) < count:
        on = FIRST + timedelta(days=draw.randrange(span + 1))
        if draw.random() < (1.0 if on.month >= 8 else 0.6):
            days.append(on)
    return sorted(days[:count])


def supply_rows(draw: Random) -> list[Row]:
    """Invented counts, about one a month for each trait, with gaps."""
    rows = []
    for what, turns in SUPPLY.items():
        on = FIRST + timedelta(days=draw.randrange(12))
        while on <= LAST:
            season = 1.0 + 0.10 * math.cos(2 * math.pi * (on.timetuple().tm_yday - 290) / 365)
            expected = along(turns, years_since(on)) * season
            count = round(expected * math.exp(draw.gauss(0.0, COUNT_NOISE)))
            rows.append((on.isoformat(), what, str(count)))
            on += timedelta(days=draw.choice((28, 30, 31, 33, 59)))
    return sorted(rows)


def animal_rows() -> tuple[Row, ...]:
    """Invented animals with the currency of what was paid."""
    return tuple((*row[:5], "EUR", *row[5:]) for row in ANIMALS)


def young_rows() -> tuple[Row, ...]:
    """Invented hatchlings with the currency of what was asked and paid."""
    return tuple(
        (*row[:7], "EUR" if row[6] else "", row[7], "EUR" if row[7] else "", *row[8:]) for row in YOUNG
    )


def years_since(on: date) -> float:
    """Years since the first day of the demo."""
    return (on - FIRST).days / 365.25


def along(turns: Sequence[tuple[float, float]], at: float) -> float:
    """Value on a course that is straight in the logarithm between its turns."""
    for (left, low), (right, high) in pairwise(turns):
        if at <= right:
            share = (at - left) / (right - left)
            return math.exp((1 - share) * math.log(low) + share * math.log(high))
    return turns[-1][1]


def rounded(price: float) -> int:
    """Price as a breeder would write it: to 5 under 300, to 10 above."""
    step = 5 if price < 300 else 10
    return max(step, step * round(price / step))


if __name__ == "__main__":
    main()
