"""Groups are counted males.females.unsexed, as the trade does (common practice, no source)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics import NotationError, NotWritable, Sex, load_catalogue, read_animal, write_animal
from genetics.genes.groups import Group, read_group, write_group
from tests.genetics.strategies import animals

GROUPS = [
    ("1.2.3 pastel het clown", (1, 2, 3), "1.2.3 pastel het clown"),
    ("pastel (0.2)", (0, 2, 0), "0.2 pastel"),
    ("2 males, 1 female pied", (2, 1, 0), "2.1 pied"),
    ("trio of pied", (1, 2, 0), "1.2 pied"),
    ("pair pied", (1, 1, 0), "1.1 pied"),
    ("3.0", (3, 0, 0), "3.0 normal"),
    ("pied", (0, 0, 1), "0.0.1 pied"),
    ("male pied", (1, 0, 0), "1.0 pied"),
    ("1.1 banana (from sire)", (1, 1, 0), "1.1 banana (from sire)"),
]


@pytest.mark.parametrize(("text", "counts", "again"), GROUPS)
def test_a_group_is_counts_and_an_animal(catalogue, text, counts, again):
    group = read_group(text, catalogue)
    assert (group.males, group.females, group.unsexed) == counts
    assert group.total == sum(counts)
    assert write_group(group, catalogue) == again
    assert [animal.sex for animal in group.animals] == [sex for sex, n in zip(Sex, counts, strict=True) if n]


def test_each_sex_of_a_group_is_read_for_itself(catalogue):
    group = read_group("1.1 banana (from sire)", catalogue)
    assert group.animal(Sex.MALE) == read_animal("banana (from sire)", catalogue, sex=Sex.MALE)
    assert group.animal(Sex.FEMALE) == read_animal("banana", catalogue, sex=Sex.FEMALE)
    with pytest.raises(LookupError, match="no unsexed animal"):
        group.animal(Sex.UNSEXED)


@pytest.mark.parametrize(
    ("text", "word", "position"),
    [
        ("0.0 pied", "0.0", 0),
        ("1.2 1.0 pied", "1.0", 4),
        ("pair of 1.1 pied", "1.1", 8),
        ("1.1 male pied", "male", 4),
        ("1.1 pastle", "pastle", 4),
        ("1.1 banana male maker", "male", 11),
    ],
)
def test_faults_of_a_group_name_the_word(catalogue, text, word, position):
    with pytest.raises(NotationError) as caught:
        read_group(text, catalogue)
    assert (caught.value.word, caught.value.position) == (word, position)


def test_a_group_whose_sexes_differ_has_no_words(catalogue):
    mixed = Group(
        1,
        1,
        0,
        (
            read_animal("pied", catalogue, sex=Sex.MALE),
            read_animal("clown", catalogue, sex=Sex.FEMALE),
        ),
    )
    with pytest.raises(NotWritable):
        write_group(mixed, catalogue)


def test_a_group_of_nobody_has_no_words(catalogue):
    with pytest.raises(NotWritable):
        write_group(Group(0, 0, 0, (read_animal("pied", catalogue),)), catalogue)


@settings(max_examples=60, deadline=None)
@given(animals(most=3), st.integers(0, 9), st.integers(0, 9), st.integers(0, 9))
def test_reading_a_written_group_gives_it_back(made, males, females, unsexed):
    catalogue, animal = made
    if not males + females + unsexed:
        return
    text = f"{males}.{females}.{unsexed} {write_animal(animal, catalogue)}"
    group = read_group(text, load_catalogue())
    assert read_group(write_group(group, catalogue), catalogue) == group
