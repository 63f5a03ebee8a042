"""What is wrong with the data of a catalogue, where, and what is allowed instead?"""

from __future__ import annotations

import difflib
from collections.abc import Iterable


class CatalogueError(ValueError):
    """A fault in the catalogue's data: where, what was found, what is allowed."""

    def __init__(self, where: str, found: object, allowed: str) -> None:
        self.where = where
        self.found = found
        self.allowed = allowed
        super().__init__(f"catalogue, {where}: found {found!r}; allowed: {allowed}")


class UnknownSpecies(LookupError):
    """A species that has no data file; carries those that have one."""

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        self.name = name
        self.known = known
        super().__init__(f"there is no data file for '{name}'; there are: {', '.join(known)}")


def nearest_words(word: str, known: Iterable[str], *, most: int = 3) -> tuple[str, ...]:
    """Words that are written much like one, best first; none if none is near."""
    return tuple(difflib.get_close_matches(word.lower().strip(), list(dict.fromkeys(known)), most, 0.6))


def or_nearest(word: str, known: Iterable[str]) -> str:
    """Hint at the nearest words, ready to be put behind a sentence; empty if none is near."""
    near = nearest_words(word, known)
    return f" The nearest are: {', '.join(near)}." if near else ""
