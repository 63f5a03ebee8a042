"""How does a book's file move to another place? As a checked copy; the old file stays, under another name."""

from __future__ import annotations

import filecmp
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from dashboard.records.faults import NotStored
from dashboard.records.safety.backup import copy_file
from dashboard.records.safety.copies import back_up_folder, flush, flush_folder, list_back_ups, name_at
from dashboard.records.safety.file_contents import open_file
from dashboard.records.safety.opening import begin, version_at
from dashboard.records.store.addresses import Place, SharedAddress
from dashboard.records.store.book_file import inspect_file
from dashboard.records.store.file_tables import give_name
from dashboard.records.store.store import Store

USUAL_NAME = "my-book.sqlite"


@dataclass(frozen=True)
class Move:
    """What came of a move.

    Attributes
    ----------
    place
        Where the book lies now.
    kept
        The old file, which was left whole; under its new name if it could be renamed.
    back_ups
        How many back-ups came along; the old ones stay where they were, too.
    """

    place: Place
    kept: Path
    back_ups: int


def move_file(
    book: Path, target: Place, *, settle: Callable[[Place], None], put_aside: Callable[[Path], Path]
) -> Move:
    """Move a book's file to another path, or its rows to an empty shared database.

    Nobody can write to the book meanwhile. `settle` is called once the new place holds everything, and
    makes it the book's place; `put_aside` renames the old file and gives its new name.

    Raises
    ------
    NotStored
        If the new place is taken or can't be written; the book is where it was, as it was.
    BookError
        If the book is damaged, or a shared database can't be reached.
    """
    inspect_file(book)
    if not _is_free(target):
        raise NotStored(f"There is already something at {target}. The book was left where it is.")
    made: list[Path] = []
    try:
        with _nobody_writes(book):
            _write_new(book, target, made)
            count = _take_back_ups_along(book, target, made)
            settle(target)
            made.clear()
            kept = book if os.name == "nt" else _rename(book, put_aside)
    except (OSError, sqlite3.Error) as fault:
        raise NotStored(f"The book could not be moved ({fault}). It is where it was.") from fault
    finally:
        for path in made:  # left over only if something went wrong
            with suppress(OSError):
                path.unlink(missing_ok=True)
    if os.name == "nt":  # a file that is open can't be renamed there
        kept = _rename(book, put_aside)
    return Move(target, kept, count)


def _is_free(target: Place) -> bool:
    """Say whether nothing lies there yet; a shared book that nobody has written to counts as nothing."""
    if not isinstance(target, SharedAddress):
        return not target.exists()
    if version_at(target) is None:
        return True
    store = Store(target)
    try:
        return store.data_version == 0
    finally:
        store.close()


def place_in(folder_or_file: Path, name: str = USUAL_NAME) -> Path:
    """Path of the book when a folder or a file was named."""
    plain = folder_or_file.expanduser().absolute()
    if plain.is_dir():
        return plain / name
    return plain if plain.suffix else plain.with_name(f"{plain.name}.sqlite")


@contextmanager
def _nobody_writes(book: Path) -> Iterator[None]:
    with open_file(book) as connection:
        connection.execute("BEGIN IMMEDIATE")
        yield
        connection.execute("ROLLBACK")


def _write_new(book: Path, target: Place, made: list[Path]) -> None:
    if isinstance(target, SharedAddress):
        from dashboard.records.safety.shared_backup import replace_rows

        begin(target, {"name": "moved", "currency": "EUR", "is_demo": "no", "as_of": ""})
        replace_rows(target, book)
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    half = target.with_name(f".{target.name}.moving")
    half.unlink(missing_ok=True)
    made.append(half)
    copy_file(book, half)
    flush(half)
    give_name(half, target)
    made.append(target)
    half.unlink(missing_ok=True)
    flush_folder(target.parent)


def _take_back_ups_along(book: Path, target: Place, made: list[Path]) -> int:
    copies = list_back_ups(book)
    folder = back_up_folder(target)
    for copy in copies:
        folder.mkdir(parents=True, exist_ok=True)
        path = name_at(copy, target)
        if path.exists():
            continue
        made.append(path)
        shutil.copyfile(copy.path, path)
        flush(path)
        if not filecmp.cmp(copy.path, path, shallow=False):
            raise OSError(f"{path} is not what {copy.path} is")
    if copies:
        flush_folder(folder)
    return len(copies)


def _rename(book: Path, put_aside: Callable[[Path], Path]) -> Path:
    try:
        return put_aside(book)
    except OSError:
        return book
