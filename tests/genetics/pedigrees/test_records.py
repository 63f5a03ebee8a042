"""What the records may say, and how a breeder's list becomes a collection."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from genetics import WILD, NotationError, Sex, load_catalogue, make_animal, read_animal
from genetics.pedigrees.beliefs import as_fractions, independent_blocks
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.knowledge import know
from genetics.pedigrees.pedigree import (
    Collection,
    Litter,
    PedigreeAnimal,
    PedigreeError,
    PossibleSire,
    Seen,
    TestResult,
)
from genetics.pedigrees.written import WrittenAnimal, collection_of, seen_and_claim
from tests.genetics.pedigrees.herd import claims, invented_catalogue, written

CATALOGUE = invented_catalogue()
A, B = PedigreeAnimal("a", Sex.MALE), PedigreeAnimal("b", Sex.FEMALE)


@pytest.mark.parametrize(
    ("animals", "litters", "message"),
    [
        ((A, A), (), "animal a occurs twice"),
        ((A, B), (Litter("x"), Litter("x")), "clutch x occurs twice"),
        ((PedigreeAnimal("c", litter="x"),), (), "clutch x, which is not recorded"),
        ((A,), (Litter("x", "b"),), "is b, which is not recorded"),
        ((A, B), (Litter("x", "b", (PossibleSire("c"),)),), "is c, which is not recorded"),
        ((A, B), (Litter("x", "b", (PossibleSire("a", F(1, 2)),)),), "sum to 1/2"),
        ((A, B), (Litter("x", "b", (PossibleSire("a", F(1, 2)), PossibleSire("a", F(1, 2)))),), "twice"),
        ((A, B), (Litter("x", "a"),), "a is a male, so it can't be the dam"),
        ((A, B), (Litter("x", None, (PossibleSire("b"),)),), "b is a female, so it can't be the sire"),
        (
            (PedigreeAnimal("c"),),
            (Litter("x", "c"), Litter("y", None, (PossibleSire("c"),))),
            "recorded as a sire and as a dam",
        ),
        (
            (
                PedigreeAnimal("c", litter="x"),
                PedigreeAnimal("d", litter="y"),
                PedigreeAnimal("e", litter="y"),
            ),
            (Litter("x", "d"), Litter("y", None, (PossibleSire("c"),))),
            "descend from themselves: c, d",
        ),
    ],
)
def test_records_that_cannot_all_be_true_are_refused(animals, litters, message):
    with pytest.raises(PedigreeError, match=message):
        Collection(animals, litters)


def test_a_parent_has_the_sex_of_its_place():
    herd = Collection((PedigreeAnimal("c"), PedigreeAnimal("d")), (Litter("x", "c", (PossibleSire("d"),)),))
    assert herd.sexes["c"] is Sex.FEMALE
    assert herd.sexes["d"] is Sex.MALE
    assert Collection((A,), (Litter("y"),)).sexes["unknown dam of y"] is Sex.FEMALE


@pytest.mark.parametrize(
    ("how", "message"),
    [
        ({"sensitivity": F(0)}, "sensitivity of the fawn test is 0"),
        ({"specificity": F(3, 2)}, "specificity of the fawn test is 3/2"),
    ],
)
def test_a_test_has_chances_and_one_of_five_answers(how, message):
    with pytest.raises(PedigreeError, match=message):
        TestResult("fawn", "carries", **how)
    with pytest.raises(PedigreeError, match="'maybe'; allowed"):
        TestResult("fawn", "maybe")


def test_records_that_do_not_fit_the_catalogue_are_refused():
    odd = PedigreeAnimal("a", Sex.MALE, seen=Seen((("fawn", "no such look"),)))
    with pytest.raises(PedigreeError, match="unknown at fawn"):
        know(Collection((odd,)), CATALOGUE)
    claim = read_animal("0.1 het fawn", CATALOGUE)
    with pytest.raises(PedigreeError, match="does not fit its sex"):
        know(Collection((PedigreeAnimal("a", Sex.MALE, claim=claim),)), CATALOGUE)


@pytest.mark.parametrize(
    ("text", "shows", "claimed"),
    [
        ("normal", {}, ""),
        ("ember fawn", {"ember": "ember", "fawn": "fawn"}, ""),
        ("super ember 66% het fawn", {"ember": "super ember"}, "66% het fawn"),
        ("ridge", {"ridge": "ridge"}, ""),
        ("homozygous ridge", {"ridge": "ridge"}, "homozygous ridge"),
        ("paler", {"paler": "paler or wanner"}, ""),
        ("ruby", {"ruby": "ruby"}, ""),
        ("ruby (from sire)", {"ruby": "ruby"}, "ruby (from sire)"),
        ("super ghostly het fawn", {"ghostly": "super ghostly"}, "het fawn"),
        ("super ghostly fawn", {"ghostly": "super ghostly"}, "fawn"),
    ],
)
def test_what_shows_is_seen_and_the_rest_is_a_claim(text, shows, claimed):
    seen, claim = seen_and_claim(read_animal(text, CATALOGUE, sex=Sex.MALE), CATALOGUE)
    assert dict(seen.shows) == shows
    expected = (
        read_animal(claimed, CATALOGUE, sex=Sex.MALE)
        if claimed
        else read_animal("normal", CATALOGUE, sex=Sex.MALE)
    )
    assert claim == expected


def test_which_look_alike_it_is_is_a_claim():
    catalogue = load_catalogue()
    seen, claim = seen_and_claim(read_animal("1.0 lesser", catalogue), catalogue)
    assert [look for _, look in seen.shows] == ["lesser or butter"]
    assert claim == read_animal("1.0 lesser", catalogue)


def test_a_belief_over_different_looks_leaves_the_locus_open():
    seen, claim = seen_and_claim(claims(Sex.MALE, "ember", ember_o=F(1, 2), o_o=F(1, 2)), CATALOGUE)
    assert seen == Seen((), ("ember",))
    assert claim.belief
    joint = PedigreeAnimal("a", Sex.MALE, claim=claim, seen=seen)
    assert know(Collection((joint,)), CATALOGUE).animal("a").carries("ember") == pytest.approx(0.5)


def test_animals_of_one_clutch_share_parents_that_are_not_in_the_book():
    rows = [
        WrittenAnimal("d", "normal", Sex.FEMALE),
        WrittenAnimal("k", "normal", dam="d", clutch="one"),
        WrittenAnimal("l", "normal", dam="d", clutch="one"),
        WrittenAnimal("m", "normal", dam="d"),
        WrittenAnimal("n", "normal", dam="d"),
        WrittenAnimal("o", "normal", clutch="two"),
    ]
    herd = collection_of(rows, CATALOGUE)
    litters = {animal.id: animal.litter for animal in herd.animals}
    assert litters["d"] is None
    assert litters["k"] == litters["l"] == "one"
    assert len({litters["m"], litters["n"], litters["k"]}) == 3
    assert herd.litter_by_id["two"] == Litter("two")


def test_without_a_clutch_the_young_of_two_recorded_parents_are_together():
    herd = written(CATALOGUE, ["s m: normal", "d f: normal", "k u: normal | s x d", "l u: normal | s x d"])
    assert {a.litter for a in herd.animals} == {None, "s x d"}


def test_one_clutch_name_with_different_parents_is_two_clutches():
    rows = [
        "s m: normal",
        "d f: normal",
        "e f: normal",
        "k u: normal | s x d | one",
        "l u: normal | s x e | one",
    ]
    herd = written(CATALOGUE, rows)
    assert len(herd.litters) == 2
    odd = [*rows, "x u: normal | s x e | one (s x e)"]
    assert len({litter.id for litter in written(CATALOGUE, odd).litters}) == 3


def test_clutches_with_several_sires_are_given_as_such():
    litter = Litter("one", "d", (PossibleSire("s", F(1, 2)), PossibleSire("t", F(1, 2))))
    rows = ["s m: normal", "t m: normal", "d f: normal", "k u: normal | - x - | one"]
    herd = written(CATALOGUE, rows, [litter])
    assert herd.litter_by_id["one"] == litter
    assert herd.by_id["k"].litter == "one"


def test_an_animal_nobody_looked_at_has_only_claims_and_bad_text_is_an_error():
    herd = collection_of([WrittenAnimal("a", "1.0 ember", was_seen=False)], CATALOGUE)
    assert herd.animals[0].seen is None
    assert herd.animals[0].sex is Sex.MALE
    assert know(herd, CATALOGUE).animal("a").carries("ember") == 1.0
    with pytest.raises(NotationError):
        collection_of([WrittenAnimal("a", "embr")], CATALOGUE)


def test_tests_come_along():
    test = TestResult("fawn", "carries", F(9, 10), F(9, 10))
    herd = collection_of([WrittenAnimal("a", "50% het fawn", Sex.MALE, tests=(test,))], CATALOGUE)
    assert know(herd, CATALOGUE).animal("a").carries("fawn") == pytest.approx(0.9)


def test_what_the_eye_says_of_each_locus():
    herd = Collection(
        (
            PedigreeAnimal("plain", seen=Seen()),
            PedigreeAnimal("unclear", seen=Seen((), ("fawn",))),
            PedigreeAnimal("covered", seen=Seen((("ghostly", "super ghostly"), ("fawn", "fawn")))),
            PedigreeAnimal("veiled", seen=Seen((("veil", "super veil"), ("fawn", "fawn")))),
            PedigreeAnimal("unseen"),
        )
    )
    evidence = Evidence(herd, CATALOGUE)
    said = {name: evidence.seen_at(name, "fawn") for name in herd.by_id}
    assert said == {
        "plain": {""},
        "unclear": None,
        "covered": None,
        "veiled": {"fawn"},
        "unseen": None,
    }
    assert evidence.seen_at("covered", "ghostly") == {"super ghostly"}
    assert evidence.seen_at("veiled", "ember") is None
    assert evidence.seen_at("outside", "fawn") is None


def test_chances_become_the_fractions_they_are():
    assert as_fractions({"x": 2 / 3, "y": 1 / 3}) == {"x": F(2, 3), "y": F(1, 3)}
    assert as_fractions({"x": 4 / 9, "y": 5 / 9, "z": 0.0}) == {"x": F(4, 9), "y": F(5, 9)}
    odd = as_fractions({"x": 0.1234567891234, "y": 1 - 0.1234567891234})
    assert sum(odd.values()) == 1
    assert odd["x"] == F(123456789, 10**9)


def test_blocks_of_independent_variables():
    table = {(a, b, c): 0.25 * (b == c) for a in (0, 1) for b in (0, 1) for c in (0, 1)}
    assert independent_blocks(table, 3) == [(0,), (1, 2)]
    parity = {(a, b, (a + b) % 2): 0.25 for a in (0, 1) for b in (0, 1)}
    assert independent_blocks({(a, a, a): 0.5 for a in (0, 1)}, 3) == [(0, 1, 2)]
    assert independent_blocks(parity, 3) == [(0, 1, 2)]  # independent two by two, but not together


def test_founders_show_what_is_seen_with_the_fewest_copies():
    herd = Collection((PedigreeAnimal("a", Sex.MALE, seen=Seen((("ridge", "ridge"), ("ruby", "ruby")))),))
    told = know(herd, CATALOGUE)
    assert told.chances("a", "ridge") == {("ridge", WILD): 1.0}
    assert told.chances("a", "ruby") == {("ruby", WILD): 0.5, (WILD, "ruby"): 0.5}


def test_a_joint_belief_is_a_claim_whatever_shows():
    table = {(("ember", WILD), ("fawn", WILD)): F(1, 2), (("ember", WILD), (WILD, WILD)): F(1, 2)}
    both = {(("ember", WILD), ("fawn", WILD)): F(1, 2), (("ember", "ember"), (WILD, WILD)): F(1, 2)}
    seen, claim = seen_and_claim(make_animal(Sex.MALE, [(("ember", "fawn"), table)]), CATALOGUE)
    assert seen == Seen((("ember", "ember"),))
    assert claim.traits(CATALOGUE)[0].gene == "fawn"
    joint = {(("ridge", "ridge"), ("fawn", WILD)): F(1, 2), (("ridge", WILD), (WILD, WILD)): F(1, 2)}
    seen, claim = seen_and_claim(make_animal(Sex.MALE, [(("ridge", "fawn"), joint)]), CATALOGUE)
    assert seen == Seen((("ridge", "ridge"),))
    assert claim.belief[0].loci == ("fawn", "ridge")
    assert seen_and_claim(make_animal(Sex.MALE, [(("ember", "fawn"), both)]), CATALOGUE)[0].unclear == (
        "ember",
    )


def test_a_joint_belief_over_two_looks_that_are_certain_is_a_claim():
    table = {(("flint", "flint"), ("ridge", WILD)): F(1, 2), (("flint", WILD), ("ridge", "ridge")): F(1, 2)}
    seen, claim = seen_and_claim(make_animal(Sex.MALE, [(("flint", "ridge"), table)]), CATALOGUE)
    assert seen == Seen((("flint", "flint"), ("ridge", "ridge")))
    assert claim.belief[0].loci == ("flint", "ridge")
