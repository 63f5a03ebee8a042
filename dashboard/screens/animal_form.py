"""The fields of an animal: to enter one as on its label, or to change one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from dashboard import session
from dashboard.jobs.animals import AnimalsAnswer
from dashboard.jobs.typed import day_of, day_text, sum_of, sum_text
from dashboard.records import STATUSES, AnimalRecord
from dashboard.records.spreadsheets import CellRefused
from econ.money import BadAmount
from genetics import Sex

EXAMPLE = "pastel 66% het clown"
SEXES = tuple(sex.value for sex in (Sex.MALE, Sex.FEMALE, Sex.UNSEXED))
NEW: Mapping[str, Any] = {
    "name": "", "sex": Sex.MALE, "text": "", "hatched": "", "bought": "", "status": "growing", "origin": "",
    "sire_id": None, "dam_id": None, "clutch_id": None, "fed_since": "", "asked": "", "note": "",
}  # fmt: skip
_DAYS = {"hatched": "Hatched", "fed_since": "Fed since", "sold_on": "Sold on"}
_SUMS = {"bought": "Bought for", "asked": "Asked for", "sold": "Sold for"}


def first_fields(key: str, start: Mapping[str, Any]) -> dict[str, Any]:
    """Show what stands on a label, and what was paid; gives what the fields hold."""
    currency = session.current_book().currency
    first = st.columns([2, 1.3, 4, 1.4, 1.5], gap="small")
    name = first[0].text_input("Name", start["name"], key=f"{key}-name")
    sex = first[1].selectbox("Sex", SEXES, SEXES.index(start["sex"].value), key=f"{key}-sex")
    text = first[2].text_input(
        "What it shows and carries", start["text"], placeholder=EXAMPLE, key=f"{key}-text"
    )
    hatched = first[3].text_input("Hatched", start["hatched"], placeholder="2024-05-30", key=f"{key}-hatched")
    bought = first[4].text_input(
        f"Bought for, {currency}", start["bought"], placeholder="120 or 120 USD", key=f"{key}-bought"
    )
    return {"name": name, "sex": Sex(sex), "text": text, "hatched": hatched, "bought": bought}


def further_fields(key: str, start: Mapping[str, Any], herd: AnimalsAnswer) -> dict[str, Any]:
    """Show where an animal comes from and how it stands; gives what the fields hold."""
    currency = session.current_book().currency
    first = st.columns([1.4, 2, 2, 3], gap="small")
    status = first[0].selectbox("Status", STATUSES, STATUSES.index(start["status"]), key=f"{key}-status")
    sire = _chosen(first[1], "Sire", _names(herd, Sex.MALE), start["sire_id"], key=f"{key}-sire_id")
    dam = _chosen(first[2], "Dam", _names(herd, Sex.FEMALE), start["dam_id"], key=f"{key}-dam_id")
    clutch = _chosen(first[3], "Clutch it hatched from", herd.clutches, start["clutch_id"],
                     key=f"{key}-clutch_id", none="no clutch of this book")  # fmt: skip
    second = st.columns([2, 1.4, 1.4, 3.6], gap="small")
    origin = second[0].text_input(
        "Origin", start["origin"], placeholder="own, or where it was bought", key=f"{key}-origin"
    )
    fed = second[1].text_input(
        "Fed since", start["fed_since"], placeholder="2024-07-10", key=f"{key}-fed_since"
    )
    asked = second[2].text_input(f"Asked for, {currency}", start["asked"], key=f"{key}-asked")
    note = second[3].text_input("Note", start["note"], key=f"{key}-note")
    return {
        "status": status, "sire_id": sire, "dam_id": dam, "clutch_id": clutch, "origin": origin,
        "fed_since": fed, "asked": asked, "note": note,
    }  # fmt: skip


def sale_fields(key: str, start: Mapping[str, Any]) -> dict[str, Any]:
    """Show for how much an animal was sold, when and where; gives what the fields hold."""
    currency = session.current_book().currency
    places = st.columns([1.4, 1.4, 4], gap="small")
    sold = places[0].text_input(
        f"Sold for, {currency}", start["sold"], placeholder="250 or 250 USD", key=f"{key}-sold"
    )
    on = places[1].text_input("Sold on", start["sold_on"], placeholder="2026-05-30", key=f"{key}-sold_on")
    where = places[2].text_input(
        "Where", start["sold_where"], placeholder="a show, an advert, a keeper", key=f"{key}-sold_where"
    )
    return {"sold": sold, "sold_on": on, "sold_where": where}


def _names(herd: AnimalsAnswer, sex: Sex) -> dict[int, str]:
    return {animal.id: animal.name for animal in herd.parents(sex)}


def _chosen(
    place: Any, label: str, names: Mapping[int, str], now: int | None, *, key: str, none: str = "not known"
) -> int | None:
    options = [None, *names]
    found = place.selectbox(
        label,
        options,
        options.index(now) if now in options else 0,
        format_func=lambda number: none if number is None else names[number],
        key=key,
    )
    return None if found is None else int(found)


def as_record(values: Mapping[str, Any], currency: str) -> dict[str, Any]:
    """Give the fields as the records take them.

    Raises
    ------
    CellRefused
        If a day or a sum can't be read; the text names the field.
    """
    stored = {name: value for name, value in values.items() if name not in {*_DAYS, *_SUMS}}
    for name in _DAYS.keys() & values.keys():
        stored[name] = _read(_DAYS[name], day_of, values[name])
    for name in _SUMS.keys() & values.keys():
        minor, code = _read(_SUMS[name], lambda text: sum_of(text, currency), values[name])
        stored |= {f"{name}_minor": minor, f"{name}_currency": code}
    return stored


def _read(label: str, read: Any, text: str) -> Any:
    """Read one field; a refusal names it."""
    try:
        return read(text)
    except (CellRefused, BadAmount) as fault:
        raise CellRefused(f"{label}: {fault}") from fault


def start_of(animal: AnimalRecord) -> dict[str, Any]:
    """Give the fields of an animal of the book as the form starts with them."""
    home = session.current_book().currency
    kept = ("name", "sex", "text", "status", "origin", "sire_id", "dam_id", "clutch_id", "note", "sold_where")
    start: dict[str, Any] = {name: getattr(animal, name) for name in kept}
    start |= {name: day_text(getattr(animal, name)) for name in _DAYS}
    return start | {
        name: sum_text(getattr(animal, f"{name}_minor"), getattr(animal, f"{name}_currency"), home=home)
        for name in _SUMS
    }


def changed_of(animal: AnimalRecord, wanted: Mapping[str, Any]) -> dict[str, Any]:
    """Give what differs from an animal as it was seen; a sum and its currency change together."""
    changed = {name: value for name, value in wanted.items() if getattr(animal, name) != value}
    for name in _SUMS:
        both = (f"{name}_minor", f"{name}_currency")
        if any(part in changed for part in both):
            changed |= {part: wanted[part] for part in both}
    return changed
