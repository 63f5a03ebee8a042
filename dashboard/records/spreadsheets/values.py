"""What does a row of cells say? Each column is read as declared; the first bad cell refuses the row."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any

from dashboard.records.fields import Field
from dashboard.records.herd.herd_index import HerdIndex, place_key
from dashboard.records.text_fields import name_key
from econ.money import CURRENCIES, BadAmount, to_minor

from .cells import (
    CellRefused,
    DateOrder,
    DecimalMark,
    as_text,
    read_amount,
    read_day,
    read_number,
    read_share,
    read_whole,
)
from .entries import Entry, RowRefused
from .grid import Cell
from .words import read_word

Read = Callable[[Cell], Any]
_SYMBOLS = {"€": "EUR", "£": "GBP"}
_DOLLARS = {"USD", "CAD", "AUD", "NZD", "SGD", "HKD"}


@dataclass(frozen=True)
class Reading:
    """How the cells of one file are read.

    Attributes
    ----------
    date_order, decimal
        Order of dates and decimal mark; empty: cells that can be read in two ways are refused.
    currency
        Money of sums that name none.
    herd
        Animals, pairings and clutches that names lead to; None: names stay names.
    empty
        What empty cells of some fields mean, in place of what their declaration says.
    """

    date_order: DateOrder
    decimal: DecimalMark
    currency: str
    herd: HerdIndex | None = None
    empty: Mapping[str, Any] | None = None


class RowReader:
    """Reads rows of one table; remembers what each distinct cell of a column says.

    Parameters
    ----------
    fields
        Columns of the table.
    reading
        How its cells are read.
    """

    def __init__(self, fields: Sequence[Field], reading: Reading) -> None:
        self._currency = reading.currency
        said = reading.empty or {}
        self._columns = [
            _Column(field, _reader(field, reading), said.get(field.name, field.empty))
            for field in fields
            if field.kind != "money"
        ]
        self._money = [
            _Column(field, partial(read_amount, decimal=reading.decimal), None)
            for field in fields
            if field.kind == "money"
        ]

    def read(self, entry: Entry) -> dict[str, Any]:
        """Values of a row by the names of its fields; what is not said is what an empty cell means.

        Raises
        ------
        RowRefused
            For the first cell that can't be read, or is empty though needed.
        """
        cells, values = entry.cells, dict[str, Any]()
        for column in self._columns:
            cell = cells.get(column.name, "")
            value = column.known.get(cell, column)
            values[column.name] = column.learn(cell) if value is column else value
        for column in self._money:
            cell = cells.get(column.name, "")
            known = column.known.get((cell, values.get(column.currency)))
            if known is None:
                known = self._learn_sum(column, cell, values.get(column.currency) or "")
            values[column.name], code = known
            if code and column.currency in values:
                values[column.currency] = code
        return values

    def _learn_sum(self, column: _Column, cell: Cell, written: str) -> tuple[int | None, str]:
        """Smallest units and currency of a sum that was not met before beside this currency."""
        if _is_empty(cell):
            return column.learn(cell), ""
        amount, sign = _tried(column.read, cell, column.field)
        code = self._one_currency(sign, written, column.field)
        found = (_smallest_units(amount, code, column.field, cell), code)
        column.known[cell, written or None] = found
        return found

    def _one_currency(self, sign: str, written: str, field: Field) -> str:
        if sign == "$":
            if written:
                return written
            if self._currency in _DOLLARS:
                return self._currency
            raise RowRefused(
                field.name, "$", "Which dollar? Add a column “currency” with a code such as USD."
            )
        if sign and written and sign != written:
            raise RowRefused(
                field.currency, written, f"The price says {sign}, the currency column {written}."
            )
        code = sign or written or self._currency
        if code not in CURRENCIES:
            raise RowRefused(field.name, sign, f"{code} is no currency code that is known here.")
        return code


class _Column:
    """One column of a file: how it is read, and what its distinct cells were found to say."""

    def __init__(self, field: Field, read: Read, empty: Any) -> None:
        self.field, self.read, self.empty = field, read, empty
        self.name, self.currency = field.name, field.currency
        self.known: dict[Any, Any] = {}

    def learn(self, cell: Cell) -> Any:
        """Value of a cell that was not met before; raises `RowRefused`."""
        if not _is_empty(cell):
            value = _tried(self.read, cell, self.field)
        elif self.field.needed:
            raise _missing(self.field)
        else:
            value = self.empty
        self.known[cell] = value
        return value


def _is_empty(cell: Cell) -> bool:
    return isinstance(cell, str) and not cell.strip()


def _tried(read: Read, cell: Cell, field: Field) -> Any:
    try:
        return read(cell)
    except CellRefused as fault:
        raise RowRefused(field.name, as_text(cell), str(fault), fault.nearest) from fault


def _missing(field: Field) -> RowRefused:
    if field.kind == "look":
        return RowRefused(field.name, "", "What the animal is, is missing. Write “normal” for a plain one.")
    return RowRefused(field.name, "", f"The {field.header} is missing.")


def _smallest_units(amount: Decimal, code: str, field: Field, cell: Cell) -> int:
    try:
        minor = to_minor(amount, code)
    except BadAmount as fault:
        raise RowRefused(field.name, as_text(cell), f"The {fault}.") from fault
    above = field.needed and field.least is None
    if minor < 0 or (minor == 0 and above):
        why = "The price is not above zero." if above else "The amount is below zero."
        raise RowRefused(field.name, as_text(cell), why)
    return minor


def _reader(field: Field, reading: Reading) -> Read:
    """Give what reads the filled cells of a column."""
    what = f"The {field.header}"
    readers: dict[str, Read] = {
        "sex": partial(read_word, field="sex"),
        "choice": partial(read_word, field=field.name, choices=field.choices),
        "answer": lambda cell: read_word(cell, "answer") == "yes",
        "day": partial(read_day, order=reading.date_order),
        "whole": partial(read_whole, what=what, decimal=reading.decimal),
        "number": partial(read_number, what=what, decimal=reading.decimal),
        "rate": partial(_rate, what=what, decimal=reading.decimal),
        "share": partial(read_share, what=what, decimal=reading.decimal),
        "currency": _currency,
        "note": as_text,
        "data": as_text,
    }
    if reading.herd is not None and field.kind in {"animal", "pairing", "clutch"}:
        return _by_name(field.kind, reading.herd)
    return readers.get(field.kind, _line)


def _line(cell: Cell) -> str:
    """One line of text with single blanks."""
    text = " ".join(as_text(cell).split())
    if any(unicodedata.category(letter) in {"Cc", "Cs"} for letter in text):
        raise CellRefused("The cell holds characters that can't be shown. Write it with plain letters.")
    return text


def _rate(cell: Cell, *, what: str, decimal: DecimalMark) -> str:
    return format(read_number(cell, what=what, decimal=decimal, exact=True), "f")


def _currency(cell: Cell) -> str:
    written = as_text(cell).upper()
    code = _SYMBOLS.get(written, written)
    if code not in CURRENCIES:
        raise CellRefused(f"{code} is no currency code that is known here.")
    return code


def _by_name(kind: str, herd: HerdIndex) -> Read:
    """Give what finds the number of a named animal, pairing or clutch."""
    if kind == "animal":
        ids, key = herd.animal_ids(), name_key
        names = [animal.name for animal in herd.animals.values()]
    elif kind == "pairing":
        ids, key = herd.pairing_ids(), place_key
        names = [herd.pairing_name(number) for number in herd.pairings]
    else:
        ids, key = herd.clutch_ids(), place_key
        names = [herd.clutch_name(number) for number in herd.clutches]

    def find(cell: Cell) -> int:
        written = " ".join(as_text(cell).split())
        found = ids.get(key(written))
        if found is None:
            nearest = difflib.get_close_matches(written, names, n=3, cutoff=0.6)
            raise CellRefused(
                f"No {kind} of this book is called {written}. Enter the {kind} first.", nearest=tuple(nearest)
            )
        return found

    return find
