"""A book that was a file becomes a shared one; and a shared one is chosen like any other."""

from __future__ import annotations

import pytest

from dashboard import home
from dashboard.book_place import choose_book, move_book
from dashboard.records import NotStored, open_book
from dashboard.records.safety.copies import list_back_ups
from dashboard.records.store.addresses import read_place

from .server import PASSWORD

pytestmark = pytest.mark.server


@pytest.fixture
def mine(reader, monkeypatch):
    monkeypatch.delenv(home.BOOK_VARIABLE, raising=False)
    path = home.own_book_place()
    with open_book(path, reader=reader, currency="GBP", name="Mine") as book:
        book.add_animal("Basalt", "pastel")
        book.back_up()
        book.add_animal("Tansy", "clown")
    return path


def test_a_file_moves_to_an_empty_shared_database(empty, mine, reader):
    move = move_book(empty)
    assert move.place == read_place(empty)
    assert home.own_book_place() == empty
    assert move.kept.name == "my-book.put-aside-1.sqlite"
    with open_book(empty, reader=reader, start=False) as book:
        assert [animal.name for animal in book.animals()] == ["Basalt", "Tansy"]
        assert (book.info.name, book.currency) == ("Mine", "GBP")
        assert book.add_animal("Larch", "normal").version == book.data_version
    assert [copy.why for copy in list_back_ups(move.place)] == ["by hand"]
    written = b"".join(path.read_bytes() for path in home.home_folder().rglob("*") if path.is_file())
    assert PASSWORD.encode() not in written


def test_a_shared_book_somebody_has_written_to_is_not_overwritten(book, herd, path, mine):
    with pytest.raises(NotStored, match="already something"):
        move_book(path)
    assert [animal.name for animal in book.animals()] == ["Basalt", "Tansy"]
    assert home.own_book_place() == mine


def test_a_shared_book_is_chosen_by_its_address(book, path):
    choose_book(path)
    assert home.own_book_place() == path
    with pytest.raises(NotStored, match="whoever runs its server"):
        move_book("elsewhere.sqlite")
