"""What is in the book, where does it lie, and what can be taken back? All the Book page shows."""

from __future__ import annotations

from dataclasses import dataclass

from dashboard.records import BackUp, Book, BookInfo, Change, ImportRecord
from econ.assumptions import ASSUMPTIONS

NEWEST_CHANGES = 40
KIND_WORDS = {
    "price_observations": "prices",
    "supply_counts": "supply counts",
    "animals": "animals",
    "pairings": "pairings",
}


@dataclass(frozen=True)
class BookAnswer:
    """One book as its page shows it.

    Attributes
    ----------
    info
        Path, name, currency, whether it is invented.
    animals, pairings, prices, counts, figures
        Numbers of animals, pairings, price observations, supply counts and own cost figures.
    changes, imports
        What was done, newest first.
    can_change_money
        Whether no sum in the present currency is stored yet.
    """

    info: BookInfo
    animals: int
    pairings: int
    prices: int
    counts: int
    figures: int
    changes: tuple[Change, ...]
    imports: tuple[ImportRecord, ...]
    can_change_money: bool

    @property
    def is_empty(self) -> bool:
        """Whether nothing was entered yet."""
        return not (self.animals or self.pairings or self.prices or self.counts)


def book_answer(book: Book) -> BookAnswer:
    """Count a book's records and list what was done to it."""
    animals, figures = book.animals(), book.assumptions()
    prices = book.price_versions()
    return BookAnswer(
        info=book.info,
        animals=len(animals),
        pairings=len(book.pairings()),
        prices=len(prices),
        counts=len(book.supply_versions()),
        figures=len(figures),
        changes=book.changes(newest=NEWEST_CHANGES),
        imports=book.imports(),
        can_change_money=not (figures or any(animal.bought_minor is not None for animal in animals)),
    )


def back_ups_of(book: Book) -> tuple[BackUp, ...]:
    """List the copies of the book, newest first; asked for at every look, for other windows make them too."""
    return book.back_ups()


def plain_sentence(sentence: str) -> str:
    """Sentence of a change with the plain names of figures in place of their ids."""
    words = sentence.split(" ")
    return " ".join(f"“{ASSUMPTIONS[word].name}”" if word in ASSUMPTIONS else word for word in words)
