from __future__ import annotations

import pytest

from dashboard.records import Conflict, NotStored, open_book
from genetics import Sex

TABLES = ("animals", "pairings", "price_observations", "assumptions", "pairing_assumptions", "own_genes")


def content(book):
    """All rows of the tables that are edited, without their versions."""
    found = {}
    for table in TABLES:
        names, rows = book.plain_rows(table)
        kept = [i for i, name in enumerate(names) if name != "version"]
        found[table] = [tuple(row[i] for i in kept) for row in rows]
    return found


def test_taking_back_every_edit_passes_through_every_earlier_state(book, price):
    steps = [
        lambda: book.add_animal("Basalt", "pastel", sex=Sex.MALE),
        lambda: book.add_animal("Tansy", "clown", sex=Sex.FEMALE),
        lambda: book.add_pairing(2027, 1, 2),
        lambda: book.set_pairing_assumption(1, "sale.first_month", 3),
        lambda: book.change_animal(1, book.animal(1).version, text="pastel enchi", note="n"),
        lambda: book.add_observation(price()),
        lambda: book.add_observations([price(minor=m) for m in (1, 2, 3)], "x.csv"),
        lambda: book.set_assumption("sale.first_month", 4),
        lambda: book.set_own_gene("pebble", {"kind": "gene", "mode": "recessive"}),
        lambda: book.remove_pairing(1, book.pairing(1).version),
        lambda: book.remove_animal(2, book.animal(2).version),
    ]
    states = [content(book)]
    for step in steps:
        step()
        states.append(content(book))
    for expected in reversed(states[:-1]):
        before = book.data_version
        book.undo_last()
        assert content(book) == expected
        assert book.data_version > before
    with pytest.raises(NotStored, match="nothing to undo"):
        book.undo_last()


def test_a_window_that_saw_the_row_before_an_undo_can_not_write_over_it(book, herd):
    basalt, _ = herd
    changed = book.change_animal(basalt.id, basalt.version, note="x")
    book.undo_last()
    for stale in (basalt.version, changed.version):
        with pytest.raises(Conflict):
            book.change_animal(basalt.id, stale, note="y")
    assert book.animal(basalt.id).note == ""


def test_one_edit_can_be_taken_back_unless_its_row_changed_since(book, herd):
    basalt, tansy = herd
    first = book.change_animal(basalt.id, basalt.version, note="x")
    book.change_animal(tansy.id, tansy.version, note="y")
    book.undo(first.version)
    assert (book.animal(basalt.id).note, book.animal(tansy.id).note) == ("", "y")
    with pytest.raises(NotStored, match="already"):
        book.undo(first.version)
    one = book.change_animal(basalt.id, book.animal(basalt.id).version, note="one")
    book.change_animal(basalt.id, one.version, note="two")
    with pytest.raises(Conflict):
        book.undo(one.version)
    assert book.animal(basalt.id).note == "two"


def test_an_entry_others_need_is_not_taken_back(book, herd):
    basalt, tansy = herd
    book.add_pairing(2027, basalt.id, tansy.id)
    with pytest.raises(NotStored):
        book.undo(tansy.version)
    assert book.animal(tansy.id) == tansy


def test_the_list_says_what_was_done_newest_first(book, herd):
    basalt, _ = herd
    book.change_animal(basalt.id, basalt.version, note="x")
    book.undo_last()
    changes = book.changes()
    assert [change.sentence for change in changes] == [
        "Took back: Changed Basalt",
        "Changed Basalt",
        "Entered Tansy",
        "Entered Basalt",
    ]
    assert [change.undone_at is None for change in changes] == [True, False, True, True]
    assert (changes[0].undoes, changes[1].undoes) == (changes[1].edit, None)
    (row,) = changes[1].rows
    assert row.table == "animals"
    assert '"note": ""' in row.before
    assert '"note": "x"' in row.after
    (back,) = changes[0].rows
    assert (back.before, back.after) == (row.after, row.before)


