"""Does the head of a column name a month? Written in figures or words, always with the whole year."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from datetime import date

from .grid import Cell

_NAMES = (
    "january, januar, janvier, enero",
    "february, februar, fevrier, febrero",
    "march, marz, maerz, mrz, mars, marzo",
    "april, avril, abril",
    "may, mai, mayo",
    "june, juni, juin, junio",
    "july, juli, juillet, julio",
    "august, aout, agosto",
    "september, septembre, septiembre",
    "october, oktober, octobre, octubre",
    "november, novembre, noviembre",
    "december, dezember, decembre, diciembre",
)
_MONTHS = {name: number for number, names in enumerate(_NAMES, start=1) for name in names.split(", ")}
_YEAR_FIRST = re.compile(r"(\d{4})[-/. ](\d{1,2})(?:[-/.]0?1)?(?:[T ]00:00(?::00)?)?")
_YEAR_LAST = re.compile(r"(\d{1,2})[-/. ](\d{4})")
_WORD_FIRST = re.compile(r"([a-z]{3,})\.?[-/. ]*(\d{4})")
_WORD_LAST = re.compile(r"(\d{4})[-/. ]*([a-z]{3,})\.?")
_WHOLE_DAY = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})")
_SHORT_YEAR = re.compile(r"([a-z]{3,})\.?[-/ ']+\d{2}|\d{1,2}[-/]\d{2}")
FEWEST = 2
"""So many heads must name a month before a table is taken for one with a column per month."""


def month_number(word: str) -> int | None:
    """Number of a month by its name or its first letters (English, German, French, Spanish), or None."""
    plain = _plain(word).rstrip(".")
    if len(plain) < 3:
        return None
    meant = {number for name, number in _MONTHS.items() if name.startswith(plain)}
    return meant.pop() if len(meant) == 1 else None


def month_columns(headers: Sequence[Cell]) -> Mapping[int, date]:
    """First day of the month for each column whose head names one; empty if fewer than two do.

    Whole dates such as 01/02/2025 count when all of them are the first of a month in one order only.
    """
    found: dict[int, date] = {}
    order = _order_of_firsts([_plain(head) for head in headers if isinstance(head, str)])
    for place, head in enumerate(headers):
        month = _month_of(head, order)
        if month is not None:
            found[place] = month
    if len(found) < FEWEST or len(set(found.values())) < len(found):
        return {}
    return found


def short_years(headers: Sequence[Cell]) -> tuple[str, ...]:
    """Heads that name a month but not the whole year, such as Jan-25: they can be read in two ways."""
    heads = [head for head in headers if isinstance(head, str) and _SHORT_YEAR.fullmatch(_plain(head))]
    known = [head for head in heads if head[:1].isdigit() or month_number(re.split(r"[-/ '.]", head)[0])]
    return tuple(known) if len(known) >= FEWEST else ()


def _plain(text: str) -> str:
    folded = unicodedata.normalize("NFKD", text.casefold())
    return " ".join("".join(letter for letter in folded if not unicodedata.combining(letter)).split())


def _order_of_firsts(heads: Sequence[str]) -> str:
    """Order of whole dates under which every one is the first of a month, if only one order does that."""
    days = [found for head in heads if (found := _WHOLE_DAY.fullmatch(head))]
    first = all(int(found[1]) == 1 for found in days)
    second = all(int(found[3]) == 1 for found in days)
    if first == second:
        return ""
    return "day first" if first else "month first"


def _month_of(head: Cell, order: str) -> date | None:
    if isinstance(head, date):
        return head if head.day == 1 else None
    if not isinstance(head, str):
        return None
    text = _plain(head)
    if found := _YEAR_FIRST.fullmatch(text):
        return _first(int(found[1]), int(found[2]))
    if found := _YEAR_LAST.fullmatch(text):
        return _first(int(found[2]), int(found[1]))
    if found := _WORD_FIRST.fullmatch(text):
        return _first(int(found[2]), month_number(found[1]))
    if found := _WORD_LAST.fullmatch(text):
        return _first(int(found[1]), month_number(found[2]))
    if order and (found := _WHOLE_DAY.fullmatch(text)):
        return _first(int(found[4]), int(found[3] if order == "day first" else found[1]))
    return None


def _first(year: int, month: int | None) -> date | None:
    if month is None or not 1 <= month <= 12 or not 1900 <= year <= 2200:
        return None
    return date(year, month, 1)
