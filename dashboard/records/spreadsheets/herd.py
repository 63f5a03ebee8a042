"""Which rows of a file are good animals or pairings? Tried, not stored."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, cast

from dashboard.records.animals import AnimalRecord, Status
from dashboard.records.faults import NotStored
from dashboard.records.herd_imports import (
    AnimalDraft,
    PairingDraft,
    animal_sameness,
    pairing_row,
    pairing_sameness,
)
from dashboard.records.pairings import FIRST_SEASON, LAST_SEASON, PairingRecord, check_couple
from dashboard.records.reading import AnimalReader
from dashboard.records.text_fields import LONGEST_NAME, checked_day, name_key, tidy, tidy_note
from genetics.genes.traits import Sex

from .cells import as_text, read_day, read_whole
from .dry_run import Cells, DryRun, RowRefused, check_lines, read_cell
from .guess import Guess
from .market import read_look, read_money
from .words import read_word


def check_animals(
    data: bytes,
    guess: Guess,
    *,
    today: date,
    currency: str,
    reader: AnimalReader,
    existing: Iterable[AnimalRecord] = (),
) -> DryRun[AnimalDraft]:
    """Try a file of animals without storing anything.

    Raises
    ------
    FileRefused
        If a needed column is missing or the file can't be read as the guess says.
    """
    rows = [_record_row(animal) for animal in existing]
    there = {row["name_key"]: animal_sameness(row) for row in rows}
    seen: dict[str, int] = {}

    def make(cells: Cells) -> AnimalDraft:
        draft = _animal(cells, guess, reader, today=today, currency=currency)
        key = name_key(draft.name)
        same_as = there.get(key)
        if same_as is not None and same_as != animal_sameness(_draft_row(draft)):
            raise RowRefused("name", draft.name, "Another animal of this name is in the book.")
        if key in seen:
            raise RowRefused("name", draft.name, "The file has another animal of this name.")
        seen[key] = 1
        return draft

    return check_lines(data, guess, make=make, as_row=_draft_row, stored=rows, sameness=animal_sameness)


def check_pairings(
    data: bytes, guess: Guess, *, animals: Iterable[AnimalRecord], existing: Iterable[PairingRecord] = ()
) -> DryRun[PairingDraft]:
    """Try a file of pairings without storing anything; raises as `check_animals`."""
    known = {name_key(animal.name): animal for animal in animals}
    ids = {key: animal.id for key, animal in known.items()}
    stored = [{"season": p.season, "sire_id": p.sire_id, "dam_id": p.dam_id} for p in existing]

    def make(cells: Cells) -> PairingDraft:
        return _pairing(cells, guess, known)

    return check_lines(
        data,
        guess,
        make=make,
        as_row=lambda draft: pairing_row(draft, ids),
        stored=stored,
        sameness=pairing_sameness,
    )


def _animal(cells: Cells, guess: Guess, reader: AnimalReader, *, today: date, currency: str) -> AnimalDraft:
    name = _text(cells, "name", needed=True)
    sex = Sex(read_cell(cells, "sex", lambda cell: read_word(cell, "sex", empty="unsexed")))
    text, _ = read_look(cells, "text", reader, sex)
    hatched = None
    if as_text(cells.get("hatched", "")):
        hatched = read_cell(cells, "hatched", lambda cell: read_day(cell, guess.date_order))
        try:
            checked_day(hatched, today=today, what="The day of hatching")
        except NotStored as fault:
            raise RowRefused("hatched", as_text(cells["hatched"]), fault.reason) from fault
    status = read_cell(cells, "status", lambda cell: read_word(cell, "status", empty="growing"))
    return AnimalDraft(
        name=name,
        sex=sex,
        text=text,
        hatched=hatched,
        bought_minor=_paid(cells, guess, currency),
        note=_note(cells),
        status=cast("Status", status),
        sire=_text(cells, "sire"),
        dam=_text(cells, "dam"),
    )


def _paid(cells: Cells, guess: Guess, currency: str) -> int | None:
    written = as_text(cells.get("paid", ""))
    if not written:
        return None
    minor, code = read_money(cells, "paid", guess, currency, least=0)
    if code != currency:
        raise RowRefused("paid", written, f"The price paid must be in {currency}, the money of this book.")
    return minor


def _pairing(cells: Cells, guess: Guess, known: Mapping[str, AnimalRecord]) -> PairingDraft:
    season = read_cell(
        cells, "season", lambda cell: read_whole(cell, what="The season", decimal=guess.decimal)
    )
    if not FIRST_SEASON <= season <= LAST_SEASON:
        raise RowRefused("season", str(season), "The season is the year of the eggs, such as 2027.")
    names = {word: _text(cells, word, needed=True) for word in ("sire", "dam")}
    for word, name in names.items():
        if name_key(name) not in known:
            raise RowRefused(word, name, f"No animal of this book is called {name}. Enter the animals first.")
    planned = read_cell(cells, "planned", lambda cell: read_word(cell, "planned", empty="yes")) == "yes"
    sire, dam = (known[name_key(names[word])] for word in ("sire", "dam"))
    try:
        check_couple(sire, dam, season=season, planned=planned)
    except NotStored as fault:
        raise RowRefused("sire", f"{sire.name} × {dam.name}", fault.reason) from fault
    return PairingDraft(season, sire.name, dam.name, planned=planned, note=_note(cells))


def _text(cells: Cells, name: str, *, needed: bool = False) -> str:
    written = as_text(cells.get(name, ""))
    try:
        return tidy(written, what=f"The {name}", longest=LONGEST_NAME, needed=needed)
    except NotStored as fault:
        raise RowRefused(name, written, fault.reason) from fault


def _note(cells: Cells) -> str:
    written = as_text(cells.get("note", ""))
    try:
        return tidy_note(written)
    except NotStored as fault:
        raise RowRefused("note", written, fault.reason) from fault


def _record_row(animal: AnimalRecord) -> dict[str, Any]:
    return {
        "name_key": name_key(animal.name),
        "sex": animal.sex.value,
        "text": animal.text,
        "hatched": animal.hatched,
    }


def _draft_row(draft: AnimalDraft) -> dict[str, Any]:
    return {
        "name_key": name_key(draft.name),
        "sex": draft.sex.value,
        "text": draft.text,
        "hatched": draft.hatched,
    }
