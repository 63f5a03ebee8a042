"""What a book tells of hidden genes: the classical odds, tests that err, contradictions by name."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.knowledge import animal_known, knowledge_of, known_belief
from dashboard.knowledge_words import conflict_words, known_sentence, reason_words, step_words
from dashboard.records import HatchlingDraft, open_book
from dashboard.records.kinds import CLUTCHES, FURTHER_SIRES, GENE_TESTS
from genetics import Sex, read_animal


@pytest.fixture
def book(tmp_path):
    with open_book(tmp_path / "book.sqlite") as opened:
        yield opened


@pytest.fixture
def couple(book):
    """A visual male and a female said to be 66 % possible het."""
    sire = book.add_animal("Basalt", "clown", sex=Sex.MALE)
    dam = book.add_animal("Tansy", "66% het clown", sex=Sex.FEMALE)
    return sire, dam


def _one(known, gene):
    return next(item for item in known.genes if item.gene == gene)


def test_each_normal_young_of_a_visual_mate_halves_the_odds(book, couple):
    """Classical (Bayes): after k normal young from a visual mate the odds of het fall by (1/2)^k."""
    sire, dam = couple
    assert _one(animal_known(book, dam), "clown").chance == pytest.approx(2 / 3, abs=1e-12)
    for k in range(1, 6):
        book.add_animal(f"Young {k}", "normal", sire_id=sire.id, dam_id=dam.id)
        odds = 2 * 0.5**k
        found = _one(animal_known(book, dam), "clown")
        assert found.chance == pytest.approx(odds / (1 + odds), abs=1e-12)
        assert found.why.before == pytest.approx(2 / 3, abs=1e-12)
    young = next(animal for animal in book.animals() if animal.name == "Young 1")
    assert known_sentence(_one(animal_known(book, young), "clown")) == "carries clown for certain"


def test_a_test_that_errs_moves_the_chance_by_its_likelihood_ratio(book, couple):
    """Bayes by hand: prior odds 2, a result of no copy from a test that finds 90 % and clears 95 %."""
    _, dam = couple
    values = {"animal_id": dam.id, "on": date(2026, 5, 1), "gene": "clown", "result": "no copy"}
    book.add_row(GENE_TESTS, {**values, "right_if_carried": 0.9, "right_if_not": 0.95})
    odds = 2 * 0.1 / 0.95
    found = _one(animal_known(book, dam), "clown")
    assert found.chance == pytest.approx(odds / (1 + odds), abs=1e-12)
    assert any("its own test for clown" in reason_words(reason) for reason in found.why.reasons)


def test_a_gene_that_a_test_rules_out_is_still_named_with_the_reason(book, couple):
    """Bayes by hand: a test without error that finds no copy leaves 2/3 * 0 = 0."""
    _, dam = couple
    book.add_row(
        GENE_TESTS, {"animal_id": dam.id, "on": date(2026, 5, 1), "gene": "clown", "result": "no copy"}
    )
    known = animal_known(book, dam)
    found = _one(known, "clown")
    assert (known.words, found.chance, found.is_open, found.steps) == ("normal", 0, False, ())
    assert found.why.before == pytest.approx(2 / 3, abs=1e-12)
    assert known_sentence(found) == "does not carry clown"
    assert reason_words(found.why.reasons[0]) == "its own test for clown: rules it out"


def test_what_would_tell_more_is_ranked_and_says_how_long_it_takes(book, couple):
    """Five young show a het to a visual mate with 95 % chance: 1 - (1/2)^5 = 0.969."""
    _, dam = couple
    steps = _one(animal_known(book, dam), "clown").steps
    assert [step.kind for step in steps] == ["test", "mating"]
    assert (steps[1].name, steps[1].show_within) == ("Basalt", 5)
    assert "five young show it with 95 % chance" in step_words(steps[1], "")
    assert "100" in step_words(steps[0], "50 EUR")


def test_what_is_known_is_the_belief_a_clutch_takes(book, couple):
    sire, dam = couple
    book.add_animal("Young 1", "clown", sire_id=sire.id, dam_id=dam.id)
    genes = book.catalogue().catalogue
    assert known_belief(book, book.animal(dam.id)) == read_animal("het clown", genes, sex=Sex.FEMALE)


def test_a_clutch_of_two_possible_sires_tells_which_it_was(book, couple):
    """A clown young of a het dam: the visual sire gives it with 1/2, the normal one never."""
    sire, _ = couple
    other = book.add_animal("Flint", "normal", sex=Sex.MALE)
    dam = book.add_animal("Yarrow", "het clown", sex=Sex.FEMALE)
    pairing = book.add_pairing(2026, sire.id, dam.id)
    book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": other.id})
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id})
    name = book.herd().clutch_name(clutch.id)
    book.add_hatchlings(clutch.id, [HatchlingDraft("normal"), HatchlingDraft("normal")])
    normal = knowledge_of(book).knowledge.sires(name)
    assert normal["Basalt"] == pytest.approx(0.25 / 1.25, abs=1e-12)  # two normal young: (1/2)^2 against 1
    book.add_hatchlings(clutch.id, [HatchlingDraft("clown")])
    assert knowledge_of(book).knowledge.sires(name)["Basalt"] == pytest.approx(1.0)


def test_a_said_sire_of_one_leaves_the_siblings_between_the_males(book, couple):
    """By hand: a clown sire gives every young a copy, a normal one none; one normal look, half and half."""
    sire, _ = couple
    other = book.add_animal("Flint", "normal", sex=Sex.MALE)
    dam = book.add_animal("Yarrow", "normal", sex=Sex.FEMALE)
    pairing = book.add_pairing(2026, sire.id, dam.id)
    book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": other.id})
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id})
    one, two, three = book.add_hatchlings(clutch.id, [HatchlingDraft("normal")] * 3)
    book.change_animal(one.id, one.version, sire_id=other.id)
    book.change_animal(two.id, two.version, sire_id=sire.id)
    assert not animal_known(book, book.animal(one.id)).genes
    assert _one(animal_known(book, book.animal(two.id)), "clown").chance == pytest.approx(1.0, abs=1e-12)
    assert _one(animal_known(book, book.animal(three.id)), "clown").chance == pytest.approx(0.5, abs=1e-12)


def test_a_possible_sire_that_can_not_be_read_leaves_the_rest_known(book, couple):
    import sqlite3

    sire, dam = couple
    other = book.add_animal("Flint", "normal", sex=Sex.MALE)
    pairing = book.add_pairing(2026, sire.id, dam.id)
    book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": other.id})
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id})
    book.add_hatchlings(clutch.id, [HatchlingDraft("normal")])
    with sqlite3.connect(book.place) as raw:
        raw.execute("UPDATE animals SET text = 'clowm' WHERE name = 'Flint'")
        raw.execute("UPDATE info SET value = value + 1 WHERE key = 'data_version'")
    found = knowledge_of(book)
    assert (found.fault, found.unread) == ("", ("Flint",))
    name = book.herd().clutch_name(clutch.id)
    # a normal young: 2/3 of a normal look by the visual sire, all of it by a male of whom nothing is said
    assert found.knowledge.sires(name)["Basalt"] == pytest.approx((2 / 3) / (2 / 3 + 1), abs=1e-12)


def test_the_smallest_share_of_a_test_is_taken_as_it_is(book, couple):
    _, dam = couple
    values = {"gene": "clown", "result": "no copy", "right_if_carried": 1e-7}
    book.add_row(GENE_TESTS, {"animal_id": dam.id, "on": date(2024, 5, 1), **values})
    left = 2 / 3 * (1 - 1e-7)
    assert _one(animal_known(book, dam), "clown").chance == pytest.approx(left / (left + 1 / 3), abs=1e-12)


def test_records_that_contradict_each_other_are_named_and_the_rest_goes_on(book, couple):
    sire, dam = couple
    white = book.add_animal("Marl", "clown", sex=Sex.FEMALE)
    odd = book.add_animal("Odd", "normal", sire_id=sire.id, dam_id=white.id)
    known = animal_known(book, odd)
    (conflict,) = known.conflicts
    assert set(conflict.animals) == {"Basalt", "Marl", "Odd"}
    assert "can't all be true" in conflict_words(conflict)
    assert "recorded wrongly" in conflict_words(conflict)
    assert _one(animal_known(book, dam), "clown").chance == pytest.approx(2 / 3, abs=1e-12)


def test_an_animal_that_can_not_be_read_takes_no_part(tmp_path):
    import sqlite3

    path = tmp_path / "book.sqlite"
    with open_book(path) as book:
        book.add_animal("Basalt", "clown", sex=Sex.MALE)
    with sqlite3.connect(path) as raw:
        raw.execute("UPDATE animals SET text = 'clowm'")
    with open_book(path) as book:
        assert knowledge_of(book).unread == ("Basalt",)
        assert animal_known(book, book.animals()[0]) is None
        assert known_belief(book, book.animals()[0]) is None
