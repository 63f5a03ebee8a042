"""Which prices were seen, and how many animals were on offer? One row each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sqlalchemy import select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.log.imports import ImportReceipt, ImportRoom
from dashboard.records.market.price_rows import (
    count_as_row,
    count_from_row,
    count_sameness,
    price_as_row,
    price_from_row,
    price_sameness,
)
from dashboard.records.reading import AnimalReader
from econ.prices.observations import Fault, PriceObservation, SupplyCount, check_count, check_observation
from genetics.genes.traits import Sex


class PriceRoom(ImportRoom):
    """The prices and supply counts of a book."""

    def price_observations(self) -> tuple[PriceObservation, ...]:
        """All prices, in the order they were entered; each carries its id."""
        table, reader = schema.price_observations, self.reader
        with self._store.reading() as connection:
            rows = connection.execute(select(table).order_by(table.c.id)).mappings()
            return tuple(price_from_row(row, reader) for row in rows)

    def price_versions(self) -> dict[int, int]:
        """Version of every price by id, to be given back when one is changed or removed."""
        return self._versions("price_observations")

    def add_observation(self, observation: PriceObservation) -> PriceObservation:
        """Store one price typed by hand.

        Raises
        ------
        NotStored
            If its date is in the future or the text can't be read (`Unreadable`).
        """
        checked = _checked_price(observation, self.reader, self.today())
        with self._store.editing(f"Entered a price of {checked.what}") as edit:
            row_id = edit.insert(schema.price_observations, price_as_row(checked))
        return checked.model_copy(update={"id": row_id})

    def change_observation(self, observation: PriceObservation, version: int) -> PriceObservation:
        """Put new values in place of a stored price; its id says which.

        Raises
        ------
        Conflict
            If it was changed elsewhere since.
        NotStored
            As for `add_observation`.
        """
        checked = _checked_price(observation, self.reader, self.today())
        with self._store.editing(f"Changed a price of {checked.what}") as edit:
            what = f"The price of {checked.what}"
            edit.update(
                schema.price_observations, _id_of(observation), version, price_as_row(checked), what=what
            )
        return checked

    def remove_observation(self, observation_id: int, version: int) -> None:
        """Remove one price; raises as `change_observation`."""
        with self._store.editing("Removed a price") as edit:
            edit.delete(schema.price_observations, observation_id, version, what="This price")

    def add_observations(self, observations: Sequence[PriceObservation], import_name: str) -> ImportReceipt:
        """Store the prices of one file in one step; those the book holds already are left out.

        Raises
        ------
        NotStored
            If one of them is not allowed; then none is stored.
        """
        today, reader = self.today(), self.reader
        rows = [price_as_row(_checked_price(observation, reader, today)) for observation in observations]
        return self._import_rows(schema.price_observations, rows, import_name, sameness=price_sameness)

    def supply_counts(self) -> tuple[SupplyCount, ...]:
        """All supply counts, in the order they were entered; each carries its id."""
        table, reader = schema.supply_counts, self.reader
        with self._store.reading() as connection:
            rows = connection.execute(select(table).order_by(table.c.id)).mappings()
            return tuple(count_from_row(row, reader) for row in rows)

    def supply_versions(self) -> dict[int, int]:
        """Version of every supply count by id."""
        return self._versions("supply_counts")

    def add_supply_count(self, count: SupplyCount) -> SupplyCount:
        """Store one count typed by hand; raises as `add_observation`."""
        checked = _checked_count(count, self.reader, self.today())
        with self._store.editing(f"Entered a count of {checked.what}") as edit:
            row_id = edit.insert(schema.supply_counts, count_as_row(checked))
        return checked.model_copy(update={"id": row_id})

    def change_supply_count(self, count: SupplyCount, version: int) -> SupplyCount:
        """Put new values in place of a stored count; raises as `change_observation`."""
        checked = _checked_count(count, self.reader, self.today())
        with self._store.editing(f"Changed a count of {checked.what}") as edit:
            what = f"The count of {checked.what}"
            edit.update(schema.supply_counts, _id_of(count), version, count_as_row(checked), what=what)
        return checked

    def remove_supply_count(self, count_id: int, version: int) -> None:
        """Remove one count; raises as `change_observation`."""
        with self._store.editing("Removed a supply count") as edit:
            edit.delete(schema.supply_counts, count_id, version, what="This count")

    def add_supply_counts(self, counts: Sequence[SupplyCount], import_name: str) -> ImportReceipt:
        """Store the counts of one file in one step; raises as `add_observations`."""
        today, reader = self.today(), self.reader
        rows = [count_as_row(_checked_count(count, reader, today)) for count in counts]
        return self._import_rows(schema.supply_counts, rows, import_name, sameness=count_sameness)

    def _versions(self, name: str) -> dict[int, int]:
        table = schema.EDITABLE[name]
        with self._store.reading() as connection:
            return {row.id: row.version for row in connection.execute(select(table.c.id, table.c.version))}


def _checked_price(observation: PriceObservation, reader: AnimalReader, today: date) -> PriceObservation:
    traits = reader(observation.what, observation.sex)
    checked = PriceObservation.model_validate(dict(observation) | {"traits": traits})
    _refuse(check_observation(checked, today=today))
    return checked


def _checked_count(count: SupplyCount, reader: AnimalReader, today: date) -> SupplyCount:
    traits = reader(count.what, Sex.UNSEXED)
    checked = SupplyCount.model_validate(dict(count) | {"traits": traits})
    _refuse(check_count(checked, today=today))
    return checked


def _refuse(faults: list[Fault]) -> None:
    if faults:
        raise NotStored("; ".join(str(fault) for fault in faults) + ". Nothing was saved.")


def _id_of(record: PriceObservation | SupplyCount) -> int:
    if record.id is None:
        raise NotStored("This row has not been stored yet, so it can't be changed.")
    return record.id
