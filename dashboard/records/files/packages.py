"""How does a whole book come in from a package? Into an empty book, all tables in one transaction."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlalchemy import Connection, insert, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.figures.forecasts import ShownForecast
from dashboard.records.files.storing import to_store
from dashboard.records.files.trials import Given, try_table
from dashboard.records.herd.animal_rules import with_clutch
from dashboard.records.herd.animals import animals_by_name
from dashboard.records.herd.herd_index import herd_index, place_key
from dashboard.records.log.imports import ImportReceipt, open_import
from dashboard.records.parts import BookPart
from dashboard.records.reading import AnimalReader, catalogue_reader
from dashboard.records.safety.backup import back_up
from dashboard.records.spreadsheets import DryRun, PackageFile, Progress, RefusedRow, read_package
from dashboard.records.spreadsheets.package_in import forecast_rows, package_guess
from dashboard.records.store.edits import Edit, NothingChanged
from dashboard.records.store.info_rows import put_info
from dashboard.records.text_fields import name_key, tidy

ORDER = (
    "own genes",
    "figures",
    "animals",
    "pairings",
    "further sires",
    "clutches",
    "weights",
    "gene tests",
    "prices",
    "supply",
    "pipeline",
    "exchange rates",
    "shows",
    "spending",
    "figures of pairings",
)
"""Tables so ordered that what a row names comes before it; animals are tied to clutches at their turn."""
KIND = "package"


@dataclass(frozen=True)
class PackageTable:
    """What became of one table of a package: rows it holds, rows that can be added, refused rows."""

    kind: str
    total: int
    good: int
    refused: tuple[RefusedRow, ...]


@dataclass(frozen=True)
class PackageTrial:
    """What a package would add; nothing is stored yet.

    Attributes
    ----------
    name, currency, invented
        Name and money of the book it was taken from, and whether that was a demo book.
    tables
        Tables that hold any rows, in the order in which they are added.
    forecasts
        Forecasts that would be kept.
    """

    name: str
    currency: str
    invented: bool
    tables: tuple[PackageTable, ...]
    forecasts: int

    @property
    def total(self) -> int:
        """Rows of all tables."""
        return sum(table.total for table in self.tables)

    @property
    def good(self) -> int:
        """Rows that can be added."""
        return sum(table.good for table in self.tables)

    @property
    def refused(self) -> int:
        """Rows that can't be added."""
        return self.total - self.good

    @property
    def sentence(self) -> str:
        """Outcome in one sentence."""
        said = f"{self.good} of {self.total} rows can be added"
        if self.refused:
            said += f"; {self.refused} {'was' if self.refused == 1 else 'were'} refused"
        return said


class PackageRoom(BookPart):
    """A whole book that comes in."""

    def try_package(self, data: bytes, *, on_progress: Progress | None = None) -> PackageTrial:
        """Try a package against this book; nothing is stored.

        Parameters
        ----------
        data
            The zip that `export_package` wrote.
        on_progress
            Told how many tables are done, of how many; whatever it raises ends the trial.

        Raises
        ------
        FileRefused
            If it is no such package.
        NotStored
            If this book is the demo, or not empty.
        """
        package = read_package(data)
        runs: list[DryRun[Any]] = []
        kept = 0
        with self._store.editing("Tried a package") as edit:
            runs, kept = self._fill(edit, package, None, on_progress)
            raise NothingChanged
        return _trial(package, runs, kept)

    def add_package(
        self, data: bytes, import_name: str, *, on_progress: Progress | None = None
    ) -> ImportReceipt:
        """Store the good rows of a package in one step; one undo takes all of them back.

        The book takes over the package's currency. Forecasts that were shown are kept with it; they are
        no edit of the breeder's, so undo leaves them.

        Raises
        ------
        FileRefused, NotStored
            As `try_package`, or if a row can't be stored; then nothing is.
        BackUpFailed
            If no checked copy could be made; nothing was stored.
        """
        package = read_package(data)
        name = tidy(import_name, what="The name of the import", longest=200)
        back_up(self._store.place, why="before import")
        receipt = ImportReceipt(None, 0, 0)
        with self._store.editing(f"Imported {name}") as edit:
            import_id = open_import(edit, KIND, name, added=0)
            runs, _ = self._fill(edit, package, import_id, on_progress)
            added = sum(len(run.good) for run in runs)
            if not added:
                raise NothingChanged
            counted = schema.imports.update().where(schema.imports.c.id == import_id)
            edit.connection.execute(counted.values(added=added))
            edit.log_import(schema.animals, import_id)
            receipt = ImportReceipt(import_id, added, 0)
        return receipt  # noqa: RET504 - an edit that changes nothing ends the block early

    def _fill(
        self, edit: Edit, package: PackageFile, import_id: int | None, on_progress: Progress | None
    ) -> tuple[list[DryRun[Any]], int]:
        """Try and store table after table inside an edit; gives the runs and the number of forecasts."""
        _check_empty(edit.connection)
        put_info(edit.connection, {"currency": package.currency})
        number = import_id or open_import(edit, KIND, KIND, added=0)
        given = Given(self.today(), package.currency, self.reader, whole=True)
        runs: list[DryRun[Any]] = []
        for place, kind in enumerate(ORDER):
            if on_progress is not None:
                on_progress(place, len(ORDER))
            run = _stored(edit, package, kind, given, number)
            if run is not None:
                runs.append(run)
            if kind == "own genes":
                given = replace(given, reader=_reader_with(edit.connection, given.reader))
            if kind == "clutches":
                _tie_to_clutches(edit, package)
        return runs, _keep_forecasts(edit.connection, package.forecasts)


