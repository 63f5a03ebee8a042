"""What would a file add to the book? Tried against the rows of one moment; nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any

from sqlalchemy import Connection, Table, select

from dashboard.records import schema
from dashboard.records.herd.animal_record import animal_from_row
from dashboard.records.herd.herd_index import HerdIndex, herd_index
from dashboard.records.herd.pairings import PairingRecord
from dashboard.records.kinds import ROW_KINDS
from dashboard.records.kinds.kind import Around
from dashboard.records.reading import AnimalReader
from dashboard.records.spreadsheets import (
    DryRun,
    Guess,
    Herd,
    Progress,
    check_animals,
    check_figures,
    check_own_genes,
    check_pairing_figures,
    check_pairings,
    check_prices,
    check_rows,
    check_supply,
)


@dataclass(frozen=True)
class Given:
    """What holds for all rows of a file.

    Attributes
    ----------
    today, currency
        Day the book counts as today, and its money.
    reader
        Reads animals written as the trade writes them.
    whole
        Whether the rows are a whole book's, where a plan may name an animal that is gone since.
    """

    today: date
    currency: str
    reader: AnimalReader
    whole: bool = False


def try_table(
    connection: Connection, data: bytes, guess: Guess, given: Given, on_progress: Progress | None = None
) -> DryRun[Any]:
    """Try a file against the rows a transaction sees.

    Parameters
    ----------
    connection
        Inside the open transaction.
    data, guess
        The file, and how it is read.
    given
        What holds for all its rows.
    on_progress
        Told how far it is.

    Raises
    ------
    FileRefused
        If the file as a whole can't be read as the guess says.
    """
    kind, told = guess.kind, on_progress
    if kind in {"prices", "supply"}:
        return _try_market(connection, data, guess, given, told)
    if kind == "animals":
        herd = _herd(connection)
        today, money = given.today, given.currency
        return check_animals(
            data, guess, today=today, currency=money, reader=given.reader, herd=herd, on_progress=told
        )
    if kind == "pairings":
        herd = _herd(connection)
        return check_pairings(data, guess, today=given.today, herd=herd, whole=given.whole, on_progress=told)
    if kind in ROW_KINDS:
        stored = _rows(connection, ROW_KINDS[kind].table)
        around = around_of(connection, given)
        return check_rows(data, guess, ROW_KINDS[kind], around=around, stored=stored, on_progress=told)
    if kind == "own genes":
        stored = _rows(connection, schema.own_genes)
        return check_own_genes(data, guess, stored=stored, on_progress=told)
    figures = _rows(connection, schema.assumptions)
    if kind == "figures":
        return check_figures(data, guess, stored=figures, on_progress=told)
    return check_pairing_figures(
        data,
        guess,
        herd=herd_index(connection),
        figures={row["assumption"]: row["value"] for row in figures},
        stored=_rows(connection, schema.pairing_assumptions),
        on_progress=told,
    )


def around_of(connection: Connection, given: Given) -> Around:
    """What the rules of the plain tables look at."""
    return Around(given.today, given.currency, given.reader, herd_index(connection))


def _try_market(
    connection: Connection, data: bytes, guess: Guess, given: Given, told: Progress | None
) -> DryRun[Any]:
    today, reader = given.today, given.reader
    if guess.kind == "supply":
        stored = _rows(connection, schema.supply_counts)
        return check_supply(data, guess, today=today, reader=reader, stored=stored, on_progress=told)
    stored = _rows(connection, schema.price_observations)
    money = given.currency
    return check_prices(
        data, guess, today=today, currency=money, reader=reader, stored=stored, on_progress=told
    )


def _rows(connection: Connection, table: Table) -> Sequence[Mapping[str, Any]]:
    names = [column.name for column in table.columns]
    found = connection.execute(select(table).order_by(table.c.id))
    return [dict(zip(names, row, strict=True)) for row in found]


def _herd(connection: Connection) -> Herd:
    animals, pairings, further = schema.animals, schema.pairings, schema.further_sires
    index: HerdIndex = herd_index(connection)
    sires: dict[int, set[int]] = {}
    for row in connection.execute(select(further.c.pairing_id, further.c.sire_id)):
        sires.setdefault(row.pairing_id, set()).add(row.sire_id)
    return Herd(
        animals=[animal_from_row(row) for row in connection.execute(select(animals)).mappings()],
        index=index,
        pairings=[
            PairingRecord(**{part.name: row[part.name] for part in fields(PairingRecord)})
            for row in _rows(connection, pairings)
        ],
        further_sires={number: frozenset(ids) for number, ids in sires.items()},
    )
