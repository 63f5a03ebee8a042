"""Copied rows are read with their heads, or in a fixed order where none were copied."""

from __future__ import annotations

import pytest

from dashboard.jobs.animal_paste import try_paste, with_heads
from dashboard.jobs.imports import add_good_rows
from genetics import Sex


@pytest.mark.parametrize(
    ("text", "first", "added"),
    [
        ("", "", False),
        ("Name\tSex\tGenes\nBasalt\tmale\tpastel", "Name\tSex\tGenes", False),
        ("Basalt\tmale\tpastel", "name\tsex\twhat", True),
        ("Basalt;male;pastel;2023-07-19", "name;sex;what;hatched", True),
        ("\n\nBasalt,male,pastel\n", "name,sex,what", True),
    ],
)
def test_heads_are_put_on_top_where_there_are_none(text, first, added):
    found, was_added = with_heads(text)
    assert (found.splitlines()[:1] or [""])[0] == first
    assert was_added is added


@pytest.mark.parametrize("heads", ["", "name\tsex\twhat\thatched\n"])
def test_good_rows_come_in_and_the_others_are_named(book, heads):
    rows = "Basalt\tmale\tpastel clown\t2023-07-19\nFern\tfemale\tpastle\t\nTansy\tfemale\thet clown\t\n"
    trial = try_paste(book, heads + rows)
    assert trial.run is not None
    assert (len(trial.run.good), len(trial.run.refused)) == (2, 1)
    assert "pastle" in trial.run.refused[0].why
    assert book.animals() == ()
    add_good_rows(book, trial, "pasted animals")
    assert [(animal.name, animal.sex) for animal in book.animals()] == [
        ("Basalt", Sex.MALE),
        ("Tansy", Sex.FEMALE),
    ]
    assert len(try_paste(book, heads + rows).run.duplicates) == 2


def test_a_text_that_is_no_table_is_refused_in_a_sentence(book):
    trial = try_paste(book, "just some words")
    assert "what" in trial.fault
