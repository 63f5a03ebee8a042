"""What can go wrong with a book: each refusal is one small class with its whole sentence."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path


class BookError(Exception):
    """Anything the records refuse; its text is a sentence for the breeder."""


class NotStored(BookError):
    """What was entered cannot be kept; nothing was stored.

    Attributes
    ----------
    reason
        The whole sentence.
    nearest
        Names that may have been meant, best first.
    """

    def __init__(self, reason: str, *, nearest: tuple[str, ...] = ()) -> None:
        super().__init__(reason)
        self.reason = reason
        self.nearest = nearest


class NotRead(BookError):
    """The file or the server does not answer now; nothing was changed."""


class BookOutOfReach(BookError):
    """The shared book can't be opened: no driver, no server, no such database, or not let in."""


class BookForeign(BookError):
    """The database at a shared address holds something else than a book; nothing was changed."""


class BookMissing(BookError):
    """The chosen book's file is not there, perhaps on a disk that is not plugged in."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"There is no file at {path}, where your book was. Plug its disk in, or choose another place; "
            "no new book was started."
        )
        self.path = path


class Conflict(BookError):
    """The row was changed elsewhere since it was read; this edit was not stored.

    Attributes
    ----------
    what
        Name of the thing in words ("animal Basalt").
    yours, stored
        The differing fields: the values that were refused and those the book holds now.
    stored_version
        Version to give when the breeder decides to write over the stored values.
    changed_at
        When the stored values were written, ISO 8601 in UTC; empty when not known.
    """

    def __init__(
        self,
        what: str,
        *,
        yours: Mapping[str, object],
        stored: Mapping[str, object],
        stored_version: int,
        changed_at: str = "",
    ) -> None:
        time = f" at {changed_at[11:16]} UTC" if changed_at else ""
        super().__init__(f"{what} was changed in another window{time}. Yours was not saved.")
        self.what = what
        self.yours = dict(yours)
        self.stored = dict(stored)
        self.stored_version = stored_version
        self.changed_at = changed_at


class BookDamaged(BookError):
    """The file is empty, damaged or no book at all; it was opened for reading only.

    Attributes
    ----------
    path
        The file.
    why
        What was found.
    """

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path} {why}. It was left as it is; restore a back-up or pick another file.")
        self.path = path
        self.why = why


class BookTooNew(BookError):
    """The book was written by a newer program; it was not opened."""

    def __init__(self, path: Path | str, *, found: int, known: int) -> None:
        super().__init__(
            f"{path} was written by a newer Hatchmargin (its tables are numbered {found}, this program "
            f"knows up to {known}). Use the newer program; nothing was changed."
        )
        self.path = path
        self.found = found
        self.known = known


class BackUpFailed(BookError):
    """A back-up could not be written or does not hold what the book holds."""
