"""What can one column of a file or form hold? Its name, its heads, how it is read, and what it means."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

FieldKind = Literal[
    "text", "note", "look", "sex", "day", "whole", "number", "share", "rate", "money", "currency", "choice",
    "answer", "animal", "pairing", "clutch", "gene", "figure", "data",
]  # fmt: skip
"""How a cell is read: animals, pairings and clutches by name, shares as 0.25 or 25%, answers as yes or no."""


@dataclass(frozen=True)
class Field:
    """One column of a table, in files, forms and exports.

    Attributes
    ----------
    name
        Name in the records (the column of the book's table).
    header
        Word at its head in exports.
    kind
        How its cells are read.
    meaning
        What it says, in a sentence.
    needed
        Whether a row without it is refused.
    words
        Other heads it is known by.
    unit
        Unit of a number, such as "g"; empty if it has none.
    choices
        Words that are allowed, for a choice.
    least, most
        Ends of a number, if it has any.
    currency
        For money: name of the field that holds its currency.
    empty
        What an empty cell means, where it means something.
    """

    name: str
    header: str
    kind: FieldKind
    meaning: str
    needed: bool = False
    words: tuple[str, ...] = ()
    unit: str = ""
    choices: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None
    currency: str = ""
    empty: object = None


def words(listed: str) -> tuple[str, ...]:
    """Heads written as one text, parted by commas."""
    return tuple(word.strip() for word in listed.split(",") if word.strip())


DAY_WORDS = words("day, on, when, seen, seen on, date seen, counted on, datum, tag, fecha, jour")
NOTE_WORDS = words("notes, remark, remarks, comment, comments, notiz, bemerkung")
CURRENCY_WORDS = words("money, ccy, waehrung, devise, moneda")


def note_field(meaning: str = "Free text.") -> Field:
    """Field for free text."""
    return Field("note", "note", "note", meaning, words=NOTE_WORDS, empty="")
