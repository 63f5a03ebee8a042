"""How far an empty book is on the way to its first answer, read from what it holds."""

from __future__ import annotations

import pytest

from dashboard.jobs.first_steps import STEPS, first_steps
from econ.prices.observations import PriceObservation
from genetics import Sex


def done(book, catalogue):
    found = first_steps(book, catalogue=catalogue)
    return [step for step in STEPS if found.is_done(step)]


def test_each_step_is_done_when_the_book_holds_it_and_not_before(book, catalogue):
    assert first_steps(book, catalogue=catalogue).empty
    assert done(book, catalogue) == []
    sire = book.add_animal("Basalt", "clown", sex=Sex.MALE)
    assert done(book, catalogue) == []
    dam = book.add_animal("Tansy", "het clown", sex=Sex.FEMALE)
    assert done(book, catalogue) == ["animals"]
    book.add_pairing(2027, sire.id, dam.id)
    assert done(book, catalogue) == ["animals", "pairing"]
    traits = book.reader("clown", Sex.UNSEXED)
    book.add_observation(
        PriceObservation(on=book.today(), what="clown", traits=traits, price_minor=100, currency="EUR")
    )
    assert first_steps(book, catalogue=catalogue).done
    book.change_animal(sire.id, sire.version, status="sold")
    assert not first_steps(book, catalogue=catalogue).done


# Which looks a pair can hatch follows from the mode of each gene (classical genetics); of these the one with
# fewest genes that shows a gene, the gene that most of the young have in some form.
@pytest.mark.parametrize(
    ("sire", "dam", "look"),
    [
        ("pastel clown", "enchi het clown", "clown"),
        ("het pied", "het pied", "pied"),
        ("clown", "normal", "het clown"),
        ("normal", "normal", "normal"),
        ("pastel", "normal", "pastel"),
    ],
)
def test_the_price_asked_first_is_of_a_look_the_two_can_hatch(book, catalogue, sire, dam, look):
    book.add_animal("Basalt", sire, sex=Sex.MALE)
    assert first_steps(book, catalogue=catalogue).look == ""
    book.add_animal("Tansy", dam, sex=Sex.FEMALE)
    assert first_steps(book, catalogue=catalogue).look == look
