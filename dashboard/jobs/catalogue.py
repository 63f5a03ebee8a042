"""Which genes does a book read its animals with? What ships, with the breeder's own."""

from __future__ import annotations

from dashboard.records import Book
from genetics import Catalogue


def catalogue_of(book: Book) -> Catalogue:
    """Genes that hold for a book; the same object until one of the breeder's own changes.

    Raises
    ------
    CatalogueError
        If the shipped files are damaged.
    """
    return book.catalogue().catalogue
