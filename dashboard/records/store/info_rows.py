"""What does a book say of itself, line by line, and which edit was the last?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from sqlalchemy import Connection, insert, select, update

from dashboard.records.schema import info

COUNTER: Final = "data_version"


def read_info(connection: Connection) -> dict[str, str]:
    """Read all that the book says of itself."""
    return {row.key: row.value for row in connection.execute(select(info))}


def put_info(connection: Connection, values: Mapping[str, str]) -> None:
    """Write some of what the book says of itself."""
    for key, value in values.items():
        changed = connection.execute(update(info).where(info.c.key == key).values(value=value))
        if changed.rowcount == 0:
            connection.execute(insert(info).values(key=key, value=value))


def read_counter(connection: Connection) -> int:
    """Read the number of the last edit as this transaction sees it."""
    return int(connection.execute(select(info.c.value).where(info.c.key == COUNTER)).scalar_one())
