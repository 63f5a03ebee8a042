"""Inbreeding of every pairing: Wright's coefficients of the textbooks, through the book's own records."""

from __future__ import annotations

import pytest

from dashboard.jobs.relations import candidate_pairs, pair_relation
from dashboard.records.kinds import CLUTCHES, FURTHER_SIRES
from genetics import Sex


class Herd:
    """Animals by name; a name with m is a male, with f a female."""

    def __init__(self, book):
        self.book = book

    def add(self, name, sire="", dam="", **more):
        sex = Sex.MALE if name.startswith("m") else Sex.FEMALE
        parents = {key: self[found].id for key, found in (("sire_id", sire), ("dam_id", dam)) if found}
        return self.book.add_animal(name, more.pop("text", "normal"), sex=sex, **parents, **more)

    def __getitem__(self, name):
        return next(animal for animal in self.book.animals() if animal.name == name)

    def related(self, sire, dam):
        return pair_relation(self.book, self[sire], self[dam])


@pytest.fixture
def herd(book):
    made = Herd(book)
    for name in ("m1", "f1", "m2", "f2", "m3", "f3"):
        made.add(name)
    return made


def test_wright_s_table(herd):
    """Wright's coefficients: sibs and parent with young 1/4, half sibs 1/8, and so on to second cousins."""
    for name, sire, dam in (
        ("ma", "m1", "f1"), ("fa", "m1", "f1"), ("fh", "m1", "f2"), ("mb", "m2", "f2"), ("fb", "m2", "f2"),
        ("fn", "ma", "f3"), ("mc", "m3", "fa"), ("md", "ma", "fb"), ("fd", "mb", "fa"),
        ("mx", "m3", "fn"), ("fy", "mc", "f3"),
    ):  # fmt: skip
        herd.add(name, sire, dam)
    herd.add("f9"), herd.add("m9")
    herd.add("mk", "mc", "f9"), herd.add("fk", "m9", "fn")
    expected = {
        ("ma", "fa"): 1 / 4,
        ("m1", "fa"): 1 / 4,
        ("ma", "fh"): 1 / 8,
        ("mc", "fn"): 1 / 16,
        ("ma", "fk"): 1 / 8,
        ("md", "fd"): 1 / 8,
        ("mk", "fk"): 1 / 64,
        ("m1", "f2"): 0,
    }
    for pair, coefficient in expected.items():
        found = herd.related(*pair)
        if pair == ("ma", "fk"):  # a grandparent: two steps, 0.5^3
            assert [item.id for item in found.ancestors] == ["ma"]
        assert found.inbreeding == pytest.approx(coefficient, abs=1e-15), pair
        assert sum(item.adds for item in found.ancestors) == pytest.approx(coefficient, abs=1e-15)
        assert found.close == (coefficient >= 1 / 8)


def test_an_uncle_and_his_niece(herd):
    """Uncle and niece 1/8, through both grandparents (Wright)."""
    herd.add("mu", "m1", "f1"), herd.add("mv", "m1", "f1"), herd.add("fn", "mv", "f2")
    found = herd.related("mu", "fn")
    assert found.inbreeding == pytest.approx(1 / 8)
    assert {item.id for item in found.ancestors} == {"m1", "f1"}
    paths = {path.animals for item in found.ancestors for path in item.paths}
    assert paths == {("mu", "m1", "mv", "fn"), ("mu", "f1", "mv", "fn")}
    assert {path.adds for item in found.ancestors for path in item.paths} == {1 / 16}


def test_without_an_ancestor_in_common_it_is_nought_and_not_unknown(herd):
    found = herd.related("m1", "f1")
    assert (found.inbreeding, found.ancestors, found.fault, found.close) == (0.0, (), "", False)


def test_young_of_one_clutch_have_the_parents_of_its_pairing(herd, book):
    """Two of one clutch are full sibs, whether the sire is entered with them or not: 1/4."""
    pairing = book.add_pairing(2026, herd["m1"].id, herd["f1"].id)
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id, "dam_id": herd["f1"].id})
    herd.add("mz", dam="f1", clutch_id=clutch.id)
    herd.add("fz", dam="f1", clutch_id=clutch.id)
    found = herd.related("mz", "fz")
    assert found.inbreeding == pytest.approx(1 / 4)
    assert {item.id for item in found.ancestors} == {"m1", "f1"}


def test_of_two_possible_sires_the_young_tell_which_it_was(herd, book):
    """Half the chance each: full sibs of a daughter or half sibs, 1/2 (1/4 + 1/8); a pied proves the one."""
    herd.add("mp", text="pied"), herd.add("fp", text="het pied")
    pairing = book.add_pairing(2026, herd["m1"].id, herd["fp"].id)
    book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": herd["mp"].id})
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id, "dam_id": herd["fp"].id})
    herd.add("mq", dam="fp", clutch_id=clutch.id, text="normal")
    herd.add("fs", "m1", "fp")
    # a normal hatchling: chance 1 from the normal male, 1/2 from the pied one, so 2 to 1 for m1
    found = herd.related("mq", "fs")
    assert found.inbreeding == pytest.approx(2 / 3 * 1 / 4 + 1 / 3 * 1 / 8)
    through = {item.id: item for item in found.ancestors}
    assert through["m1"].paths[0].chance == pytest.approx(2 / 3)
    herd.add("mr", dam="fp", clutch_id=clutch.id, text="pied")
    assert herd.related("mq", "fs").inbreeding == pytest.approx(1 / 8)


def test_every_candidate_is_listed_the_closest_first_and_the_plan_is_marked(herd, book):
    herd.add("ma", "m1", "f1"), herd.add("fa", "m1", "f1"), herd.add("fh", "m1", "f2")
    gone = herd.add("fgone", "m1", "f1")
    book.change_animal(gone.id, gone.version, status="sold")
    book.add_animal("unsexed", "normal", sire_id=herd["m1"].id, dam_id=herd["f1"].id)
    book.add_pairing(2027, herd["ma"].id, herd["fh"].id)
    book.add_pairing(2027, herd["ma"].id, herd["fa"].id, planned=False)
    found = candidate_pairs(book, 2027)
    assert found.count == 4 * 5
    names = [(pair.sire.name, pair.dam.name, pair.inbreeding) for pair in found.closest()]
    assert names == [
        ("m1", "fa", 0.25),
        ("m1", "fh", 0.25),
        ("ma", "f1", 0.25),
        ("ma", "fa", 0.25),
        ("ma", "fh", 0.125),
    ]
    assert (found.related, found.close, found.close_in_plan) == (5, 5, 1)
    assert [pair.in_plan for pair in found.closest()] == [False] * 4 + [True]
    assert found.closest(2) == found.closest()[:2]
    assert candidate_pairs(book, 2028).close_in_plan == 0
    for pair in found.closest():
        assert pair_relation(book, pair.sire, pair.dam).inbreeding == pair.inbreeding


def test_a_book_without_animals_has_no_candidates(book):
    found = candidate_pairs(book, 2027)
    assert (found.count, found.related, found.closest(), found.fault) == (0, 0, (), "")


def test_the_answer_follows_an_edit(herd, book):
    herd.add("ma", "m1", "f1")
    child = herd.add("fa")
    assert herd.related("ma", "fa").inbreeding == 0.0
    book.change_animal(child.id, child.version, sire_id=herd["m1"].id)
    assert herd.related("ma", "fa").inbreeding == pytest.approx(1 / 8)
