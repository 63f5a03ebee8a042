"""Is every text and number small enough for every database? Refused here with our own sentence."""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import BigInteger, Connection, Engine, Integer, SmallInteger, String, event
from sqlalchemy.types import TypeEngine

from dashboard.records.faults import NotStored

_LARGEST: Final = ((BigInteger, 2**63 - 1), (SmallInteger, 2**15 - 1), (Integer, 2**31 - 1))


def refuse_what_is_too_long(engine: Engine) -> None:
    """Check every row that is added or changed; SQLite would keep what another database refuses."""

    @event.listens_for(engine, "before_cursor_execute")
    def _check(
        connection: Connection,  # noqa: ARG001 - the hook's shape
        cursor: object,  # noqa: ARG001
        statement: str,  # noqa: ARG001
        parameters: object,  # noqa: ARG001
        context: Any,
        executemany: bool,  # noqa: ARG001, FBT001
    ) -> None:
        if not (context.isinsert or context.isupdate):
            return
        texts, numbers = _limits(context.compiled.binds)
        for row in context.compiled_parameters:
            for name, longest in texts:
                value = row.get(name)
                if isinstance(value, str) and len(value) > longest:
                    _refuse_text(name, len(value), longest)
            for name, largest in numbers:
                value = row.get(name)
                if isinstance(value, int) and abs(value) > largest:
                    raise NotStored(
                        f"The {_plain(name)} is {value}; numbers up to {largest} are kept. Nothing was saved."
                    )


def _limits(binds: dict[str, Any]) -> tuple[list[tuple[str, int]], list[tuple[str, int]]]:
    texts, numbers = [], []
    for name, bind in binds.items():
        kind: TypeEngine[Any] = bind.type
        if isinstance(kind, String) and kind.length is not None:
            texts.append((name, kind.length))
        largest = next((limit for each, limit in _LARGEST if isinstance(kind, each)), None)
        if largest is not None:
            numbers.append((name, largest))
    return texts, numbers


def _refuse_text(name: str, found: int, longest: int) -> None:
    raise NotStored(
        f"The {_plain(name)} has {found} characters; at most {longest} are kept. Nothing was saved."
    )


def _plain(name: str) -> str:
    return {"name_key": "name", "on": "day"}.get(name, name.replace("_", " "))
