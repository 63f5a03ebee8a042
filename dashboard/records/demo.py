"""How is the demo book made? Its invented files come in through the same door as the breeder's own."""

from __future__ import annotations

import csv
import tempfile
from contextlib import suppress
from datetime import date
from pathlib import Path

import demo_prices
from dashboard.records.book import Book, open_book, start_book
from dashboard.records.faults import BookError, NotStored
from dashboard.records.reading import AnimalReader
from dashboard.records.safety.backup import last_edit, raise_counter
from dashboard.records.spreadsheets import sniff
from dashboard.records.store.book_file import default_demo_path


def demo_book(path: Path | None = None, *, reader: AnimalReader | None = None) -> Book:
    """Open the demo book (at the default place if none is given); made anew if it is not there.

    Raises
    ------
    NotStored
        If the file at this place is a breeder's own book.
    """
    place = default_demo_path() if path is None else Path(path)
    if not place.exists():
        build_demo_book(place, reader=reader)
    book = open_book(place, reader=reader)
    if not book.info.is_demo:
        book.close()
        raise NotStored(f"The book at {place} is not the demo. It was left as it is.")
    return book


def build_demo_book(path: Path, *, reader: AnimalReader | None = None) -> None:
    """Write the demo book; it appears under its name only when it is complete.

    An older demo book in its place is replaced, a breeder's own book never.

    Raises
    ------
    NotStored
        If the file at this place is not a demo book, or it can't be written.
    """
    _check_place(path)
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".demo-", dir=path.parent) as folder:
        fresh = Path(folder) / path.name
        start_book(
            fresh,
            currency=demo_prices.CURRENCY,
            name=demo_prices.NAME,
            is_demo=True,
            as_of=date.fromisoformat(demo_prices.AS_OF),
        )
        with open_book(fresh, reader=reader) as book:
            _fill(book)
        if path.exists():
            raise_counter(fresh, above=last_edit(path))
        fresh.replace(path)


def _fill(book: Book) -> None:
    for name in demo_prices.FILES:
        data = demo_prices.demo_folder().joinpath(name).read_bytes()
        run = book.try_file(data, sniff(data))
        if run.refused:
            first = run.refused[0]
            raise NotStored(f"Line {first.line} of the demo's {name} was refused: {first.why}")
        book.add_file(run, f"demo: {name}", put_aside=False)
    text = demo_prices.demo_folder().joinpath(demo_prices.FIGURES_FILE).read_text(encoding="utf-8")
    for row in csv.DictReader(line for line in text.splitlines() if not line.startswith("#")):
        book.set_assumption(row["figure"], float(row["value"]))


def _check_place(path: Path) -> None:
    if not path.exists():
        return
    is_demo = False
    with suppress(BookError), open_book(path) as book:
        is_demo = book.info.is_demo
    if not is_demo:
        raise NotStored(f"The file at {path} is not a demo book. It was left as it is.")
