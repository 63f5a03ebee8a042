"""What happens in the invented market of the demo? Levels, paths and counts, all made up for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

FIRST = date(2022, 11, 3)
LAST = date(2026, 11, 18)


@dataclass(frozen=True)
class Path:
    """Course of one invented trait.

    Attributes
    ----------
    level
        Asking price of a hatchling at the first day [EUR].
    turns
        Pairs of years since the first day and factor on the level; straight in the logarithm between.
    """

    level: float
    turns: tuple[tuple[float, float], ...]


def _yearly(level: float, change: float) -> Path:
    """Course with one and the same change a year (-0.25: a quarter less each year)."""
    return Path(level, ((0.0, 1.0), (4.05, (1.0 + change) ** 4.05)))


PATHS: dict[str, Path] = {
    "normal": _yearly(42, -0.01),
    "pastel": _yearly(92, -0.05),
    "enchi": _yearly(128, -0.04),
    "mojave": _yearly(118, -0.03),
    "lesser": _yearly(132, -0.05),
    "yellow belly": _yearly(62, 0.00),
    "spider": _yearly(96, -0.16),
    "pinstripe": _yearly(80, -0.07),
    "banana": _yearly(170, 0.00),
    "leopard": _yearly(104, 0.16),
    "orange dream": _yearly(96, 0.22),
    "clown": Path(760, ((0.0, 1.0), (0.8, 0.88), (2.0, 0.56), (3.0, 0.365), (4.05, 0.20))),
    "het clown": Path(220, ((0.0, 1.0), (1.0, 0.78), (2.5, 0.47), (4.05, 0.255))),
    "pied": _yearly(400, 0.00),
    "het pied": _yearly(130, -0.01),
    "albino": _yearly(255, -0.09),
    "hypo": Path(240, ((0.0, 1.0), (1.0, 0.72), (1.9, 0.54), (2.6, 0.60), (3.4, 0.85), (4.05, 1.02))),
    "het hypo": Path(84, ((0.0, 1.0), (1.9, 0.62), (4.05, 0.96))),
    "desert ghost": _yearly(225, 0.14),
    "het desert ghost": _yearly(76, 0.11),
    "monsoon": _yearly(980, -0.12),
}
"""Invented course of each trait that leads a price."""


@dataclass(frozen=True)
class Listing:
    """One kind of animal in the price list: how it is written, what leads it, and how often it was seen."""

    what: str
    lead: str
    ratio: float
    seen: int


LISTINGS: tuple[Listing, ...] = (
    Listing("normal", "normal", 1.0, 30),
    Listing("pastel", "pastel", 1.0, 36),
    Listing("super pastel", "pastel", 2.1, 14),
    Listing("enchi", "enchi", 1.0, 30),
    Listing("pastel enchi", "enchi", 1.65, 16),
    Listing("mojave", "mojave", 1.0, 30),
    Listing("mojave pastel", "mojave", 1.6, 12),
    Listing("mojave enchi", "enchi", 1.75, 10),
    Listing("lesser", "lesser", 1.0, 28),
    Listing("mojave lesser", "lesser", 3.1, 14),
    Listing("yellow belly", "yellow belly", 1.0, 30),
    Listing("super yellow belly", "yellow belly", 3.2, 9),
    Listing("pastel yellow belly", "yellow belly", 1.6, 8),
    Listing("spider", "spider", 1.0, 22),
    Listing("pastel spider", "spider", 1.6, 10),
    Listing("pinstripe", "pinstripe", 1.0, 20),
    Listing("pastel pinstripe", "pinstripe", 1.7, 8),
    Listing("banana", "banana", 1.0, 34),
    Listing("banana pastel", "banana", 1.5, 14),
    Listing("banana enchi", "banana", 1.65, 8),
    Listing("leopard", "leopard", 1.0, 26),
    Listing("leopard enchi", "leopard", 1.8, 8),
    Listing("orange dream", "orange dream", 1.0, 22),
    Listing("orange dream pastel", "orange dream", 1.5, 7),
    Listing("clown", "clown", 1.0, 64),
    Listing("pastel clown", "clown", 1.28, 26),
    Listing("enchi clown", "clown", 1.35, 16),
    Listing("pastel enchi clown", "clown", 1.72, 12),
    Listing("leopard clown", "clown", 1.6, 10),
    Listing("het clown", "het clown", 1.0, 36),
    Listing("66% het clown", "het clown", 0.62, 12),
    Listing("pastel het clown", "het clown", 1.35, 14),
    Listing("pied", "pied", 1.0, 40),
    Listing("banana pied", "pied", 1.75, 14),
    Listing("pastel pied", "pied", 1.3, 9),
    Listing("het pied", "het pied", 1.0, 26),
    Listing("albino", "albino", 1.0, 26),
    Listing("hypo", "hypo", 1.0, 34),
    Listing("pastel hypo", "hypo", 1.35, 12),
    Listing("het hypo", "het hypo", 1.0, 14),
    Listing("desert ghost", "desert ghost", 1.0, 30),
    Listing("enchi desert ghost", "desert ghost", 1.4, 12),
    Listing("desert ghost clown", "desert ghost", 2.1, 10),
    Listing("het desert ghost", "het desert ghost", 1.0, 16),
    Listing("monsoon", "monsoon", 1.0, 6),
)
"""Invented price list."""

SUPPLY: dict[str, tuple[tuple[float, float], ...]] = {
    "normal": ((0.0, 240.0), (4.05, 215.0)),
    "pastel": ((0.0, 310.0), (4.05, 345.0)),
    "enchi": ((0.0, 120.0), (4.05, 150.0)),
    "mojave": ((0.0, 140.0), (4.05, 160.0)),
    "yellow belly": ((0.0, 90.0), (4.05, 92.0)),
    "spider": ((0.0, 85.0), (4.05, 48.0)),
    "banana": ((0.0, 165.0), (4.05, 170.0)),
    "leopard": ((0.0, 60.0), (4.05, 54.0)),
    "clown": ((0.0, 92.0), (1.0, 125.0), (2.0, 215.0), (3.0, 330.0), (4.05, 470.0)),
    "het clown": ((0.0, 150.0), (2.0, 260.0), (4.05, 420.0)),
    "pied": ((0.0, 128.0), (4.05, 132.0)),
    "albino": ((0.0, 88.0), (4.05, 104.0)),
    "hypo": ((0.0, 96.0), (1.2, 128.0), (2.0, 104.0), (3.0, 62.0), (4.05, 55.0)),
    "desert ghost": ((0.0, 34.0), (4.05, 30.0)),
}
"""Invented numbers on offer: years since the first day, and how many."""

Row = tuple[str, ...]

ANIMALS: tuple[Row, ...] = (
    # name, sex, what, hatched, paid, status, sire, dam, note
    (
        "Basalt",
        "male",
        "pastel clown",
        "2023-07-19",
        "540.00",
        "breeding",
        "",
        "",
        "eager, feeds on anything",
    ),
    ("Flint", "male", "banana (from sire) het pied", "2023-08-02", "260.00", "breeding", "", "", ""),
    ("Juniper", "male", "mojave enchi", "2022-09-11", "150.00", "breeding", "", "", ""),
    ("Sorrel", "male", "leopard het desert ghost het clown", "2024-06-28", "330.00", "breeding", "", "", ""),
    ("Cobble", "male", "pastel yellow belly het hypo", "2022-08-23", "120.00", "breeding", "", "", ""),
    ("Tansy", "female", "enchi het clown", "2021-08-14", "310.00", "breeding", "", "", ""),
    ("Marl", "female", "pied", "2021-07-30", "390.00", "breeding", "", "", "laid seven in 2026"),
    ("Bramble", "female", "pastel 66% het clown", "2021-09-05", "110.00", "breeding", "", "", ""),
    ("Onyx", "female", "lesser", "2020-08-21", "95.00", "breeding", "", "", ""),
    ("Yarrow", "female", "enchi desert ghost het clown", "2022-07-08", "720.00", "breeding", "", "", ""),
    ("Schist", "female", "hypo", "2021-06-25", "140.00", "breeding", "", "", "off food every winter"),
    ("Sedge", "female", "spider", "2020-07-17", "60.00", "breeding", "", "", "wobbles when she feeds"),
    ("Gneiss", "female", "normal", "2019-08-09", "35.00", "breeding", "", "", ""),
    ("Clover", "female", "enchi clown", "2025-08-12", "0.00", "held back", "Basalt", "Tansy", "own young"),
)
"""Invented animals."""

PAIRINGS: tuple[Row, ...] = (
    # season, sire, dam, planned, put together, locked, note
    ("2027", "Basalt", "Tansy", "yes", "2026-11-07", "", ""),
    ("2027", "Flint", "Marl", "yes", "2026-11-08", "2026-11-16", "banana sons are wanted"),
    ("2027", "Basalt", "Bramble", "yes", "", "", "does she carry clown?"),
    ("2027", "Juniper", "Onyx", "yes", "", "", ""),
    ("2027", "Sorrel", "Yarrow", "yes", "", "", "the long project"),
    ("2027", "Cobble", "Schist", "yes", "", "", ""),
    ("2027", "Cobble", "Sedge", "yes", "", "", "she wobbles; to be decided"),
    ("2027", "Cobble", "Gneiss", "yes", "", "", ""),
    ("2026", "Basalt", "Tansy", "yes", "2025-12-06", "2026-01-18", ""),
    ("2026", "Flint", "Marl", "yes", "2025-12-13", "2026-02-02", ""),
    ("2026", "Juniper", "Onyx", "yes", "2026-01-10", "", ""),
    ("2026", "Cobble", "Schist", "yes", "2025-12-20", "", "she was off food until spring"),
)
"""Invented plan of the coming season, and what was paired in the one before."""

CLUTCHES: tuple[Row, ...] = (
    # pairing, which, laid, fertile, infertile, hatched on, hatched, note
    ("2026 Basalt × Tansy", "1", "2026-05-16", "6", "1", "2026-07-14", "6", ""),
    ("2026 Flint × Marl", "1", "2026-06-02", "7", "0", "2026-08-01", "6", "one stopped in the last week"),
    ("2026 Juniper × Onyx", "1", "2026-06-20", "5", "1", "2026-08-19", "5", ""),
    ("2026 Cobble × Schist", "1", "2026-07-05", "0", "4", "", "0", "none of the four was fertile"),
)
"""Invented clutches of 2026."""

_FIRST, _SECOND, _THIRD = "2026 Basalt × Tansy", "2026 Flint × Marl", "2026 Juniper × Onyx"
YOUNG: tuple[Row, ...] = (
    # name, sex, what, status, clutch, fed since, asked, sold for, sold on, sold where, note
    ("Tansy 2026-1", "female", "pastel enchi clown", "held back", _FIRST, "2026-07-29", "", "", "", "", ""),
    ("Tansy 2026-2", "male", "enchi clown", "sold", _FIRST, "2026-07-30", "210.00", "190.00", "2026-10-04",
     "show", ""),
    ("Tansy 2026-3", "male", "clown", "for sale", _FIRST, "2026-08-02", "165.00", "", "", "", ""),
    ("Tansy 2026-4", "female", "pastel het clown", "sold", _FIRST, "2026-07-29", "75.00", "70.00",
     "2026-09-20", "online advert", ""),
    ("Tansy 2026-5", "female", "enchi het clown", "for sale", _FIRST, "2026-08-06", "85.00", "", "", "", ""),
    ("Tansy 2026-6", "male", "het clown", "for sale", _FIRST, "2026-08-01", "45.00", "", "", "", ""),
    ("Marl 2026-1", "male", "banana pied", "for sale", _SECOND, "2026-08-17", "690.00", "", "", "", ""),
    ("Marl 2026-2", "male", "banana het pied", "sold", _SECOND, "2026-08-18", "250.00", "240.00",
     "2026-10-04", "show", ""),
    ("Marl 2026-3", "female", "pied", "for sale", _SECOND, "2026-08-20", "420.00", "", "", "", ""),
    ("Marl 2026-4", "female", "pied", "sold", _SECOND, "2026-08-17", "420.00", "400.00", "2026-11-02",
     "at the door", ""),
    ("Marl 2026-5", "female", "het pied", "growing", _SECOND, "", "", "", "", "", "slow to start"),
    ("Marl 2026-6", "male", "banana pied", "growing", _SECOND, "2026-09-03", "", "", "", "", ""),
    ("Onyx 2026-1", "male", "mojave lesser", "sold", _THIRD, "2026-09-04", "340.00", "330.00",
     "2026-11-08", "online advert", ""),
    ("Onyx 2026-2", "female", "lesser enchi", "for sale", _THIRD, "2026-09-06", "210.00", "", "", "", ""),
    ("Onyx 2026-3", "female", "mojave enchi", "for sale", _THIRD, "2026-09-05", "190.00", "", "", "", ""),
    ("Onyx 2026-4", "male", "enchi", "died", _THIRD, "", "", "", "", "", "never fed"),
    ("Onyx 2026-5", "unsexed", "lesser", "growing", _THIRD, "", "", "", "", "", ""),
)  # fmt: skip
"""Invented hatchlings of these clutches."""

WEIGHTS: tuple[Row, ...] = (
    # animal, day, grams
    ("Tansy", "2026-10-30", "1840"),
    ("Marl", "2026-10-30", "2110"),
    ("Schist", "2026-08-14", "1390"),
    ("Schist", "2026-10-30", "1520"),
    ("Tansy 2026-1", "2026-08-30", "92"),
    ("Tansy 2026-1", "2026-11-01", "214"),
    ("Tansy 2026-3", "2026-11-01", "188"),
    ("Tansy 2026-5", "2026-11-01", "171"),
    ("Marl 2026-1", "2026-11-01", "163"),
    ("Marl 2026-5", "2026-11-01", "58"),
    ("Marl 2026-6", "2026-11-01", "109"),
)
"""Invented weights."""

GENE_TESTS: tuple[Row, ...] = (
    # animal, day, gene, result, fee, currency, note
    ("Yarrow", "2026-03-12", "clown", "one copy", "45.00", "EUR", "shed sent in"),
)
"""Invented test of a gene."""

SHOWS: tuple[Row, ...] = (
    # show, first day, days, place, table fee, travel, currency, going, note
    ("Autumn show", "2026-10-04", "1", "town hall", "60.00", "35.00", "EUR", "yes", ""),
    ("Spring show abroad", "2027-03-06", "2", "", "90.00", "140.00", "CHF", "no", "papers to be asked for"),
)
"""Invented shows."""

SPENDING: tuple[Row, ...] = (
    # day, kind, for, amount, currency, animal, note
    ("2026-03-12", "test", "gene test", "45.00", "EUR", "Yarrow", ""),
    ("2026-08-17", "veterinarian", "visit, off food", "62.00", "EUR", "Schist", ""),
    ("2026-09-12", "housing", "thermostat", "119.00", "EUR", "", ""),
    ("2026-10-02", "feeding", "frozen mice and rats", "184.50", "EUR", "", ""),
    ("2026-10-04", "show", "table at the autumn show", "60.00", "EUR", "", ""),
)
"""Invented spending."""

RATES: tuple[Row, ...] = (
    # day, currency, rate
    ("2026-11-01", "CHF", "1.0600"),
)
"""Invented exchange rate."""

FIGURES: tuple[tuple[str, str], ...] = (
    ("clutch.laying_chance", "0.88"),
    ("clutch.eggs_mean", "6.8"),
    ("clutch.fertile_share", "0.92"),
    ("clutch.hatching_share", "0.92"),
    ("sale.monthly_chance", "0.35"),
    ("sale.packing_shipping", "6"),
    ("breeder.purchase", "250"),
    ("shared.tools_and_shows", "260"),
)
"""Invented figures of the demo's breeder in place of the defaults."""
