"""Which clutches were laid: when, how many eggs, how many hatched? And which further sires were with her?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.fields import Field, note_field, words
from genetics.genes.traits import Sex

from .kind import Around, RowKind, animal_of, note_of, some_day_of, some_whole_of, whole_of

MOST_EGGS = 25


@dataclass(frozen=True)
class ClutchRecord:
    """One clutch of a pairing.

    Attributes
    ----------
    id, version
        Number of the row, and of the edit that wrote it.
    pairing_id, number
        Pairing it came from, and which of its clutches it is, from 1.
    laid_on, hatched_on
        Day of laying, and day the first one hatched; None if not known.
    fertile, infertile
        Eggs that looked fertile, and those that did not; None if they were not counted.
    hatched
        Young that hatched alive; None while it is not known.
    note
        Free text.
    """

    id: int
    version: int
    pairing_id: int
    number: int = 1
    laid_on: date | None = None
    fertile: int | None = None
    infertile: int | None = None
    hatched_on: date | None = None
    hatched: int | None = None
    note: str = ""


@dataclass(frozen=True)
class FurtherSire:
    """A second male that was with the dam in the same season, so that either may be the father."""

    id: int
    version: int
    pairing_id: int
    sire_id: int


def _check_clutch(values: Mapping[str, Any], around: Around) -> dict[str, Any]:
    pairing = around.herd.pairings.get(values.get("pairing_id") or 0)
    if pairing is None:
        raise NotStored("The pairing of this clutch is not in the book.")
    laid = some_day_of(values, "laid_on", around, what="The day it was laid")
    hatched_on = some_day_of(values, "hatched_on", around, what="The day it hatched")
    if laid and abs(laid.year - pairing.season) > 1:
        raise NotStored(f"It was laid on {laid.isoformat()}, but the pairing is of season {pairing.season}.")
    if laid and hatched_on and hatched_on <= laid:
        raise NotStored(
            f"It hatched on {hatched_on.isoformat()}, not after it was laid ({laid.isoformat()})."
        )
    eggs = {
        name: some_whole_of(values, name, what=f"The number of {name} eggs", least=0, most=MOST_EGGS)
        for name in ("fertile", "infertile")
    }
    hatched = some_whole_of(values, "hatched", what="The number hatched", least=0, most=MOST_EGGS)
    if hatched is not None and eggs["fertile"] is not None and hatched > eggs["fertile"]:
        raise NotStored(f"{hatched} hatched, but only {eggs['fertile']} eggs were fertile.")
    return {
        "pairing_id": pairing.id,
        "number": whole_of(
            {"number": 1, **values}, "number", what="The number of the clutch", least=1, most=9
        ),
        "laid_on": laid,
        **eggs,
        "hatched_on": hatched_on,
        "hatched": hatched,
        "note": note_of(values),
    }


def _check_sire(values: Mapping[str, Any], around: Around) -> dict[str, Any]:
    pairing = around.herd.pairings.get(values.get("pairing_id") or 0)
    if pairing is None:
        raise NotStored("The pairing of this sire is not in the book.")
    sire = around.herd.animals[animal_of(values, "sire_id", around, what="The further sire")]
    if sire.sex is not Sex.MALE:
        raise NotStored(f"{sire.name} is {sire.sex}; a sire must be male.")
    if sire.id == pairing.sire_id:
        raise NotStored(f"{sire.name} is the sire of this pairing already.")
    return {"pairing_id": pairing.id, "sire_id": sire.id}


_PAIRING = Field(
    "pairing_id", "pairing", "pairing", "Season, sire and dam: 2027 Basalt × Tansy.", needed=True,
    words=words("couple, paarung"),
)  # fmt: skip

CLUTCHES = RowKind(
    name="clutches",
    table=schema.clutches,
    record=ClutchRecord,
    one="clutch",
    many="clutches",
    fields=(
        _PAIRING,
        Field("number", "clutch", "whole", "Which clutch of this pairing, from 1.", least=1, most=9, empty=1),
        Field("laid_on", "laid", "day", "Day it was laid.", words=words("laid on, gelegt")),
        Field("fertile", "fertile eggs", "whole", "Eggs that looked fertile.", least=0, most=MOST_EGGS,
              words=words("fertile, good eggs, eggs, befruchtet"), unit="eggs"),
        Field("infertile", "infertile eggs", "whole", "Eggs that were not fertile.", least=0, most=MOST_EGGS,
              words=words("infertile, slugs, unbefruchtet"), unit="eggs"),
        Field("hatched_on", "hatched on", "day", "Day the first one hatched.",
              words=words("hatch date, hatching")),
        Field("hatched", "hatched", "whole", "Young that hatched alive.", least=0, most=MOST_EGGS,
              words=words("number hatched, hatchlings"), unit="young"),
        note_field(),
    ),
    key=("pairing_id", "number"),
    check=_check_clutch,
)  # fmt: skip

FURTHER_SIRES = RowKind(
    name="further sires",
    table=schema.further_sires,
    record=FurtherSire,
    one="further sire",
    many="further sires",
    fields=(
        _PAIRING,
        Field("sire_id", "further sire", "animal", "A second male that was with the dam in the same season.",
              needed=True, words=words("sire, other sire, male, vater")),
    ),
    key=("pairing_id", "sire_id"),
    check=_check_sire,
)  # fmt: skip
