"""A small invented book: six animals, four pairings of 2027, seven quarters of prices."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dashboard.records import AnimalRecord, Book, PairingRecord, open_book, start_book
from econ.prices.observations import SupplyCount
from genetics import Sex, Trait
from tests.econ.decisions.pairs_by_hand import TODAY, small_prices

ANIMALS = {
    "Basalt": ("clown", Sex.MALE),
    "Flint": ("banana (from sire)", Sex.MALE),
    "Cobble": ("spider", Sex.MALE),
    "Tansy": ("het clown", Sex.FEMALE),
    "Marl": ("pastel", Sex.FEMALE),
    "Sedge": ("spider", Sex.FEMALE),
}


@dataclass
class Small:
    book: Book
    animals: dict[str, AnimalRecord]
    pairings: dict[str, PairingRecord]

    def pair(self, sire: str, dam: str, *, planned: bool = True, season: int = 2027) -> PairingRecord:
        made = self.book.add_pairing(season, self.animals[sire].id, self.animals[dam].id, planned=planned)
        self.pairings[f"{sire} × {dam}"] = made
        return made

    def ids(self, sire: str, dam: str) -> tuple[int, int]:
        return self.animals[sire].id, self.animals[dam].id

    def write_past_the_book(self, name: str, **columns: str) -> None:
        """Change an animal as an older catalogue or another program might have left it."""
        with closing(sqlite3.connect(self.book.place)) as raw:
            for column, value in columns.items():
                raw.execute(f"UPDATE animals SET {column} = ? WHERE name = ?", (value, name))
            raw.execute("UPDATE info SET value = value + 1 WHERE key = 'data_version'")
            raw.commit()


def bare_book(path: Path) -> Small:
    """Animals only."""
    start_book(path, currency="EUR", name="Small book", as_of=TODAY)
    book = open_book(path)
    animals = {name: book.add_animal(name, text, sex=sex) for name, (text, sex) in ANIMALS.items()}
    return Small(book, animals, {})


def small_book(path: Path) -> Small:
    """Animals, pairings and prices."""
    small = bare_book(path)
    small.book.add_observations(small_prices(), "prices")
    small.pair("Basalt", "Tansy")
    small.pair("Basalt", "Marl")
    small.pair("Flint", "Marl", planned=False)
    small.pair("Cobble", "Sedge")
    return small


def count_clowns(book: Book) -> None:
    """Two and a half years of counts that grow by half each year."""
    counts = [
        SupplyCount(
            on=date(2024 + month // 12, month % 12 + 1, 1),
            what="clown",
            traits=(Trait("clown", "visual"),),
            offered=round(200 * 1.5 ** (month / 12)),
        )
        for month in range(0, 33, 3)
    ]
    book.add_supply_counts(counts, "counts")
