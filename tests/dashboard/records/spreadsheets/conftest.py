from __future__ import annotations

import pytest

from dashboard.records import open_book
from tests.dashboard.records.spreadsheets.full_book import fill


@pytest.fixture
def full(book):
    fill(book)
    return book


@pytest.fixture
def other(tmp_path, reader):
    with open_book(tmp_path / "other.sqlite", reader=reader) as opened:
        yield opened


@pytest.fixture(scope="module")
def made_book(tmp_path_factory, reader):
    """A full book that a module's tests may leave as they found it."""
    with open_book(tmp_path_factory.mktemp("made") / "book.sqlite", reader=reader) as opened:
        fill(opened)
        yield opened
