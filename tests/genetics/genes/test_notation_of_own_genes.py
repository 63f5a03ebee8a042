"""Reading gives back what was written, whatever genes a breeder has put down."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from genetics import read_animal, write_animal
from tests.genetics.genes.own_strategies import own_animals


@settings(max_examples=40, deadline=None)
@given(own_animals(), st.randoms(use_true_random=False))
def test_reading_what_was_written_gives_the_same_animal(made, random):
    _, catalogue, animal = made
    text = write_animal(animal, catalogue)
    assert read_animal(text, catalogue, sex=animal.sex) == animal
    shouted = "".join(letter.upper() if random.random() < 0.5 else letter for letter in text)
    assert read_animal(shouted, catalogue, sex=animal.sex) == animal
