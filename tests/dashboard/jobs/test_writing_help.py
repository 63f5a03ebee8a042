"""Examples are read by the reader itself; any text is understood or refused with the word at fault."""

from __future__ import annotations

import pytest

from dashboard.jobs.animal_copies import copies_words
from dashboard.jobs.writing_help import EXAMPLES, text_read
from genetics import Sex, catalogue_with, read_animal, read_group


def test_every_example_is_read_and_reads_the_same_when_written_back(catalogue):
    assert len(EXAMPLES) >= 12
    for text, sex in EXAMPLES:
        found = text_read(text, catalogue, sex=sex)
        assert found.fault == ""
        assert found.written
        again = text_read(found.written, catalogue, sex=sex)
        assert (again.written, again.copies) == (found.written, found.copies)


def test_the_examples_follow_the_genes_of_the_book(catalogue):
    """Nothing of the answers is written down: a corrected gene reads otherwise."""
    made = catalogue_with(catalogue, {"clown": {"kind": "correction", "mode": "dominant"}})
    assert text_read("visual clown", catalogue).copies == ("two copies of clown",)
    assert text_read("visual clown", made).copies == ("one copy of clown",)


# what the words mean is common practice, no source: a 66% het has a chance of two in three
@pytest.mark.parametrize(
    ("text", "sex", "copies"),
    [
        ("66% het pied", Sex.UNSEXED, ("one copy of pied, 67 in 100",)),
        ("super pastel", Sex.UNSEXED, ("two copies of pastel",)),
        ("mojave lesser", Sex.UNSEXED, ("one copy each of mojave and lesser",)),
        ("banana", Sex.MALE, ("one copy of banana, from its sire or its dam",)),
        ("banana (from dam)", Sex.MALE, ("one copy of banana, from its dam",)),
        ("banana", Sex.FEMALE, ("one copy of banana",)),
        ("normal", Sex.MALE, ("no gene of the list",)),
        ("0.5% het pied", Sex.MALE, ("one copy of pied, under 1 in 100",)),
        ("99.9% het pied", Sex.MALE, ("one copy of pied, 99 in 100",)),
        ("1.2 pastel", Sex.UNSEXED, ("one copy of pastel",)),
    ],
)
def test_what_a_text_means_copy_by_copy(catalogue, text, sex, copies):
    assert text_read(text, catalogue, sex=sex).copies == copies


def test_copies_of_an_animal_are_those_of_its_belief(catalogue):
    animal = read_animal("pastel 50% het clown", catalogue)
    assert set(copies_words(animal, catalogue)) == {"one copy of pastel", "one copy of clown, 50 in 100"}


def test_a_group_keeps_its_counts(catalogue):
    found = text_read("1.2 pastel het clown", catalogue)
    assert read_group(found.written, catalogue) == read_group("1.2 pastel het clown", catalogue)


def test_a_group_whose_sexes_differ_says_each(catalogue):
    found = text_read("1.1 banana (from sire)", catalogue)
    assert found.fault == ""
    assert "banana" in found.written


@pytest.mark.parametrize(
    ("text", "word", "nearest"), [("66% het clwn", "clwn", "clown"), ("0.0 pastel", "0.0", "1.0")]
)
def test_a_text_that_can_not_be_read_says_the_word(catalogue, text, word, nearest):
    found = text_read(text, catalogue)
    assert (found.word, found.written, found.copies) == (word, "", ())
    assert nearest in found.nearest
    assert found.fault
