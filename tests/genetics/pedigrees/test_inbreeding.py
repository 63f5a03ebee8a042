"""Wright's coefficient: the handbook's table, and paths found by a graph library on random pedigrees."""

from __future__ import annotations

import random
from fractions import Fraction as F

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics import Sex
from genetics.pedigrees import shared_ancestors as sharing
from genetics.pedigrees.inbreeding import kinship
from genetics.pedigrees.pedigree import Collection, Litter, PedigreeAnimal, PedigreeError, PossibleSire
from genetics.pedigrees.shared_ancestors import TooManyPaths, shared_ancestors

# facts.md: inbreeding coefficient of the young (Wright); lines "animal: sire x dam"
TABLE = {
    "full sibs": ("s: a x b; d: a x b", F(1, 4)),
    "parent x child": ("d: s x b", F(1, 4)),
    "half sibs": ("s: a x b; d: a x c", F(1, 8)),
    "uncle x niece": ("s: a x b; p: a x b; d: q x p", F(1, 8)),
    "double first cousins": ("p: a x b; q: a x b; u: e x f; v: e x f; s: p x u; d: q x v", F(1, 8)),
    "first cousins": ("p: a x b; q: a x b; s: p x y; d: z x q", F(1, 16)),
    "second cousins": ("p: a x b; q: a x b; t: p x y; w: z x q; s: t x m; d: n x w", F(1, 64)),
}


def bred(lines: str, *, unsexed: bool = False) -> Collection:
    """Collection from lines "animal: sire x dam", semicolons between; founders as they are needed."""
    parents = {}
    for line in filter(None, (part.strip() for part in lines.split(";"))):
        name, pair = line.split(": ")
        parents[name] = tuple(pair.split(" x "))
    sires = {sire for sire, _ in parents.values()}
    names = list(dict.fromkeys([*(p for pair in parents.values() for p in pair), *parents]))
    animals = [
        PedigreeAnimal(
            name,
            Sex.UNSEXED if unsexed else Sex.MALE if name in sires else Sex.FEMALE,
            f"of {name}" if name in parents else None,
        )
        for name in names
    ]
    litters = [Litter(f"of {n}", dam, (PossibleSire(sire),)) for n, (sire, dam) in parents.items()]
    return Collection(tuple(animals), tuple(litters))


@pytest.mark.parametrize("relation", TABLE)
def test_the_published_table_by_rows_and_by_paths(relation):
    lines, expected = TABLE[relation]
    herd = bred(lines)
    assert kinship(herd).of_young("s", "d") == pytest.approx(float(expected), abs=1e-15)
    found = shared_ancestors(herd, "s", "d")
    assert sum(item.adds for item in found) == pytest.approx(float(expected), abs=1e-15)
    for item in found:
        assert item.adds == pytest.approx(sum(path.adds for path in item.paths))


def test_an_ancestors_own_inbreeding_counts():
    # Half sibs through a sire whose parents were full sibs: 1/8 (1 + 1/4)
    herd = bred("g: a x b; h: a x b; i: g x h; s: i x c; d: i x e")
    assert kinship(herd).of_animal("i") == pytest.approx(1 / 4)
    assert kinship(herd).of_young("s", "d") == pytest.approx(1 / 8 * 5 / 4)
    (item,) = shared_ancestors(herd, "s", "d", table=kinship(herd))
    assert (item.id, item.inbreeding) == ("i", pytest.approx(1 / 4))
    assert item.paths[0].animals == ("s", "i", "d")


def _random_pedigree(seed, size):
    draw = random.Random(seed)
    lines, males, females = [], ["m0", "m1"], ["f0", "f1"]
    for number in range(size):
        name = f"{draw.choice('mf')}{number + 2}"
        lines.append(f"{name}: {draw.choice(males)} x {draw.choice(females)}")
        (males if name[0] == "m" else females).append(name)
    return lines, males, females


@settings(max_examples=20, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10**6), size=st.integers(2, 9))
def test_random_pedigrees_by_counting_paths_in_networkx(seed, size):
    lines, males, females = _random_pedigree(seed, size)
    parents = {line.split(": ")[0]: line.split(": ")[1].split(" x ") for line in lines}
    herd = bred("; ".join(lines), unsexed=True)
    table = kinship(herd)
    graph = nx.DiGraph([(name, parent) for name, pair in parents.items() for parent in pair])
    graph.add_nodes_from(name for name in (*males, *females) if name in herd.by_id)

    def paths(start, end):
        return [[start]] if start == end else list(nx.all_simple_paths(graph, start, end))

    def coefficient(one, other):
        total = 0.0
        for ancestor in graph:
            ups, downs = paths(one, ancestor), paths(other, ancestor)
            own = coefficient(*parents[ancestor]) if ups and downs and ancestor in parents else 0.0
            for up in ups:
                for down in downs:
                    if not set(up[:-1]) & set(down[:-1]) and ancestor not in (*up[:-1], *down[:-1]):
                        total += 0.5 ** (len(up) + len(down) - 1) * (1 + own)
        return total

    for sire in (name for name in males if name in herd.by_id):
        for dam in (name for name in females if name in herd.by_id):
            expected = coefficient(sire, dam)
            assert table.of_young(sire, dam) == pytest.approx(expected, abs=1e-12)
            found = shared_ancestors(herd, sire, dam, table=table)
            assert sum(item.adds for item in found) == pytest.approx(expected, abs=1e-12)
    for name, pair in parents.items():
        assert table.of_animal(name) == pytest.approx(coefficient(*pair), abs=1e-12)


