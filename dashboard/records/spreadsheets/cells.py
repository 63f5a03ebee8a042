"""What does one cell say? A cell that can be read in two ways is refused, never guessed."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any, Literal

from .grid import Cell
from .months import month_number

DateOrder = Literal["day first", "month first", ""]
DecimalMark = Literal[".", ",", ""]

_MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]\d.*)?")
_YEAR_LAST = re.compile(r"(\d{1,2})([-/. ])(\d{1,2})\2(\d{4})(?:[T ]\d.*)?")
_WORD_MONTH = re.compile(r"(?:(\d{1,2})\.?[ -]([^\W\d_]+)\.?|([^\W\d_]+)\.? (\d{1,2})),?[ -](\d{4})")
_SHORT_YEAR = re.compile(r"\d{1,2}[-/. ]\d{1,2}[-/. ]\d{2}")
_SIGNS = {"€": "EUR", "£": "GBP", "eur": "EUR", "euro": "EUR", "gbp": "GBP", "chf": "CHF", "usd": "USD"}
_GAP = re.compile(r"(?<=\d)[\s'’](?=\d{3}(?!\d))")
_EITHER = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")


_PLAIN = re.compile(r"\d{1,15}(?:\.\d{1,2})?")  # can be read in one way only, and most cells are so
_MOST_FIGURES = 40


class CellRefused(ValueError):
    """One cell can't be read; the text says why in a sentence, `nearest` which names may have been meant."""

    def __init__(self, why: str, *, nearest: tuple[str, ...] = ()) -> None:
        super().__init__(why)
        self.nearest = nearest


def as_text(cell: Cell) -> str:
    """Cell as it was written."""
    if isinstance(cell, Decimal):
        return format(cell.normalize(), "f")
    return cell.isoformat() if isinstance(cell, date) else cell.strip()


def read_day(cell: Cell, order: DateOrder) -> date:
    """Day of a cell.

    Raises
    ------
    CellRefused
        If it is no date, or both orders are possible and `order` does not say which.
    """
    if isinstance(cell, date):
        return cell
    if isinstance(cell, Decimal):
        raise CellRefused("This is a number, not a date. Write 2025-04-30.")
    return _read_day(cell.strip(), order)


@lru_cache(maxsize=20_000)
def _read_day(text: str, order: DateOrder) -> date:
    if not text:
        raise CellRefused("The date is missing.")
    found = _YEAR_FIRST.fullmatch(text)
    if found:
        return _day(int(found[1]), int(found[2]), int(found[3]))
    found = _WORD_MONTH.fullmatch(text.lower())
    if found:
        return _day(int(found[5]), _month(found[2] or found[3]), int(found[1] or found[4]))
    found = _YEAR_LAST.fullmatch(text)
    if found:
        return _either_order(int(found[1]), int(found[3]), int(found[4]), order)
    if _SHORT_YEAR.fullmatch(text):
        raise CellRefused("Write the year with four digits.")
    raise CellRefused("This is no date. Write 2025-04-30.")


def _either_order(first: int, second: int, year: int, order: DateOrder) -> date:
    if order == "day first":
        return _day(year, second, first)
    if order == "month first":
        return _day(year, first, second)
    if first > 12 or first == second:
        return _day(year, second, first)
    if second > 12:
        return _day(year, first, second)
    one, other = (f"{day} {_MONTHS[month - 1].title()}" for day, month in ((first, second), (second, first)))
    raise CellRefused(f"{one} or {other}? Say which order this file uses.")


