"""What was found out about one animal: its weight by day, and what tests of its genes said?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.fields import CURRENCY_WORDS, DAY_WORDS, Field, note_field, words
from genetics.genes.traits import Sex

from .kind import (
    Around,
    RowKind,
    animal_of,
    choice_of,
    currency_of,
    day_of,
    money_of,
    note_of,
    share_of,
    text_of,
)

HEAVIEST = 20_000.0  # [g]; far above any ball python, so that only a slip of the hand is refused


@dataclass(frozen=True)
class WeightRecord:
    """Weight of an animal on a day [g]."""

    id: int
    version: int
    animal_id: int
    on: date
    grams: float


@dataclass(frozen=True)
class GeneTestRecord:
    """What a test of one gene of an animal said.

    Attributes
    ----------
    id, version
        Number of the row, and of the edit that wrote it.
    animal_id, on, gene
        Animal, day of the result, and gene by its catalogue name.
    result
        "no copy", "one copy", "two copies", "at least one copy" or "unclear".
    right_if_carried, right_if_not
        Share of carriers the test finds, and of others it clears [0 to 1]; None: taken as certain.
    fee_minor, currency
        What it cost [smallest unit of the currency].
    note
        Free text.
    """

    id: int
    version: int
    animal_id: int
    on: date
    gene: str
    result: str
    right_if_carried: float | None = None
    right_if_not: float | None = None
    fee_minor: int | None = None
    currency: str | None = None
    note: str = ""


def _after_hatching(animal_id: int, on: date, around: Around) -> None:
    animal = around.herd.animals[animal_id]
    if animal.hatched is not None and on < animal.hatched:
        raise NotStored(f"{animal.name} hatched on {animal.hatched.isoformat()}, after {on.isoformat()}.")


def _check_weight(values: Mapping[str, Any], around: Around) -> dict[str, Any]:
    animal_id = animal_of(values, "animal_id", around, what="The animal that was weighed")
    on = day_of(values, "on", around, what="The day of weighing")
    _after_hatching(animal_id, on, around)
    try:
        grams = float(values.get("grams") or 0)
    except (TypeError, ValueError):
        raise NotStored(f"The weight is “{values.get('grams')}”; allowed: a number of grams.") from None
    if not 0 < grams <= HEAVIEST:
        raise NotStored(f"The weight is {grams:g} g; allowed: above 0 and at most {HEAVIEST:g} g.")
    return {"animal_id": animal_id, "on": on, "grams": grams}


def _check_test(values: Mapping[str, Any], around: Around) -> dict[str, Any]:
    animal_id = animal_of(values, "animal_id", around, what="The animal that was tested")
    on = day_of(values, "on", around, what="The day of the test")
    _after_hatching(animal_id, on, around)
    fee = money_of(values, "fee_minor", what="The fee")
    return {
        "animal_id": animal_id,
        "on": on,
        "gene": _gene(values, around),
        "result": choice_of(values, "result", schema.TEST_RESULTS, what="The result"),
        "right_if_carried": share_of(
            values, "right_if_carried", what="The share of carriers found", above_zero=True
        ),
        "right_if_not": share_of(values, "right_if_not", what="The share of others cleared", above_zero=True),
        "fee_minor": fee,
        "currency": None if fee is None else currency_of(values, "currency", around),
        "note": note_of(values),
    }


def _gene(values: Mapping[str, Any], around: Around) -> str:
    """Catalogue name of the one gene that is meant."""
    written = text_of(values, "gene", what="The gene")
    traits = around.reader(written, Sex.UNSEXED)
    if len(traits) != 1:
        raise NotStored(f"“{written}” is not one gene. Write one row for each gene that was tested.")
    return traits[0].gene


_ANIMAL = Field(
    "animal_id", "animal", "animal", "Name of the animal.", needed=True, words=words("name, id, tag, tier")
)

WEIGHTS = RowKind(
    name="weights",
    table=schema.weights,
    record=WeightRecord,
    one="weight",
    many="weights",
    fields=(
        _ANIMAL,
        Field("on", "date", "day", "Day of weighing.", needed=True, words=DAY_WORDS),
        Field("grams", "grams", "number", "Weight.", needed=True, unit="g", least=0.1, most=HEAVIEST,
              words=words("weight, g, mass, gewicht, gramm, poids, peso")),
    ),
    key=("animal_id", "on"),
    check=_check_weight,
)  # fmt: skip

GENE_TESTS = RowKind(
    name="gene tests",
    table=schema.gene_tests,
    record=GeneTestRecord,
    one="gene test",
    many="gene tests",
    fields=(
        _ANIMAL,
        Field("on", "date", "day", "Day of the result.", needed=True, words=DAY_WORDS),
        Field("gene", "gene", "gene", "Gene that was tested.", needed=True, words=words("gen, tested for")),
        Field("result", "result", "choice", "What the test said.", needed=True, choices=schema.TEST_RESULTS,
              words=words("outcome, ergebnis")),
        Field("right_if_carried", "share of carriers found", "share",
              "How often the test finds a carrier; empty: always.", least=0, most=1,
              words=words("sensitivity")),
        Field("right_if_not", "share of others cleared", "share",
              "How often the test clears an animal without the gene; empty: always.", least=0, most=1,
              words=words("specificity")),
        Field("fee_minor", "fee", "money", "What the test cost.", currency="currency",
              words=words("price, cost, gebuehr")),
        Field("currency", "currency", "currency", "Money of the fee.", words=CURRENCY_WORDS),
        note_field(),
    ),
    key=("animal_id", "on", "gene"),
    check=_check_test,
)  # fmt: skip
