"""Which looks can the young of a clutch have, and how many of each were entered?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from dashboard.jobs.animals import Reading
from dashboard.jobs.valuation import hatch_looks
from dashboard.records import AnimalRecord
from genetics import Catalogue, NotationError, PairingError

MOST_CHOICES = 24


@dataclass(frozen=True)
class LookChoice:
    """One look the parents can have.

    Attributes
    ----------
    label
        In the trade's words.
    chance
        Share of the hatchlings [0 to 1].
    males, females
        Share of the hatchlings with this look and sex [0 to 1].
    entered
        Hatchlings of the clutch that were entered with this look.
    """

    label: str
    chance: float
    males: float
    females: float
    entered: int


def look_choices(
    sires: Sequence[AnimalRecord],
    dam: AnimalRecord,
    entered: Sequence[Reading],
    *,
    catalogue: Catalogue,
) -> tuple[tuple[LookChoice, ...], int, str]:
    """Looks of a clutch, likeliest first, the number of those beyond, and why they are not known.

    Parameters
    ----------
    sires, dam
        Who may be the parents; with several sires each is taken as equally likely.
    entered
        How the hatchlings that were entered are read.
    catalogue
        The genes.
    """
    shares: dict[str, list[float]] = {}
    left = 0
    for sire in sires:
        try:
            table, _ = hatch_looks(sire, dam, catalogue=catalogue)
        except (NotationError, PairingError) as fault:
            return (), 0, str(fault)
        left += table.rest_count
        for row in table.rows:
            kept = shares.setdefault(row.label, [0.0, 0.0, 0.0])
            for place, share in enumerate((row.per_hatchling, row.male, row.female)):
                kept[place] += float(share) / len(sires)
    counted = Counter(_plain(reading.words) for reading in entered)
    ranked = sorted(shares.items(), key=lambda item: (-item[1][0], item[0]))
    choices = _choices(ranked[:MOST_CHOICES], counted)
    return choices, left + max(len(ranked) - MOST_CHOICES, 0), ""


def _choices(
    ranked: Sequence[tuple[str, list[float]]], entered: Mapping[tuple[str, ...], int]
) -> tuple[LookChoice, ...]:
    return tuple(
        LookChoice(label, chance, males, females, entered.get(_plain(label), 0))
        for label, (chance, males, females) in ranked
    )


def _plain(text: str) -> tuple[str, ...]:
    return tuple(sorted(text.casefold().replace(",", " ").split()))
