"""What did the breeder write down: a price seen, a count of animals on offer, and faults of a row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from econ.money import CURRENCIES, from_minor
from genetics.genes.traits import Sex, Trait

Stage = Literal["hatchling", "grown", "proven breeder"]
Kind = Literal["asked", "sold"]

STAGES: tuple[str, ...] = get_args(Stage)
KINDS: tuple[str, ...] = get_args(Kind)
EARLIEST = date(1980, 1, 1)
LARGEST_MINOR = 10**12
LARGEST_COUNT = 10**6

_ALLOWED = {
    "on": f"a date from {EARLIEST.isoformat()} to today",
    "what": "what the animal shows and carries, in words",
    "sex": ", ".join(Sex),
    "stage": ", ".join(STAGES),
    "kind": ", ".join(KINDS),
    "price_minor": "a price above zero",
    "currency": "an ISO 4217 code such as EUR, USD or GBP",
    "channel": "at most 80 characters",
    "quantity": f"a whole number from 1 to {LARGEST_COUNT}",
    "offered": f"a whole number from 0 to {LARGEST_COUNT}",
    "traits": "genes of the catalogue",
}


@dataclass(frozen=True)
class Fault:
    """What is wrong with one value: the column, what stood there, why it is refused, what is allowed."""

    column: str
    found: str
    why: str
    allowed: str

    def __str__(self) -> str:
        """All four parts as one sentence."""
        return f"{self.column}: {self.found!r} {self.why}; allowed: {self.allowed}"


def _plain_date(value: Any) -> Any:
    """Refuse a date with a time of day, so that one day is never read as two."""
    if isinstance(value, datetime):
        raise ValueError("has a time of day")  # noqa: TRY004 - pydantic turns a ValueError into a fault
    if isinstance(value, date) and value < EARLIEST:
        raise ValueError("lies too far back")
    return value


class PriceObservation(BaseModel):
    """One price seen on one day for one kind of animal; the price is per animal."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: int | None = None
    on: date
    what: Annotated[str, Field(min_length=1, max_length=200)]
    traits: tuple[Trait, ...]
    sex: Sex = Sex.UNSEXED
    stage: Stage = "hatchling"
    kind: Kind = "asked"
    price_minor: Annotated[int, Field(gt=0, le=LARGEST_MINOR)]
    currency: str
    channel: Annotated[str, Field(max_length=80)] = ""
    quantity: Annotated[int, Field(ge=1, le=LARGEST_COUNT)] = 1

    @field_validator("on", mode="after")
    @classmethod
    def _day(cls, value: date) -> Any:
        return _plain_date(value)

    @field_validator("currency")
    @classmethod
    def _known(cls, value: str) -> str:
        if value not in CURRENCIES:
            raise ValueError("is not a known currency")
        return value

    @property
    def price(self) -> float:
        """Price per animal [currency]."""
        return from_minor(self.price_minor, self.currency)


class SupplyCount(BaseModel):
    """How many animals of one kind were on offer on one day."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: int | None = None
    on: date
    what: Annotated[str, Field(min_length=1, max_length=200)]
    traits: tuple[Trait, ...]
    offered: Annotated[int, Field(ge=0, le=LARGEST_COUNT)]

    @field_validator("on", mode="after")
    @classmethod
    def _day(cls, value: date) -> Any:
        return _plain_date(value)


def check_observation(observation: PriceObservation, *, today: date) -> list[Fault]:
    """Faults of a price that its own fields can't show: a date after today, a trait named twice."""
    return _check_day(observation.on, today) + _check_traits(observation.traits)


def check_count(count: SupplyCount, *, today: date) -> list[Fault]:
    """Faults of a supply count that its own fields can't show: a date after today, a trait named twice."""
    return _check_day(count.on, today) + _check_traits(count.traits)


def read_observation(
    values: Mapping[str, object], *, today: date
) -> tuple[PriceObservation | None, list[Fault]]:
    """Record made of loose values, or None and everything that is wrong with them."""
    try:
        observation = PriceObservation.model_validate(dict(values))
    except ValidationError as error:
        return None, _faults(error, values)
    faults = check_observation(observation, today=today)
    return (None if faults else observation), faults


def read_count(values: Mapping[str, object], *, today: date) -> tuple[SupplyCount | None, list[Fault]]:
    """Supply count made of loose values, or None and everything that is wrong with them."""
    try:
        count = SupplyCount.model_validate(dict(values))
    except ValidationError as error:
        return None, _faults(error, values)
    faults = check_count(count, today=today)
    return (None if faults else count), faults


def _check_day(on: date, today: date) -> list[Fault]:
    if on <= today:
        return []
    return [Fault("on", on.isoformat(), "lies in the future", f"a date up to {today.isoformat()}")]


def _check_traits(traits: tuple[Trait, ...]) -> list[Fault]:
    keys = [t.key for t in traits]
    twice = sorted({k for k in keys if keys.count(k) > 1})
    return [Fault("traits", key, "is named twice", "each trait once") for key in twice]


_WHY = {
    "missing": "is missing",
    "greater_than": "is not above zero",
    "greater_than_equal": "is too small",
    "less_than_equal": "is too large",
    "int_parsing": "is not a whole number",
    "int_from_float": "is not a whole number",
    "int_type": "is not a whole number",
    "literal_error": "is not one of the allowed words",
    "enum": "is not one of the allowed words",
    "string_too_long": "is too long",
    "string_too_short": "is empty",
    "extra_forbidden": "is not a column of this record",
}


def _faults(error: ValidationError, values: Mapping[str, object]) -> list[Fault]:
    """Each complaint of the record as a fault in plain words."""
    faults = []
    for complaint in error.errors():
        column = str(complaint["loc"][0])
        kind = complaint["type"]
        if kind == "value_error":
            why = str(complaint["ctx"]["error"])
        else:
            why = _WHY.get(kind, "is not a date" if kind.startswith("date") else "can't be read")
        found = "" if kind == "missing" else str(values.get(column, ""))
        faults.append(Fault(column, found, why, _ALLOWED.get(column, "nothing")))
    return faults
