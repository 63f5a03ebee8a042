"""What would make the records contradict each other is refused: by a change, and by an undo as well."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.records import HatchlingDraft, NotStored, open_book
from dashboard.records.herd.standing import herd_faults
from dashboard.records.kinds import CLUTCHES, FURTHER_SIRES, GENE_TESTS, WEIGHTS
from genetics import Sex


@pytest.fixture
def plain(path):
    """A book that reads with the genes that ship and its own."""
    with open_book(path) as book:
        yield book


def _faults(book):
    with book._store.reading() as connection:
        return herd_faults(connection)


@pytest.mark.parametrize(
    ("kind", "values", "word"),
    [
        (WEIGHTS, {"grams": 900.0}, "weighed"),
        (GENE_TESTS, {"gene": "clown", "result": "no copy"}, "tested"),
    ],
)
def test_an_animal_can_not_hatch_after_it_was_weighed_or_tested(book, herd, kind, values, word):
    basalt, _ = herd
    book.add_row(kind, {**values, "animal_id": basalt.id, "on": date(2025, 1, 5)})
    with pytest.raises(NotStored, match=f"Basalt was {word} on 2025-01-05, before 2025-01-06"):
        book.change_animal(basalt.id, basalt.version, hatched=date(2025, 1, 6))
    assert book.change_animal(basalt.id, basalt.version, hatched=date(2025, 1, 5)).hatched.day == 5


def test_a_parent_can_not_hatch_after_its_young_or_in_the_season_it_lays(book, herd):
    basalt, tansy = herd
    book.add_animal("Marl", "normal", dam_id=tansy.id, hatched=date(2024, 8, 1))
    with pytest.raises(NotStored, match="Tansy hatched on 2024-08-01, not before its young Marl"):
        book.change_animal(tansy.id, tansy.version, hatched=date(2024, 8, 1))
    book.add_pairing(2025, basalt.id, tansy.id)
    with pytest.raises(NotStored, match="too late for eggs in 2025"):
        book.change_animal(basalt.id, basalt.version, hatched=date(2025, 1, 1))


def test_an_undo_can_not_give_a_sire_another_sex(book, herd):
    _, tansy = herd
    marl = book.add_animal("Marl", "normal", sex=Sex.FEMALE)
    book.change_animal(marl.id, marl.version, sex=Sex.MALE)
    changed = book.data_version
    paired = book.add_pairing(2027, marl.id, tansy.id)
    with pytest.raises(NotStored, match="must be male"):
        book.undo(changed)
    assert book.animal(marl.id).sex is Sex.MALE
    book.remove_pairing(paired.id, paired.version)
    book.undo(changed)
    assert book.animal(marl.id).sex is Sex.FEMALE


def test_an_undo_can_not_make_an_animal_its_own_ancestor(book):
    flint, marl = (book.add_animal(name, "normal", sex=Sex.MALE) for name in ("Flint", "Marl"))
    first = book.change_animal(flint.id, flint.version, sire_id=marl.id)
    book.change_animal(flint.id, first.version, sire_id=None)
    cleared = book.data_version
    book.change_animal(marl.id, marl.version, sire_id=flint.id)
    with pytest.raises(NotStored, match="descend from itself"):
        book.undo(cleared)
    assert _faults(book) == frozenset()


def test_an_undo_can_not_take_the_words_from_what_is_written(plain):
    plain.set_own_gene("pebble", {"kind": "gene", "mode": "recessive"})
    described = plain.data_version
    marl = plain.add_animal("Marl", "pebble")
    with pytest.raises(NotStored, match="used by Marl"):
        plain.undo(described)
    plain.change_animal(marl.id, marl.version, text="normal")
    rewritten = plain.data_version
    plain.undo(described)
    with pytest.raises(NotStored, match="Marl could no longer be read"):
        plain.undo(rewritten)
    assert plain.animal(marl.id).text == "normal"


def test_a_further_sire_is_another_than_the_sire(book, herd):
    basalt, tansy = herd
    flint = book.add_animal("Flint", "normal", sex=Sex.MALE)
    pairing = book.add_pairing(2026, basalt.id, tansy.id)
    book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": flint.id})
    with pytest.raises(NotStored, match="Flint is a further sire of the pairing of which it is the sire"):
        book.change_pairing(pairing.id, pairing.version, sire_id=flint.id)


def test_a_file_of_further_sires_stays_while_a_young_animal_names_one(book, herd):
    basalt, tansy = herd
    flint = book.add_animal("Flint", "normal", sex=Sex.MALE)
    pairing = book.add_pairing(2026, basalt.id, tansy.id)
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id})
    came = book.add_rows(FURTHER_SIRES, [{"pairing_id": pairing.id, "sire_id": flint.id}], "sires.csv")
    (young,) = book.add_hatchlings(clutch.id, [HatchlingDraft("normal")])
    book.change_animal(young.id, young.version, sire_id=flint.id)
    with pytest.raises(NotStored, match="was not with the dam"):
        book.undo_import(came.import_id)
    assert len(book.rows(FURTHER_SIRES)) == 1


def test_what_contradicted_itself_before_is_no_bar_to_an_edit(book, herd):
    """A book that another program left so can still be put right, one row after the other."""
    import sqlite3
    from contextlib import closing

    basalt, tansy = herd
    young = book.add_animal("Marl", "normal", dam_id=tansy.id, hatched=date(2024, 8, 1))
    with closing(sqlite3.connect(book.place)) as raw:
        raw.execute("UPDATE animals SET hatched = '2025-02-02' WHERE name = 'Tansy'")
        raw.commit()
    assert len(_faults(book)) == 1
    book.change_animal(basalt.id, basalt.version, note="seen")
    book.change_animal(young.id, young.version, hatched=date(2025, 8, 1))
    assert _faults(book) == frozenset()