def _day(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise CellRefused(f"There is no day {day} of month {month} in {year}. Is the order right?") from None


def _month(word: str) -> int:
    number = month_number(word)
    if number is None:
        raise CellRefused(f"“{word}” is no month. Write 2025-04-30.")
    return number


def order_evidence(cell: Cell) -> DateOrder:
    """Order that a cell proves by a day above 12, or nothing."""
    found = _YEAR_LAST.fullmatch(cell.strip()) if isinstance(cell, str) else None
    if found is None:
        return ""
    first, second = int(found[1]), int(found[3])
    if first > 12 >= second:
        return "day first"
    return "month first" if second > 12 >= first else ""


def read_amount(cell: Cell, decimal: DecimalMark) -> tuple[Decimal, str]:
    """Amount of a cell, and the currency its sign says ("$" if it is some dollar; empty if none).

    Raises
    ------
    CellRefused
        If it is no amount, or both readings of its mark are possible and `decimal` does not say which.
    """
    if isinstance(cell, Decimal):
        return cell, ""
    if isinstance(cell, date):
        raise CellRefused("This is a date, not an amount.")
    if decimal != "," and _PLAIN.fullmatch(cell):
        return Decimal(cell), ""
    text, sign = _without_sign(cell.strip())
    return _read_number(text, decimal), sign


def _without_sign(text: str) -> tuple[str, str]:
    lower = text.lower()
    found = re.fullmatch(
        r"(?P<a>[^\d\s.,+-]+)?\s*(?P<n>[-+]?[\d.,\s'’]*\d)(?:[.,][-–—]+)?\s*(?P<b>[^\d\s.,-]+)?", lower
    )
    if not text:
        raise CellRefused("The price is missing.")
    if found is None or (found["a"] and found["b"]):
        raise CellRefused("This is no amount. Write 120 or 120.50.")
    word = found["a"] or found["b"] or ""
    if word and word != "$" and word not in _SIGNS and not re.fullmatch(r"[a-z]{3}", word):
        raise CellRefused(f"“{word}” is no currency that is known here. Write a code such as EUR.")
    return found["n"], "$" if word == "$" else _SIGNS.get(word, word.upper())


@lru_cache(maxsize=20_000)
def _read_number(text: str, decimal: DecimalMark) -> Decimal:
    plain = _GAP.sub("", text)
    if len(plain) > _MOST_FIGURES:
        raise CellRefused("This number has too many figures.")
    if decimal:
        return _by_mark(plain, decimal)
    proved = _proved_mark(plain)
    if proved:
        return _by_mark(plain, proved)
    if _EITHER.fullmatch(plain.lstrip("+-")):
        mark = "." if "." in plain else ","
        raise CellRefused(
            f"{plain.replace(mark, '')} or {plain.replace(',', '.')}? Say which mark is the decimal."
        )
    return _by_mark(plain, ".")


def _by_mark(text: str, decimal: str) -> Decimal:
    group = re.escape("," if decimal == "." else ".")
    mark = re.escape(decimal)
    if not re.fullmatch(rf"[-+]?(\d{{1,3}}({group}\d{{3}})+|\d+)({mark}\d+)?", text):
        word = "comma" if decimal == "," else "point"
        raise CellRefused(f"This does not fit a file whose decimal mark is the {word}.")
    return Decimal(re.sub(group, "", text).replace(decimal, "."))


def _proved_mark(text: str) -> DecimalMark:
    """Decimal mark that the number itself proves, or nothing."""
    digits = text.lstrip("+-")
    point, comma = digits.rfind("."), digits.rfind(",")
    if point >= 0 and comma >= 0:
        return "." if point > comma else ","
    mark: DecimalMark = "." if point >= 0 else ","
    other: DecimalMark = "," if mark == "." else "."
    if point < 0 and comma < 0:
        return ""
    if digits.count(mark) > 1:
        return other
    if _EITHER.fullmatch(digits):
        return ""
    return mark


def decimal_evidence(cell: Cell) -> DecimalMark:
    """Decimal mark that a cell proves, or nothing."""
    if not isinstance(cell, str):
        return ""
    if _PLAIN.fullmatch(cell):
        return "." if "." in cell else ""
    try:
        text, _ = _without_sign(cell.strip())
    except CellRefused:
        return ""
    return _proved_mark(_GAP.sub("", text))


def read_number(cell: Cell, *, what: str, decimal: DecimalMark, exact: bool = False) -> Any:
    """Plain number of a cell, exact as a `Decimal` if wished; raises `CellRefused`."""
    number = cell if isinstance(cell, Decimal) else None
    if number is None:
        text = as_text(cell)
        if isinstance(cell, date) or not re.fullmatch(r"[-+]?[\d.,\s'’]*\d", text):
            raise CellRefused(f"{what} is no number. Write 12 or 12.5.")
        number = _read_number(text, decimal)
    return number if exact else float(number)


def read_share(cell: Cell, *, what: str, decimal: DecimalMark) -> float:
    """Share of a cell, written as 0.25 or 25%; raises `CellRefused`."""
    text = as_text(cell)
    if not text.endswith("%"):
        return float(read_number(cell, what=what, decimal=decimal))
    part = read_number(text[:-1].rstrip(), what=what, decimal=decimal, exact=True)
    return float(part / 100)


def read_whole(cell: Cell, *, what: str, decimal: DecimalMark) -> int:
    """Whole number of a cell; raises `CellRefused`."""
    try:
        number = read_number(cell, what=what, decimal=decimal, exact=True)
    except CellRefused as fault:
        if "is no number" in str(fault):
            raise CellRefused(f"{what} is no whole number.") from fault
        raise
    if number != number.to_integral_value():
        raise CellRefused(f"{what} is no whole number.")
    return int(number)
