"""Which copies of a book are there, how are they named, and which of them stay?"""

from __future__ import annotations

import os
import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from dashboard.records.faults import BookError
from dashboard.records.schema import SCHEMA_VERSION
from dashboard.records.store.addresses import Place, SharedAddress
from dashboard.records.store.book_file import data_folder, inspect_file

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


def back_up_folder(book: Place) -> Path:
    """Folder of a book's copies: beside a file; for a shared book among the program's own files."""
    if isinstance(book, SharedAddress):
        return data_folder() / f"{book.stem}-back-ups"
    return book.with_name(f"{book.stem}-back-ups")


def list_back_ups(book: Place) -> tuple[BackUp, ...]:
    """List the copies of a book, newest first."""
    found = []
    folder = back_up_folder(book)
    for path in folder.glob("*.sqlite") if folder.is_dir() else ():
        match = _NAME.fullmatch(path.name)
        if match and match["book"] == book.stem:
            at = datetime.strptime(match["stamp"], _STAMP).replace(tzinfo=UTC)
            found.append(BackUp(path, at, match["why"].replace("-", " ")))
    return tuple(sorted(found, key=lambda copy: copy.at, reverse=True))


def new_copy(book: Place, *, why: str, at: datetime) -> BackUp:
    """Name a copy to be made; `why` is one to three words."""
    slug = re.sub(r"[^a-z]+", "-", why.lower()).strip("-") or "copy"
    path = back_up_folder(book) / f"{book.stem}-{at.strftime(_STAMP)}-{slug}.sqlite"
    return BackUp(path, at, slug.replace("-", " "))


def name_at(copy: BackUp, book: Place) -> Path:
    """Path a copy has when it is kept for another place of the same book."""
    return new_copy(book, why=copy.why, at=copy.at).path


def damaged_copy(book: Path) -> Path:
    """Path under which a damaged book is kept byte by byte; it is never listed as a copy."""
    stamp = datetime.now(UTC).strftime(_STAMP)
    return back_up_folder(book) / f"{book.stem}-{stamp}-damaged.kept"


def thin_out(book: Place, *, now: datetime) -> tuple[Path, ...]:
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


def newest_sound(book: Place) -> BackUp | None:
    """Newest copy that can be restored by this program, to offer when the book is damaged."""
    for copy in list_back_ups(book):
        with suppress(BookError):
            inspect_file(copy.path, known_version=SCHEMA_VERSION)
            return copy
    return None


def flush(path: Path) -> None:
    """Have the disk keep a file's bytes before anything relies on them."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def flush_folder(folder: Path) -> None:
    """Have the disk keep a folder's names."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
