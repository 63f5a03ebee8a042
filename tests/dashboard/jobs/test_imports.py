"""A file is read as guessed or as wished, tried, and added in one step."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.imports import (
    Trial,
    Wishes,
    add_good_rows,
    field_heads,
    guess_of,
    holds_whole_book,
    likely_kind,
    try_file,
    try_package,
    try_text,
    with_wishes,
)
from dashboard.records import open_book
from dashboard.records.spreadsheets import FileRefused, export_package, export_workbook
from genetics import Sex

UNSURE = (
    b"date;what;sex;price\n03/04/2025;pastel;male;45\n2025-05-01;pastle;male;80\n2025-05-02;clown;f;1.234\n"
)


def test_rows_that_can_be_read_in_two_ways_are_refused_until_the_breeder_says(book):
    trial = try_file(book, UNSURE)
    assert [row.line for row in trial.run.refused] == [2, 3, 4]
    assert trial.unclear
    wishes = Wishes(date_order="day first", decimal=",")
    trial = try_file(book, UNSURE, wishes)
    assert [row.line for row in trial.run.refused] == [3]
    assert not trial.unclear
    first, second = trial.run.records
    # ISO 8601: 3 April; "1.234" with a decimal comma is one thousand two hundred and thirty-four
    assert (first.on, second.price_minor) == (date(2025, 4, 3), 123_400)
    assert try_file(book, UNSURE, Wishes(date_order="month first")).run.records[0].on == date(2025, 3, 4)


def test_nothing_is_stored_by_a_trial_and_all_good_rows_by_adding(book):
    version = book.data_version
    trial = try_file(book, UNSURE, Wishes(date_order="day first", decimal=","))
    assert book.data_version == version
    receipt = add_good_rows(book, trial, "seen.csv")
    assert (receipt.added, len(book.price_observations())) == (2, 2)
    assert book.data_version == version + 1
    assert [copy.why for copy in book.back_ups()] == ["before import"]
    book.undo_import(receipt.import_id)
    assert book.price_observations() == ()


def test_a_file_brought_in_twice_adds_nothing(book):
    wishes = Wishes(date_order="day first", decimal=",")
    add_good_rows(book, try_file(book, UNSURE, wishes), "seen.csv")
    again = try_file(book, UNSURE, wishes)
    assert (again.run.good, len(again.run.duplicates)) == ((), 2)


def test_a_column_with_an_unknown_head_can_be_named(book):
    data = b"date,beast,price\n2025-05-01,pastel,45\n"
    trial = try_file(book, data, Wishes(kind="prices"))
    assert trial.run is None
    assert "what" in trial.fault
    assert trial.guess.missing == ("what",)
    named = try_file(book, data, Wishes(kind="prices", columns=(("what", 1),)))
    assert [row.what for row in named.run.records] == ["pastel"]


def test_a_column_can_be_left_out(book):
    data = b"date,what,price,how many\n2025-05-01,pastel,45,3\n"
    left_out = try_file(book, data, Wishes(kind="prices", columns=(("quantity", None),)))
    assert [row.quantity for row in try_file(book, data).run.records] == [3]
    assert [row.quantity for row in left_out.run.records] == [1]


def test_another_separator_makes_other_columns(book):
    data = b"date;what;price\n2025-05-01;pastel;45\n"
    assert guess_of(data, Wishes()).headers == ("date", "what", "price")
    guess = guess_of(data, Wishes(kind="prices", separator=","))
    assert guess.headers == ("date;what;price",)
    assert guess.missing


def test_what_was_said_of_columns_is_forgotten_with_another_separator():
    before = Wishes(kind="prices", date_order="day first", decimal=",", columns=(("what", 1),))
    after = with_wishes(before, {"separator": "|", "decimal": "."}, {"sex": 2})
    assert (after.separator, after.columns, after.date_order, after.decimal) == ("|", (), None, None)
    kept = with_wishes(before, {"decimal": "."}, {"sex": 2})
    assert (kept.decimal, dict(kept.columns)) == (".", {"what": 1, "sex": 2})


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        (b"date,what,price\n", "prices"),
        (b"date,what,offered\n", "supply"),
        (b"name,sex,what,hatched\n", "animals"),
        (b"season,sire,dam\n", "pairings"),
    ],
)
def test_the_heads_say_which_table_a_file_is(head, kind):
    kinds = ("prices", "supply", "animals", "pairings")
    assert likely_kind(head, kinds) == kind
    assert likely_kind(head, ("supply",)) == "supply"


def test_every_field_of_a_table_can_be_chosen():
    heads = field_heads("pairings")
    assert [(name, needed) for name, _, needed in heads][:3] == [
        ("season", True),
        ("sire", True),
        ("dam", True),
    ]


@pytest.mark.parametrize("data", [b"", b"\x00\x01\x02", b"PK\x03\x04 no zip"])
def test_a_file_that_is_none_is_refused_with_a_sentence(book, data):
    trial = try_file(book, data)
    assert (trial.guess, trial.run) == (None, None)
    assert trial.fault.endswith(".")
    with pytest.raises(FileRefused):
        add_good_rows(book, trial, "none")
    assert book.back_ups() == ()


def test_animals_and_pairings_come_in_by_name(book):
    animals = b"name,sex,what\nBasalt,male,pastel clown\nTansy,female,enchi het clown\nFern,female,pastle\n"
    trial = try_file(book, animals)
    assert trial.run.sentence == "2 of 3 rows can be added; 1 was refused"
    add_good_rows(book, trial, "animals.csv")
    assert [(a.name, a.sex) for a in book.animals()] == [("Basalt", Sex.MALE), ("Tansy", Sex.FEMALE)]
    pairings = try_file(book, b"season,sire,dam\n2027,Basalt,Tansy\n2027,Basalt,Fern\n")
    assert [row.written for row in pairings.run.refused] == ["Fern"]
    assert add_good_rows(book, pairings, "pairings.csv").added == 1


def test_a_trial_without_a_run_is_not_unclear():
    assert not Trial(None, None, "The file is empty.").unclear


def test_pasted_cells_go_through_the_same_door(book):
    trial = try_text(book, "date\twhat\tprice\n2025-05-01\tpastel\t45\n2025-05-02\tpastle\t1\n")
    assert (trial.guess.separator, [row.what for row in trial.run.records]) == ("\t", ["pastel"])
    assert [row.written for row in trial.run.refused] == ["pastle"]
    assert try_text(book, "").fault == "The file is empty."
    assert try_text(book, "\ud800\ta\n1\t2\n").fault


def test_columns_of_months_can_be_switched_off_and_on(book):
    data = b"what,2025-01,2025-02\npastel,45,50\n"
    assert [row.on for row in try_file(book, data).run.records] == [date(2025, 1, 1), date(2025, 2, 1)]
    off = try_file(book, data, Wishes(kind="prices", by_month=False))
    assert (off.run, off.guess.missing) == (None, ("date", "price"))
    assert try_file(book, b"date,what,price\n2025-05-01,pastel,45\n", Wishes(by_month=True)).run.good


def test_work_that_is_stopped_leaves_nothing(book):
    data = b"date,what,price\n" + b"2025-05-01,pastel,45\n" * 5_000
    told = []

    def stop(done, total):
        told.append((done, total))
        if done:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        try_file(book, data, on_progress=stop)
    trial = try_file(book, data)
    version = book.data_version
    with pytest.raises(KeyboardInterrupt):
        add_good_rows(book, trial, "seen.csv", on_progress=stop)
    assert told[-1] == (2_000, 5_000)
    assert (book.data_version, book.price_observations(), book.imports()) == (version, (), ())
    assert add_good_rows(book, trial, "seen.csv").added == 5_000


def test_a_package_is_told_from_a_table_and_tried(book, tmp_path):
    book.add_animal("Basalt", "pastel", sex=Sex.MALE)
    package = export_package(book)
    assert holds_whole_book(package)
    assert not holds_whole_book(export_workbook(book))
    assert not holds_whole_book(UNSURE)
    assert "empty book only" in try_package(book, package).fault
    with open_book(tmp_path / "other.sqlite") as other:
        assert try_package(other, package).trial.sentence == "1 of 1 rows can be added"
