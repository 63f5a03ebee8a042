"""How does a book that an older program wrote get the tables of this one? A copy is put aside first."""

from __future__ import annotations

from pathlib import Path

from dashboard.records import schema
from dashboard.records.safety.backup import back_up
from dashboard.records.safety.copies import BackUp
from dashboard.records.store.addresses import Place, SharedAddress
from dashboard.records.store.file_tables import bring_up_file
from dashboard.records.store.versions import UPGRADES


def upgrade_book(
    place: Place, *, version: int = schema.SCHEMA_VERSION, upgrades: Path = UPGRADES
) -> BackUp | None:
    """Bring an older book up to `version`, one transaction a version; gives the copy put aside first.

    None if somebody else has brought a shared book up meanwhile.

    Raises
    ------
    BackUpFailed
        If no checked copy could be made; the book is untouched.
    BookDamaged
        If a row would point to nothing afterwards; the book is as before that version's step.
    BookError
        If a shared book can't be reached, or somebody else is upgrading it.
    """
    why = "before upgrade"
    if not isinstance(place, SharedAddress):
        copy = back_up(place, why=why)
        bring_up_file(place, version=version, upgrades=upgrades)
        return copy
    from dashboard.records.store.shared_tables import bring_up_shared

    copies: list[BackUp] = []
    bring_up_shared(
        place,
        lambda: copies.append(back_up(place, why=why, upgrades=upgrades)),
        version=version,
        upgrades=upgrades,
    )
    return copies[0] if copies else None
