"""How is a book put aside, and brought back? Copies are made by the database engine and checked."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from dashboard.records.faults import BackUpFailed, BookDamaged, BookError, NotStored
from dashboard.records.safety import shared_backup
from dashboard.records.safety.copies import (
    BackUp,
    damaged_copy,
    flush,
    flush_folder,
    list_back_ups,
    new_copy,
    newest_sound,
    thin_out,
)
from dashboard.records.safety.file_contents import LAST_EDIT, contents, last_edit, open_file, raise_counter
from dashboard.records.store.addresses import Place, SharedAddress
from dashboard.records.store.book_file import inspect_file
from dashboard.records.store.versions import UPGRADES

__all__ = [
    "BackUp",
    "StartCopy",
    "back_up",
    "back_up_if_needed",
    "last_edit",
    "list_back_ups",
    "newest_sound",
    "raise_counter",
    "restore",
]


@dataclass(frozen=True)
class StartCopy:
    """What came of the back-up at a start.

    Attributes
    ----------
    copy
        The copy just made; None if the newest one holds everything already, or it failed.
    problem
        A sentence to show if it failed; empty otherwise.
    """

    copy: BackUp | None
    problem: str


def back_up(book: Place, *, why: str, now: datetime | None = None, upgrades: Path = UPGRADES) -> BackUp:
    """Copy a book while it may be in use, check the copy, and thin out the old ones.

    The copy is a book's file, whether the book is a file or shared. `why` is one to three words
    ("before import"); `now` is the present time [UTC].

    Raises
    ------
    BackUpFailed
        If the copy can't be written or does not hold what the book holds; no half copy is left.
    """
    at = now or datetime.now(UTC)
    copy = new_copy(book, why=why, at=at)
    half = copy.path.with_suffix(".half")
    try:
        half.parent.mkdir(parents=True, exist_ok=True)
        if isinstance(book, SharedAddress):
            shared_backup.write_copy(book, half, upgrades=upgrades)
        else:
            copy_file(book, half)
        flush(half)
        half.replace(copy.path)
        flush_folder(half.parent)
    except (OSError, sqlite3.Error, DBAPIError, BookError) as fault:
        raise BackUpFailed(f"The back-up could not be made ({fault}).") from fault
    finally:
        with suppress(OSError):
            half.unlink(missing_ok=True)
    thin_out(book, now=at)
    return copy


def copy_file(book: Path, target: Path) -> None:
    """Write a checked copy of a book's file while it may be in use.

    Raises
    ------
    BackUpFailed, BookDamaged
        If the copy does not hold what the book holds.
    """
    before = contents(book)
    _vacuum_into(book, target)
    after = contents(book)
    inspect_file(target, known_version=2**31 - 1)
    held = contents(target)
    if before == after and held != before:
        raise BackUpFailed("the copy does not hold what the book holds")
    if not before[LAST_EDIT] <= held[LAST_EDIT] <= after[LAST_EDIT]:
        raise BackUpFailed("the copy is of another moment than it should be")


def _vacuum_into(book: Path, target: Path) -> None:
    with open_file(book) as connection:
        connection.execute("VACUUM INTO ?", (str(target),))


def back_up_if_needed(book: Place, *, edits: int, why: str) -> StartCopy:
    """Back up a book whose last edit (number `edits`) is in no copy yet; never raises for a full disk."""
    newest = next(iter(list_back_ups(book)), None)
    if edits == 0 or (newest is not None and _holds(newest, edits)):
        return StartCopy(None, "")
    try:
        return StartCopy(back_up(book, why=why), "")
    except BackUpFailed as fault:
        return StartCopy(None, f"{fault} Your book is open all the same; make a back-up when there is room.")


def _holds(copy: BackUp, edits: int) -> bool:
    with suppress(OSError, sqlite3.Error, BookError, TypeError, ValueError):
        inspect_file(copy.path)
        return last_edit(copy.path) >= edits
    return False


def restore(book: Place, copy: Path) -> Path | None:
    """Put a copy in the book's place; gives the path under which the present book was kept.

    The copy is checked first, the present book is put aside (as a back-up, or byte by byte if it is
    damaged), then the copy takes its place in one step. Other windows notice and show the new rows.

    Raises
    ------
    BookDamaged, BookTooNew
        If the copy is not sound; the book is untouched.
    BackUpFailed, NotStored
        If the present book can't be put aside or replaced; it is untouched.
    """
    inspect_file(copy)
    if isinstance(book, SharedAddress):
        kept = back_up(book, why="before restore").path
        shared_backup.replace_rows(book, copy)
        return kept
    sound, aside = _put_aside(book)
    fresh = book.with_name(f".{book.name}.restoring")
    try:
        shutil.copyfile(copy, fresh)
        raise_counter(fresh, above=last_edit(book) if sound else 0)
        flush(fresh)
        with _locked(book, needed=sound):
            book.with_name(book.name + "-journal").unlink(missing_ok=True)
            fresh.replace(book)
        flush_folder(book.parent)
    except (OSError, sqlite3.Error) as fault:
        raise NotStored(f"The back-up could not be put in place ({fault}). The book is as it was.") from fault
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
    return aside


def _put_aside(book: Path) -> tuple[bool, Path | None]:
    """Keep the present book; says whether it was sound, and where it is kept."""
    if not book.exists():
        return False, None
    try:
        inspect_file(book, known_version=2**31 - 1)
    except BookDamaged:
        target = damaged_copy(book)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(book, target)
        journal = book.with_name(book.name + "-journal")
        if journal.exists():
            shutil.copyfile(journal, target.with_name(target.name + "-journal"))
        return False, target
    return True, back_up(book, why="before restore").path


@contextmanager
def _locked(book: Path, *, needed: bool) -> Iterator[None]:
    """Keep every other program from writing to the present file while it is replaced."""
    if not needed or os.name == "nt":  # there a file that is open can't be replaced
        yield
        return
    with open_file(book) as connection:
        connection.execute("BEGIN EXCLUSIVE")
        yield
