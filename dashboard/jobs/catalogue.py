"""Which genes does a book read its animals with? The shipped ones for now; the breeder's own join here."""

from __future__ import annotations

from dashboard.records import Book
from genetics import Catalogue, load_catalogue


def catalogue_of(book: Book) -> Catalogue:  # noqa: ARG001 - the book's own genes will be merged here
    """Genes that hold for a book.

    Raises
    ------
    CatalogueError
        If the shipped files are damaged.
    """
    return load_catalogue()
