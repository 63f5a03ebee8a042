"""Pedigrees against two general-purpose libraries for Bayesian networks."""

from __future__ import annotations

from fractions import Fraction as F

import numpy as np
import pytest

from genetics import WILD, Sex, load_catalogue
from genetics.pedigrees.knowledge import know
from genetics.pedigrees.pedigree import Collection, Litter, PedigreeAnimal, PossibleSire, Seen, TestResult
from tests.genetics.pedigrees.big_herds import BigHerd
from tests.genetics.pedigrees.herd import claims, invented_catalogue

CATALOGUE = invented_catalogue()
COPIES = np.zeros((3, 3, 3))  # young's copies of one allele, given its sire's and its dam's
for his in range(3):
    for hers in range(3):
        for one, other in ((0, 0), (0, 1), (1, 0), (1, 1)):
            share = (his / 2 if one else 1 - his / 2) * (hers / 2 if other else 1 - hers / 2)
            COPIES[one + other, his, hers] += share


def _copies(chances, gene):
    found = [0.0, 0.0, 0.0]
    for pair, chance in chances.items():
        found[pair.count(gene)] += chance
    return found


def test_a_pedigree_with_an_imperfect_test_against_pgmpy():
    from pgmpy import models
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination

    # sire and dam 2/3 het, their son and daughter bred together; the grandson tested, one young visual.
    net = models.DiscreteBayesianNetwork(
        [(p, c) for c in ("son", "daughter") for p in ("sire", "dam")]
        + [(p, c) for c in ("young", "other") for p in ("son", "daughter")]
        + [("young", "test"), ("other", "look")]
    )
    founder = [[1 / 3], [2 / 3], [0.0]]
    table = COPIES.reshape(3, 9)
    net.add_cpds(
        TabularCPD("sire", 3, founder),
        TabularCPD("dam", 3, founder),
        *(TabularCPD(n, 3, table, ["sire", "dam"], [3, 3]) for n in ("son", "daughter")),
        *(TabularCPD(n, 3, table, ["son", "daughter"], [3, 3]) for n in ("young", "other")),
        TabularCPD("test", 2, [[0.97, 0.08, 0.08], [0.03, 0.92, 0.92]], ["young"], [3]),
        TabularCPD("look", 2, [[1, 1, 0], [0, 0, 1]], ["other"], [3]),
    )
    engine = VariableElimination(net)
    maybe = {"fawn_o": F(2, 3), "o_o": F(1, 3)}
    test = TestResult("fawn", "carries", F(92, 100), F(97, 100))
    herd = Collection(
        (
            PedigreeAnimal("sire", Sex.MALE, None, claims(Sex.MALE, "fawn", **maybe)),
            PedigreeAnimal("dam", Sex.FEMALE, None, claims(Sex.FEMALE, "fawn", **maybe)),
            PedigreeAnimal("son", Sex.MALE, "one"),
            PedigreeAnimal("daughter", Sex.FEMALE, "one"),
            PedigreeAnimal("young", Sex.MALE, "two", tests=(test,)),
            PedigreeAnimal("other", Sex.MALE, "two", seen=Seen((("fawn", "fawn"),))),
        ),
        (
            Litter("one", "dam", (PossibleSire("sire"),)),
            Litter("two", "daughter", (PossibleSire("son"),)),
        ),
    )
    told = know(herd, CATALOGUE)
    for name in ("sire", "dam", "son", "daughter", "young"):
        seen = {"test": 1, "look": 1}
        expected = engine.query([name], evidence=seen, show_progress=False).values
        np.testing.assert_allclose(_copies(told.chances(name, "fawn"), "fawn"), expected, atol=1e-12)


