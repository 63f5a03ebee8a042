"""How does a breeder's file get into the book? Tried against the book first, then added in one step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import select

from dashboard.records import schema
from dashboard.records.files.packages import PackageRoom
from dashboard.records.files.storing import to_store
from dashboard.records.files.trials import Given, try_table
from dashboard.records.herd.hatchlings import HatchlingRoom
from dashboard.records.herd.herd_imports import HerdImportRoom
from dashboard.records.herd.pairings import PairingRoom
from dashboard.records.kinds.rows import RowRoom
from dashboard.records.log.imports import ImportReceipt
from dashboard.records.market.prices import PriceRoom
from dashboard.records.safety.backup import back_up
from dashboard.records.spreadsheets import DryRun, Guess, Progress


class FileRoom(PackageRoom, HerdImportRoom, HatchlingRoom, PairingRoom, PriceRoom, RowRoom):
    """Files that come into the book, and the plain rows that leave it."""

    def try_file(self, data: bytes, guess: Guess, *, on_progress: Progress | None = None) -> DryRun[Any]:
        """Try a file against this book; nothing is stored.

        Parameters
        ----------
        data, guess
            The file, and how it is read.
        on_progress
            Told how many lines are done, of how many; whatever it raises ends the trial.

        Raises
        ------
        FileRefused
            If the file as a whole can't be read as the guess says.
        """
        given = self._given()
        with self._store.reading() as connection:
            return try_table(connection, data, guess, given, on_progress)

    def add_file(
        self,
        run: DryRun[Any],
        import_name: str,
        *,
        put_aside: bool = True,
        on_progress: Progress | None = None,
    ) -> ImportReceipt:
        """Store the good rows of a tried file in one step, after a copy of the book was put aside.

        Parameters
        ----------
        run
            What `try_file` gave.
        import_name
            What the import is called in the list of imports.
        put_aside
            Whether the book is backed up first.
        on_progress
            Told how many rows are stored, of how many; whatever it raises ends the import, and nothing is
            stored.

        Raises
        ------
        BackUpFailed
            If no checked copy could be made; nothing was stored.
        NotStored
            If the book changed so that a row is no longer allowed; nothing was stored.
        """
        if put_aside and run.records:
            back_up(self._store.place, why="before import")
        with self._store.reading() as connection:
            new = to_store(connection, run, self._given(), on_progress)
        receipt = self._import_rows(
            new.table, new.rows, import_name, sameness=new.sameness, put=new.put, on_progress=on_progress
        )
        return ImportReceipt(receipt.import_id, receipt.added, receipt.duplicates + len(run.duplicates))

    def plain_rows(self, table: str) -> tuple[tuple[str, ...], Sequence[Sequence[object]]]:
        """Names of the columns and all rows of one table, as they are stored."""
        found = schema.metadata.tables[table]
        with self._store.reading() as connection:
            order = list(found.primary_key.columns)
            rows = [tuple(row) for row in connection.execute(select(found).order_by(*order))]
        return tuple(column.name for column in found.columns), rows

    def named_rows(self, table: str) -> Sequence[Mapping[str, Any]]:
        """All rows of one table by the names of their columns, as they are stored."""
        names, rows = self.plain_rows(table)
        return [dict(zip(names, row, strict=True)) for row in rows]

    def _given(self) -> Given:
        return Given(self.today(), self.currency, self.reader)
