"""A sex code in front of an animal: males.females.unsexed, as the trade counts (custom, no source)."""

from __future__ import annotations

import pytest

from genetics import ImpossibleAnimal, NotationError, Sex, load_catalogue, read_animal


@pytest.mark.parametrize(("code", "sex"), [("1.0", Sex.MALE), ("0.1", Sex.FEMALE), ("0.0.1", Sex.UNSEXED)])
def test_one_animal_has_the_sex_of_its_code(code, sex):
    animal = read_animal(f"{code} pastel het clown", load_catalogue())
    assert animal == read_animal("pastel het clown", load_catalogue(), sex=sex)


@pytest.mark.parametrize("code", ["2.3", "0.0", "1.1", "0.0.2"])
def test_a_code_that_counts_other_than_one_is_refused(code):
    with pytest.raises(NotationError, match=r"allowed here is one: 1\.0, 0\.1 or 0\.0\.1") as caught:
        read_animal(f"  {code} pastel", load_catalogue())
    assert (caught.value.word, caught.value.position) == (code, 2)


def test_a_code_against_the_sex_that_is_known_is_refused():
    with pytest.raises(ImpossibleAnimal, match="says male, but the animal is entered as female"):
        read_animal("1.0 pastel", load_catalogue(), sex=Sex.FEMALE)


def test_places_of_faults_count_from_the_start_of_the_text():
    with pytest.raises(NotationError) as caught:
        read_animal("1.0 pastle", load_catalogue())
    assert caught.value.position == 4
    assert "pastel" in caught.value.nearest


def test_a_percentage_is_no_sex_code():
    assert read_animal("66% het clown", load_catalogue()) == read_animal("66 % het clown", load_catalogue())
