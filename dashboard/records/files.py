"""How does a breeder's file get into the book? Tried against the book first, then added in one step."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import select

from . import schema
from .backup import back_up
from .hatchlings import HatchlingRoom
from .herd_imports import HerdImportRoom
from .imports import ImportReceipt
from .pairings import PairingRoom
from .prices import PriceRoom
from .rows import RowRoom
from .spreadsheets import (
    DryRun,
    Guess,
    check_animals,
    check_pairings,
    check_prices,
    check_supply,
)


class FileRoom(HerdImportRoom, HatchlingRoom, PairingRoom, PriceRoom, RowRoom):
    """Files that come into the book, and the plain rows that leave it."""

    def try_file(self, data: bytes, guess: Guess) -> DryRun[Any]:
        """Try a file against this book; nothing is stored.

        Raises
        ------
        FileRefused
            If the file as a whole can't be read as the guess says.
        """
        today, money = self.today(), self.currency
        if guess.kind == "prices":
            seen = self.price_observations()
            return check_prices(data, guess, today=today, currency=money, reader=self.reader, existing=seen)
        if guess.kind == "supply":
            counts = self.supply_counts()
            return check_supply(data, guess, today=today, reader=self.reader, existing=counts)
        animals = self.animals()
        if guess.kind == "animals":
            return check_animals(
                data, guess, today=today, currency=money, reader=self.reader, existing=animals
            )
        return check_pairings(data, guess, animals=animals, existing=self.pairings())

    def add_file(self, run: DryRun[Any], import_name: str, *, put_aside: bool = True) -> ImportReceipt:
        """Store the good rows of a tried file in one step, after a copy of the book was put aside.

        Raises
        ------
        BackUpFailed
            If no checked copy could be made; nothing was stored.
        NotStored
            If the book changed so that a row is no longer allowed; nothing was stored.
        """
        if put_aside and run.records:
            back_up(self._store.path, why="before import")
        add = {
            "prices": self.add_observations,
            "supply": self.add_supply_counts,
            "animals": self.add_animals,
            "pairings": self.add_pairings,
        }[run.guess.kind]
        receipt: ImportReceipt = add(run.records, import_name)  # type: ignore[operator]
        return ImportReceipt(receipt.import_id, receipt.added, receipt.duplicates + len(run.duplicates))

    def plain_rows(self, table: str) -> tuple[tuple[str, ...], Sequence[Sequence[object]]]:
        """Names of the columns and all rows of one table, as they are stored."""
        found = schema.metadata.tables[table]
        with self._store.reading() as connection:
            order = list(found.primary_key.columns)
            rows = [tuple(row) for row in connection.execute(select(found).order_by(*order))]
        return tuple(column.name for column in found.columns), rows
