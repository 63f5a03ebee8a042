"""How do prices and counts become rows and back, and when are two the same? By plain columns."""

from __future__ import annotations

import json
from collections.abc import Hashable, Mapping
from functools import lru_cache
from typing import Any

from dashboard.records.reading import AnimalReader, Unreadable
from dashboard.records.text_fields import name_key
from econ.prices.observations import PriceObservation, SupplyCount
from genetics.genes.traits import Sex, Trait


def traits_as_text(traits: tuple[Trait, ...]) -> str:
    """Traits as JSON; a chance keeps every figure it had."""
    return json.dumps([[trait.gene, trait.form, trait.chance] for trait in traits], ensure_ascii=False)


@lru_cache(maxsize=20_000)
def traits_from_text(text: str) -> tuple[Trait, ...]:
    """Traits as they were written by `traits_as_text`."""
    return tuple(Trait(gene, form, chance) for gene, form, chance in json.loads(text))


def price_as_row(observation: PriceObservation) -> dict[str, Any]:
    """Columns of one price, without its id."""
    return {
        "on": observation.on,
        "what": observation.what,
        "traits": traits_as_text(observation.traits),
        "sex": observation.sex.value,
        "stage": observation.stage,
        "kind": observation.kind,
        "price_minor": observation.price_minor,
        "currency": observation.currency,
        "channel": observation.channel,
        "quantity": observation.quantity,
    }


def traits_now(row: Mapping[Any, Any], sex: Sex, reader: AnimalReader) -> tuple[Trait, ...]:
    """Traits of a stored row as its text is read today; as they were stored if it can't be read any more."""
    try:
        return reader(row["what"], sex)
    except Unreadable:
        return traits_from_text(row["traits"])


def price_from_row(row: Mapping[Any, Any], reader: AnimalReader) -> PriceObservation:
    """Price of a stored row; it was checked when it was stored and is not checked again."""
    sex = Sex(row["sex"])
    return PriceObservation.model_construct(
        id=row["id"],
        on=row["on"],
        what=row["what"],
        traits=traits_now(row, sex, reader),
        sex=sex,
        stage=row["stage"],
        kind=row["kind"],
        price_minor=row["price_minor"],
        currency=row["currency"],
        channel=row["channel"],
        quantity=row["quantity"],
    )


def count_as_row(count: SupplyCount) -> dict[str, Any]:
    """Columns of one supply count, without its id."""
    return {
        "on": count.on,
        "what": count.what,
        "traits": traits_as_text(count.traits),
        "offered": count.offered,
    }


def count_from_row(row: Mapping[Any, Any], reader: AnimalReader) -> SupplyCount:
    """Supply count of a stored row; not checked again."""
    return SupplyCount.model_construct(
        id=row["id"],
        on=row["on"],
        what=row["what"],
        traits=traits_now(row, Sex.UNSEXED, reader),
        offered=row["offered"],
    )


def price_sameness(row: Mapping[Any, Any]) -> Hashable:
    """Give what two rows must share to be the same price: everything but the id."""
    return (
        row["on"],
        name_key(row["what"]),
        row["sex"],
        row["stage"],
        row["kind"],
        row["price_minor"],
        row["currency"],
        name_key(row["channel"]),
        row["quantity"],
    )


def count_sameness(row: Mapping[Any, Any]) -> Hashable:
    """Give what two rows must share to be the same count: day, what and number."""
    return (row["on"], name_key(row["what"]), row["offered"])
