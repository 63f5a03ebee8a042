"""How do the good rows of a tried file become rows of the book? Checked once more by their table's rules."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from sqlalchemy import Connection, Table

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.files.trials import Given, around_of
from dashboard.records.herd.animal_record import EMPTY
from dashboard.records.herd.animal_rules import own_fields
from dashboard.records.herd.animals import animals_by_name, insert_animals
from dashboard.records.herd.herd_imports import AnimalDraft, animal_sameness, pairing_row, pairing_sameness
from dashboard.records.herd.pairings import check_couple, pairing_fields
from dashboard.records.kinds import ROW_KINDS
from dashboard.records.kinds.rows import row_sameness
from dashboard.records.log.imports import Put, Sameness, put_in
from dashboard.records.market.price_rows import count_sameness, price_sameness, traits_as_text
from dashboard.records.spreadsheets import DryRun, Progress
from genetics.genes.traits import Sex

Row = Mapping[str, Any]

_FIGURE_TABLES = {
    "figures": schema.assumptions,
    "figures of pairings": schema.pairing_assumptions,
    "own genes": schema.own_genes,
}


@dataclass(frozen=True)
class ToStore:
    """Rows of one table, ready to be stored.

    Attributes
    ----------
    table, rows
        The table, and its rows without number, version and import.
    sameness
        Gives what two rows must share to be the same.
    put
        Stores them inside an edit.
    """

    table: Table
    rows: Sequence[Row]
    sameness: Sameness
    put: Put


def to_store(
    connection: Connection, run: DryRun[Any], given: Given, on_progress: Progress | None = None
) -> ToStore:
    """Rows of a tried file, checked once more.

    Raises
    ------
    NotStored
        If one is no longer allowed.
    """
    kind, records = run.guess.kind, run.records
    if kind == "prices":
        table = schema.price_observations
        return ToStore(table, _prices(records, given), price_sameness, put_in(table, on_progress))
    if kind == "supply":
        table = schema.supply_counts
        return ToStore(table, _counts(records, given), count_sameness, put_in(table, on_progress))
    if kind == "animals":
        rows: Sequence[Row] = [_animal(draft, given) for draft in records]
        return ToStore(schema.animals, rows, animal_sameness, insert_animals)
    if kind == "pairings":
        rows = _pairings(connection, records, given)
        return ToStore(schema.pairings, rows, pairing_sameness, put_in(schema.pairings, on_progress))
    if kind in ROW_KINDS:
        plain = ROW_KINDS[kind]
        around = around_of(connection, given)
        rows = [plain.check(row, around) for row in records]
        return ToStore(
            plain.table, rows, lambda row: row_sameness(plain, row), put_in(plain.table, on_progress)
        )
    table = _FIGURE_TABLES[kind]
    return ToStore(table, records, _whole_row, put_in(table, on_progress))


def _whole_row(row: Mapping[Any, Any]) -> Hashable:
    return tuple(sorted((name, row[name]) for name in row if name not in {"id", "version", "import_id"}))


def _prices(records: Sequence[Any], given: Given) -> Sequence[Row]:
    """Columns of prices; each distinct animal is read again, by the genes of this moment."""
    read: dict[tuple[str, Any], str] = {}
    rows = []
    for seen in records:
        key = (seen.what, seen.sex)
        if key not in read:
            read[key] = traits_as_text(given.reader(seen.what, seen.sex))
        _check_day(seen.on, given)
        values = vars(seen)
        row = {name: values[name] for name in _PRICE_COLUMNS}
        row["sex"], row["traits"] = seen.sex.value, read[key]
        rows.append(row)
    return rows


_PRICE_COLUMNS = ("on", "what", "sex", "stage", "kind", "price_minor", "currency", "channel", "quantity")


def _counts(records: Sequence[Any], given: Given) -> Sequence[Row]:
    read: dict[str, str] = {}
    rows = []
    for count in records:
        if count.what not in read:
            read[count.what] = traits_as_text(given.reader(count.what, Sex.UNSEXED))
        _check_day(count.on, given)
        rows.append(
            {"on": count.on, "what": count.what, "traits": read[count.what], "offered": count.offered}
        )
    return rows


def _check_day(on: Any, given: Given) -> None:
    if on > given.today:
        raise NotStored(f"{on.isoformat()} lies after today ({given.today.isoformat()}). Nothing was saved.")


def _animal(draft: AnimalDraft, given: Given) -> Row:
    names = {"sire": draft.sire, "dam": draft.dam, "clutch": draft.clutch}
    own = {name: value for name, value in asdict(draft).items() if name not in names}
    row = own_fields({**EMPTY, **own}, today=given.today, currency=given.currency, reader=given.reader)
    return row | names


def _pairings(connection: Connection, records: Sequence[Any], given: Given) -> Sequence[Row]:
    known = animals_by_name(connection)
    ids = {key: animal.id for key, animal in known.items()}
    by_id = {animal.id: animal for animal in known.values()}
    rows = []
    for draft in records:
        row = pairing_fields(**pairing_row(draft, ids), today=given.today)
        sire, dam = by_id[row["sire_id"]], by_id[row["dam_id"]]
        ahead = row["season"] >= given.today.year and not given.whole
        check_couple(sire, dam, season=row["season"], planned=bool(row["planned"]) and ahead)
        rows.append(row)
    return rows
