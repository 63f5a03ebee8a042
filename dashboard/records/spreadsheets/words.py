"""Which words in a cell mean which sex, stage, kind of price, state or answer? Plain ones, small or large."""

from __future__ import annotations

from collections.abc import Mapping

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
_ANSWER = {"yes": "yes, y, true, 1, x, ja", "no": "no, n, false, 0, nein"}


def _turned(words: Mapping[str, str]) -> dict[str, str]:
    return {word.strip(): meaning for meaning, listed in words.items() for word in listed.split(",")}


_TABLES = {
    "sex": _turned(_SEX),
    "stage": _turned(_STAGE),
    "kind": _turned(_KIND),
    "status": _turned(_STATUS),
    "planned": _turned(_ANSWER),
}


def read_word(cell: Cell, field: str, *, empty: str) -> str:
    """Meaning of a cell; an empty one means `empty`.

    Raises
    ------
    CellRefused
        If the word is not known; the sentence lists what is.
    """
    text = as_text(cell).casefold()
    if not text:
        return empty
    meaning = _TABLES[field].get(text)
    if meaning is None:
        allowed = ", ".join(dict.fromkeys(_TABLES[field].values()))
        raise CellRefused(f"“{as_text(cell)}” is not known here; allowed: {allowed}.")
    return meaning
