"""Which column of a file means what? Headers are matched with plain words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from .grid import Cell

TableKind = Literal["prices", "supply", "animals", "pairings"]
TABLE_KINDS: tuple[TableKind, ...] = get_args(TableKind)


@dataclass(frozen=True)
class Field:
    """One column a table can have.

    Attributes
    ----------
    name
        Name in the records.
    header
        Word at its head in exports.
    needed
        Whether a file without it is refused.
    words
        Other heads it is known by.
    """

    name: str
    header: str
    needed: bool
    words: tuple[str, ...]


def _field(name: str, header: str, words: str = "", *, needed: bool = False) -> Field:
    return Field(name, header, needed, tuple(word.strip() for word in words.split(",") if word.strip()))


_DAY = "day, on, when, seen, seen on, date seen, counted on, datum, tag, fecha, jour"
_WHAT = (
    "animal, what it is, gene, genes, trait, traits, morph, look, genetics, description, genetik, tier, was"
)
_SEX = "gender, geschlecht, sexe, sexo"
_NOTE = "notes, remark, remarks, comment, comments, notiz, bemerkung"

FIELDS: Mapping[TableKind, tuple[Field, ...]] = {
    "prices": (
        _field("on", "date", _DAY, needed=True),
        _field("what", "what", _WHAT, needed=True),
        _field("sex", "sex", _SEX),
        _field("stage", "stage", "age, life stage, alter"),
        _field("kind", "asked or sold", "kind, price kind, kind of price, sold or asked, art"),
        _field("price", "price", "amount, price each, preis, prix, precio, betrag", needed=True),
        _field("currency", "currency", "money, ccy, waehrung, devise, moneda"),
        _field("channel", "channel", "where, place, seen at, ort, kanal"),
        _field("quantity", "how many", "quantity, qty, number, count, pieces, anzahl, menge"),
    ),
    "supply": (
        _field("on", "date", _DAY, needed=True),
        _field("what", "what", _WHAT, needed=True),
        _field(
            "offered",
            "offered",
            "how many, count, number, listed, listings, available, on offer, supply, quantity, anzahl",
            needed=True,
        ),
    ),
    "animals": (
        _field("name", "name", "animal, id, tag, called", needed=True),
        _field("sex", "sex", _SEX),
        _field("text", "what", _WHAT.removeprefix("animal, "), needed=True),
        _field("hatched", "hatched", "hatch date, born, birthday, date of hatching, geschluepft"),
        _field("paid", "paid", "price paid, bought for, cost, purchase price, bezahlt"),
        _field("currency", "currency", "money, ccy, waehrung"),
        _field("status", "status", "state, stand"),
        _field("sire", "sire", "father, vater"),
        _field("dam", "dam", "mother, mutter"),
        _field("note", "note", _NOTE),
    ),
    "pairings": (
        _field("season", "season", "year, saison, jahr", needed=True),
        _field("sire", "sire", "male, father, vater", needed=True),
        _field("dam", "dam", "female, mother, mutter", needed=True),
        _field("planned", "planned", "in the plan, plan, geplant"),
        _field("note", "note", _NOTE),
    ),
}


def plain_header(cell: Cell) -> str:
    """Head of a column as it is compared: small letters, no accents, no marks, no brackets."""
    text = unicodedata.normalize("NFKD", str(cell).casefold())
    text = text.replace("ß", "ss")
    letters = "".join(letter for letter in text if not unicodedata.combining(letter))
    return " ".join(re.sub(r"\(.*?\)|\[.*?\]|[^a-z0-9 ]", " ", letters.replace("_", " ")).split())


def match_columns(headers: Sequence[Cell], kind: TableKind) -> dict[str, int]:
    """Position of each known column, from 0; the exact head goes before its other words."""
    plain = [plain_header(cell) for cell in headers]
    columns: dict[str, int] = {}
    for choice in ("header", "words"):
        for field in FIELDS[kind]:
            if field.name in columns:
                continue
            wanted = {plain_header(field.header)} if choice == "header" else _folded(field.words)
            free = [i for i, word in enumerate(plain) if word in wanted and i not in columns.values()]
            if free:
                columns[field.name] = free[0]
    return columns


def _folded(words: Sequence[str]) -> set[str]:
    """Words as they are compared; "ae" for a German letter is matched with and without its dots."""
    plain = {plain_header(word) for word in words}
    return plain | {word.replace("ae", "a").replace("ue", "u") for word in plain}


def missing_fields(columns: Mapping[str, int], kind: TableKind) -> tuple[Field, ...]:
    """Needed columns the file does not have."""
    return tuple(field for field in FIELDS[kind] if field.needed and field.name not in columns)
