"""What may stand in a text field of the records? One line of plain letters."""

from __future__ import annotations

import unicodedata
from datetime import date

from dashboard.records.faults import NotStored
from genetics.genes.traits import Sex

EARLIEST = date(1980, 1, 1)
LONGEST_NAME = 80
LONGEST_LOOK = 200
LONGEST_NOTE = 4000


def tidy(text: str, *, what: str, longest: int, needed: bool = True) -> str:
    """Text with single blanks and no control characters.

    Raises
    ------
    NotStored
        If it is empty though needed, longer than `longest` characters, or holds control characters.
    """
    plain = " ".join(unicodedata.normalize("NFC", text).split())
    if any(unicodedata.category(letter) in {"Cc", "Cs"} for letter in plain):
        raise NotStored(f"{what} holds characters that can't be shown. Write it with plain letters.")
    if needed and not plain:
        raise NotStored(f"{what} is empty. Write at least one letter.")
    if len(plain) > longest:
        raise NotStored(f"{what} has {len(plain)} characters; at most {longest} are kept.")
    return plain


def tidy_note(text: str) -> str:
    """Free text in which line breaks are kept; raises as `tidy`."""
    lines = [tidy(line, what="The note", longest=LONGEST_NOTE, needed=False) for line in text.splitlines()]
    note = "\n".join(lines).strip()
    if len(note) > LONGEST_NOTE:
        raise NotStored(f"The note has {len(note)} characters; at most {LONGEST_NOTE} are kept.")
    return note


def name_key(name: str) -> str:
    """Name as it is compared: two names that differ only in capitals are one."""
    return unicodedata.normalize("NFKC", name).casefold()


def checked_day(day: date, *, today: date, what: str) -> date:
    """Day that is not in the future.

    Raises
    ------
    NotStored
        If it lies after `today` or before 1980.
    """
    if day > today:
        raise NotStored(f"{what} is {day.isoformat()}, after today ({today.isoformat()}).")
    if day < EARLIEST:
        raise NotStored(f"{what} is {day.isoformat()}; the earliest day is {EARLIEST.isoformat()}.")
    return day


def checked_sex(sex: Sex | str) -> Sex:
    """Sex as one of the three words; raises `NotStored` otherwise."""
    try:
        return Sex(sex)
    except ValueError:
        raise NotStored(f"The sex is “{sex}”; allowed: male, female, unsexed.") from None
