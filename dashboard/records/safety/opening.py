"""Is there a book at this place, and does it have this program's tables? Made and brought up here."""

from __future__ import annotations

from collections.abc import Mapping

from dashboard.records.faults import BookForeign, BookMissing
from dashboard.records.safety.upgrade import upgrade_book
from dashboard.records.schema import SCHEMA_VERSION
from dashboard.records.store.addresses import Place, SharedAddress
from dashboard.records.store.book_file import inspect_file
from dashboard.records.store.file_tables import create_book


def make_ready(place: Place, values: Mapping[str, str], *, start: bool) -> None:
    """Check the book at a place, start one if there is none, and bring an older one up.

    `values` are what a new book says of itself; without `start` no new book is made.

    Raises
    ------
    BookDamaged, BookTooNew, BookForeign
        If what lies there is no sound book of this program; nothing was written.
    BookMissing
        If nothing lies there and none may be started.
    AddressRefused, BookOutOfReach
        If a shared book can't be reached.
    NotStored, BackUpFailed
        If it can't be made, or no copy could be put aside before an upgrade.
    """
    version = version_at(place)
    if version is None and not start:
        if isinstance(place, SharedAddress):
            raise BookForeign(f"The database {place.database} is empty; no book was started in it.")
        raise BookMissing(place)
    if version is None:
        begin(place, values)
        version = SCHEMA_VERSION
    if version < SCHEMA_VERSION:
        upgrade_book(place)


def begin(place: Place, values: Mapping[str, str]) -> None:
    """Write a new, empty book where there is none; raises `NotStored` or as `make_ready`.

    In a shared database somebody else may be faster; theirs is then the book.
    """
    if not isinstance(place, SharedAddress):
        create_book(place, values)
        return
    from dashboard.records.store.shared_tables import create_shared

    create_shared(place, values)


def version_at(place: Place) -> int | None:
    """Read the number of a book's tables, None if nothing lies there; raises as `make_ready`."""
    if isinstance(place, SharedAddress):
        from dashboard.records.store.shared_tables import inspect_shared

        return inspect_shared(place).version
    return inspect_file(place).user_version if place.exists() else None
