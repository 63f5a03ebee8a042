"""Records that contradict each other are named, explained and settled; other families are not touched."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction as F

import pytest

from genetics import WILD, Sex
from genetics.pedigrees import conflicts
from genetics.pedigrees import statements as statements_module
from genetics.pedigrees.answers import Kept, answer
from genetics.pedigrees.conflicts import Conflict, contradicting_sets, explanations
from genetics.pedigrees.elimination import TooTangled
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.founders import Priors
from genetics.pedigrees.knowledge import know
from genetics.pedigrees.pedigree import Collection, Litter, PedigreeAnimal, PossibleSire, Seen, TestResult
from genetics.pedigrees.statements import HOW_OFTEN, Statement
from tests.genetics.pedigrees.herd import chance, claims, invented_catalogue, looks, written

CATALOGUE = invented_catalogue()
BYSTANDERS = ["P m: het fawn het moss", "Q f: het fawn", "R f: normal | P x Q"]


def statements(conflict: Conflict) -> list[Statement]:
    return [item.statement for item in conflict.explanations]


def only(told) -> Conflict:
    (conflict,) = told.conflicts
    assert sum(item.share for item in conflict.explanations) == pytest.approx(1.0)
    shares = [item.share for item in conflict.explanations]
    assert shares == sorted(shares, reverse=True)
    return conflict


def test_a_look_that_its_parents_cannot_give_is_named_with_all_it_could_be():
    rows = [
        "S m: normal",
        "T m: ember",
        "D f: normal",
        "K f: ember | S x D | one",
        "L f: normal | S x D | one",
        "M f: ember | T x D | two",
    ]
    told = know(written(CATALOGUE, [*rows, *BYSTANDERS]), CATALOGUE)
    conflict = only(told)
    assert conflict.kind == "impossible"
    assert conflict.loci == ("ember",)
    assert set(conflict.animals) == {"S", "D", "K"}
    assert "can't all be true" in conflict.words
    said = statements(conflict)
    for expected in (
        Statement("wrong look", "K"),
        Statement("wrong sire", "one"),
        Statement("wrong dam", "one"),
        Statement("other sire of one egg", "K"),
        Statement("retained sperm", "one", "T"),
    ):
        assert expected in said
        assert expected.words
    assert said[0] == Statement("retained sperm", "one", "T")  # her other mate shows it
    assert Statement("wrong look", "L") not in said
    assert conflict.set_aside == (said[0],)
    # the answers go on: K as it was seen, and the other family by the book
    assert chance(told, "K", "ember") == 1.0
    assert chance(told, "R", "fawn") == pytest.approx(2 / 3, abs=1e-12)
    assert told.animal("K").conflicts == (conflict,)
    assert told.animal("R").conflicts == ()


def test_scores_are_the_chance_of_the_rest_by_hand():
    # S and D normal, K ember. Set aside the look: nothing else is uncertain, chance 1. Another sire: he has
    # ember on a chromosome with the usual chance q, and shows it in half his young (het) or all (two copies).
    herd = written(CATALOGUE, ["S m: normal", "D f: normal", "K f: ember | S x D | one"])
    conflict = only(know(herd, CATALOGUE))
    logs = {item.statement: item.log_evidence for item in conflict.explanations}
    assert logs[Statement("wrong look", "K")] == pytest.approx(0.0, abs=1e-12)
    q = 1 / (2 * (2 + 2))  # no founder of two is known to have it
    by_hand = 2 * q * (1 - q) / 2  # K has one copy: from a het, or from a super male
    by_hand += q * q
    assert math.exp(logs[Statement("wrong sire", "one")]) == pytest.approx(by_hand, abs=1e-12)
    shares = {item.statement: item.share for item in conflict.explanations}
    ratio = shares[Statement("wrong sire", "one")] / shares[Statement("wrong look", "K")]
    assert ratio == pytest.approx(by_hand * HOW_OFTEN["wrong sire"] / HOW_OFTEN["wrong look"], abs=1e-9)


def test_how_often_records_are_wrong_can_be_given():
    herd = written(CATALOGUE, ["S m: normal", "D f: normal", "K f: ember | S x D | one"])
    conflict = only(know(herd, CATALOGUE, how_often={**HOW_OFTEN, "wrong dam": 0.9}))
    assert statements(conflict)[0] == Statement("wrong dam", "one")


def test_a_visual_young_of_a_normal_parent_needs_an_unnamed_gene():
    herd = written(CATALOGUE, ["S m: fawn", "D f: normal", "K f: fawn | S x D", *BYSTANDERS])
    told = know(herd, CATALOGUE)
    conflict = only(told)
    assert conflict.kind == "unnamed gene"
    assert conflict.animals == ("D", "K")
    assert "nobody named" in conflict.words
    assert statements(conflict)[0] == Statement("unnamed gene", "D")
    assert conflict.set_aside == ()
    assert told.chances("D", "fawn") == pytest.approx({("fawn", WILD): 1.0}, abs=1e-9)
    assert told.chances("Q", "fawn") == {("fawn", WILD): 1.0}
    assert chance(told, "R", "fawn") == pytest.approx(2 / 3, abs=1e-12)


def test_an_unnamed_gene_may_come_from_either_of_two_founders():
    # The grandson is visual, his dam's dam is het by claim; his sire's side has two normal founders,
    # of which exactly one must be het, each as likely.
    rows = ["A m: normal", "B f: normal", "S m: normal | A x B", "D f: het fawn", "K f: fawn | S x D"]
    told = know(written(CATALOGUE, rows), CATALOGUE)
    assert only(told).kind == "unnamed gene"
    assert chance(told, "A", "fawn") == pytest.approx(0.5, abs=1e-9)
    assert chance(told, "B", "fawn") == pytest.approx(0.5, abs=1e-9)


def test_two_contradictions_at_one_locus_are_two_conflicts():
    rows = ["S m: normal", "D f: normal", "K f: ember | S x D | one"]
    rows += ["T m: normal", "E f: normal", "L f: ember | T x E | two"]
    told = know(written(CATALOGUE, rows), CATALOGUE)
    found = {frozenset(conflict.animals) for conflict in told.conflicts}
    assert found == {frozenset({"S", "D", "K"}), frozenset({"T", "E", "L"})}
    for conflict in told.conflicts:
        assert conflict.explanations


def test_a_perfect_test_that_contradicts_is_named():
    test = TestResult("fawn", "does not carry")
    herd = Collection(
        (
            PedigreeAnimal("S", Sex.MALE, seen=looks(CATALOGUE, "fawn")),
            PedigreeAnimal("D", Sex.FEMALE, seen=Seen()),
            PedigreeAnimal("K", Sex.FEMALE, "one", seen=Seen(), tests=(test,)),
        ),
        (Litter("one", "D", (PossibleSire("S"),)),),
    )
    told = know(herd, CATALOGUE)
    conflict = only(told)
    assert Statement("test in error", "K", "fawn") in statements(conflict)
    assert set(conflict.animals) == {"S", "K"}


def test_a_claim_that_contradicts_the_look_is_named_and_set_aside():
    claim = written(CATALOGUE, ["X m: fawn"]).animals[0]
    herd = Collection(
        (PedigreeAnimal("X", Sex.MALE, None, claims(Sex.MALE, "fawn", fawn_o=F(1)), claim.seen),)
    )
    conflict = only(know(herd, CATALOGUE))
    assert conflict.animals == ("X",)
    assert {s.kind for s in statements(conflict)} == {"wrong look", "wrong claim"}


def test_a_claim_that_the_recorded_parents_rule_out_is_a_conflict_of_the_claim():
    rows = [
        "S m: normal",
        "D f: normal",
        "E f: het fawn",
        "K f: het fawn | S x D | one",
        "L f: normal | S x E | two",
    ]
    told = know(written(CATALOGUE, rows), CATALOGUE)
    conflict = only(told)
    assert conflict.kind == "claim"
    assert conflict.animals == ("K",)
    assert "said to carry" in conflict.words
    said = statements(conflict)
    assert {
        Statement("wrong claim", "K"),
        Statement("unnamed gene", "S"),
        Statement("wrong dam", "one"),
    } <= set(said)
    assert chance(told, "K", "fawn") == 0.0


def test_a_claim_that_the_parents_bear_out_is_none():
    rows = ["S m: het fawn", "D f: normal", "K f: 50% het fawn | S x D"]
    assert know(written(CATALOGUE, rows), CATALOGUE).conflicts == ()


def test_contradictions_that_cross_are_settled_by_leaving_out_what_is_said():
    # Two young of one pair that nothing single explains: ember from nowhere in both parents' other clutches.
    rows = ["S m: normal", "D f: normal"]
    rows += [f"k{n} f: super ember | S x D | c{n}" for n in range(2)]
    told = know(written(CATALOGUE, rows), CATALOGUE)
    assert told.conflicts
    for name in ("S", "D", "k0", "k1"):
        assert sum(told.chances(name, "ember").values()) == pytest.approx(1.0)


def test_a_conflict_is_not_searched_again_while_nothing_changes():
    herd = written(CATALOGUE, ["S m: normal", "D f: normal", "K f: ember | S x D | one"])
    before = know(herd, CATALOGUE)
    again = know(herd, CATALOGUE, previous=before)
    assert again.conflicts[0] is before.conflicts[0]


def test_smallest_sets_are_smallest():
    # every proper part of a set can be true
    rows = [
        "A m: normal",
        "B f: normal",
        "S m: normal | A x B",
        "D f: normal",
        "K f: ember | S x D",
        "L f: normal | S x D",
    ]
    herd = written(CATALOGUE, rows)
    evidence = Evidence(herd, CATALOGUE)
    (names,) = contradicting_sets(evidence, ("ember",), Priors())
    assert names == {"S", "D", "K"}


def test_without_a_possible_statement_there_is_no_explanation():
    herd = written(CATALOGUE, ["S m: normal", "D f: normal", "K f: ember | S x D"])
    assert (
        explanations(Evidence(herd, CATALOGUE), ("ember",), [], names=frozenset("K"), how_often=HOW_OFTEN)
        == ()
    )


def test_what_cannot_be_settled_one_by_one_is_left_out_altogether():
    # Each young has two copies, and neither parent any: another dam alone does not explain it.
    often = {**dict.fromkeys(HOW_OFTEN, 1e-9), "wrong dam": 0.9, "wrong sire": 0.5}
    rows = ["S m: normal", "D f: normal", "k0 f: super ember | S x D | a", "k1 f: super ember | S x D | b"]
    told = know(written(CATALOGUE, rows), CATALOGUE, how_often=often)
    assert {len(conflict.set_aside) for conflict in told.conflicts} == {4}
    assert {statement.kind for c in told.conflicts for statement in c.set_aside} == {
        "wrong look",
        "wrong claim",
    }
    assert told.chances("S", "fawn") == {(WILD, WILD): 1.0}


def test_records_that_agree_need_no_settling():
    herd = written(CATALOGUE, ["S m: ember", "D f: normal", "K f: ember | S x D"])
    found, odd = conflicts.settle(Evidence(herd, CATALOGUE), ("ember",), Priors(), Kept())
    assert found.possible
    assert odd == ()


def test_an_explanation_too_entangled_to_be_weighed_is_left_out(monkeypatch):
    def refused(evidence, loci, priors, kept):
        if evidence.collection.outsiders:
            raise TooTangled(1e9)
        return answer(evidence, loci, priors, kept)

    monkeypatch.setattr(conflicts, "answer", refused)
    herd = written(CATALOGUE, ["S m: normal", "D f: normal", "K f: ember | S x D | one"])
    conflict = only(know(herd, CATALOGUE))
    assert {statement.kind for statement in statements(conflict)} == {"wrong look"}


def test_only_so_many_clutches_are_asked_about(monkeypatch):
    monkeypatch.setattr(statements_module, "MOST_CLUTCHES", 1)
    rows = [
        "A m: normal",
        "B f: normal",
        "S m: normal | A x B | old",
        "D f: normal",
        "K f: fawn | S x D | new",
    ]
    conflict = know(written(CATALOGUE, rows), CATALOGUE).conflicts[0]
    assert {s.subject for s in statements(conflict) if s.kind in ("wrong sire", "wrong dam")} <= {"new"}


def test_a_pair_that_the_look_forbids_cannot_be_insisted_on():
    herd = written(CATALOGUE, ["S m: het fawn", "D f: het fawn", "K f: normal | S x D"])
    insisted = Evidence(herd, CATALOGUE, insisted={("K", "fawn"): frozenset({("fawn", "fawn")})})
    assert not answer(insisted, ("fawn",), Priors(), Kept()).possible
    assert answer(insisted, ("fawn",), Priors(), Kept()).log_evidence == -math.inf


def test_a_wrong_test_in_one_family_and_an_unnamed_gene_in_another():
    rows = ["S m: fawn", "D f: normal", "K f: normal | S x D"]
    rows += ["T m: fawn", "E f: normal", "L f: fawn | T x E"]
    herd = written(CATALOGUE, rows)
    tested = [
        replace(a, tests=(TestResult("fawn", "does not carry"),)) if a.id == "K" else a for a in herd.animals
    ]
    told = know(replace(herd, animals=tuple(tested)), CATALOGUE)
    kinds = {conflict.kind: conflict for conflict in told.conflicts}
    assert set(kinds) == {"impossible", "unnamed gene"}
    assert set(kinds["impossible"].animals) == {"S", "K"}
    assert kinds["impossible"].explanations
    assert kinds["unnamed gene"].animals == ("E", "L")
    assert told.chances("E", "fawn") == pytest.approx({("fawn", WILD): 1.0}, abs=1e-9)


def test_crossed_contradictions_of_one_pair_each_get_an_explanation():
    # Two clutches of one pair, both with an impossible young: another male would explain each.
    rows = ["S m: normal", "D f: normal", "k0 f: ember | S x D | a", "k1 f: ember | S x D | b"]
    told = know(written(CATALOGUE, rows), CATALOGUE)
    assert told.conflicts
    assert all(conflict.explanations for conflict in told.conflicts)
    for name in ("S", "D", "k0", "k1"):
        assert sum(told.chances(name, "ember").values()) == pytest.approx(1.0)


def test_a_wrong_test_beside_an_unnamed_gene_in_the_same_family():
    # L shows fawn, so D must have it too, which nobody named; K can't lack it, whatever D is.
    herd = written(
        CATALOGUE, ["S m: fawn", "D f: normal", "K f: normal | S x D | one", "L f: fawn | S x D | one"]
    )
    tested = [
        replace(a, tests=(TestResult("fawn", "does not carry"),)) if a.id == "K" else a for a in herd.animals
    ]
    told = know(replace(herd, animals=tuple(tested)), CATALOGUE)
    (impossible,) = [conflict for conflict in told.conflicts if conflict.kind == "impossible"]
    assert Statement("test in error", "K", "fawn") in statements(impossible)
    assert chance(told, "D", "fawn") == pytest.approx(1.0, abs=1e-9)
