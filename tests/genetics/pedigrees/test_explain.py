"""Why an animal is known as it is, and what would tell more: hand-worked Bayes and information."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from genetics import Sex, UnknownGene
from genetics.pedigrees import next_steps as steps_module
from genetics.pedigrees.explain import Reason, why
from genetics.pedigrees.knowledge import know
from genetics.pedigrees.next_steps import NextStep, TestOffer, TooManyOutcomes, next_steps
from genetics.pedigrees.pedigree import (
    Collection,
    Litter,
    PedigreeAnimal,
    PedigreeError,
    PossibleSire,
    Seen,
    TestResult,
)
from tests.genetics.pedigrees.herd import claims, invented_catalogue, written

CATALOGUE = invented_catalogue()


def entropy(*chances):
    return -sum(chance * math.log2(chance) for chance in chances if chance > 0)


def reason(found, kind, subject) -> Reason:
    (item,) = [item for item in found.reasons if (item.kind, item.subject) == (kind, subject)]
    return item


def test_each_clutch_of_young_weighs_by_its_bayes_factor():
    # facts.md: each normal young from a visual mate multiplies the odds of het by 1/2
    rows = ["P m: 66% het fawn", "V f: fawn", "W f: fawn"]
    rows += [f"k{n} u: normal | P x V | one" for n in range(3)] + ["l u: normal | P x W | two"]
    found = why(know(written(CATALOGUE, rows), CATALOGUE), "P", "fawn")
    assert found.before == pytest.approx(2 / 3)
    assert found.chance == pytest.approx(1 / 9)
    assert reason(found, "young", "one") == Reason("young", "one", 3, pytest.approx(1 / 8))
    assert reason(found, "young", "two").weight == pytest.approx(-1.0)
    assert found.reasons[0].subject == "one"


def test_a_visual_young_proves_it_and_a_look_rules_two_copies_out():
    rows = ["S m: het fawn", "D f: het fawn", "P m: normal | S x D", "V f: fawn", "k u: fawn | P x V | one"]
    found = why(know(written(CATALOGUE, rows), CATALOGUE), "P", "fawn")
    assert found.chance == 1.0
    assert found.before == pytest.approx(3 / 4)
    assert reason(found, "young", "one").weight == math.inf
    plain = why(know(written(CATALOGUE, rows[:3]), CATALOGUE), "P", "fawn")
    assert reason(plain, "own look", "P").bayes_factor == pytest.approx(2 / 3)  # odds 2 with it, 3 without


def test_clutch_mates_parents_and_other_relatives():
    # The dam is 50 % het; a visual clutch-mate proves her; the sire's visual sib bears on him.
    rows = ["A m: 50% het fawn", "B f: 50% het fawn", "S m: normal | A x B | top", "u f: fawn | A x B | top"]
    rows += ["D f: 50% het fawn", "P m: normal | S x D | one", "v f: fawn | S x D | one"]
    found = why(know(written(CATALOGUE, rows), CATALOGUE), "P", "fawn")
    assert found.chance == pytest.approx(2 / 3)
    assert reason(found, "clutch-mates", "one").bayes_factor > 1
    assert {item.kind for item in found.reasons} >= {"own look", "clutch-mates", "parent", "other relatives"}


def test_a_test_by_its_likelihood_ratio_and_one_that_rules_out():
    def herd(result, specificity):
        test = TestResult("fawn", result, F(9, 10), specificity)
        claim = claims(Sex.MALE, "fawn", fawn_o=F(1, 2), o_o=F(1, 2))
        return Collection((PedigreeAnimal("P", Sex.MALE, None, claim, Seen(), (test,)),))

    found = why(know(herd("carries", F(95, 100)), CATALOGUE), "P", "fawn")
    assert reason(found, "own test", "fawn").bayes_factor == pytest.approx(0.9 / 0.05)
    test = TestResult("fawn", "does not carry")
    claim = claims(Sex.MALE, "fawn", fawn_o=F(1, 2), o_o=F(1, 2))
    sure = Collection((PedigreeAnimal("P", Sex.MALE, None, claim, Seen(), (test,)),))
    ruled_out = reason(why(know(sure, CATALOGUE), "P", "fawn"), "own test", "fawn")
    assert ruled_out.bayes_factor == 0.0
    assert ruled_out.weight == -math.inf


def test_a_gene_nobody_spoke_of_and_an_unknown_animal():
    told = know(written(CATALOGUE, ["P m: normal"]), CATALOGUE)
    assert why(told, "P", "fawn").chance == 0.0
    assert why(told, "P", "fawn").reasons == ()
    with pytest.raises(PedigreeError):
        why(told, "nobody", "fawn")
    with pytest.raises(UnknownGene):
        why(told, "P", "fawnn")


def herd_of_mates():
    rows = ["P m: 50% het fawn", "V f: fawn", "H f: het fawn", "N f: normal", "M m: fawn"]
    return know(written(CATALOGUE, rows), CATALOGUE)


def step(steps, name) -> NextStep:
    (found,) = [item for item in steps if item.name == name]
    return found


def test_a_visual_mate_tells_what_six_young_tell_by_hand():
    # Carrier: no visual among 6 with (1/2)^6; else certain. Information by hand.
    steps = next_steps(herd_of_mates(), "P", "fawn", mates={"V": 20.0, "H": 20.0, "N": 0.0})
    silent = 0.5 * 0.5**6
    none = silent + 0.5
    left = none * entropy(silent / none, 0.5 / none)
    visual = step(steps, "V")
    assert visual.bits == pytest.approx(1.0 - left, abs=1e-12)
    assert visual.uncertain == pytest.approx(1.0)
    assert visual.bits_per_cost == pytest.approx((1.0 - left) / 20)
    assert [item.name for item in steps] == ["V", "H", "N"]
    assert step(steps, "N").bits == pytest.approx(0.0, abs=1e-12)
    assert step(steps, "N").bits_per_cost in (0.0, math.inf)
    assert (step(steps, "N").show_within, step(steps, "N").clear_within) == (None, None)


def test_young_of_a_test_mating_that_reach_95_per_cent():
    # facts.md: chance 1/2 a hatchling, 95 % needs 5. With a het mate (1/4): ln .05 / ln .75 = 10.4, so 11.
    steps = next_steps(herd_of_mates(), "P", "fawn", mates={"V": 1.0, "H": 1.0})
    assert step(steps, "V").show_within == 5
    assert step(steps, "H").show_within == math.ceil(math.log(0.05) / math.log(0.75)) == 11
    # cleared when odds 1 x (1/2)^k fall to 1/19: k = 5
    assert step(steps, "V").clear_within == math.ceil(math.log2(19)) == 5


def test_tests_by_their_error_rates_and_only_those_that_tell_the_gene():
    offers = (
        TestOffer("sure", ("fawn",), 50.0),
        TestOffer("panel", ("ember", "fawn"), 80.0, F(9, 10), F(9, 10)),
        TestOffer("other", ("ember",), 10.0),
    )
    steps = next_steps(herd_of_mates(), "P", "fawn", tests=offers)
    assert [item.name for item in steps] == ["sure", "panel"]
    assert step(steps, "sure").bits == pytest.approx(1.0)
    assert step(steps, "panel").bits == pytest.approx(1.0 - entropy(0.1, 0.9))
    assert step(steps, "sure").young == 0
    assert step(steps, "sure").show_within is None


def test_sons_and_daughters_tell_the_phase_of_a_sex_linked_gene():
    claim = claims(Sex.MALE, "ruby", ruby_o=F(1, 2), o_ruby=F(1, 2))
    herd = Collection(
        (PedigreeAnimal("P", Sex.MALE, None, claim), PedigreeAnimal("D", Sex.FEMALE, seen=Seen()))
    )
    told = know(herd, CATALOGUE)
    (one,) = next_steps(told, "P", "ruby", mates={"D": 0.0}, young=1)
    assert one.bits == pytest.approx(1.0 - entropy(1 / 20, 19 / 20), abs=1e-12)  # r = 1/20 either way
    assert one.bits_per_cost == math.inf
    (none,) = next_steps(told, "P", "ruby", mates={"D": 0.0}, young=0)
    assert none.bits == 0.0
    assert (one.show_within, one.clear_within) == (0, 0)  # that it has it is known


def test_a_young_of_a_related_mate_counts_the_dependence():
    rows = ["A m: 50% het fawn", "B f: normal", "P m: normal | A x B | one", "Q f: normal | A x B | one"]
    told = know(written(CATALOGUE, rows), CATALOGUE)
    (item,) = next_steps(told, "P", "fawn", mates={"Q": 0.0})
    joint = told.joint(["P", "Q"], "fawn")
    both = sum(chance for pairs, chance in joint.items() if all("fawn" in pair for pair in pairs))
    assert both == pytest.approx(1 / 8)
    alone = told.animal("P").carries("fawn")
    silent = both * 0.75**6
    left = (1 - both + silent) * entropy(
        (alone - both + silent) / (1 - both + silent), (1 - alone) / (1 - both + silent)
    )
    assert item.bits == pytest.approx(entropy(alone, 1 - alone) - left, abs=1e-12)


def test_what_cannot_be_asked_is_refused(monkeypatch):
    told = herd_of_mates()
    with pytest.raises(PedigreeError, match="both male"):
        next_steps(told, "P", "fawn", mates={"M": 0.0})
    unsexed = know(written(CATALOGUE, ["P m: ruby", "U u: ruby"]), CATALOGUE)
    with pytest.raises(PedigreeError, match="must be known"):
        next_steps(unsexed, "P", "ruby", mates={"U": 0.0})
    monkeypatch.setattr(steps_module, "MOST_OUTCOMES", 3)
    with pytest.raises(TooManyOutcomes):
        next_steps(told, "P", "fawn", mates={"V": 0.0})


def test_two_animals_whose_eggs_are_all_lost_tell_nothing():
    pair = claims(Sex.MALE, "flint", flint_flint=F(1))
    hers = claims(Sex.FEMALE, "flint", flint_flint=F(1))
    herd = Collection(
        (PedigreeAnimal("P", Sex.MALE, None, pair), PedigreeAnimal("Q", Sex.FEMALE, None, hers))
    )
    with pytest.raises(PedigreeError, match="no egg"):
        next_steps(know(herd, CATALOGUE), "P", "flint", mates={"Q": 0.0})


def test_young_of_two_possible_sires_are_young_of_both():
    animals = (
        PedigreeAnimal("A", Sex.MALE, None, claims(Sex.MALE, "fawn", fawn_o=F(1, 2), o_o=F(1, 2)), Seen()),
        PedigreeAnimal("B", Sex.MALE, seen=Seen()),
        PedigreeAnimal("V", Sex.FEMALE, seen=Seen((("fawn", "fawn"),))),
        PedigreeAnimal("k", Sex.MALE, "one", seen=Seen()),
    )
    sires = (PossibleSire("A", F(1, 2)), PossibleSire("B", F(1, 2)))
    told = know(Collection(animals, (Litter("one", "V", sires),)), CATALOGUE)
    found = why(told, "A", "fawn")
    assert reason(found, "young", "one").bayes_factor == pytest.approx(3 / 4)  # 1/2 x 1/2 + 1/2
