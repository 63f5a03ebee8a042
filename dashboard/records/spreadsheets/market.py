"""Which rows of a file are good prices or supply counts? Tried, not stored."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from dashboard.records.market.price_rows import count_sameness, price_sameness
from dashboard.records.reading import AnimalReader, Unreadable, catalogue_reader
from econ.prices.observations import Fault, PriceObservation, SupplyCount, read_count, read_observation
from genetics.genes.traits import Sex, Trait

from .cells import as_text
from .dry_run import DryRun, Rules, check_lines
from .entries import Entry, RowRefused
from .guess import Guess
from .pacing import Progress
from .tables import PRICES, SUPPLY
from .values import Reading, RowReader

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
    stored: Iterable[Mapping[str, Any]] = (),
    on_progress: Progress | None = None,
) -> DryRun[PriceObservation]:
    """Try a file of prices without storing anything.

    `currency` is the book's, for rows that name none; `stored` are the rows of the book;
    animals are read by `reader`, or by the catalogue.

    Raises
    ------
    FileRefused
        If a needed column is missing or the file can't be read as the guess says.
    """
    read = reader or catalogue_reader(catalogue)
    empty = {"kind": guess.empty_kind, "stage": guess.empty_stage}
    rows = RowReader(PRICES, Reading(guess.date_order, guess.decimal, currency, empty=empty))

    good = GoodSoFar()

    def make(entry: Entry) -> PriceObservation:
        values = rows.read(entry)
        sex = values["sex"] = Sex(values["sex"])
        values["traits"] = read_look(entry, "what", values["what"], read, sex)
        if good.covers(values):
            return PriceObservation.model_construct(id=None, **values)
        record, faults = read_observation(values, today=today)
        if record is None:
            raise _first_fault(faults, entry)
        good.learn(values)
        return record

    rules = Rules(make=make, as_row=vars, stored=stored, sameness=price_sameness)
    return check_lines(data, guess, rules, on_progress=on_progress)


class GoodSoFar:
    """Which values of prices were found good, so that rows made of none but such need no second look.

    The rules of a price look at its day, its sum, and the rest, one apart from the other; days and sums
    are allowed between two ends, so whatever lies between two good ones is good.
    """

    def __init__(self) -> None:
        self._rest: set[Hashable] = set()
        self._days: tuple[date, date] | None = None
        self._sums: tuple[int, int] | None = None

    def covers(self, values: Mapping[str, Any]) -> bool:
        """Whether the day, the sum and the rest of a row are good."""
        days, sums = self._days, self._sums
        return (
            days is not None
            and sums is not None
            and days[0] <= values["on"] <= days[1]
            and sums[0] <= values["price_minor"] <= sums[1]
            and self._rest_of(values) in self._rest
        )

    def learn(self, values: Mapping[str, Any]) -> None:
        """Note the values of a good row."""
        on, minor = values["on"], values["price_minor"]
        days, sums = self._days or (on, on), self._sums or (minor, minor)
        self._days = min(days[0], on), max(days[1], on)
        self._sums = min(sums[0], minor), max(sums[1], minor)
        self._rest.add(self._rest_of(values))

    @staticmethod
    def _rest_of(values: Mapping[str, Any]) -> Hashable:
        return (
            values["what"],
            values["sex"],
            values["stage"],
            values["kind"],
            values["currency"],
            values["channel"],
            values["quantity"],
        )


def check_supply(
    data: bytes,
    guess: Guess,
    *,
    today: date,
    catalogue: Catalogue | None = None,
    reader: AnimalReader | None = None,
    stored: Iterable[Mapping[str, Any]] = (),
    on_progress: Progress | None = None,
) -> DryRun[SupplyCount]:
    """Try a file of supply counts without storing anything; arguments and errors as `check_prices`."""
    read = reader or catalogue_reader(catalogue)
    rows = RowReader(SUPPLY, Reading(guess.date_order, guess.decimal, ""))

    def make(entry: Entry) -> SupplyCount:
        values = rows.read(entry)
        values["traits"] = read_look(entry, "what", values["what"], read, Sex.UNSEXED)
        record, faults = read_count(values, today=today)
        if record is None:
            raise _first_fault(faults, entry)
        return record

    rules = Rules(make=make, as_row=vars, stored=stored, sameness=count_sameness)
    return check_lines(data, guess, rules, on_progress=on_progress)


def read_look(entry: Entry, name: str, text: str, read: AnimalReader, sex: Sex) -> tuple[Trait, ...]:
    """Traits of an animal; raises `RowRefused` if its text can't be read."""
    try:
        return read(text, sex)
    except Unreadable as fault:
        raise RowRefused(name, as_text(entry.cells.get(name, "")), fault.reason, fault.nearest) from fault


def _first_fault(faults: list[Fault], entry: Entry) -> RowRefused:
    fault = faults[0]
    name = {"traits": "what"}.get(fault.column, fault.column)
    why = f"It {fault.why}; allowed: {fault.allowed}."
    return RowRefused(name, as_text(entry.cells.get(name, fault.found)), why)