def _check_empty(connection: Connection) -> None:
    said = {row.key: row.value for row in connection.execute(select(schema.info))}
    if said.get("is_demo") == "yes":
        raise NotStored("This is the demo book. Open your own book first, then bring the package in.")
    for table in schema.EDITABLE.values():
        if connection.execute(select(table.c.id).limit(1)).first() is not None:
            raise NotStored("A whole book comes into an empty book only, and this one holds rows already.")


def _stored(edit: Edit, package: PackageFile, kind: str, given: Given, import_id: int) -> DryRun[Any] | None:
    """Try one table and store its good rows; None if the package has none of it."""
    data = package.tables.get(kind)
    guess = None if data is None else package_guess(kind, data)
    if data is None or guess is None:
        return None
    if kind == "animals":  # tied once the clutches are there
        columns = {name: place for name, place in guess.columns.items() if name != "clutch"}
        guess = replace(guess, columns=columns)
    run = try_table(edit.connection, data, guess, given)
    if run.records:
        new = to_store(edit.connection, run, given)
        new.put(edit, new.rows, import_id)
    return run


def _reader_with(connection: Connection, reader: AnimalReader) -> AnimalReader:
    """Reader that knows the genes that came with the package."""
    import json

    rows = connection.execute(select(schema.own_genes.c.name, schema.own_genes.c.definition))
    own = {row.name: json.loads(row.definition) for row in rows}
    if not own:
        return reader
    from genetics import load_catalogue
    from genetics.genes.own_genes import catalogue_with

    return catalogue_reader(catalogue_with(load_catalogue(), own))


def _tie_to_clutches(edit: Edit, package: PackageFile) -> None:
    """Say of each animal which clutch it hatched from, as the package says.

    Raises
    ------
    NotStored
        If a clutch is not there or of other parents.
    """
    data = package.tables.get("animals")
    guess = None if data is None else package_guess("animals", data)
    if data is None or guess is None or "clutch" not in guess.columns:
        return
    from dashboard.records.spreadsheets.cells import as_text
    from dashboard.records.spreadsheets.guess import read_lines

    connection, table = edit.connection, schema.animals
    known, clutches = animals_by_name(connection), herd_index(connection).clutch_ids()
    for line in read_lines(data, guess):
        cells = {n: as_text(line.cells[i]) for n, i in guess.columns.items() if i < len(line.cells)}
        animal, written = known.get(name_key(cells.get("name", ""))), cells.get("clutch", "")
        if animal is None or not written:
            continue
        number = clutches.get(place_key(written))
        if number is None:
            raise NotStored(f"The clutch of {animal.name}, {written}, is not in the package.")
        row = with_clutch(connection, {**vars(animal), "sex": animal.sex.value, "clutch_id": number})
        tied = {name: row[name] for name in ("clutch_id", "sire_id", "dam_id", "hatched")}
        connection.execute(table.update().where(table.c.id == animal.id).values(**tied))


def _keep_forecasts(connection: Connection, data: bytes) -> int:
    """Keep the forecasts of a package that are not there yet; gives how many."""
    table = schema.forecasts
    known = connection.execute(select(table.c.made_on, table.c.trait, table.c.horizon))
    seen: set[tuple[Any, ...]] = {tuple(row) for row in known}
    fresh: list[Mapping[str, Any]] = []
    for row in forecast_rows(data) if data else ():
        made = _forecast(row)
        key = (made.made_on, made.trait, made.horizon)
        if key not in seen:
            seen.add(key)
            fresh.append(vars(made))
    if fresh:
        connection.execute(insert(table), fresh)
    return len(fresh)


def _forecast(row: Mapping[str, str]) -> ShownForecast:
    """One forecast of a package; raises `NotStored` if it can't be one."""
    try:
        made = ShownForecast(
            made_on=date.fromisoformat(row["made_on"]),
            trait=tidy(row["trait"], what="The trait", longest=200),
            horizon=date.fromisoformat(row["horizon"]),
            log_mean=float(row["log_mean"]),
            level_sd=float(row["level_sd"]),
            sale_sd=float(row["sale_sd"]),
        )
    except (KeyError, TypeError, ValueError) as fault:
        raise NotStored(f"A forecast of the package can't be read ({fault}).") from fault
    spreads = (made.log_mean, made.level_sd, made.sale_sd)
    if made.horizon < made.made_on or not all(map(math.isfinite, spreads)) or min(spreads[1:]) < 0:
        raise NotStored(f"The forecast of {made.trait} in the package can't be kept.")
    return made


def _trial(package: PackageFile, runs: Sequence[DryRun[Any]], kept: int) -> PackageTrial:
    tables = tuple(PackageTable(run.guess.kind, run.total, len(run.good), run.refused) for run in runs)
    return PackageTrial(package.name, package.currency, package.invented, tables, kept)
