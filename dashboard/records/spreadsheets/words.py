"""Which words in a cell mean which sex, stage, kind of price, state or answer? Plain ones, small or large."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from .cells import CellRefused, as_text
from .grid import Cell

_SEX = {
    "male": "male, m, males, 1.0, 1.0.0, boy, ♂, männlich, maennlich",
    "female": "female, f, females, 0.1, 0.1.0, girl, ♀, weiblich, w",
    "unsexed": "unsexed, u, unknown, not sexed, 0.0.1, ?, unbekannt, x",
}
_STAGE = {
    "hatchling": "hatchling, hatchlings, baby, young, juvenile, schlüpfling, jungtier",
    "grown": "grown, subadult, sub-adult, adult, yearling, erwachsen",
    "proven breeder": "proven breeder, proven, breeder, breeding, zuchttier",
}
_KIND = {
    "asked": "asked, ask, asking, offered, for sale, listed, listing, advert, angebot",
    "sold": "sold, sale, paid, bought, verkauft",
}
_STATUS = {
    "growing": "growing, young, raising, grow out",
    "breeding": "breeding, breeder, kept, keep, in use",
    "resting": "resting, rest, pause, paused",
    "held back": "held back, hold back, holdback, hold",
    "for sale": "for sale, on offer, offered, available",
    "sold": "sold, gone",
    "died": "died, dead, lost",
}
_SPENDING = {
    "animal": "animal, animals, purchase",
    "feeding": "feeding, food, feed, feeders, futter",
    "housing": "housing, racks, heating, electricity",
    "incubation": "incubation, incubator, eggs",
    "test": "test, tests, gene test",
    "veterinarian": "veterinarian, vet, tierarzt",
    "selling": "selling, shipping, adverts",
    "show": "show, shows, table",
    "other": "other, misc, else, sonstiges",
}
_ANSWER = {"yes": "yes, y, true, 1, x, ja", "no": "no, n, false, 0, nein"}


def _turned(words: Mapping[str, str]) -> dict[str, str]:
    return {word.strip(): meaning for meaning, listed in words.items() for word in listed.split(",")}


_TABLES = {
    "sex": _turned(_SEX),
    "answer": _turned(_ANSWER),
    ("stage", tuple(_STAGE)): _turned(_STAGE),
    ("kind", tuple(_KIND)): _turned(_KIND),
    ("status", tuple(_STATUS)): _turned(_STATUS),
    ("kind", tuple(_SPENDING)): _turned(_SPENDING),
}


@lru_cache(maxsize=50)
def _table(field: str, choices: tuple[str, ...]) -> Mapping[str, str]:
    return _TABLES.get((field, choices)) or _TABLES.get(field) or {word.casefold(): word for word in choices}


def read_word(cell: Cell, field: str, *, choices: tuple[str, ...] = ()) -> str:
    """Meaning of a filled cell.

    Parameters
    ----------
    cell
        What was written.
    field
        "sex", "answer", or the name of a field with choices.
    choices
        Words that are allowed, if the field has its own.

    Raises
    ------
    CellRefused
        If the word is not known; the sentence lists what is.
    """
    table = _table(field, choices)
    meaning = table.get(as_text(cell).casefold())
    if meaning is None:
        allowed = ", ".join(dict.fromkeys(table.values()))
        raise CellRefused(f"“{as_text(cell)}” is not known here; allowed: {allowed}.")
    return meaning
