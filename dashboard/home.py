"""Where the program keeps its own files, and which book was open last."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Final, Literal

from platformdirs import user_data_path

# The records know this name too. It is said twice so that a start need not wait for the records to load.
BOOK_VARIABLE: Final = "HATCHMARGIN_BOOK"
HOME_VARIABLE: Final = "HATCHMARGIN_HOME"
OpenBook = Literal["demo", "own"]
_SETTINGS: Final = "settings.json"


@dataclass(frozen=True)
class Settings:
    """What is remembered between two starts: whether the demo book or the own book is open."""

    open_book: OpenBook = "demo"


def home_folder() -> Path:
    """Give the folder of books, settings and log; HATCHMARGIN_HOME stands in for the usual one."""
    said = os.environ.get(HOME_VARIABLE, "").strip()
    folder = Path(said).expanduser() if said else user_data_path("hatchmargin", appauthor=False)
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def own_book_path() -> Path:
    """Give the path of the breeder's own book: HATCHMARGIN_BOOK, or a file in the home folder."""
    said = os.environ.get(BOOK_VARIABLE, "").strip()
    return Path(said).expanduser().resolve() if said else home_folder() / "my-book.sqlite"


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
    try:
        said = json.loads((home_folder() / _SETTINGS).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return Settings()
    own = isinstance(said, dict) and said.get("open_book") == "own"
    return Settings("own" if own else "demo")


def write_settings(settings: Settings) -> None:
    """Write the settings whole or not at all."""
    place = home_folder() / _SETTINGS
    beside = place.with_suffix(f".{os.getpid()}.new")
    beside.write_text(json.dumps({"open_book": settings.open_book}) + "\n", encoding="utf-8")
    beside.replace(place)
