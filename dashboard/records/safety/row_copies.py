"""How do all rows of one database get into another, whatever the order in which they need each other?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, MetaData, Table, bindparam, delete, func, insert, select, text, update
from sqlalchemy import event as events

_BATCH: Final = 1000


@dataclass(frozen=True)
class Step:
    """One table in the order of filling; `late` are columns that point to rows written later on."""

    table: Table
    late: tuple[str, ...]


def order_of_filling(tables: Sequence[Table]) -> tuple[Step, ...]:
    """Order tables so that each comes after those it must point to.

    A column that may be empty and points to the same table, or to one that comes later, is filled
    at the end.
    """
    steps: list[Step] = []
    done: set[str] = set()
    waiting = list(tables)
    while waiting:
        ready = [t for t in waiting if _targets(t, needed=False) - {t.name} <= done]
        ready = ready or [t for t in waiting if _targets(t, needed=True) <= done]
        if not ready:
            raise ValueError(f"the tables {[t.name for t in waiting]} need each other")
        table = ready[0]
        waiting.remove(table)
        steps.append(Step(table, tuple(name for name, target in _points(table) if target not in done)))
        done.add(table.name)
    return tuple(steps)


def _points(table: Table) -> list[tuple[str, str]]:
    return [(key.parent.name, key.column.table.name) for key in table.foreign_keys]


def _targets(table: Table, *, needed: bool) -> set[str]:
    keys = [key for key in table.foreign_keys if not (needed and key.parent.nullable)]
    return {key.column.table.name for key in keys}


def copy_rows(source: Connection, target: Connection, tables: Sequence[Table]) -> dict[str, int]:
    """Write every row of the source into the empty tables of the target; gives how many a table."""
    counts: dict[str, int] = {}
    steps = order_of_filling(tables)
    for step in steps:
        counts[step.table.name] = 0
        for rows in _rows(source, step.table):
            target.execute(insert(step.table), [row | dict.fromkeys(step.late) for row in rows])
            counts[step.table.name] += len(rows)
    for step in steps:
        for name in step.late:
            _fill_late(source, target, step.table, name)
    return counts


def _rows(source: Connection, table: Table) -> Iterator[list[dict[str, Any]]]:
    query = select(table).order_by(*table.primary_key.columns)
    found = source.execute(query.execution_options(yield_per=_BATCH)).mappings()
    for part in found.partitions(_BATCH):
        yield [dict(row) for row in part]


def _fill_late(source: Connection, target: Connection, table: Table, name: str) -> None:
    column = table.c[name]
    found = source.execute(select(table.c.id, column).where(column.is_not(None))).all()
    change = update(table).where(table.c.id == bindparam("row")).values({name: bindparam("points_to")})
    for start in range(0, len(found), _BATCH):
        part = found[start : start + _BATCH]
        target.execute(change, [{"row": row_id, "points_to": value} for row_id, value in part])


def remove_rows(connection: Connection, tables: Sequence[Table]) -> None:
    """Empty the tables, those that others point to last."""
    steps = order_of_filling(tables)
    for step in steps:
        for name in step.late:
            connection.execute(update(step.table).values({name: None}))
    for step in reversed(steps):
        connection.execute(delete(step.table))


def count_rows(connection: Connection, tables: Sequence[Table]) -> dict[str, int]:
    """Count the rows of each table."""
    return {
        table.name: int(connection.execute(select(func.count()).select_from(table)).scalar_one())
        for table in tables
    }


def tables_of(connection: Connection) -> tuple[Table, ...]:
    """Read which tables a book of any version has, with column types that every database knows."""
    found = MetaData()

    @events.listens_for(found, "column_reflect")
    def _generic(inspector: object, table: object, column: Any) -> None:  # noqa: ARG001 - the hook's shape
        column["type"] = column["type"].as_generic()

    found.reflect(connection)
    return tuple(table for name, table in sorted(found.tables.items()) if name != "alembic_version")


def read_numbers(connection: Connection, tables: Sequence[Table]) -> dict[str, int]:
    """Read the highest number each table has ever given to a row, rows that are gone included."""
    if connection.dialect.name == "sqlite":
        rows = connection.execute(text("SELECT name, seq FROM sqlite_sequence"))
        return {row.name: int(row.seq) for row in rows}
    query = text("SELECT pg_sequence_last_value(CAST(pg_get_serial_sequence(:name, 'id') AS regclass))")
    numbered = [table.name for table in tables if "id" in table.c]
    found = {name: connection.execute(query, {"name": name}).scalar_one() for name in numbered}
    return {name: int(number) for name, number in found.items() if number is not None}


def raise_numbers(connection: Connection, numbers: dict[str, int]) -> None:
    """Have each table count on from at least these numbers, so that none is given twice."""
    if connection.dialect.name == "sqlite":
        for name, number in numbers.items():
            row = {"name": name, "number": number}
            connection.execute(text("DELETE FROM sqlite_sequence WHERE name = :name"), row)
            connection.execute(text("INSERT INTO sqlite_sequence (name, seq) VALUES (:name, :number)"), row)
        return
    query = text("SELECT setval(CAST(pg_get_serial_sequence(:name, 'id') AS regclass), :number)")
    for name, number in numbers.items():
        connection.execute(query, {"name": name, "number": number})
