"""Known answers of the trade's and the textbooks' cases, ties between loci, and what an edit changes."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

import pytest

from genetics import WILD, BadRecombination, Sex, UnknownGene, cross, load_catalogue, make_animal, read_animal
from genetics.pedigrees import elimination, knowledge, known
from genetics.pedigrees.elimination import TooTangled
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
from tests.genetics.pedigrees.herd import chance, claims, invented_catalogue, looks, written

CATALOGUE = invented_catalogue()


def belief(told, name, locus):
    table = {}
    for factor in told.animal(name).animal.belief:
        if locus in factor.loci:
            for pairs, share in factor.table:
                pair = pairs[factor.loci.index(locus)]
                table[pair] = table.get(pair, F(0)) + share
    return table or {(WILD, WILD): F(1)}


def test_a_normal_young_of_two_hets_is_het_with_two_thirds():
    # facts.md: classical; the trade's 66 % possible het
    herd = written(CATALOGUE, ["S m: het fawn", "D f: het fawn", "K f: normal | S x D"])
    assert belief(know(herd, CATALOGUE), "K", "fawn") == {("fawn", WILD): F(2, 3), (WILD, WILD): F(1, 3)}


@pytest.mark.parametrize("count", [1, 2, 3, 6])
def test_each_normal_young_from_a_visual_mate_halves_the_odds(count):
    # facts.md: after k normal young from a visual mate the odds of het fall by (1/2)^k (Bayes)
    young = [f"k{n} u: normal | P x V" for n in range(count)]
    herd = written(CATALOGUE, ["P m: 66% het fawn", "V f: fawn", *young])
    odds = F(2) * F(1, 2) ** count
    assert belief(know(herd, CATALOGUE), "P", "fawn")[("fawn", WILD)] == odds / (1 + odds)


def test_normal_young_of_two_double_hets_carry_both_with_four_ninths():
    # methods.md, pitfalls: 4/9 where the loci are independent
    herd = written(CATALOGUE, ["S m: het fawn het paler", "D f: het fawn het paler", "K f: normal | S x D"])
    told = know(herd, CATALOGUE)
    both = belief(told, "K", "fawn")[("fawn", WILD)] * belief(told, "K", "paler")[("paler", WILD)]
    assert both == F(4, 9)
    assert all(len(factor.loci) == 1 for factor in told.animal("K").animal.belief)


def _double_or_nothing():
    both = ((("fawn", WILD), ("ember", "ember")), F(1, 2))
    none = (((WILD, WILD), (WILD, WILD)), F(1, 2))
    two_hets = ((("fawn", WILD), ("moss", WILD)), F(1, 2))
    nothing = (((WILD, WILD), (WILD, WILD)), F(1, 2))
    return (both, none), (two_hets, nothing)


def test_an_animal_that_is_double_het_or_nothing_stays_joint():
    # methods.md, pitfalls: of such an animal the two hets do not multiply
    _, table = _double_or_nothing()
    claim = make_animal(Sex.MALE, [(("fawn", "ferns"), dict(table))])
    herd = Collection((PedigreeAnimal("S", Sex.MALE, claim=claim, seen=Seen()),))
    told = know(herd, CATALOGUE)
    assert told.animal("S").animal == claim


def test_a_young_that_shows_one_gene_proves_the_other_of_a_joint_claim():
    _, table = _double_or_nothing()
    claim = make_animal(Sex.MALE, [(("fawn", "ferns"), dict(table))])
    herd = Collection(
        (
            PedigreeAnimal("S", Sex.MALE, claim=claim, seen=Seen()),
            PedigreeAnimal("D", Sex.FEMALE, seen=looks(CATALOGUE, "fawn")),
            PedigreeAnimal("K", Sex.FEMALE, "one", seen=looks(CATALOGUE, "fawn")),
        ),
        (Litter("one", "D", (PossibleSire("S"),)),),
    )
    told = know(herd, CATALOGUE)
    assert chance(told, "S", "moss") == pytest.approx(1.0, abs=1e-12)
    assert chance(told, "K", "moss") == pytest.approx(0.5, abs=1e-12)


def test_a_gene_hidden_by_another_includes_hidden_visuals():
    # methods.md, pitfalls: 3/4 carry it, not 2/3, under a look that hides all
    herd = written(
        CATALOGUE, ["S m: ghostly het fawn", "D f: ghostly het fawn", "K f: super ghostly | S x D"]
    )
    told = know(herd, CATALOGUE)
    assert chance(told, "K", "fawn") == pytest.approx(0.75, abs=1e-12)
    assert chance(told, "K", "fawn", copies=2) == pytest.approx(0.25, abs=1e-12)


def test_under_a_look_that_hides_the_pattern_only_what_is_seen_counts():
    herd = written(
        CATALOGUE,
        [
            "S m: veil het fawn",
            "D f: veil het fawn",
            "K f: super veil | S x D",
            "L f: super veil fawn | S x D",
        ],
    )
    told = know(herd, CATALOGUE)
    assert chance(told, "K", "fawn", copies=2) == pytest.approx(0.25, abs=1e-12)
    assert chance(told, "L", "fawn", copies=2) == 1.0


def test_look_alikes_of_two_loci_are_one_look():
    # Parents het for both: of the young that show the shared look, by the dihybrid 9:7 (Bateson), 7/16;
    # paler shows in 4/16, so it has two copies of paler with 4/7.
    herd = written(
        CATALOGUE,
        [
            "S m: het paler het wanner",
            "D f: het paler het wanner",
            "K f: paler | S x D",
            "N f: normal | S x D",
        ],
    )
    told = know(herd, CATALOGUE)
    assert chance(told, "K", "paler", copies=2) == pytest.approx(4 / 7, abs=1e-12)
    assert chance(told, "K", "wanner", copies=2) == pytest.approx(4 / 7, abs=1e-12)
    (factor,) = told.animal("K").animal.belief
    assert factor.loci == ("paler", "wanner")
    assert dict(factor.table)[(("paler", "paler"), ("wanner", "wanner"))] == F(1, 7)
    assert chance(told, "N", "paler") == pytest.approx(2 / 3, abs=1e-12)


def test_a_founder_that_shows_a_look_of_two_loci_without_a_claim_is_either():
    herd = Collection((PedigreeAnimal("S", Sex.MALE, seen=looks(CATALOGUE, "paler")),))
    told = know(herd, CATALOGUE)
    assert chance(told, "S", "paler", copies=2) == pytest.approx(0.5, abs=1e-9)
    assert not told.conflicts


def test_unsexed_young_tie_two_sex_linked_genes_through_their_sex():
    # Sire ruby on the Y (r 1/20) and garnet on the X (r 1/5), wild-type dam. A ruby young of unknown sex:
    # a son with 19/20, and then it has garnet with 1/5; a daughter with 1/20, and then with 4/5.
    claim = make_animal(
        Sex.MALE, [(("ruby",), {((WILD, "ruby"),): F(1)}), (("garnet",), {(("garnet", WILD),): F(1)})]
    )
    herd = Collection(
        (
            PedigreeAnimal("S", Sex.MALE, claim=claim),
            PedigreeAnimal("D", Sex.FEMALE, seen=Seen()),
            PedigreeAnimal("K", litter="one", seen=Seen((("ruby", "ruby"),), ("garnet",))),
        ),
        (Litter("one", "D", (PossibleSire("S"),)),),
    )
    told = know(herd, CATALOGUE)
    assert chance(told, "K", "garnet") == pytest.approx(19 / 20 / 5 + 1 / 20 * 4 / 5, abs=1e-12)


def test_recombination_may_be_given_and_is_checked():
    claim = claims(Sex.MALE, "ruby", o_ruby=F(1))
    herd = Collection(
        (
            PedigreeAnimal("S", Sex.MALE, claim=claim),
            PedigreeAnimal("D", Sex.FEMALE, seen=Seen()),
            PedigreeAnimal("K", Sex.FEMALE, litter="one"),
        ),
        (Litter("one", "D", (PossibleSire("S"),)),),
    )
    assert chance(know(herd, CATALOGUE), "K", "ruby") == pytest.approx(1 / 20, abs=1e-12)
    told = know(herd, CATALOGUE, recombination={"ruby": F(1, 2)})
    assert chance(told, "K", "ruby") == pytest.approx(1 / 2, abs=1e-12)
    with pytest.raises(BadRecombination):
        know(herd, CATALOGUE, recombination={"ruby": 0.7})


def two_sires(**litter):
    return Collection(
        (
            PedigreeAnimal("A", Sex.MALE, seen=looks(CATALOGUE, "ember")),
            PedigreeAnimal("B", Sex.MALE, seen=looks(CATALOGUE, "ridge")),
            PedigreeAnimal("D", Sex.FEMALE, seen=Seen()),
            PedigreeAnimal("k1", Sex.MALE, "one", seen=Seen()),
            PedigreeAnimal("k2", Sex.MALE, "one", **litter.pop("second", {"seen": Seen()})),
        ),
        (Litter("one", "D", (PossibleSire("A", F(1, 4)), PossibleSire("B", F(3, 4))), **litter),),
    )


def test_one_young_that_shows_his_gene_settles_the_sire_of_the_clutch():
    told = know(two_sires(second={"seen": looks(CATALOGUE, "ember")}), CATALOGUE)
    assert told.sires("one") == pytest.approx({"A": 1.0})
    told = know(two_sires(per_egg=True, second={"seen": looks(CATALOGUE, "ember")}), CATALOGUE)
    assert told.sires("k2") == pytest.approx({"A": 1.0})
    assert told.sires("k1") == pytest.approx({"A": 0.25, "B": 0.75})


def test_loci_of_a_young_with_two_possible_sires_depend_on_each_other():
    # Unseen young: ember and ridge both have a half chance from their sire, but never both.
    told = know(two_sires(second={}), CATALOGUE)
    (factor,) = told.animal("k2").animal.belief
    table = dict(factor.table)
    assert factor.loci == ("ember", "ridge")
    assert table[(("ember", WILD), (WILD, WILD))] == F(1, 8)
    assert table[((WILD, WILD), ("ridge", WILD))] == F(3, 8)
    assert (("ember", WILD), ("ridge", WILD)) not in table


def test_sires_are_those_of_the_records_where_the_genes_say_nothing():
    herd = two_sires()
    plain = replace(herd, animals=tuple(replace(a, seen=Seen()) for a in herd.animals))
    assert know(plain, CATALOGUE).sires("one") == {"A": 0.25, "B": 0.75}
    assert know(plain, CATALOGUE).sires("k1") == {"A": 0.25, "B": 0.75}


def test_a_sire_from_outside_explains_what_the_young_show_without_a_conflict():
    herd = written(CATALOGUE, ["D f: normal", "k1 m: ember | - x D | one", "k2 f: normal | - x D | one"])
    told = know(herd, CATALOGUE)
    assert not told.conflicts
    assert told.chances("unknown sire of one", "ember") == pytest.approx({("ember", WILD): 1.0})


def test_a_claim_counts_where_a_parent_is_outside_and_not_where_both_are_recorded():
    herd = written(
        CATALOGUE,
        ["S m: het fawn", "D f: het fawn", "X f: 50% het fawn | S x -", "K f: 50% het fawn | S x D"],
    )
    told = know(herd, CATALOGUE)
    assert chance(told, "X", "fawn") == pytest.approx(0.5)
    assert chance(told, "K", "fawn") == pytest.approx(2 / 3)


def test_the_background_is_the_chance_that_a_founder_has_an_unnamed_gene():
    rows = ["V f: fawn", "N m: normal", *(f"k{n} u: normal | N x V" for n in range(2))]
    herd = written(CATALOGUE, rows)
    # an unseen founder carries it with the background; a normal one is no visual, so a little less
    q = 1 - (1 - 0.1) ** 0.5
    het, none = 2 * q * (1 - q), (1 - q) ** 2
    for background in (0.1, {"fawn": 0.1}):
        told = know(herd, CATALOGUE, background=background)
        assert chance(told, "N", "fawn") == pytest.approx(het / 4 / (het / 4 + none), abs=1e-12)
    assert chance(know(herd, CATALOGUE), "N", "fawn") == 0.0
    assert chance(know(herd, CATALOGUE, background={"ember": 0.1}), "N", "fawn") == 0.0


@pytest.mark.parametrize("background", [1, -0.1, {"fawn": 2}])
def test_a_background_that_is_no_chance_is_refused(background):
    with pytest.raises(PedigreeError, match="below 1"):
        know(Collection(()), CATALOGUE, background=background)
    with pytest.raises(UnknownGene):
        know(Collection(()), CATALOGUE, background={"fawnn": 0.1})


def test_a_test_that_counts_copies():
    dominant = claims(Sex.MALE, "ridge", ridge_ridge=F(1, 3), ridge_o=F(2, 3))
    test = TestResult("ridge", "two copies", F(9, 10), F(95, 100))
    herd = Collection((PedigreeAnimal("S", Sex.MALE, claim=dominant, tests=(test,)),))
    assert chance(know(herd, CATALOGUE), "S", "ridge", copies=2) == pytest.approx(0.9 / (0.9 + 2 * 0.05))


def test_two_parents_of_one_clutch_become_dependent_once_it_has_hatched():
    # methods.md, Knowledge. Both parents 50 % het; three normal young: odds that both are het fall.
    rows = ["P m: 50% het fawn", "Q f: 50% het fawn", *(f"k{n} u: normal | P x Q" for n in range(3))]
    told = know(written(CATALOGUE, rows), CATALOGUE)
    pair = told.pair("P", "Q")
    (factor,) = pair.dependent
    both = (3 / 4) ** 3
    table = {(his[0][0], hers[0][0]): float(share) for his, hers, share in factor.table}
    assert table[("fawn", "fawn")] == pytest.approx(both / (3 + both), abs=1e-9)
    assert table[("fawn", WILD)] == pytest.approx(1 / (3 + both), abs=1e-9)
    cases = pair.mixture()
    assert sum(weight for weight, _, _ in cases) == 1
    visual = sum(
        weight * row.per_hatchling
        for weight, sire, dam in cases
        for row in cross(sire, dam, CATALOGUE).looks().rows
        if row.label == "fawn"
    )
    assert float(visual) == pytest.approx(both / (3 + both) / 4, abs=1e-9)
    assert pair.sire == told.animal("P").animal


def test_animals_that_know_nothing_of_each_other_are_independent():
    told = know(written(CATALOGUE, ["P m: 50% het fawn", "Q f: 50% het fawn"]), CATALOGUE)
    pair = told.pair("P", "Q")
    assert pair.dependent == ()
    assert pair.mixture() == ((F(1), pair.sire, pair.dam),)
    assert told.joint(["P", "Q"], "fawn")[(("fawn", WILD), (WILD, WILD))] == pytest.approx(0.25)


def test_the_mixture_keeps_joint_loci_of_one_animal_together():
    told = know(two_sires(second={}), CATALOGUE)
    cases = told.pair("k2", "D").mixture()
    assert len(cases) == 1
    pair = told.pair("k1", "k2")
    assert sum(weight for weight, _, _ in pair.mixture()) == 1


def test_knowing_again_after_an_edit_keeps_what_did_not_change():
    rows = ["S m: het fawn", "D f: het fawn ember", "K f: normal | S x D", "L f: ember | S x D"]
    before = know(written(CATALOGUE, rows), CATALOGUE)
    same = know(written(CATALOGUE, rows), CATALOGUE, previous=before)
    assert set(same.kept.now) == set(before.kept.now)
    assert all(same.kept.now[part][1] is before.kept.now[part][1] for part in before.kept.now)
    after = know(written(CATALOGUE, [*rows, "M f: fawn | S x D"]), CATALOGUE, previous=before)
    fresh = know(written(CATALOGUE, [*rows, "M f: fawn | S x D"]), CATALOGUE)
    for name in ("S", "D", "K", "L", "M"):
        assert after.animal(name) == fresh.animal(name)


def test_unknown_names_are_refused():
    told = know(written(CATALOGUE, ["S m: het fawn"]), CATALOGUE)
    with pytest.raises(PedigreeError, match="not in the collection"):
        told.animal("nobody")
    with pytest.raises(PedigreeError, match="not in the collection"):
        told.chances("nobody", "fawn")
    assert told.chances("S", "ember") == {(WILD, WILD): 1.0}


def test_too_entangled_loci_are_told_and_the_others_answered(monkeypatch):
    monkeypatch.setattr(elimination, "LARGEST_TABLE", 3)
    elimination._plan.cache_clear()
    rows = [
        "S m: ember het fawn",
        "D f: 66% het fawn",
        "E f: 50% het fawn",
        "K m: 66% het fawn ember | S x D",
    ]
    rows += ["L f: normal | S x E", "M f: normal | K x L", "N f: 66% het fawn", "O u: normal | K x N"]
    told = know(written(CATALOGUE, rows), CATALOGUE)
    elimination._plan.cache_clear()
    assert [part.loci for part in told.tangled] == [("fawn",)]
    known = told.animal("K")
    assert known.unanswered == ("fawn",)
    with pytest.raises(TooTangled):
        told.chances("K", "fawn")
    assert belief(told, "D", "fawn")[("fawn", WILD)] == F(2, 3)  # what is claimed, and said to be so


def test_too_many_joint_states_are_refused(monkeypatch):
    told = know(two_sires(second={}), CATALOGUE)
    monkeypatch.setattr(knowledge, "MOST_STATES", 2)
    with pytest.raises(TooTangled):
        told.animal("k2")


def test_the_whole_catalogue_reads_into_knowledge():
    catalogue = load_catalogue()
    rows = ["S m: banana (from sire) mojave het clown", "D f: lesser 66% het pied", "K m: mojave | S x D"]
    told = know(written(catalogue, rows), catalogue)
    assert chance(told, "K", "clown") == pytest.approx(0.5)
    assert told.animal("K").animal.sex is Sex.MALE
    assert read_animal("1.0 mojave", catalogue).belief[0] in told.animal("K").animal.belief


def test_a_joint_claim_keeps_only_what_the_look_allows():
    table = {(("fawn", WILD), (WILD, WILD)): F(1, 2), ((WILD, WILD), ("ember", WILD)): F(1, 2)}
    claim = make_animal(Sex.MALE, [(("fawn", "ember"), table)])
    plain = Collection((PedigreeAnimal("S", Sex.MALE, claim=claim, seen=Seen()),))
    assert know(plain, CATALOGUE).chances("S", "fawn") == pytest.approx({("fawn", WILD): 1.0})


def test_a_shared_look_says_nothing_where_one_of_its_loci_is_unclear():
    seen = Seen((("paler", "paler or wanner"),), ("wanner",))
    herd = written(
        CATALOGUE, ["S m: het paler het wanner", "D f: het paler het wanner", "K f: normal | S x D"]
    )
    herd = replace(herd, animals=(*herd.animals[:-1], replace(herd.animals[-1], seen=seen)))
    told = know(herd, CATALOGUE)
    assert chance(told, "K", "wanner") == pytest.approx(3 / 4)


def test_a_background_leaves_out_pairs_that_do_not_hatch():
    herd = written(CATALOGUE, ["S m: flint", "D f: normal", "K f: flint | S x D"])
    unseen = replace(herd, animals=(herd.animals[0], replace(herd.animals[1], seen=None), herd.animals[2]))
    told = know(unseen, CATALOGUE, background=0.2)
    assert set(told.chances("D", "flint")) == {(WILD, WILD), ("flint", WILD)}


def test_too_many_cases_are_refused(monkeypatch):
    rows = ["P m: 50% het fawn", "Q f: 50% het fawn", "k u: normal | P x Q"]
    pair = know(written(CATALOGUE, rows), CATALOGUE).pair("P", "Q")
    monkeypatch.setattr(known, "MOST_STATES", 2)
    with pytest.raises(TooTangled):
        pair.mixture()


def test_a_claim_at_a_locus_the_catalogue_does_not_have_is_refused():
    claim = make_animal(Sex.UNSEXED, [(("no locus",), {(("x", WILD),): F(1)})])
    with pytest.raises(UnknownGene):
        know(Collection((PedigreeAnimal("S", claim=claim),)), CATALOGUE)


def test_mixed_cases_of_one_animal_keep_its_other_loci():
    # k1 and k2 of one clutch share their unknown sire: ember of one tells ridge of the other.
    herd = two_sires(second={})
    unseen = replace(herd, animals=tuple(replace(a, seen=None) if a.id == "k1" else a for a in herd.animals))
    pair = know(
        replace(unseen, animals=(*unseen.animals[:-1], replace(unseen.animals[-1], sex=Sex.FEMALE))),
        CATALOGUE,
    ).pair("k1", "k2")
    mixed: dict[tuple[str, str], F] = {}
    for weight, sire, dam in pair.mixture():
        shown = tuple(" ".join(str(trait) for trait in animal.traits(CATALOGUE)) for animal in (sire, dam))
        mixed[shown] = mixed.get(shown, F(0)) + weight
    assert mixed[("ember", "ember")] == F(1, 16)
    assert ("ember", "ridge") not in mixed
    assert sum(mixed.values()) == 1
