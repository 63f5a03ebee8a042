"""Which rows of a file are good prices or supply counts? Tried, not stored."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from dashboard.records.price_rows import count_as_row, count_sameness, price_as_row, price_sameness
from dashboard.records.reading import AnimalReader, Unreadable, catalogue_reader
from econ.money import CURRENCIES, BadAmount, to_minor
from econ.prices.observations import Fault, PriceObservation, SupplyCount, read_count, read_observation
from genetics.genes.traits import Sex, Trait

from .cells import as_text, read_amount, read_day, read_whole
from .dry_run import Cells, DryRun, RowRefused, check_lines, read_cell
from .guess import Guess
from .words import read_word

if TYPE_CHECKING:
    from genetics import Catalogue


def check_prices(
    data: bytes,
    guess: Guess,
    *,
    today: date,
    currency: str,
    catalogue: Catalogue | None = None,
    reader: AnimalReader | None = None,
    existing: Iterable[PriceObservation] = (),
) -> DryRun[PriceObservation]:
    """Try a file of prices without storing anything.

    `currency` is the book's, for rows that name none; `existing` are the prices of the book;
    animals are read by `reader`, or by the catalogue.

    Raises
    ------
    FileRefused
        If a needed column is missing or the file can't be read as the guess says.
    """
    read = reader or catalogue_reader(catalogue)

    def make(cells: Cells) -> PriceObservation:
        return _price(cells, guess, read, today=today, currency=currency)

    return check_lines(
        data,
        guess,
        make=make,
        as_row=price_as_row,
        stored=[price_as_row(observation) for observation in existing],
        sameness=price_sameness,
    )


def check_supply(
    data: bytes,
    guess: Guess,
    *,
    today: date,
    catalogue: Catalogue | None = None,
    reader: AnimalReader | None = None,
    existing: Iterable[SupplyCount] = (),
) -> DryRun[SupplyCount]:
    """Try a file of supply counts without storing anything; arguments and errors as `check_prices`."""
    read = reader or catalogue_reader(catalogue)

    def make(cells: Cells) -> SupplyCount:
        return _count(cells, guess, read, today=today)

    return check_lines(
        data,
        guess,
        make=make,
        as_row=count_as_row,
        stored=[count_as_row(count) for count in existing],
        sameness=count_sameness,
    )


def _price(cells: Cells, guess: Guess, read: AnimalReader, *, today: date, currency: str) -> PriceObservation:
    on = read_cell(cells, "on", lambda cell: read_day(cell, guess.date_order))
    sex = Sex(read_cell(cells, "sex", lambda cell: read_word(cell, "sex", empty="unsexed")))
    what, traits = read_look(cells, "what", read, sex)
    minor, code = read_money(cells, "price", guess, currency)
    values: dict[str, Any] = {
        "on": on,
        "what": what,
        "traits": traits,
        "sex": sex,
        "stage": read_cell(cells, "stage", lambda c: read_word(c, "stage", empty=guess.empty_stage)),
        "kind": read_cell(cells, "kind", lambda c: read_word(c, "kind", empty=guess.empty_kind)),
        "price_minor": minor,
        "currency": code,
        "channel": " ".join(as_text(cells.get("channel", "")).split()),
        "quantity": _whole(cells, "quantity", guess, "How many", empty=1),
    }
    record, faults = read_observation(values, today=today)
    if record is None:
        raise _first_fault(faults, cells)
    return record


def _count(cells: Cells, guess: Guess, read: AnimalReader, *, today: date) -> SupplyCount:
    what, traits = read_look(cells, "what", read, Sex.UNSEXED)
    values = {
        "on": read_cell(cells, "on", lambda cell: read_day(cell, guess.date_order)),
        "what": what,
        "traits": traits,
        "offered": _whole(cells, "offered", guess, "The number offered", empty=None),
    }
    record, faults = read_count(values, today=today)
    if record is None:
        raise _first_fault(faults, cells)
    return record


def read_look(cells: Cells, name: str, read: AnimalReader, sex: Sex) -> tuple[str, tuple[Trait, ...]]:
    """Text of an animal and its traits; raises `RowRefused` if it can't be read."""
    text = " ".join(as_text(cells.get(name, "")).split())
    if not text:
        raise RowRefused(name, "", "What the animal is, is missing. Write “normal” for a plain one.")
    try:
        return text, read(text, sex)
    except Unreadable as fault:
        raise RowRefused(name, text, fault.reason, fault.nearest) from fault


def read_money(cells: Cells, name: str, guess: Guess, currency: str, *, least: int = 1) -> tuple[int, str]:
    """Amount in smallest units and its currency: the sign's, the currency column's, or the book's."""
    amount, sign = read_cell(cells, name, lambda cell: read_amount(cell, guess.decimal))
    written = as_text(cells.get("currency", "")).upper()
    code = _one_currency(sign, written, currency, where=name)
    if code not in CURRENCIES:
        column = "currency" if written else name
        raise RowRefused(column, written or sign, f"{code} is no currency code that is known here.")
    try:
        minor = to_minor(Decimal(amount), code)
    except BadAmount as fault:
        raise RowRefused(name, as_text(cells[name]), f"The {fault}.") from fault
    if minor < least:
        raise RowRefused(
            name, as_text(cells[name]), f"The price is {'not above' if least else 'below'} zero."
        )
    return minor, code


def _one_currency(sign: str, written: str, book: str, *, where: str) -> str:
    symbols = {"€": "EUR", "£": "GBP"}
    written = symbols.get(written, written)
    if sign == "$":
        if written:
            return written
        if book in {"USD", "CAD", "AUD", "NZD", "SGD", "HKD"}:
            return book
        raise RowRefused(where, "$", "Which dollar? Add a column “currency” with a code such as USD.")
    if sign and written and sign != written:
        raise RowRefused("currency", written, f"The price says {sign}, the currency column {written}.")
    return sign or written or book


def _whole(cells: Cells, name: str, guess: Guess, what: str, *, empty: int | None) -> int:
    if not as_text(cells.get(name, "")):
        if empty is None:
            raise RowRefused(name, "", f"{what} is missing.")
        return empty
    return read_cell(cells, name, lambda cell: read_whole(cell, what=what, decimal=guess.decimal))


def _first_fault(faults: list[Fault], cells: Cells) -> RowRefused:
    fault = faults[0]
    name = {"price_minor": "price", "traits": "what"}.get(fault.column, fault.column)
    why = f"It {fault.why}; allowed: {fault.allowed}."
    return RowRefused(name, as_text(cells.get(name, fault.found)), why)
