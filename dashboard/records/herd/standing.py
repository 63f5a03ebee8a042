"""Which rows of the herd can't be true together? An edit may leave no more of them than it found."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Select, exists, extract, or_, select

from dashboard.records import schema
from dashboard.records.faults import NotStored

_ANIMALS, _PAIRINGS, _CLUTCHES = schema.animals, schema.pairings, schema.clutches
_FURTHER = schema.further_sires
_PLACES = (("sire_id", "male", "sire"), ("dam_id", "female", "dam"))


@contextmanager
def standing(connection: Connection) -> Iterator[None]:
    """Refuse an edit after which rows of the herd contradict each other that did not before.

    What an older program or a shared table left is let be.

    Raises
    ------
    NotStored
        With the contradiction in one sentence.
    """
    before = herd_faults(connection)
    yield
    new = sorted(herd_faults(connection) - before)
    if new:
        raise NotStored(new[0])


def herd_faults(connection: Connection) -> frozenset[str]:
    """All contradictions among animals, pairings, clutches, weights and tests, each in a sentence."""
    return frozenset(
        (
            *_of_parents(connection),
            *_of_facts(connection),
            *_of_pairings(connection),
            *_of_clutches(connection),
            *_of_ancestry(connection),
        )
    )


def _of_parents(connection: Connection) -> Iterator[str]:
    """Parents of the wrong sex, or not older than their young."""
    parent = _ANIMALS.alias("parent")
    for column, sex, word in _PLACES:
        related = select(
            _ANIMALS.c.name, _ANIMALS.c.hatched, parent.c.name.label("parent"), parent.c.sex,
            parent.c.hatched.label("earlier"),
        ).join(parent, _ANIMALS.c[column] == parent.c.id)  # fmt: skip
        for row in connection.execute(related.where(parent.c.sex != sex)):
            yield f"{row.parent} is the {word} of {row.name}, so it must be {sex}."
        for row in connection.execute(related.where(parent.c.hatched >= _ANIMALS.c.hatched)):
            days = f"{row.earlier.isoformat()}, not before its young {row.name} ({row.hatched.isoformat()})"
            yield f"{row.parent} hatched on {days}."


def _of_facts(connection: Connection) -> Iterator[str]:
    """Weights and tests from before an animal hatched."""
    for table, word in ((schema.weights, "weighed"), (schema.gene_tests, "tested")):
        facts = select(_ANIMALS.c.name, _ANIMALS.c.hatched, table.c.on)
        early = facts.join(table, table.c.animal_id == _ANIMALS.c.id).where(table.c.on < _ANIMALS.c.hatched)
        for row in connection.execute(early):
            yield f"{row.name} was {word} on {row.on.isoformat()}, before {row.hatched.isoformat()}."


def _of_pairings(connection: Connection) -> Iterator[str]:
    """Animals of the wrong sex or too young in a pairing, and a further sire who is the sire."""
    season = _PAIRINGS.c.season
    for column, sex, word in _PLACES:
        pairs = _paired(column)
        for row in connection.execute(pairs.where(_ANIMALS.c.sex != sex)):
            yield f"{row.name} is the {word} of a pairing of {row.season}, so it must be {sex}."
        for row in connection.execute(pairs.where(extract("year", _ANIMALS.c.hatched) >= season)):
            yield f"{row.name} hatched on {row.hatched.isoformat()}, too late for eggs in {row.season}."
    further = _paired("sire_id", _FURTHER)
    for row in connection.execute(further.where(_ANIMALS.c.sex != "male")):
        yield f"{row.name} is a further sire in {row.season}, so it must be male."
    for row in connection.execute(further.where(_FURTHER.c.sire_id == _PAIRINGS.c.sire_id)):
        yield f"{row.name} is a further sire of the pairing of which it is the sire ({row.season})."


def _paired(column: str, table: Any = _PAIRINGS) -> Select[Any]:
    """Animals of one place of the pairings, with the season."""
    found = select(_ANIMALS.c.name, _ANIMALS.c.hatched, _PAIRINGS.c.season).select_from(table)
    if table is not _PAIRINGS:
        found = found.join(_PAIRINGS, table.c.pairing_id == _PAIRINGS.c.id)
    return found.join(_ANIMALS, table.c[column] == _ANIMALS.c.id)


def _of_clutches(connection: Connection) -> Iterator[str]:
    """Young that name other parents than their clutch."""
    young = select(_ANIMALS.c.name).join(_CLUTCHES, _ANIMALS.c.clutch_id == _CLUTCHES.c.id)
    young = young.join(_PAIRINGS, _CLUTCHES.c.pairing_id == _PAIRINGS.c.id)
    other = or_(_ANIMALS.c.dam_id.is_(None), _ANIMALS.c.dam_id != _PAIRINGS.c.dam_id)
    for row in connection.execute(young.where(other)):
        yield f"{row.name} names another dam than its clutch."
    with_her = exists().where(
        _FURTHER.c.pairing_id == _PAIRINGS.c.id, _FURTHER.c.sire_id == _ANIMALS.c.sire_id
    )
    strange = young.where(_ANIMALS.c.sire_id != _PAIRINGS.c.sire_id, ~with_her)
    for row in connection.execute(strange):
        yield f"The sire of {row.name} was not with the dam of its clutch."


def _of_ancestry(connection: Connection) -> Iterator[str]:
    """Animals that descend from themselves."""
    query = select(_ANIMALS.c.id, _ANIMALS.c.name, _ANIMALS.c.sire_id, _ANIMALS.c.dam_id)
    rows = {row.id: row for row in connection.execute(query)}
    parents = {number: {row.sire_id, row.dam_id} & rows.keys() for number, row in rows.items()}
    young: dict[int, list[int]] = {number: [] for number in rows}
    for number, ancestors in parents.items():
        for parent in ancestors:
            young[parent].append(number)
    waiting = {number: len(ancestors) for number, ancestors in parents.items()}
    ready = [number for number, count in waiting.items() if not count]
    while ready:
        done = ready.pop()
        del waiting[done]
        for number in young[done]:
            waiting[number] -= 1
            if not waiting[number]:
                ready.append(number)
    if waiting:
        yield f"{', '.join(sorted(rows[number].name for number in waiting)[:3])} would descend from itself."
