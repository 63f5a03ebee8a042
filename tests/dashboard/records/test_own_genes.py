"""The breeder's own genes: checked at the door, used everywhere at once, safe for what is stored."""

from __future__ import annotations

import sqlite3
from datetime import date

import pytest

from dashboard.records import Conflict, NotStored, Unreadable, open_book
from econ.prices.observations import PriceObservation
from genetics import Sex, Trait

PEBBLE = {"kind": "gene", "mode": "recessive", "spellings": ["pebbled"]}


@pytest.fixture
def own(path):
    """A book that reads animals with its own genes."""
    with open_book(path) as opened:
        yield opened


def test_a_gene_is_read_from_the_moment_it_is_stored(own):
    with pytest.raises(Unreadable):
        own.add_animal("Larch", "het pebble")
    own.set_own_gene("Pebble", PEBBLE)
    assert own.own_genes() == {"pebble": PEBBLE}
    larch = own.add_animal("Larch", "het pebbled", sex=Sex.MALE)
    assert own.reader(larch.text, larch.sex) == (Trait("pebble", "het"),)
    assert own.catalogue().catalogue.gene("pebble").mode == "recessive"


def test_another_window_reads_it_too(path):
    with open_book(path) as one, open_book(path) as two:
        assert two.animals() == ()
        one.set_own_gene("pebble", PEBBLE)
        assert two.add_animal("Larch", "pebble").id
        with pytest.raises(NotStored, match="Larch, which could no longer be read"):
            one.set_own_gene("pebble", None)


@pytest.mark.parametrize(
    ("name", "definition", "sentence"),
    [
        ("pebble", {"mode": "recessive"}, "allowed: gene, complex, combination"),
        ("pebble", {"kind": "gene", "mode": "sometimes"}, "mode"),
        ("pebble", {"kind": "gene"}, "mode: missing"),
        ("pastel", PEBBLE, "already means"),
        ("pebble", {**PEBBLE, "spellings": ["clown"]}, "'clown' already means"),
        ("clowm", {"kind": "correction", "hides": "all"}, "clown"),
        ("night", {"kind": "combination", "genes": {"pastel": 1, "clowm": 2}}, "clown"),
        ("pebble", {"kind": "gene", "mode": "recessive", "share": float("nan")}, "can't be stored"),
    ],
)
def test_what_can_not_join_is_refused_with_what_is_allowed(own, name, definition, sentence):
    with pytest.raises(NotStored, match=sentence):
        own.set_own_gene(name, definition)
    assert own.own_genes() == {}
    assert own.data_version == 0


def test_a_gene_in_use_stays_until_nothing_needs_it(own):
    own.set_own_gene("pebble", PEBBLE)
    own.set_own_gene("night", {"kind": "combination", "genes": {"pebble": 2, "pastel": 1}})
    with pytest.raises(NotStored, match="night of your own genes use pebble"):
        own.set_own_gene("pebble", None)
    own.add_animal("Larch", "night")
    with pytest.raises(NotStored, match="Larch"):
        own.set_own_gene("night", None)
    larch = own.animals()[0]
    own.change_animal(larch.id, larch.version, text="normal")
    own.set_own_gene("night", None)
    own.set_own_gene("pebble", None)
    assert own.own_genes() == {}
    with pytest.raises(NotStored, match="no gene pebble"):
        own.set_own_gene("pebble", None)
    own.undo_last()
    assert own.own_genes() == {"pebble": PEBBLE}


def test_a_correction_changes_prices_that_were_stored_before_it(own):
    """The trait of a price follows the catalogue: a gene that turns out dominant shows in one copy."""
    own.set_own_gene("pebble", PEBBLE)
    seen = PriceObservation(
        on=date(2026, 1, 1), what="pebble", traits=(), sex=Sex.MALE, price_minor=100, currency="EUR"
    )
    own.add_observation(seen)
    assert own.price_observations()[0].traits == (Trait("pebble", "visual"),)
    before = own.catalogue()
    own.add_animal("Alder", "normal")
    assert own.catalogue() is before  # other edits keep the genes, and so what was reckoned with them
    own.set_own_gene("pebble", {"kind": "gene", "mode": "incomplete dominant"})
    assert own.catalogue() is not before
    assert own.catalogue().catalogue.gene("pebble").mode == "incomplete dominant"


def test_two_windows_on_one_gene(path):
    with open_book(path) as one, open_book(path) as two:
        one.set_own_gene("pebble", PEBBLE)
        seen = one.own_gene_versions()["pebble"]
        two.set_own_gene("pebble", {"kind": "gene", "mode": "dominant"}, version=seen)
        with pytest.raises(Conflict):
            one.set_own_gene("pebble", {"kind": "gene", "mode": "incomplete dominant"}, version=seen)
        assert two.own_genes()["pebble"]["mode"] == "dominant"


def test_a_definition_that_no_longer_fits_what_ships_is_left_out_and_named(path):
    """As after an update of the program that brings a gene of the same name."""
    with open_book(path) as book:
        book.set_own_gene("pebble", PEBBLE)
        book.set_own_gene("moss", {"kind": "gene", "mode": "dominant"})
    with sqlite3.connect(path) as raw:
        raw.execute("UPDATE own_genes SET name = 'pastel' WHERE name = 'pebble'")
    with open_book(path) as book:
        genes = book.catalogue()
        assert [name for name, _ in genes.left_out] == ["pastel"]
        assert genes.catalogue.gene("moss").mode == "dominant"
        assert book.add_animal("Larch", "pastel moss").id


def test_storing_the_same_again_is_no_edit(own):
    own.set_own_gene("pebble", PEBBLE)
    before = own.data_version
    own.set_own_gene("pebble", dict(PEBBLE))
    assert own.data_version == before