def test_a_sex_linked_gene_with_recombination_in_the_sire_only_against_pgmpy():
    from pgmpy import models
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination

    # Sire ruby, phase 1/2; dam wild type; a ruby son, a plain daughter; the son's own phase is asked,
    # and the dam's side of a second cross: ruby daughter x plain male, with a ruby grandson.
    r = 0.05
    # male states: 0 none, 1 on the X, 2 on the Y, 3 both; female states: copies 0..2
    young = np.zeros((7, 4, 3))  # 0-3 sons, 4-6 daughters
    for male in range(4):
        on_x, on_y = male in (1, 3), male in (2, 3)
        for female in range(3):
            for sex, own, other in (("son", on_y, on_x), ("daughter", on_x, on_y)):
                for paternal, chance in ((own, 1 - r), (other, r)):
                    for maternal, half in ((True, female / 2), (False, 1 - female / 2)):
                        state = maternal + 2 * paternal if sex == "son" else 4 + maternal + paternal
                        young[int(state), male, female] += 0.5 * chance * half
    net = models.DiscreteBayesianNetwork(
        [
            ("sire", "son"),
            ("dam", "son"),
            ("sire", "plain"),
            ("dam", "plain"),
            ("sire", "ruby"),
            ("dam", "ruby"),
            ("male", "grandson"),
            ("bred", "grandson"),
            ("ruby", "bred"),
        ]
    )
    daughter = np.zeros((3, 7))
    daughter[:, 4:] = np.eye(3)
    daughter[0, :4] = 1.0
    net.add_cpds(
        TabularCPD("sire", 4, [[0], [0.5], [0.5], [0]]),
        TabularCPD("dam", 3, [[1], [0], [0]]),
        *(TabularCPD(n, 7, young.reshape(7, 12), ["sire", "dam"], [4, 3]) for n in ("son", "plain", "ruby")),
        TabularCPD("bred", 3, daughter, ["ruby"], [7]),
        TabularCPD("male", 4, [[1], [0], [0], [0]]),
        TabularCPD("grandson", 7, young.reshape(7, 12), ["male", "bred"], [4, 3]),
    )
    engine = VariableElimination(net)
    seen = {"plain": 4, "ruby": 5, "grandson": 1}
    # the son is ruby: state 1 or 2; asked by hand from the joint
    joint = engine.query(["sire", "son"], evidence=seen, show_progress=False)
    values = np.transpose(joint.values, [joint.variables.index(v) for v in ("sire", "son")])[:, 1:3]
    values = values / values.sum()
    ruby = Seen((("ruby", "ruby"),))
    herd = Collection(
        (
            PedigreeAnimal("sire", Sex.MALE, None, claims(Sex.MALE, "ruby", ruby_o=F(1, 2), o_ruby=F(1, 2))),
            PedigreeAnimal("dam", Sex.FEMALE, seen=Seen()),
            PedigreeAnimal("male", Sex.MALE, seen=Seen()),
            PedigreeAnimal("son", Sex.MALE, "one", seen=ruby),
            PedigreeAnimal("plain", Sex.FEMALE, "one", seen=Seen()),
            PedigreeAnimal("ruby", Sex.FEMALE, "one", seen=ruby),
            PedigreeAnimal("grandson", Sex.MALE, "two", seen=ruby),
        ),
        (Litter("one", "dam", (PossibleSire("sire"),)), Litter("two", "ruby", (PossibleSire("male"),))),
    )
    told = know(herd, CATALOGUE)
    sire = told.chances("sire", "ruby")
    np.testing.assert_allclose(
        [sire[("ruby", WILD)], sire[(WILD, "ruby")]], values.sum(axis=1)[1:3], atol=1e-12
    )
    assert told.chances("son", "ruby") == {(WILD, "ruby"): 1.0}  # from its sire, so on the Y
    assert told.chances("grandson", "ruby") == {("ruby", WILD): 1.0}  # from its dam, so on the X


