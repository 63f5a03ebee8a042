"""How is one row written? Every insert, change and removal is versioned and logged here."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, Date, Table, delete, insert, select, update

from dashboard.records import schema
from dashboard.records.faults import Conflict, NotStored


class NothingChanged(Exception):
    """An edit that turns out to change nothing: it is not counted and not logged."""


@dataclass(frozen=True)
class Edit:
    """One transaction of the breeder's: its number is the version of every row it writes.

    Attributes
    ----------
    connection
        Connection inside the open write transaction.
    number
        Number of the edit; grows by one with each.
    at
        Time, ISO 8601 in UTC.
    sentence
        What was done, for the list of changes.
    undoes
        Number of the edit it takes back, if it takes one back.
    """

    connection: Connection
    number: int
    at: str
    sentence: str
    undoes: int | None = None

    def insert(self, table: Table, values: Mapping[str, Any]) -> int:
        """Store a new row and log it; gives its id."""
        row = dict(values) | {"version": self.number}
        result = self.connection.execute(insert(table).values(**row))
        key = result.inserted_primary_key
        row_id = int(key[0]) if key is not None else 0
        self.log(table, row_id, before=None, after=self._now(table, row_id))
        return row_id

    def update(
        self, table: Table, row_id: int, version: int, values: Mapping[str, Any], *, what: str
    ) -> None:
        """Change a row that still has the version the breeder saw.

        Raises
        ------
        Conflict
            If it was changed since; carries both values.
        NotStored
            If it is no longer there.
        """
        before = self._checked(table, row_id, version, values, what=what)
        self.connection.execute(
            update(table).where(table.c.id == row_id).values(**dict(values), version=self.number)
        )
        self.log(table, row_id, before=before, after=self._now(table, row_id))

    def delete(self, table: Table, row_id: int, version: int, *, what: str) -> None:
        """Remove a row that still has the version the breeder saw; raises as `update`."""
        before = self._checked(table, row_id, version, {}, what=what)
        self.connection.execute(delete(table).where(table.c.id == row_id))
        self.log(table, row_id, before=before, after=None)

    def log_import(self, table: Table, import_id: int) -> None:
        """Log a whole import as one change."""
        self.connection.execute(
            insert(schema.changes).values(
                edit=self.number,
                at=self.at,
                sentence=self.sentence,
                table_name=table.name,
                row_id=import_id,
                import_id=import_id,
                undoes=self.undoes,
            )
        )

    def _checked(
        self, table: Table, row_id: int, version: int, values: Mapping[str, Any], *, what: str
    ) -> dict[str, Any]:
        stored = read_row(self.connection, table, row_id)
        if stored is None:
            raise NotStored(f"{what} is no longer in the book. Nothing was saved.")
        if stored["version"] == version:
            return stored
        differing = {name: value for name, value in values.items() if stored[name] != value}
        raise Conflict(
            what,
            yours=differing,
            stored={name: stored[name] for name in differing},
            stored_version=int(stored["version"]),
            changed_at=self._written_at(int(stored["version"])),
        )

    def _written_at(self, version: int) -> str:
        found = self.connection.execute(
            select(schema.changes.c.at).where(schema.changes.c.edit == version).limit(1)
        ).scalar_one_or_none()
        return str(found or "")

    def _now(self, table: Table, row_id: int) -> dict[str, Any] | None:
        return read_row(self.connection, table, row_id)

    def log(
        self, table: Table, row_id: int, *, before: dict[str, Any] | None, after: dict[str, Any] | None
    ) -> None:
        """Log what a row said before and says now; None where there was or is no row."""
        self.connection.execute(
            insert(schema.changes).values(
                edit=self.number,
                at=self.at,
                sentence=self.sentence,
                table_name=table.name,
                row_id=row_id,
                before=None if before is None else row_as_text(before),
                after=None if after is None else row_as_text(after),
                undoes=self.undoes,
            )
        )


def read_row(connection: Connection, table: Table, row_id: int) -> dict[str, Any] | None:
    """One row as a dictionary, or None."""
    found = connection.execute(select(table).where(table.c.id == row_id)).mappings().one_or_none()
    return None if found is None else dict(found)


def row_as_text(row: Mapping[str, Any]) -> str:
    """Row as JSON, dates in ISO 8601; without its version, which belongs to the edit."""
    kept = {name: value for name, value in row.items() if name != "version"}
    plain = {n: v.isoformat() if isinstance(v, date) else v for n, v in kept.items()}
    return json.dumps(plain, ensure_ascii=False, sort_keys=True)


def row_from_text(table: Table, text: str) -> dict[str, Any]:
    """Row as it was written by `row_as_text`."""
    row: dict[str, Any] = json.loads(text)
    for column in table.columns:
        if isinstance(column.type, Date) and row.get(column.name) is not None:
            row[column.name] = date.fromisoformat(row[column.name])
    return row


def same_content(row: Mapping[str, Any], text: str) -> bool:
    """Whether a stored row still says what a log entry says (its version aside)."""
    return row_as_text(row) == text
