"""An own gene holds everywhere at once: animals, clutches, prices, lists, files, and what is kept between."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from dashboard.jobs.animals import animals_answer
from dashboard.jobs.gene_view import gene_view
from dashboard.jobs.genes import gene_answer
from dashboard.jobs.market import market_of
from dashboard.jobs.own_gene_effect import effect_of
from dashboard.jobs.pairing import pairing_answer
from dashboard.jobs.prices import price_of
from dashboard.records.spreadsheets import export_csv
from econ.prices.observations import PriceObservation
from genetics import Sex
from tests.dashboard.jobs.small_book import small_book

PEBBLE = {"kind": "gene", "mode": "incomplete dominant", "super_name": "boulder"}


@pytest.fixture
def small(tmp_path):
    made = small_book(tmp_path / "book.sqlite")
    yield made
    made.book.close()


def genes_of(book):
    return book.catalogue().catalogue


def looks_of(small, sire, dam):
    answer = pairing_answer(small.book, *small.ids(sire, dam), catalogue=genes_of(small.book))
    return {row.label: row.per_egg for row in answer.valued.looks.rows}, answer


def price(what, minor, **fields):
    start = {"on": date(2026, 9, 1), "traits": (), "price_minor": minor, "currency": "EUR"}
    return PriceObservation(what=what, **(start | fields))


def test_an_animal_with_an_own_gene_is_entered_paired_priced_found_and_exported(small):
    book = small.book
    book.set_own_gene("pebble", PEBBLE)
    for name, sex in (("Larch", Sex.MALE), ("Alder", Sex.FEMALE)):
        small.animals[name] = book.add_animal(name, "pebble", sex=sex)
    # Mendel's 1 : 2 : 1 (textbook ratio of an intercross with incomplete dominance)
    shares, answer = looks_of(small, "Larch", "Alder")
    assert shares == {"super pebble": Fraction(1, 4), "pebble": Fraction(1, 2), "normal": Fraction(1, 4)}
    before = answer.valued.budget.sales

    book.add_observations(
        [price("boulder", 90_000, on=date(2026, month, 1)) for month in range(1, 10)], "new"
    )
    assert any(outlook.key == "super pebble" for outlook in market_of(book).traits)
    asked = price_of(book, "boulder", sex=Sex.MALE, stage="hatchling", catalogue=genes_of(book))
    assert asked.name == "super pebble"
    assert float(asked.forecast.median[0]) == pytest.approx(900, rel=0.5)
    _, answer = looks_of(small, "Larch", "Alder")
    assert answer.valued.budget.sales > before

    assert [gene.name for gene in gene_answer(genes_of(book), words="boulder").genes] == ["pebble"]
    row = next(
        row for row in animals_answer(book, catalogue=genes_of(book)).rows if row.animal.name == "Larch"
    )
    assert row.reading.written == "pebble"
    assert b"Larch" in export_csv(book, "animals")
    assert b"pebble" in export_csv(book, "animals")
    assert b"pebble" in export_csv(book, "own genes")
    assert "name" in gene_view("pebble", genes_of(book)).own


def test_a_correction_of_a_mode_changes_the_looks_of_a_planned_pairing_at_once(small):
    book = small.book
    small.animals["Larch"] = book.add_animal("Larch", "pastel", sex=Sex.MALE)
    small.pair("Larch", "Marl")
    before, _ = looks_of(small, "Larch", "Marl")
    assert before == {"super pastel": Fraction(1, 4), "pastel": Fraction(1, 2), "normal": Fraction(1, 4)}
    book.set_own_gene("pastel", {"kind": "correction", "mode": "dominant"})
    # one copy each of a dominant gene: three of four young show it, as in Mendel's intercross
    after, _ = looks_of(small, "Larch", "Marl")
    assert after == {"pastel": Fraction(3, 4), "normal": Fraction(1, 4)}
    book.undo_last()
    again, _ = looks_of(small, "Larch", "Marl")
    assert again == before


def test_the_fitted_market_follows_every_change_of_a_word_and_its_undo(small):
    """A fit is kept between answers; it is never that of another meaning of the same words."""
    book = small.book

    def meaning(**genes):
        book.set_own_gene("night", {"kind": "combination", "genes": genes})

    def asked(text):
        found = price_of(book, text, sex=Sex.MALE, stage="hatchling", catalogue=genes_of(book))
        return float(found.forecast.median[0])

    def read():
        rows = [row for row in book.price_observations() if row.what == "night"]
        return {str(trait) for row in rows for trait in row.traits}, asked("vanilla clown")

    meaning(pastel=1, clown=2)
    book.add_observations([price("night", 400_000, on=date(2026, m, 2)) for m in range(1, 9)], "more prices")
    first = read()
    assert first[0] == {"pastel", "clown"}
    meaning(vanilla=1, clown=2)
    second = read()
    assert second[0] == {"vanilla", "clown"}
    assert second[1] > 1.2 * first[1]  # eight dear prices are of it now
    book.undo_last()
    assert read() == (first[0], pytest.approx(first[1]))
    meaning(leopard=1, clown=2)
    third = read()
    assert third[0] == {"leopard", "clown"}
    assert third[1] < second[1]
    book.undo_last()
    assert read() == (first[0], pytest.approx(first[1]))


def test_what_a_change_would_do_is_told_before_it_is_saved(small):
    book = small.book
    nothing = effect_of(book, "pebble", PEBBLE)
    assert not nothing.any
    effect = effect_of(book, "clown", {"kind": "correction", "recombination": "1/20", "sex_linked": True})
    assert {row.name for row in effect.animals} >= {"Basalt", "Tansy"}
    assert all("how its genes are passed on" in row.changed for row in effect.animals)
    effect = effect_of(book, "pastel", {"kind": "correction", "hides": "pattern"})  # two copies hide it
    assert [(row.name, row.changed) for row in effect.animals] == [
        ("Marl", ("what its young may look like",))
    ]
    harm = {"kind": "harm", "genes": {"spider": 1, "banana": 1}, "harm": "wobble", "what": "Told."}
    assert not effect_of(book, "spider banana", harm).any  # no animal has both
    book.add_animal("Larch", "spider banana")
    (row,) = effect_of(book, "spider banana", harm).animals
    assert (row.name, row.changed) == ("Larch", ("its harms",))
    assert row.before == row.after


def test_the_effect_counts_every_price_that_is_of_other_genes(small):
    book = small.book
    clowns = sum("clown" in row.what for row in book.price_observations())
    assert clowns > 0
    assert not effect_of(book, "clown", {"kind": "correction", "spellings": ["clownie"]}).any
    effect = effect_of(book, "clown", {"kind": "correction", "mode": "dominant"})
    assert effect.prices == clowns
    assert effect.unreadable  # a het of it, which storing the change refuses with the name
    basalt = next(row for row in effect.animals if row.name == "Basalt")
    assert (basalt.before, basalt.after) == ("two copies of clown", "one copy of clown")
    before = book.data_version
    assert (book.own_genes(), book.data_version) == ({}, before)


def test_a_definition_that_can_not_join_has_no_effect(small):
    assert not effect_of(small.book, "clown", {"kind": "gene", "mode": "recessive"}).any
