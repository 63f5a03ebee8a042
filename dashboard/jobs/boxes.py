"""What do the boxes of a form say? Each is read as a cell of a file would be, and refused beside itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Final

from dashboard.records.fields import Field
from dashboard.records.spreadsheets.cells import (
    CellRefused,
    read_amount,
    read_day,
    read_number,
    read_share,
    read_whole,
)
from econ.money import BadAmount, exact_amount, to_minor

CHOSEN: Final = frozenset({"choice", "sex", "currency", "answer", "animal", "pairing", "clutch"})
"""Kinds of fields that are chosen from a list and never typed."""

_EXAMPLES: Final[Mapping[str, str]] = {
    "day": "2025-04-30",
    "look": "pastel 66% het clown",
    "gene": "clown",
    "money": "120 or 120.50",
    "rate": "1.0837",
    "share": "0.25 or 25%",
}
_WHICH_ORDER: Final = "Say which order this file uses."
_WHICH_MARK: Final = re.compile(r"(?P<whole>\d+) or (?P<part>[\d.]+)\? Say which mark is the decimal\.")


@dataclass(frozen=True)
class BoxFault:
    """Why one box was refused: the sentence, the word at fault, and the nearest names."""

    reason: str
    word: str = ""
    nearest: tuple[str, ...] = ()


class NotRead(ValueError):
    """Some boxes of a form can't be read; nothing was stored.

    Attributes
    ----------
    faults
        What is wrong, by the name of the field.
    """

    def __init__(self, faults: Mapping[str, BoxFault]) -> None:
        super().__init__("; ".join(fault.reason for fault in faults.values()))
        self.faults = dict(faults)


def read_boxes(fields: Sequence[Field], typed: Mapping[str, object], *, currency: str) -> dict[str, Any]:
    """Values of a form as the records take them, by field.

    Parameters
    ----------
    fields
        The boxes.
    typed
        What stands in each: texts as typed, choices as chosen (animals by number).
    currency
        The book's money, for sums that name none.

    Raises
    ------
    NotRead
        If boxes are missing or can't be read; all of them at once.
    """
    values: dict[str, Any] = {}
    faults: dict[str, BoxFault] = {}
    for field in fields:
        try:
            values[field.name] = _read(field, typed, currency)
        except (CellRefused, BadAmount) as fault:
            faults[field.name] = BoxFault(_plain(str(fault)))
    if faults:
        raise NotRead(faults)
    return values


def _read(field: Field, typed: Mapping[str, object], currency: str) -> Any:
    said = typed.get(field.name)
    if field.kind in CHOSEN:
        if field.needed and said in (None, ""):
            raise CellRefused(f"Choose the {field.header}.")
        if field.kind == "answer":
            return int(bool(said))
        return field.empty if said in (None, "") else said
    text = "" if said is None else str(said).strip()
    if not text:
        if field.needed:
            example = _EXAMPLES.get(field.kind, "")
            raise CellRefused(f"The {field.header} is missing." + (f" Write {example}." if example else ""))
        return field.empty
    if field.kind == "money":
        return _money(field, text, str(typed.get(field.currency) or currency))
    reader = _READERS.get(field.kind)
    return text if reader is None else reader(field, text)


def _day(_field: Field, text: str) -> date:
    return read_day(text, "")


def _whole(field: Field, text: str) -> int:
    number = read_whole(text, what=f"The {field.header}", decimal="")
    _check_ends(field, number, text)
    return number


def _number(field: Field, text: str) -> float:
    number = float(read_number(text, what=f"The {field.header}", decimal=""))
    _check_ends(field, number, text)
    return number


def _share(field: Field, text: str) -> float:
    share = read_share(text, what=f"The {field.header}", decimal="")
    if not (field.least or 0.0) <= share <= (1.0 if field.most is None else field.most):
        raise CellRefused(f"“{text}” is no share. Write 0.25 or 25%.")
    return share


def _rate(field: Field, text: str) -> str:
    return format(read_number(text, what=f"The {field.header}", decimal="", exact=True), "f")


def _money(field: Field, text: str, code: str) -> int:
    amount, sign = read_amount(text, "")
    if sign not in {"", "$", code}:
        raise CellRefused(f"“{text}” says {sign}, but {code} is chosen beside it.")
    if amount < 0:
        raise CellRefused(f"The {field.header} is below zero; allowed: 0 or more.")
    try:
        return to_minor(amount, code)
    except BadAmount as fault:
        raise CellRefused(f"The {fault}.") from fault


def _check_ends(field: Field, number: float, text: str) -> None:
    low, high = field.least, field.most
    if (low is not None and number < low) or (high is not None and number > high):
        ends = f"{_short(low)} to {_short(high)}" if high is not None else f"{_short(low)} or more"
        unit = f" {field.unit}" if field.unit else ""
        raise CellRefused(f"The {field.header} is “{text}”; allowed: {ends}{unit}.")


_READERS: Final[Mapping[str, Callable[[Field, str], Any]]] = {
    "day": _day,
    "whole": _whole,
    "number": _number,
    "share": _share,
    "rate": _rate,
}


def _plain(reason: str) -> str:
    """Refusal of a cell in the words of a form, where there is no file whose marks could be told."""
    if _WHICH_ORDER in reason:
        return reason.replace(_WHICH_ORDER, "Write the year first, as in 2025-04-30.")
    found = _WHICH_MARK.fullmatch(reason)
    if found is None:
        return reason
    whole, part = found["whole"], found["part"]
    return f"{whole} or {part}? Write {whole}, or {part}0 with one more zero."


def box_text(field: Field, value: object, currency: str) -> str:
    """Value of the records as it stands in a box: money in whole units, shares as numbers."""
    if value is None:
        return ""
    if field.kind == "money" and isinstance(value, int):
        return str(exact_amount(value, currency))
    if field.kind in {"number", "share"} and isinstance(value, int | float):
        return _short(float(value))
    return value.isoformat() if isinstance(value, date) else str(value)


def _short(number: float | None) -> str:
    return "" if number is None else format(Decimal(repr(float(number))).normalize(), "f")
