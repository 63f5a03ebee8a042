"""What does every room of the book share: the open file, today's date, the reader of animals."""

from __future__ import annotations

from datetime import date

from dashboard.records.reading import AnimalReader
from dashboard.records.store.store import Store


class BookPart:
    """Base of the rooms of a book; the rooms differ in their tables only."""

    _store: Store
    _reader: AnimalReader | None

    def today(self) -> date:
        """Day the book counts as today."""
        raise NotImplementedError

    @property
    def currency(self) -> str:
        """ISO 4217 code of the book's money."""
        raise NotImplementedError

    @property
    def reader(self) -> AnimalReader:
        """Reader of animals with the genes that hold for this book, unless another was given."""
        raise NotImplementedError
