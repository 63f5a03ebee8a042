"""How is a book put aside, and brought back? Copies are made by the database engine and checked."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from .book_file import inspect_file
from .faults import BackUpFailed, BookDamaged, BookError, NotStored
from .schema import SCHEMA_VERSION, metadata

KEEP_NEWEST = 10
KEEP_DAILY = 30
_STAMP = "%Y%m%dT%H%M%S%fZ"
_NAME = re.compile(r"(?P<book>.+)-(?P<stamp>\d{8}T\d{12}Z)-(?P<why>[a-z-]+)\.sqlite")


@dataclass(frozen=True)
class BackUp:
    """One copy of a book: where it is, when it was made [UTC] and why ("before upgrade")."""

    path: Path
    at: datetime
    why: str


def back_up_folder(book: Path) -> Path:
    """Folder of a book's copies, beside the book."""
    return book.with_name(f"{book.stem}-back-ups")


def list_back_ups(book: Path) -> tuple[BackUp, ...]:
    """List the copies of a book, newest first."""
    found = []
    folder = back_up_folder(book)
    for path in folder.glob("*.sqlite") if folder.is_dir() else ():
        match = _NAME.fullmatch(path.name)
        if match and match["book"] == book.stem:
            at = datetime.strptime(match["stamp"], _STAMP).replace(tzinfo=UTC)
            found.append(BackUp(path, at, match["why"].replace("-", " ")))
    return tuple(sorted(found, key=lambda copy: copy.at, reverse=True))


def back_up(book: Path, *, why: str, now: datetime | None = None) -> BackUp:
    """Copy a book while it may be in use, check the copy, and thin out the old ones.

    `why` is one to three words ("before import"); `now` is the present time [UTC].

    Raises
    ------
    BackUpFailed
        If the copy can't be written or does not hold what the book holds; no half copy is left.
    """
    at = now or datetime.now(UTC)
    folder = back_up_folder(book)
    slug = re.sub(r"[^a-z]+", "-", why.lower()).strip("-") or "copy"
    target = folder / f"{book.stem}-{at.strftime(_STAMP)}-{slug}.sqlite"
    half = target.with_suffix(".half")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        before = _contents(book)
        _vacuum_into(book, half)
        after = _contents(book)
        _check_copy(half, before, after)
        _flush(half)
        half.replace(target)
        _flush_folder(folder)
    except (OSError, sqlite3.Error, BookError) as fault:
        with suppress(OSError):
            half.unlink(missing_ok=True)
        raise BackUpFailed(f"The back-up could not be made ({fault}).") from fault
    thin_out(book, now=at)
    return BackUp(target, at, slug.replace("-", " "))


def thin_out(book: Path, *, now: datetime) -> tuple[Path, ...]:
    """Remove old copies: the ten newest stay, and the newest of each of the last thirty days."""
    copies = list_back_ups(book)
    keep = {copy.path for copy in copies[:KEEP_NEWEST]}
    days: set[object] = set()
    for copy in copies:
        day = copy.at.date()
        if day > (now - timedelta(days=KEEP_DAILY)).date() and day not in days:
            days.add(day)
            keep.add(copy.path)
    gone = tuple(copy.path for copy in copies if copy.path not in keep)
    for path in gone:
        with suppress(OSError):
            path.unlink()
    return gone


def restore(book: Path, copy: Path) -> Path | None:
    """Put a copy in the book's place; gives the path under which the present book was kept.

    The copy is checked first, the present book is put aside (as a back-up, or byte by byte if it is
    damaged), then the copy takes its place in one step. Other windows notice and open the new file.

    Raises
    ------
    BookDamaged, BookTooNew
        If the copy is not sound; the book is untouched.
    BackUpFailed, NotStored
        If the present book can't be put aside or replaced; it is untouched.
    """
    inspect_file(copy)
    sound, kept = _put_aside(book)
    fresh = book.with_name(f".{book.name}.restoring")
    try:
        shutil.copyfile(copy, fresh)
        raise_counter(fresh, above=last_edit(book) if sound else 0)
        _flush(fresh)
        with _locked(book, needed=sound):
            book.with_name(book.name + "-journal").unlink(missing_ok=True)
            fresh.replace(book)
        _flush_folder(book.parent)
    except (OSError, sqlite3.Error) as fault:
        raise NotStored(f"The back-up could not be put in place ({fault}). The book is as it was.") from fault
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
    return kept


