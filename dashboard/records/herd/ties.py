"""What of a hatchling comes from its clutch? Parents and day follow when the clutch is put right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, select

from dashboard.records import schema
from dashboard.records.store.edits import Edit


@dataclass(frozen=True)
class _Ties:
    """What a clutch tells of its young: dam, possible sires, and day the first one hatched."""

    dam_id: int
    sires: frozenset[int]
    hatched_on: date | None


@contextmanager
def young_follow(edit: Edit) -> Iterator[None]:
    """Let the young of every clutch that is changed inside keep to it, each logged in the same edit.

    A sire that is the only one possible is each young's sire. Where there are several, what was said
    stays as long as it is possible; a sire nobody said, taken because he was the only one, does not.
    A day of hatching follows where it was that of the clutch.
    """
    before = _ties(edit.connection)
    yield
    table = schema.animals
    for clutch_id, now in _ties(edit.connection).items():
        earlier = before.get(clutch_id)
        if earlier is None or earlier == now:
            continue
        young = edit.connection.execute(select(table).where(table.c.clutch_id == clutch_id))
        for row in young.mappings().all():
            wanted = _followed(row, earlier, now)
            changed = {name: value for name, value in wanted.items() if value != row[name]}
            if changed:
                edit.update(table, row["id"], row["version"], changed, what=f"Animal {row['name']}")


def _followed(row: Mapping[Any, Any], earlier: _Ties, now: _Ties) -> dict[str, Any]:
    sire = row["sire_id"]
    if len(now.sires) == 1:
        sire = next(iter(now.sires))
    elif sire not in now.sires or len(earlier.sires) == 1:
        sire = None
    hatched = now.hatched_on if row["hatched"] == earlier.hatched_on else row["hatched"]
    return {"sire_id": sire, "dam_id": now.dam_id, "hatched": hatched}


def _ties(connection: Connection) -> dict[int, _Ties]:
    """What each clutch of the book tells of its young."""
    pairings, clutches, further = schema.pairings, schema.clutches, schema.further_sires
    sires: dict[int, set[int]] = {}
    for row in connection.execute(select(pairings.c.id, pairings.c.sire_id)):
        sires.setdefault(row.id, set()).add(row.sire_id)
    for other in connection.execute(select(further.c.pairing_id, further.c.sire_id)):
        sires.setdefault(other.pairing_id, set()).add(other.sire_id)
    found = select(clutches.c.id, clutches.c.pairing_id, clutches.c.hatched_on, pairings.c.dam_id)
    rows = connection.execute(found.join(pairings, clutches.c.pairing_id == pairings.c.id))
    return {row.id: _Ties(row.dam_id, frozenset(sires[row.pairing_id]), row.hatched_on) for row in rows}
