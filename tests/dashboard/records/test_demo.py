from __future__ import annotations

import time

import pytest

import demo_prices
from dashboard.records import NotStored, build_demo_book, demo_book, open_book
from genetics import load_catalogue, read_animal


def test_the_demo_comes_in_through_the_importer_and_says_that_it_is_invented(tmp_path, reader):
    with demo_book(tmp_path / "demo.sqlite", reader=reader) as book:
        assert (book.info.is_demo, book.info.currency, str(book.today())) == (True, "EUR", "2026-11-20")
        assert [record.kind for record in reversed(book.imports())] == [
            "animals", "pairings", "clutches", "animals", "weights", "gene_tests",
            "price_observations", "supply_counts", "exchange_rates", "shows", "spending",
        ]  # fmt: skip
        assert len(book.animals()) == 31
        assert {pairing.season for pairing in book.pairings()} == {2026, 2027}
        assert 600 <= len(book.price_observations()) <= 900
        assert all(seen.currency == "EUR" and seen.on <= book.today() for seen in book.price_observations())
        assert list(tmp_path.iterdir()) == [book.place]


@pytest.mark.bench
def test_building_and_opening_are_quick(tmp_path, reader):
    start = time.perf_counter()
    build_demo_book(tmp_path / "demo.sqlite", reader=reader)
    built = time.perf_counter()
    demo_book(tmp_path / "demo.sqlite", reader=reader).close()
    opened = time.perf_counter()
    assert built - start < 1.5
    assert opened - built < 0.15


def test_a_book_of_the_breeders_is_never_taken_for_the_demo_nor_replaced(tmp_path, reader):
    mine = tmp_path / "mine.sqlite"
    with open_book(mine, reader=reader) as book:
        book.add_animal("Larch", "normal")
    before = mine.read_bytes()
    for door in (demo_book, build_demo_book):
        with pytest.raises(NotStored, match="left as it is"):
            door(mine, reader=reader)
    assert mine.read_bytes() == before


def test_building_again_gives_a_fresh_demo_with_a_later_number(tmp_path, reader):
    with demo_book(tmp_path / "demo.sqlite", reader=reader) as book:
        book.add_animal("Larch", "normal")
        number = book.data_version
        build_demo_book(tmp_path / "demo.sqlite", reader=reader)
        assert len(book.animals()) == 31
        assert book.data_version > number


def test_a_demo_that_can_not_be_built_leaves_nothing_behind(tmp_path, monkeypatch):
    def refuse(text, sex):
        raise NotStored("no")

    with pytest.raises(NotStored):
        build_demo_book(tmp_path / "demo.sqlite", reader=refuse)
    assert list(tmp_path.iterdir()) == []


def test_every_animal_and_price_of_the_demo_is_one_the_catalogue_can_read(tmp_path, reader):
    catalogue = load_catalogue()
    with demo_book(tmp_path / "demo.sqlite", reader=reader) as book:
        for animal in book.animals():
            read_animal(animal.text, catalogue, sex=animal.sex)
        spiders = [a for a in book.animals() if "spider" in a.text]
        assert spiders
        assert {p.dam_id for p in book.pairings()} & {a.id for a in spiders}


def test_the_files_are_listed(tmp_path):
    for name in demo_prices.FILES:
        assert demo_prices.demo_folder().joinpath(name).read_text().startswith("# INVENTED")