def _put_aside(book: Path) -> tuple[bool, Path | None]:
    """Keep the present book; says whether it was sound, and where it is kept."""
    if not book.exists():
        return False, None
    try:
        inspect_file(book, known_version=2**31 - 1)
    except BookDamaged:
        folder = back_up_folder(book)
        folder.mkdir(parents=True, exist_ok=True)
        stamp = datetime.now(UTC).strftime(_STAMP)
        target = folder / f"{book.stem}-{stamp}-damaged.kept"
        shutil.copyfile(book, target)
        journal = book.with_name(book.name + "-journal")
        if journal.exists():
            shutil.copyfile(journal, target.with_name(target.name + "-journal"))
        return False, target
    return True, back_up(book, why="before restore").path


@contextmanager
def _open(path: Path, *, mode: str) -> Iterator[sqlite3.Connection]:
    connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode={mode}", uri=True, timeout=5.0)
    connection.isolation_level = None
    try:
        yield connection
    finally:
        connection.close()


def _vacuum_into(book: Path, target: Path) -> None:
    with _open(book, mode="rw") as connection:
        connection.execute("VACUUM INTO ?", (str(target),))


def _contents(book: Path) -> dict[str, int]:
    """Count the rows of each table, and read the number of the last edit, at one moment."""
    with _open(book, mode="rw") as connection:
        connection.execute("BEGIN")
        there = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        names = [name for name in metadata.tables if name in there]
        counts = {
            name: int(connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0])  # noqa: S608 - own names
            for name in names
        }
        return counts | {"last edit": _read_counter(connection)}


def _check_copy(copy: Path, before: dict[str, int], after: dict[str, int]) -> None:
    inspect_file(copy, known_version=2**31 - 1)
    held = _contents(copy)
    if before == after and held != before:
        raise BackUpFailed("the copy does not hold what the book holds")
    if not before["last edit"] <= held["last edit"] <= after["last edit"]:
        raise BackUpFailed("the copy is of another moment than it should be")


def _read_counter(connection: sqlite3.Connection) -> int:
    return int(connection.execute("SELECT value FROM info WHERE key = 'data_version'").fetchone()[0])


def last_edit(book: Path) -> int:
    """Read the number of the last edit of a book that is not open here."""
    with _open(book, mode="rw") as connection:
        return _read_counter(connection)


def raise_counter(copy: Path, *, above: int) -> None:
    """Count edits on from the present book, so that no window takes old rows for its own."""
    with _open(copy, mode="rw") as connection:
        number = max(_read_counter(connection), above) + 1
        connection.execute("PRAGMA synchronous = EXTRA")
        connection.execute("UPDATE info SET value = ? WHERE key = 'data_version'", (str(number),))


@contextmanager
def _locked(book: Path, *, needed: bool) -> Iterator[None]:
    """Keep every other program from writing to the present file while it is replaced."""
    if not needed or os.name == "nt":  # there a file that is open can't be replaced
        yield
        return
    with _open(book, mode="rw") as connection:
        connection.execute("BEGIN EXCLUSIVE")
        yield


def _flush(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _flush_folder(folder: Path) -> None:
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def newest_sound(book: Path) -> BackUp | None:
    """Newest copy that can be restored by this program, to offer when the book is damaged."""
    for copy in list_back_ups(book):
        with suppress(BookError):
            inspect_file(copy.path, known_version=SCHEMA_VERSION)
            return copy
    return None
