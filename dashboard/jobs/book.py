"""What is in the book, where does it lie, and what can be taken back? All the Book page shows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from dashboard.jobs.row_tables import ROW_TABLES, Entry
from dashboard.records import BackUp, Book, BookInfo, Change, ImportRecord
from dashboard.records.log.changes import ROW_WORDS
from econ.assumptions import ASSUMPTIONS

NEWEST_CHANGES = 40


@dataclass(frozen=True)
class Content:
    """What one table holds: its name in links, what its rows are called, how many, and the newest day."""

    name: str
    many: str
    count: int
    newest: date | None = None


@dataclass(frozen=True)
class MoneyOf:
    """One other currency in the book.

    Attributes
    ----------
    currency
        ISO 4217 code.
    rate, on
        What one unit is worth in the book's money, as written, and from which day; empty without one.
    left_out
        Prices that are left out for want of a rate.
    """

    currency: str
    rate: str
    on: date | None
    left_out: int


@dataclass(frozen=True)
class BookAnswer:
    """One book as its page shows it.

    Attributes
    ----------
    info
        Path, name, currency, whether it is invented.
    animals, pairings, prices, counts, figures
        Numbers of animals, pairings, price observations, supply counts and own cost figures.
    contents
        Every table with how many rows it has.
    monies
        Other currencies that have a rate or prices.
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
    contents: tuple[Content, ...]
    monies: tuple[MoneyOf, ...]
    changes: tuple[Change, ...]
    imports: tuple[ImportRecord, ...]
    can_change_money: bool

    @property
    def is_empty(self) -> bool:
        """Whether nothing was entered yet."""
        return not any(content.count for content in self.contents)

    @property
    def left_out(self) -> int:
        """Prices in other currencies that are left out for want of a rate."""
        return sum(money.left_out for money in self.monies)


def book_answer(book: Book) -> BookAnswer:
    """Count a book's records and list what was done to it."""
    animals, figures, pairings = book.animals(), book.assumptions(), book.pairings()
    own = {name: table.entries(book) for name, table in ROW_TABLES.items()}
    contents = (
        Content("animals", "animals", len(animals)),
        Content("pairings", "pairings", len(pairings)),
        *(
            Content(name, ROW_TABLES[name].many, len(rows), _newest(rows, ROW_TABLES[name].day))
            for name, rows in own.items()
        ),
        Content("costs", "own cost figures", len(figures)),
    )
    return BookAnswer(
        info=book.info,
        animals=len(animals),
        pairings=len(pairings),
        prices=len(own["prices"]),
        counts=len(own["supply"]),
        figures=len(figures),
        contents=contents,
        monies=_monies(book.currency, own["exchange rates"], own["prices"]),
        changes=book.changes(newest=NEWEST_CHANGES),
        imports=book.imports(),
        can_change_money=book.can_change_currency,
    )


def _newest(rows: Iterable[Entry], day: str) -> date | None:
    days = [row.values[day] for row in rows if day and row.values.get(day) is not None]
    return max(days, default=None)


def _monies(home: str, rates: Iterable[Entry], prices: Iterable[Entry]) -> tuple[MoneyOf, ...]:
    """Other currencies with their newest rate, and those whose prices wait for one."""
    newest: dict[str, Entry] = {}
    for row in sorted(rates, key=lambda row: row.values["on"]):
        newest[str(row.values["currency"])] = row
    seen = Counter(str(price.values["currency"]) for price in prices)
    waiting = {code: count for code, count in seen.items() if code != home and code not in newest}
    known = [
        MoneyOf(code, str(row.values["rate"]), row.values["on"], 0) for code, row in sorted(newest.items())
    ]
    return (*(MoneyOf(code, "", None, count) for code, count in sorted(waiting.items())), *known)


def rows_words(kind: str, count: int) -> str:
    """What one or several rows of a file brought in are called, by its table; "rows" for a whole book."""
    one, many = ROW_WORDS.get(kind, ("row", "rows"))
    return one if count == 1 else many


def back_ups_of(book: Book) -> tuple[BackUp, ...]:
    """List the copies of the book, newest first; asked for at every look, for other windows make them too."""
    return book.back_ups()


def plain_sentence(sentence: str) -> str:
    """Sentence of a change with the plain names of figures in place of their ids."""
    words = sentence.split(" ")
    return " ".join(f"“{ASSUMPTIONS[word].name}”" if word in ASSUMPTIONS else word for word in words)
