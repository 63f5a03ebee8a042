from __future__ import annotations

import pytest

from dashboard.records import open_book
from genetics import load_catalogue


@pytest.fixture
def book(tmp_path):
    with open_book(tmp_path / "book.sqlite") as opened:
        yield opened


@pytest.fixture(scope="session")
def catalogue():
    return load_catalogue()