def test_taking_an_undo_back_makes_the_edit_hold_again(book, herd):
    basalt, _ = herd
    changed = book.change_animal(basalt.id, basalt.version, note="x")
    book.undo_last()
    undo = book.changes()[0]
    book.undo(undo.edit)
    assert book.animal(basalt.id).note == "x"
    assert book.changes()[0].sentence == "Did again: Changed Basalt"
    book.undo_last()  # the edit itself, which holds again
    assert book.animal(basalt.id).note == ""
    assert [c.undone_at is None for c in book.changes() if c.edit == changed.version] == [False]


def test_what_changes_nothing_is_no_edit(book, herd):
    basalt, tansy = herd
    pairing = book.add_pairing(2027, basalt.id, tansy.id)
    before = book.data_version, book.changes()
    book.set_assumption("sale.first_month", None)
    book.set_pairing_assumption(pairing.id, "sale.first_month", None)
    book.clear_pairing_assumptions(pairing.id)
    assert (book.data_version, book.changes()) == before


def test_taking_out_a_file_is_an_entry_of_its_own(book, price):
    receipt = book.add_observations([price(minor=m) for m in (1, 2)], "x.csv")
    assert book.undo_import(receipt.import_id) == 2
    out, came = book.changes()
    assert (out.sentence, out.undoes, came.undone_at is None) == (
        "Took out the rows of x.csv", came.edit, False
    )  # fmt: skip
    with pytest.raises(NotStored, match="bringing the file in again"):
        book.undo(out.edit)


def test_a_row_removed_before_its_file_was_taken_out_does_not_come_back_without_it(book, herd):
    from datetime import date

    from dashboard.records.kinds import WEIGHTS

    basalt, _ = herd
    rows = [{"animal_id": basalt.id, "on": date(2024, month, 1), "grams": 500.0} for month in (1, 2)]
    came = book.add_rows(WEIGHTS, rows, "weights.csv")
    first = book.rows(WEIGHTS)[0]
    book.remove_row(WEIGHTS, first.id, first.version)
    removed = book.data_version
    book.undo_import(came.import_id)
    with pytest.raises(NotStored, match="already taken back"):
        book.undo(removed)
    assert book.rows(WEIGHTS) == ()


def test_two_windows_on_one_row_and_the_number_of_edits(path, reader):
    with open_book(path, reader=reader) as one, open_book(path, reader=reader) as two:
        seen = one.add_animal("Basalt", "pastel", sex=Sex.MALE)
        assert two.data_version == one.data_version == 1
        two.change_animal(seen.id, two.animal(seen.id).version, note="from two")
        assert one.data_version == 2
        with pytest.raises(Conflict) as refused:
            one.change_animal(seen.id, seen.version, note="from one", status="sold")
        assert refused.value.stored == {"note": "from two", "status": "growing"}
        assert refused.value.yours == {"note": "from one", "status": "sold"}
        assert refused.value.changed_at
        assert one.animal(seen.id).note == "from two"


def test_forecasts_are_kept_once_a_day_and_are_no_edit(book):
    from datetime import date

    from dashboard.records import ShownForecast

    shown = [
        ShownForecast(date(2026, 11, 20), "clown", date(2027, 11, 20), 4.8, 0.2),
        ShownForecast(date(2026, 11, 20), "het clown", date(2027, 11, 20), 3.9, 0.3),
    ]
    version = book.data_version
    assert book.remember_forecasts(shown) == 2
    later = ShownForecast(date(2026, 11, 20), "clown", date(2027, 11, 20), 5.5, 0.9)
    assert book.remember_forecasts([later, *shown]) == 0
    assert book.past_forecasts() == tuple(shown)
    assert (
        book.remember_forecasts([ShownForecast(date(2026, 11, 21), "clown", date(2027, 11, 20), 4.7, 0.2)])
        == 1
    )
    assert book.data_version == version
    with pytest.raises(NotStored):
        book.remember_forecasts([ShownForecast(date(2026, 11, 21), "clown", date(2025, 1, 1), 4.7, 0.2)])


def test_a_file_larger_than_the_memory_of_the_database_can_be_taken_out(path, price):
    """A long edit locks the file before it ends (the page cache of SQLite spills): no read beside it."""
    many = [price(minor=minor) for minor in range(1, 30_001)]
    with open_book(path) as book:
        receipt = book.add_observations(many, "prices.csv")
        assert book.undo_import(receipt.import_id) == receipt.added == len(many)
        assert book.price_observations() == ()
