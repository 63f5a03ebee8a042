"""A book of the first tables becomes one of today; its edits can still be taken back."""

from __future__ import annotations

import json
import sqlite3
from datetime import date

import pytest
from alembic import command
from sqlalchemy import create_engine

from dashboard.records import open_book
from dashboard.records.safety.upgrade import UPGRADES
from dashboard.records.schema import APPLICATION_ID, SCHEMA_VERSION
from dashboard.records.store.book_file import inspect_file
from genetics import Sex


def _config(connection):
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(UPGRADES))
    config.set_main_option("path_separator", "newline")
    config.attributes["connection"] = connection
    return config


def _animal(number, name, sex, *, status="kept", hatched=None, paid=None):
    return {
        "id": number, "name": name, "name_key": name.casefold(), "sex": sex, "text": "pastel", "note": "",
        "status": status, "hatched": hatched, "bought_minor": paid, "sire_id": None, "dam_id": None,
        "import_id": None,
    }  # fmt: skip


@pytest.fixture
def first_book(path):
    """Six animals entered one by one, of which one was removed again, a pairing, and own figures."""
    engine = create_engine(f"sqlite:///{path}")
    with engine.begin() as connection:
        command.upgrade(_config(connection), "0001")
    engine.dispose()
    animals = [
        _animal(1, "Basalt", "male", hatched="2023-07-19", paid=54000),
        _animal(2, "Tansy", "female", hatched="2021-08-14"),
        _animal(3, "Clover", "female", hatched=f"{date.today().year - 1}-03-01"),  # noqa: DTZ011
        _animal(4, "Marl", "female", status="held back"),
        _animal(5, "Onyx", "female", status="sold"),
        _animal(6, "Gone", "male"),
    ]
    edit = 0
    with sqlite3.connect(path) as raw:
        info = {"data_version": "9", "name": "Old", "currency": "GBP", "is_demo": "no", "as_of": ""}
        raw.executemany("INSERT INTO info VALUES (?, ?)", info.items())
        for row in animals:
            edit += 1
            names = ", ".join(row)
            marks = ", ".join("?" * len(row))
            raw.execute(f"INSERT INTO animals (version, {names}) VALUES ({edit}, {marks})", [*row.values()])
            _log(raw, edit, f"Entered {row['name']}", "animals", row["id"], None, row)
        _log(raw, 7, "Removed Gone", "animals", 6, animals[5], None)
        raw.execute("DELETE FROM animals WHERE id = 6")
        pairing = {
            "id": 1, "season": 2027, "sire_id": 1, "dam_id": 2, "planned": 1, "note": "", "import_id": None,
        }  # fmt: skip
        raw.execute("INSERT INTO pairings (id, version, season, sire_id, dam_id, planned, note) VALUES "
                    "(1, 8, 2027, 1, 2, 1, '')")  # fmt: skip
        _log(raw, 8, "Entered a pairing for season 2027", "pairings", 1, None, pairing)
        figure = {"id": 1, "assumption": "sale.first_month", "value": 4.0}
        raw.execute("INSERT INTO assumptions (id, version, assumption, value) VALUES (1, 9, ?, 4.0)",
                    ["sale.first_month"])  # fmt: skip
        _log(raw, 9, "Set sale.first_month", "assumptions", 1, None, figure)
        raw.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        raw.execute("PRAGMA user_version = 1")
    return path


def _log(raw, edit, sentence, table, row_id, before, after):
    texts = [None if row is None else json.dumps(row, sort_keys=True) for row in (before, after)]
    raw.execute(
        "INSERT INTO changes (edit, at, sentence, table_name, row_id, before, after) VALUES (?,?,?,?,?,?,?)",
        [edit, "2026-01-01T10:00:00Z", sentence, table, row_id, *texts],
    )


def test_animals_keep_what_they_had_and_get_a_status_of_today(first_book, reader):
    with open_book(first_book, reader=reader) as book:
        animals = {animal.name: animal for animal in book.animals()}
        assert {name: animal.status for name, animal in animals.items()} == {
            "Basalt": "breeding",  # stands in a pairing
            "Tansy": "breeding",
            "Clover": "growing",  # younger than two years, in no pairing
            "Marl": "held back",
            "Onyx": "sold",
        }
        assert (animals["Basalt"].bought_minor, animals["Basalt"].bought_currency) == (54000, "GBP")
        assert animals["Tansy"].bought_currency is None
        assert animals["Basalt"].hatched == date(2023, 7, 19)
        assert book.assumptions() == {"sale.first_month": 4.0}
        assert book.back_ups()[0].why == "before upgrade"
        assert inspect_file(first_book).user_version == SCHEMA_VERSION


def test_the_number_of_a_removed_animal_is_not_given_again(first_book, reader):
    with open_book(first_book, reader=reader) as book:
        assert book.add_animal("New", "pastel", sex=Sex.MALE).id == 7


def test_edits_from_before_the_upgrade_can_be_taken_back(first_book, reader):
    with open_book(first_book, reader=reader) as book:
        for _ in range(3):  # the figure, the pairing, the removal
            book.undo_last()
        assert (book.assumptions(), book.pairings()) == ({}, ())
        gone = next(animal for animal in book.animals() if animal.name == "Gone")
        assert (gone.id, gone.status) == (6, "breeding")
        for _ in range(6):
            book.undo_last()
        assert book.animals() == ()


def test_the_upgraded_book_obeys_the_new_rules(first_book, reader):
    open_book(first_book, reader=reader).close()
    with sqlite3.connect(first_book) as raw:
        for bad in ("status = 'kept'", "sold_minor = -1", "asked_minor = -1", "sex = 'both'"):
            with pytest.raises(sqlite3.IntegrityError):
                raw.execute(f"UPDATE animals SET {bad} WHERE id = 1")
    with sqlite3.connect(first_book, isolation_level=None) as raw:
        raw.execute("PRAGMA foreign_keys = ON")
        with pytest.raises(sqlite3.IntegrityError):
            raw.execute("UPDATE animals SET clutch_id = 99 WHERE id = 1")
