"""What is known around the market: others' young, exchange rates, shows, and money that was spent?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.fields import CURRENCY_WORDS, DAY_WORDS, Field, note_field, words
from dashboard.records.text_fields import LONGEST_LOOK, name_key
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
    whole_of,
)

MOST_YOUNG = 1_000_000
LARGEST_RATE = Decimal(10) ** 9
FIRST_SEASON, LAST_SEASON = 1980, 2100


@dataclass(frozen=True)
class PipelineNote:
    """Young of a trait that others are expected to have.

    Attributes
    ----------
    id, version
        Number of the row, and of the edit that wrote it.
    on, what, season
        Day it was heard, what the young are (as the trade writes it), and the year of their eggs.
    young
        How many young are expected.
    within
        How wrong that may be, as a share (0.25: within a quarter); None if nobody said.
    note
        Free text, such as where it was heard.
    """

    id: int
    version: int
    on: date
    what: str
    season: int
    young: int
    within: float | None = None
    note: str = ""


@dataclass(frozen=True)
class ExchangeRate:
    """What one unit of a currency is worth in the book's money from a day on, as it was written."""

    id: int
    version: int
    on: date
    currency: str
    rate: str

    @property
    def value(self) -> Decimal:
        """Rate as an exact number."""
        return Decimal(self.rate)


@dataclass(frozen=True)
class ShowRecord:
    """One show.

    Attributes
    ----------
    id, version
        Number of the row, and of the edit that wrote it.
    name, starts_on, days, place
        What it is called, its first day, how many days it lasts, and where it is.
    table_minor, travel_minor, currency
        Fee of a table, and cost of getting there and back [smallest unit of the currency].
    going
        Whether the breeder means to go.
    note
        Free text.
    """

    id: int
    version: int
    name: str
    starts_on: date
    currency: str
    days: int = 1
    place: str = ""
    table_minor: int | None = None
    travel_minor: int | None = None
    going: int = 0
    note: str = ""


@dataclass(frozen=True)
class SpendingRecord:
    """Money that was spent: day, kind, what for, how much [smallest unit], and for which animal."""

    id: int
    version: int
    on: date
    kind: str
    what: str
    amount_minor: int
    currency: str
    animal_id: int | None = None
    note: str = ""


def _check_pipeline(values: Mapping[str, Any], around: Around) -> dict[str, Any]:
    what = text_of(values, "what", what="What the young are", longest=LONGEST_LOOK)
    around.reader(what, Sex.UNSEXED)
    return {
        "on": day_of(values, "on", around, what="The day it was heard"),
        "what": what,
        "season": whole_of(values, "season", what="The season", least=FIRST_SEASON, most=LAST_SEASON),
        "young": whole_of(values, "young", what="The number of young", least=0, most=MOST_YOUNG),
        "within": share_of(values, "within", what="How wrong it may be", above_zero=False),
        "note": note_of(values),
    }


def _check_rate(values: Mapping[str, Any], around: Around) -> dict[str, Any]:
    code = currency_of({"currency": "?", **values}, "currency", around)
    if code == around.currency:
        raise NotStored(f"{code} is the money of this book; write rates of other currencies.")
    written = str(values.get("rate") or "").strip()
    try:
        rate = Decimal(written)
    except InvalidOperation:
        raise NotStored(f"The rate is “{written}”; allowed: a number such as 1.0837.") from None
    if not rate.is_finite() or not 0 < rate <= LARGEST_RATE or len(format(rate, "f")) > 24:
        raise NotStored(f"The rate is {written}; allowed: above 0, at most {LARGEST_RATE:,f}, 24 characters.")
    return {
        "on": day_of(values, "on", around, what="The day of the rate"),
        "currency": code,
        "rate": format(rate, "f"),
    }


def _check_show(values: Mapping[str, Any], around: Around) -> dict[str, Any]:
    name = text_of(values, "name", what="The name of the show")
    return {
        "name": name,
        "name_key": name_key(name),
        "starts_on": day_of(values, "starts_on", around, what="Its first day", ahead=True),
        "days": whole_of({"days": 1, **values}, "days", what="The number of days", least=1, most=14),
        "place": text_of(values, "place", what="The place", longest=200, needed=False),
        "table_minor": money_of(values, "table_minor", what="The fee of a table"),
        "travel_minor": money_of(values, "travel_minor", what="The cost of travel"),
        "currency": currency_of(values, "currency", around),
        "going": int(bool(values.get("going"))),
        "note": note_of(values),
    }


