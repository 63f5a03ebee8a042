"""Which column of a file means what? Heads are matched with plain words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from functools import lru_cache

from dashboard.records.fields import Field

from .grid import Cell
from .tables import FIELDS, TABLE_KINDS, TableKind


@lru_cache(maxsize=5_000)
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
    for exact in (True, False):
        for field in FIELDS[kind]:
            if field.name in columns:
                continue
            wanted = {plain_header(field.header)} if exact else _folded(field.words)
            free = [i for i, word in enumerate(plain) if word in wanted and i not in columns.values()]
            if free:
                columns[field.name] = free[0]
    return columns


@lru_cache(maxsize=500)
def _folded(words: tuple[str, ...]) -> frozenset[str]:
    """Words as they are compared; "ae" for a German letter is matched with and without its dots."""
    plain = {plain_header(word) for word in words}
    return frozenset(plain | {word.replace("ae", "a").replace("ue", "u") for word in plain})


def missing_fields(columns: Mapping[str, int], kind: TableKind) -> tuple[Field, ...]:
    """Needed columns the file does not have."""
    return tuple(field for field in FIELDS[kind] if field.needed and field.name not in columns)


def kind_of_heads(headers: Sequence[Cell]) -> TableKind:
    """Table whose needed heads are all there, whose own words are used most, and which knows most of them."""

    def rank(kind: TableKind) -> tuple[int, int, int]:
        columns = match_columns(headers, kind)
        plain = [plain_header(cell) for cell in headers]
        exact = sum(
            plain[columns[f.name]] == plain_header(f.header) for f in FIELDS[kind] if f.name in columns
        )
        return -len(missing_fields(columns, kind)), len(columns), exact

    return max(TABLE_KINDS, key=rank)


def twice_named(headers: Sequence[Cell], columns: Mapping[str, int]) -> tuple[str, ...]:
    """Heads that stand over two columns of which only the first is read."""
    plain = [plain_header(cell) for cell in headers]
    read = set(columns.values())
    return tuple(
        dict.fromkeys(
            str(headers[i])
            for i in sorted(read)
            if plain[i] and any(word == plain[i] for j, word in enumerate(plain) if j != i and j not in read)
        )
    )
