from __future__ import annotations

import os
import tempfile
from datetime import date
from pathlib import Path

import pytest

from dashboard.records import Book, catalogue_reader, open_book
from econ.prices.observations import PriceObservation
from genetics import Sex

TODAY = date(2026, 11, 20)


@pytest.fixture(scope="session")
def reader():
    return catalogue_reader()


@pytest.fixture
def path(tmp_path):
    return tmp_path / "book.sqlite"


@pytest.fixture
def quick_path(tmp_path):
    """A place in memory, where there is one: for tests that kill programs, not computers."""
    memory = Path("/dev/shm")
    if not (memory.is_dir() and os.access(memory, os.W_OK)):
        yield tmp_path / "book.sqlite"
        return
    with tempfile.TemporaryDirectory(prefix="hatchmargin-", dir=memory) as folder:
        yield Path(folder) / "book.sqlite"


@pytest.fixture
def book(path, reader):
    with open_book(path, reader=reader) as opened:
        yield opened


@pytest.fixture
def herd(book: Book):
    basalt = book.add_animal("Basalt", "pastel clown", sex=Sex.MALE, hatched=date(2023, 7, 19))
    tansy = book.add_animal("Tansy", "enchi het clown", sex=Sex.FEMALE, hatched=date(2021, 8, 14))
    return basalt, tansy


@pytest.fixture
def price(reader):
    def make(what="pastel", *, on=date(2026, 3, 1), minor=4500, sex=Sex.MALE, **more):
        return PriceObservation(
            on=on, what=what, traits=reader(what, sex), sex=sex, price_minor=minor, currency="EUR", **more
        )

    return make
