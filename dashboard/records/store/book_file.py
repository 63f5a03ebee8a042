"""Is this file a sound book, and where do books live? Nothing here ever writes to a book."""

from __future__ import annotations

import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from dashboard.records.faults import BookDamaged, BookTooNew
from dashboard.records.schema import APPLICATION_ID, SCHEMA_VERSION

BOOK_VARIABLE = "HATCHMARGIN_BOOK"
HOME_VARIABLE = "HATCHMARGIN_HOME"
_HEADER = b"SQLite format 3\x00"


@dataclass(frozen=True)
class FileState:
    """What a sound file said of itself: the number of its tables' upgrade."""

    path: Path
    user_version: int


def default_book_path() -> Path:
    """Path of the breeder's own book: the user data folder, or what HATCHMARGIN_BOOK says."""
    said = os.environ.get(BOOK_VARIABLE, "").strip()
    if said:
        return Path(said).expanduser()
    return data_folder() / "my-book.sqlite"


def default_demo_path() -> Path:
    """Path of the demo book: beside the breeder's own book, never the same file."""
    said = os.environ.get(BOOK_VARIABLE, "").strip()
    folder = Path(said).expanduser().parent if said else data_folder()
    return folder / "demo-book.sqlite"


def data_folder() -> Path:
    """Folder of the program's own files: the user data folder, or what HATCHMARGIN_HOME says."""
    said = os.environ.get(HOME_VARIABLE, "").strip()
    if said:
        return Path(said).expanduser()
    from platformdirs import user_data_path

    return user_data_path("hatchmargin", appauthor=False)


def inspect_file(path: Path, *, known_version: int = SCHEMA_VERSION) -> FileState:
    """Read a book's header and structure without writing to it.

    A journal left by a killed program is the one exception: the file is opened so that the
    database engine can finish or take back the interrupted edit, as it must before any reading.

    Raises
    ------
    BookDamaged
        If the file is empty, no database, no book, or fails the engine's own check.
    BookTooNew
        If a newer program wrote it.
    """
    _check_header(path)
    journal = path.with_name(path.name + "-journal")
    mode = "rw" if journal.exists() else "ro"
    address = f"{path.resolve().as_uri()}?mode={mode}"
    try:
        connection = sqlite3.connect(address, uri=True, timeout=5.0)
        try:
            return _inspect(connection, path, known_version)
        finally:
            connection.close()
    except sqlite3.DatabaseError as fault:
        raise BookDamaged(path, f"can't be read ({fault})") from fault


def _check_header(path: Path) -> None:
    if not path.is_file():
        raise BookDamaged(path, "is not a file")
    size = path.stat().st_size
    if size == 0:
        raise BookDamaged(path, "is empty (0 bytes)")
    with path.open("rb") as file:
        if file.read(len(_HEADER)) != _HEADER:
            raise BookDamaged(path, "is not a book (its first bytes are not those of a database)")


def _inspect(connection: sqlite3.Connection, path: Path, known_version: int) -> FileState:
    application = connection.execute("PRAGMA application_id").fetchone()[0]
    if application != APPLICATION_ID:
        raise BookDamaged(path, "is a database of another program, not a book")
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    if version > known_version:
        raise BookTooNew(path, found=version, known=known_version)
    found = [row[0] for row in connection.execute("PRAGMA quick_check(3)")]
    if found != ["ok"]:
        raise BookDamaged(path, f"is damaged ({'; '.join(found)})")
    if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise BookDamaged(path, "is damaged (a row points to a row that is not there)")
    present = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if "info" not in present or "changes" not in present:
        raise BookDamaged(path, "is damaged (tables are missing)")
    return FileState(path, version)
