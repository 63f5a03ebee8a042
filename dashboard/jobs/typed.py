"""What did the breeder type into a field: a day, a sum of money, a weight, a share?"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from dashboard.records.spreadsheets.cells import CellRefused, read_amount, read_day
from econ.money import CURRENCIES, exact_amount, minor_digits, to_minor

# what a reader of files asks of a whole file is said of the one field here
_ORDER = "Say which order this file uses."
_MARK = "Say which mark is the decimal."
_DOLLARS = ("USD", "CAD", "AUD", "NZD", "SGD", "HKD")


def day_of(text: str) -> date | None:
    """Day as it was typed, such as 2024-05-30; None for an empty text.

    Raises
    ------
    CellRefused
        If it is no date, or one that can be read in two ways; the text says why.
    """
    if not text.strip():
        return None
    try:
        return read_day(text, "")
    except CellRefused as fault:
        raise CellRefused(str(fault).replace(_ORDER, "Write the year first: 2024-05-30.")) from fault


def day_text(day: date | None) -> str:
    """Day as it stands in a field."""
    return "" if day is None else day.isoformat()


def sum_of(text: str, currency: str) -> tuple[int | None, str | None]:
    """Sum as it was typed, in smallest units, and its currency; "120", "120.50 USD" or "€ 120".

    Parameters
    ----------
    text
        What was typed; empty gives no sum and no currency.
    currency
        Code of the money where none is said.

    Raises
    ------
    CellRefused
        If it is no sum, one that can be read in two ways, or in a currency that is not known.
    BadAmount
        If it has more decimals than its currency.
    """
    if not text.strip():
        return None, None
    try:
        amount, sign = read_amount(text, "")
    except CellRefused as fault:
        raise CellRefused(
            str(fault).replace(_MARK, "Write it without the mark, or with two decimals.")
        ) from fault
    if sign == "$":
        if currency not in _DOLLARS:
            raise CellRefused(f"“{text.strip()}”: which dollar? Write 120 USD.")
        sign = currency
    code = sign or currency
    if code not in CURRENCIES:
        raise CellRefused(f"{code} is no currency code that is known here. Write 120 USD or 120 EUR.")
    if amount < 0:
        raise CellRefused(f"“{text.strip()}” is below zero.")
    return to_minor(amount, code), code


def sum_text(minor: int | None, currency: str | None, *, home: str) -> str:
    """Sum as it stands in a field: its number, and its code where it is not the book's money."""
    if minor is None:
        return ""
    code = currency or home
    digits = minor_digits(code)
    amount = exact_amount(minor, code)
    number = f"{amount:.{digits}f}" if amount != amount.to_integral_value() else f"{amount:.0f}"
    return number if code == home else f"{number} {code}"


def grams_of(text: str) -> float:
    """Weight as it was typed [g]; "1540", "1 540 g" or "1.54 kg".

    Raises
    ------
    CellRefused
        If it is no weight.
    """
    plain = text.strip().casefold()
    size = Decimal(1000) if plain.endswith("kg") else Decimal(1)
    number = plain.removesuffix("kg").removesuffix("g").strip()
    try:
        amount, sign = read_amount(number, "." if size > 1 else "")
    except CellRefused:
        sign, amount = "?", Decimal(0)
    if sign or not number:
        raise CellRefused(f"“{text.strip()}” is no weight. Write 1540 or 1.54 kg.")
    return float(amount * size)


def share_of(text: str) -> float | None:
    """Share as it was typed, as a number from 0 to 1; "97", "97 %" or "0.97"; None for an empty text.

    Raises
    ------
    CellRefused
        If it is no share.
    """
    plain = text.replace("%", "").strip()
    if not plain:
        return None
    try:
        amount, sign = read_amount(plain, "." if "." in plain else "")
    except CellRefused:
        sign, amount = "?", Decimal(0)
    share = amount / 100 if amount > 1 or "%" in text else amount
    if sign or not 0 <= share <= 1:
        raise CellRefused(f"“{text.strip()}” is no share. Write 97 %.")
    return float(share)