def _check_spending(values: Mapping[str, Any], around: Around) -> dict[str, Any]:
    given = values.get("animal_id")
    return {
        "on": day_of(values, "on", around, what="The day it was spent"),
        "kind": choice_of(values, "kind", schema.SPENDING, what="What kind it is"),
        "what": text_of(values, "what", what="What it was for", longest=200, needed=False),
        "amount_minor": money_of(values, "amount_minor", what="The amount", needed=True),
        "currency": currency_of(values, "currency", around),
        "animal_id": None if given is None else animal_of(values, "animal_id", around, what="The animal"),
        "note": note_of(values),
    }


_ON = Field("on", "date", "day", "Day it was seen or heard.", needed=True, words=DAY_WORDS)
_MONEY = Field("currency", "currency", "currency", "Money of the amounts.", words=CURRENCY_WORDS)

PIPELINE = RowKind(
    name="pipeline",
    table=schema.pipeline_notes,
    record=PipelineNote,
    one="note of expected young",
    many="notes of expected young",
    fields=(
        _ON,
        Field("what", "what", "look", "What the young are.", needed=True,
              words=words("gene, genes, trait, traits, look, genetics")),
        Field("season", "season", "whole", "Year of the eggs.", needed=True, least=FIRST_SEASON,
              most=LAST_SEASON, words=words("year, saison, jahr")),
        Field("young", "young expected", "whole", "How many young are expected.", needed=True, least=0,
              most=MOST_YOUNG, words=words("young, expected, how many, count, number"), unit="young"),
        Field("within", "right within", "share", "How wrong the number may be.", least=0, most=1,
              words=words("within, give or take")),
        note_field("Free text, such as where it was heard."),
    ),
    key=("on", "what", "season"),
    check=_check_pipeline,
)  # fmt: skip

EXCHANGE_RATES = RowKind(
    name="exchange rates",
    table=schema.exchange_rates,
    record=ExchangeRate,
    one="exchange rate",
    many="exchange rates",
    fields=(
        Field("on", "date", "day", "Day from which it holds.", needed=True, words=DAY_WORDS),
        Field("currency", "currency", "currency", "Currency of which one unit is meant.", needed=True,
              words=CURRENCY_WORDS),
        Field("rate", "rate", "rate", "What one unit is worth in the book's money.", needed=True,
              words=words("exchange rate, worth, kurs")),
    ),
    key=("on", "currency"),
    check=_check_rate,
)  # fmt: skip

SHOWS = RowKind(
    name="shows",
    table=schema.shows,
    record=ShowRecord,
    one="show",
    many="shows",
    fields=(
        Field("name", "show", "text", "What it is called.", needed=True, words=words("name, event, fair")),
        Field("starts_on", "first day", "day", "Its first day.", needed=True,
              words=(*DAY_WORDS, "date", "starts", "starts on")),
        Field("days", "days", "whole", "How many days it lasts.", least=1, most=14, unit="days", empty=1),
        Field("place", "place", "text", "Where it is.", words=words("town, city, ort"), empty=""),
        Field("table_minor", "table fee", "money", "Fee of a table.", currency="currency",
              words=words("table, fee, standgebuehr")),
        Field("travel_minor", "travel", "money", "Cost of getting there and back.", currency="currency",
              words=words("travel cost, journey, reise")),
        _MONEY,
        Field("going", "going", "answer", "Whether you mean to go.", words=words("planned, go"), empty=0),
        note_field(),
    ),
    key=("name_key", "starts_on"),
    check=_check_show,
)  # fmt: skip

SPENDING = RowKind(
    name="spending",
    table=schema.spending,
    record=SpendingRecord,
    one="sum spent",
    many="sums spent",
    fields=(
        Field("on", "date", "day", "Day it was spent.", needed=True, words=DAY_WORDS),
        Field("kind", "kind", "choice", "What kind of cost it is.", choices=schema.SPENDING, needed=True,
              words=words("group, category, art")),
        Field("what", "for", "text", "What it was for.", empty="",
              words=words("what, item, description, wofuer")),
        Field("amount_minor", "amount", "money", "How much was spent.", needed=True, currency="currency",
              least=0, words=words("cost, price, paid, betrag, summe")),
        _MONEY,
        Field("animal_id", "animal", "animal", "Animal it was for, if it was for one.", words=words("tier")),
        note_field(),
    ),
    key=(),
    check=_check_spending,
)  # fmt: skip
