"""Price observations and supply counts: what is taken, what is refused and why."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from pydantic import ValidationError

from econ.prices.observations import (
    Fault,
    PriceObservation,
    SupplyCount,
    check_count,
    check_observation,
    read_count,
    read_observation,
)
from genetics.genes.traits import Sex, Trait
from tests.econ.prices.cases import TODAY, seen

GOOD = {
    "on": TODAY,
    "what": "clown",
    "traits": (Trait("clown", "visual"),),
    "price_minor": 25000,
    "currency": "EUR",
}


def test_a_good_row_is_taken_with_its_defaults():
    found, faults = read_observation(GOOD, today=TODAY)
    assert faults == []
    assert found is not None
    assert (found.sex, found.stage, found.kind, found.quantity, found.price) == (
        Sex.UNSEXED, "hatchling", "asked", 1, 250.0,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("column", "value", "why"),
    [
        ("price_minor", 0, "is not above zero"),
        ("price_minor", -5, "is not above zero"),
        ("price_minor", 10**13, "is too large"),
        ("price_minor", "much", "is not a whole number"),
        ("on", TODAY + timedelta(days=1), "lies in the future"),
        ("on", date(1970, 1, 1), "lies too far back"),
        ("on", "yesterday", "is not a date"),
        ("currency", "BTC", "is not a known currency"),
        ("quantity", 0, "is too small"),
        ("stage", "egg", "is not one of the allowed words"),
        ("sex", "both", "is not one of the allowed words"),
        ("kind", "given", "is not one of the allowed words"),
        ("what", "", "is empty"),
        ("seller", "me", "is not a column of this record"),
    ],
)
def test_each_fault_names_column_value_reason_and_what_is_allowed(column, value, why):
    found, faults = read_observation(GOOD | {column: value}, today=TODAY)
    assert found is None
    (fault,) = faults
    assert (fault.column, fault.found, fault.why) == (column, str(value), why)
    assert fault.allowed
    assert str(fault).startswith(f"{column}: ")


def test_all_faults_of_a_row_are_listed_at_once():
    _, faults = read_observation(GOOD | {"price_minor": 0, "currency": "??", "quantity": -1}, today=TODAY)
    assert {f.column for f in faults} == {"price_minor", "currency", "quantity"}


def test_a_missing_column_is_named():
    _, faults = read_observation({k: v for k, v in GOOD.items() if k != "price_minor"}, today=TODAY)
    assert faults == [Fault("price_minor", "", "is missing", "a price above zero")]


def test_a_trait_named_twice_is_a_fault():
    twice = seen("clown", 100, TODAY, traits=(Trait("clown", "het"), Trait("clown", "het", 0.5)))
    (fault,) = check_observation(twice, today=TODAY)
    assert fault.why == "is named twice"
    assert fault.found == "het clown"


def test_today_is_allowed_and_tomorrow_is_not():
    assert check_observation(seen("clown", 100, TODAY), today=TODAY) == []
    assert check_observation(seen("clown", 100, TODAY), today=TODAY - timedelta(days=1))


def test_a_time_of_day_is_refused():
    with pytest.raises(ValidationError):
        PriceObservation(**(GOOD | {"on": datetime(2026, 1, 1, 12, 30)}))  # noqa: DTZ001


def test_records_are_frozen():
    with pytest.raises(ValidationError):
        seen("clown", 100, TODAY).price_minor = 1


def test_a_supply_count_of_none_on_offer_is_a_good_count():
    count, faults = read_count({"on": TODAY, "what": "clown", "traits": (), "offered": 0}, today=TODAY)
    assert faults == []
    assert isinstance(count, SupplyCount)
    assert check_count(count, today=TODAY - timedelta(days=1))[0].why == "lies in the future"


def test_a_negative_supply_count_is_a_fault():
    _, faults = read_count({"on": TODAY, "what": "clown", "traits": (), "offered": -1}, today=TODAY)
    assert [f.why for f in faults] == ["is too small"]
