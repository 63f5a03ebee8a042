"""Where the program keeps its own files, where the breeder's own book lies, and which book was open last."""

from __future__ import annotations

import json
import os
import threading
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Final, Literal

from platformdirs import user_data_path

# The records know this name too. It is said twice so that a start need not wait for the records to load.
BOOK_VARIABLE: Final = "HATCHMARGIN_BOOK"
HOME_VARIABLE: Final = "HATCHMARGIN_HOME"
OpenBook = Literal["demo", "own"]
Place = Path | str
"""Path of a book's file, or the address of a shared book as it was written."""
_ADDRESS_STARTS: Final = ("postgresql:", "postgres:")
_SETTINGS: Final = "settings.json"


@dataclass(frozen=True)
class Settings:
    """What is remembered between two starts.

    Attributes
    ----------
    open_book
        Whether the demo book or the own book is open.
    own_book
        Path or address the breeder chose for the own book; None for the usual path.
    """

    open_book: OpenBook = "demo"
    own_book: str | None = None


def home_folder() -> Path:
    """Give the folder of books, settings and log; HATCHMARGIN_HOME stands in for the usual one."""
    said = os.environ.get(HOME_VARIABLE, "").strip()
    folder = Path(said).expanduser() if said else user_data_path("hatchmargin", appauthor=False)
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def is_address(said: str) -> bool:
    """Say whether a text means a shared book rather than a file."""
    return said.strip().lower().startswith(_ADDRESS_STARTS)


def as_place(said: str) -> Place:
    """Give the place a text means: a shared address as it is, or a whole path."""
    return said.strip() if is_address(said) else Path(said).expanduser().resolve()


def own_book_place() -> Place:
    """Give where the breeder's own book lies.

    HATCHMARGIN_BOOK comes first (--book sets it), then what was chosen, then a file in the home folder.
    """
    said = _told() or read_settings().own_book
    return as_place(said) if said else home_folder() / "my-book.sqlite"


def may_start_own_book() -> bool:
    """Say whether a new own book may be started where there is none.

    Never at a place that was chosen: a book that is missing there is on a disk that is not plugged in.
    """
    return bool(_told()) or read_settings().own_book is None


def own_book_begun() -> bool:
    """Say whether the breeder has a book of their own, as far as can be said without opening it."""
    place = own_book_place()
    return isinstance(place, str) or not may_start_own_book() or place.exists()


def place_is_told() -> bool:
    """Say whether this start was told where the own book is, so that no choice can change it."""
    return bool(_told())


def _told() -> str:
    return os.environ.get(BOOK_VARIABLE, "").strip()


def demo_book_path() -> Path:
    """Give the path of the demo book; always in the home folder, never beside the own book."""
    return home_folder() / "demo-book.sqlite"


def put_aside(book: Path) -> Path:
    """Rename a book and its journal to a name that is still free, and give that name.

    "demo-book.sqlite" becomes "demo-book.put-aside-1.sqlite", the next one "...-2.sqlite". The journal
    goes first, so that it is never left behind for a new book to read as its own.

    Raises
    ------
    FileNotFoundError
        If there is no such book.
    """
    if not book.exists():
        raise FileNotFoundError(f"there is no book to put aside at {book}")
    for number in count(1):
        place = book.with_name(f"{book.stem}.put-aside-{number}{book.suffix}")
        try:
            place.touch(exist_ok=False)  # takes the name, so that two windows never take the same
        except FileExistsError:
            continue
        break
    journal = _journal_of(book)
    if journal.exists():
        journal.replace(_journal_of(place))
    book.replace(place)
    return place


def _journal_of(book: Path) -> Path:
    return book.with_name(book.name + "-journal")


def log_path() -> Path:
    """Give the path of the log, which takes every error's trace."""
    return home_folder() / "hatchmargin.log"


def read_settings() -> Settings:
    """Read the settings; a missing or unreadable file means a first start, which opens the demo book."""
    said = _read_file()
    own_book = said.get("own_book")
    return Settings(
        "own" if said.get("open_book") == "own" else "demo",
        own_book if isinstance(own_book, str) and own_book.strip() else None,
    )


def write_settings(settings: Settings) -> None:
    """Write the settings whole or not at all; without an `own_book` the chosen place stays."""
    kept = settings.own_book if settings.own_book is not None else read_settings().own_book
    said: dict[str, str] = {"open_book": settings.open_book}
    if kept is not None:
        said["own_book"] = kept
    place = home_folder() / _SETTINGS
    beside = place.with_suffix(f".{os.getpid()}-{threading.get_ident()}.new")
    with beside.open("w", encoding="utf-8") as file:
        file.write(json.dumps(said, ensure_ascii=False) + "\n")
        file.flush()
        os.fsync(file.fileno())
    beside.replace(place)


def _read_file() -> dict[str, object]:
    try:
        said = json.loads((home_folder() / _SETTINGS).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return said if isinstance(said, dict) else {}