def _either(*, per_egg: bool) -> Collection:
    """Two young of a dam whose mate was a or b, each as likely; a and b unrelated."""
    animals = [PedigreeAnimal(name, Sex.MALE) for name in "ab"] + [PedigreeAnimal("d", Sex.FEMALE)]
    animals += [PedigreeAnimal("x", Sex.MALE, "one"), PedigreeAnimal("y", Sex.FEMALE, "one")]
    sires = (PossibleSire("a", F(1, 2)), PossibleSire("b", F(1, 2)))
    return Collection(tuple(animals), (Litter("one", "d", sires, per_egg),))


@pytest.mark.parametrize(("per_egg", "expected"), [(False, F(1, 4)), (True, F(1, 8) + F(1, 16))])
def test_uncertain_sires_give_the_expectation(per_egg, expected):
    # One clutch, one sire: full sibs whoever he is. Each egg its own: full sibs half the time.
    herd = _either(per_egg=per_egg)
    assert kinship(herd).of_young("x", "y") == pytest.approx(float(expected))
    assert sum(a.adds for a in shared_ancestors(herd, "x", "y")) == pytest.approx(float(expected))
    assert kinship(herd).of_young("a", "y") == pytest.approx(1 / 8)


def test_what_the_genes_say_of_the_sire_can_be_counted_in():
    herd = _either(per_egg=False)
    certain = kinship(herd, sire_chances={"one": {"a": 1.0, "b": 0.0}})
    assert certain.of_young("a", "y") == pytest.approx(1 / 4)
    assert certain.of_young("b", "y") == 0.0
    (item,) = shared_ancestors(herd, "a", "y", sire_chances={"one": {"a": 1.0}})
    assert item.adds == pytest.approx(1 / 4)
    assert item.paths[0].chance == 1.0


def test_all_pairings_at_once_and_unknown_names():
    herd = bred("s: a x b; d: a x c")
    males, females, table = kinship(herd).pairings()
    assert (males, females) == (("a",), ("b", "c", "s", "d"))
    assert table.shape == (len(males), len(females))
    assert table[males.index("a"), females.index("d")] == pytest.approx(0.25)
    with pytest.raises(PedigreeError):
        kinship(herd).of_animal("nobody")
    with pytest.raises(PedigreeError):
        shared_ancestors(herd, "a", "nobody")


def test_too_many_paths_are_refused_by_name(monkeypatch):
    monkeypatch.setattr(sharing, "MOST_PATHS", 3)
    herd = bred("s: a x b; d: s x b")
    with pytest.raises(TooManyPaths, match="d has more"):
        shared_ancestors(herd, "s", "d")


def test_parents_from_outside_are_unrelated_but_shared_by_a_clutch():
    animals = (PedigreeAnimal("x", Sex.MALE, "one"), PedigreeAnimal("y", Sex.FEMALE, "one"))
    herd = Collection(animals, (Litter("one"),))
    assert kinship(herd).of_young("x", "y") == pytest.approx(1 / 4)
    assert {item.id for item in shared_ancestors(herd, "x", "y")} == {
        "unknown sire of one",
        "unknown dam of one",
    }
    assert np.all(kinship(herd).table <= 1.0)


def test_paths_through_two_sires_of_one_clutch_exclude_each_other():
    # The two males are full sibs: whoever sired the clutch, its young are full sibs.
    animals = [
        PedigreeAnimal("g", Sex.MALE),
        PedigreeAnimal("h", Sex.FEMALE),
        PedigreeAnimal("d", Sex.FEMALE),
    ]
    animals += [PedigreeAnimal(name, Sex.MALE, "old") for name in "ab"]
    animals += [PedigreeAnimal("x", Sex.MALE, "one"), PedigreeAnimal("y", Sex.FEMALE, "one")]
    either = (PossibleSire("a", F(1, 2)), PossibleSire("b", F(1, 2)))
    herd = Collection(tuple(animals), (Litter("old", "h", (PossibleSire("g"),)), Litter("one", "d", either)))
    found = shared_ancestors(herd, "x", "y")
    assert kinship(herd).of_young("x", "y") == pytest.approx(1 / 4)
    assert sum(item.adds for item in found) == pytest.approx(1 / 4)
    assert {item.id: item.adds for item in found} == pytest.approx({"a": 1 / 16, "b": 1 / 16, "d": 1 / 8})