def test_a_lethal_pair_leaves_two_in_three_against_pgmpy():
    from pgmpy import models
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination

    # Survivors of flint x flint (Cuenot 1905: 2 : 1); a dam of unknown kind, her hatchlings known.
    table = np.zeros((2, 2, 2))  # hatched young: plain or flint, by sire and dam plain or flint
    for his in (0, 1):
        for hers in (0, 1):
            kept = COPIES[:2, his, hers]
            table[:, his, hers] = kept / kept.sum()
    net = models.DiscreteBayesianNetwork([(p, f"young {n}") for n in range(4) for p in ("sire", "dam")])
    net.add_cpds(
        TabularCPD("sire", 2, [[0], [1]]),
        TabularCPD("dam", 2, [[0.5], [0.5]]),
        *(TabularCPD(f"young {n}", 2, table.reshape(2, 4), ["sire", "dam"], [2, 2]) for n in range(4)),
    )
    evidence = {"young 0": 1, "young 1": 1, "young 2": 0}
    engine = VariableElimination(net)
    flint, plain = Seen((("flint", "flint"),)), Seen()
    herd = Collection(
        (
            PedigreeAnimal("sire", Sex.MALE, seen=flint),
            PedigreeAnimal(
                "dam", Sex.FEMALE, None, claims(Sex.FEMALE, "flint", flint_o=F(1, 2), o_o=F(1, 2))
            ),
            PedigreeAnimal("y0", Sex.MALE, "one", seen=flint),
            PedigreeAnimal("y1", Sex.MALE, "one", seen=flint),
            PedigreeAnimal("y2", Sex.MALE, "one", seen=plain),
            PedigreeAnimal("y3", Sex.MALE, "one"),
        ),
        (Litter("one", "dam", (PossibleSire("sire"),)),),
    )
    told = know(herd, CATALOGUE)
    for ours, theirs in (("dam", "dam"), ("y3", "young 3")):
        expected = engine.query([theirs], evidence=evidence, show_progress=False).values
        np.testing.assert_allclose(_copies(told.chances(ours, "flint"), "flint")[:2], expected, atol=1e-12)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_looped_pedigree_of_a_hundred_animals_against_pyagrum(seed):
    import pyagrum as gum

    catalogue = load_catalogue()
    herd = BigHerd(catalogue, ["pied"], seed=seed, animals=100, founders=14, clutch=4, share=0.7)
    net = gum.BayesNet()
    for name in herd.truth:
        net.add(gum.LabelizedVariable(name, name, 3))
    for name, (sire, dam) in herd.parents.items():
        net.addArc(sire, name)
        net.addArc(dam, name)
        for his in range(3):
            for hers in range(3):
                net.cpt(name)[{sire: his, dam: hers}] = COPIES[:, his, hers].tolist()
    evidence = {}
    for animal in herd.collection.animals:
        if animal.litter is None:
            prior = [0.0, 0.0, 0.0]
            claim = animal.claim.belief if animal.claim else ()
            for (pair,), chance in claim[0].table if claim else ((((WILD, WILD),), 1),):
                prior[pair.count("pied")] += float(chance)
            net.cpt(animal.id).fillWith(prior)
        weight = np.ones(3)
        if animal.seen is not None:
            weight *= np.array([0, 0, 1] if animal.seen.shows else [1, 1, 0])
        for test in animal.tests:
            yes = np.array([0.05, 0.95, 0.95])
            weight *= yes if test.result == "carries" else 1 - yes
        if weight.min() < 1:
            evidence[animal.id] = weight.tolist()
    engine = gum.LazyPropagation(net)
    engine.setEvidence(evidence)
    engine.makeInference()
    told = know(herd.collection, catalogue)
    assert not told.conflicts
    assert not told.tangled
    open_animals = 0
    for name in herd.truth:
        expected = engine.posterior(name).toarray()
        found = _copies(told.chances(name, "pied"), "pied")
        np.testing.assert_allclose(found, expected, atol=1e-10)
        open_animals += 1e-6 < expected[1] < 1 - 1e-6
    assert open_animals > 20
