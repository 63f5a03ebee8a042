"""What tells the genotypes of an animal apart, against sequences of young gone through one by one."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import log2

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics import Sex, make_animal, read_animal
from genetics.clutches.telling import apart as apart_module
from genetics.clutches.telling.apart import MOST_YOUNG, BadTest, GeneTest, telling_apart
from genetics.clutches.telling.draws import Draws, TooManyOutcomes, compositions, draws_of
from tests.genetics.cases import invented, pair

CLASSICAL = (Fraction(4, 5), Fraction(9, 10), Fraction(19, 20))


def apart(text, catalogue, *, sex=Sex.FEMALE, **how):
    (found,) = telling_apart(read_animal(text, catalogue, sex=sex), catalogue, **how)
    return found


def way(found, name):
    return next(way for way in found.ways if way.name.startswith(name))


def test_a_het_is_proven_by_a_visual_mate_with_one_less_half_to_the_n_classical(catalogue):
    found = apart("66% het clown", catalogue)
    assert [p.words for p in found.possibilities] == ["het clown", "no clown"]
    visual = way(found, "clown")
    for young in range(8):
        assert visual.draws.certain(0, young) == 1 - Fraction(1, 2) ** young
        assert visual.draws.certain(1, young) == 0
    # Progeny tables: 95 % takes 5, and 4 and 3 for 90 and 80 % (geometric distribution).
    assert visual.certain[0] == tuple(int(stats.geom.ppf(float(c), 0.5)) for c in CLASSICAL) == (3, 4, 5)
    assert visual.certain[1] == (None, None, None)
    het = way(found, "het clown")
    assert het.certain[0] == tuple(int(stats.geom.ppf(float(c), 0.25)) for c in CLASSICAL)
    assert all(way.name != "normal" for way in found.ways)


def test_normal_young_of_a_visual_mate_halve_the_odds_of_het_bayes(catalogue):
    visual = way(apart("66% het clown", catalogue), "clown")
    for young in range(1, 7):
        # If she is no het, all young are normal and the odds of het are 2 : 1 times (1/2)^n.
        odds = 2 * 0.5**young
        sure, mean = visual.draws.after(young, level=0.95)[1]
        assert mean == pytest.approx(1 / (1 + odds), abs=1e-12)
        assert sure == (1.0 if 1 / (1 + odds) >= 0.95 else 0.0)
    assert visual.sure[1] == (6, 6, 6)


def test_an_erring_gene_test_gives_bayes_posteriors(catalogue):
    test = GeneTest("clown", Fraction(19, 20), Fraction(9, 10))
    found = apart("50% het clown", catalogue, tests=[test], mates={})
    draws = found.ways[0].draws
    positive, negative = 0.95 / (0.95 + 0.1), 0.9 / (0.05 + 0.9)
    expected = 0.95 * positive + 0.05 * (1 - negative)
    assert draws.after(1, level=0.9)[found.possibilities[0].words != "het clown"][1] == pytest.approx(
        expected
    )
    assert draws.certain(0, 10) == 0
    assert "95% of carriers and 90%" in found.ways[0].name
    both = [0.5 * 0.95, 0.5 * 0.1, 0.5 * 0.05, 0.5 * 0.9]
    told = [both[0] + both[1]] * 2 + [both[2] + both[3]] * 2
    bits = sum(b * log2(b / t / 0.5) for b, t in zip(both, told, strict=True))
    assert found.ways[0].bits == pytest.approx(bits, abs=1e-12)


def test_a_test_that_counts_tells_one_copy_from_two(catalogue):
    found = apart("33% homozygous pinstripe", catalogue)
    assert [p.words for p in found.possibilities] == ["pinstripe", "two copies of pinstripe"]
    assert found.ways[0].kind == "test"
    assert found.ways[0].certain == ((1, 1, 1), (1, 1, 1))
    plain = apart("33% homozygous pinstripe", catalogue, tests=[GeneTest("pinstripe")], mates={})
    assert plain.ways == ()
    # A normal young of a normal mate proves one copy; two copies never give one.
    assert way(found, "normal").certain == ((3, 4, 5), (None, None, None))
    erring = GeneTest("pinstripe", Fraction(9, 10), counts=True)
    draws = apart("33% homozygous pinstripe", catalogue, tests=[erring], mates={}).ways[0].draws
    assert sorted(map(sorted, draws.chances)) == [
        [Fraction(1, 20), Fraction(1, 20), Fraction(9, 10)]
    ] * 2 or (sorted(map(max, draws.chances)) == [Fraction(9, 10)] * 2)


def test_the_maker_type_shows_in_the_sex_of_the_young(catalogue):
    found = apart("banana", catalogue, sex=Sex.MALE, recombination="0.1")
    assert {p.words for p in found.possibilities} == {"banana from sire", "banana from dam"}
    draws = way(found, "normal").draws
    # Each young is banana son or normal daughter with 9/10 for a male maker, 1/10 for a female maker.
    assert sorted(draws.chances) == sorted(
        [(Fraction(9, 10), Fraction(1, 10)), (Fraction(1, 10), Fraction(9, 10))]
    )
    young = 5
    right = stats.binom.pmf(range(6), young, 0.9)
    mean = sum(p * (9**k / (9**k + 9 ** (young - k))) for k, p in enumerate(right))
    assert draws.after(young, level=0.95)[0][1] == pytest.approx(mean, abs=1e-12)
    assert way(found, "normal").certain[0] == (None, None, None)


def test_an_uncertain_mate_is_a_mixture_that_all_young_share(catalogue):
    mate = {"hers": read_animal("66% het clown", catalogue, sex=Sex.MALE)}
    (found,) = apart("66% het clown", catalogue, tests=[], mates=mate).ways
    for young in (1, 4, 30):
        assert found.draws.certain(0, young) == Fraction(2, 3) * (1 - Fraction(3, 4) ** young)
    assert found.certain[0] == (None, None, None)


def test_look_alikes_are_told_apart_by_their_supers(catalogue):
    clutch = pair("lesser", "butter")
    table = clutch.looks()
    place = next(
        place for place, row in enumerate(table.rows) if row.label in {"butter or lesser", "lesser or butter"}
    )
    (found,) = telling_apart(clutch.hatchling(table, place, sex=Sex.FEMALE), catalogue)
    assert {p.words for p in found.possibilities} == {"lesser", "butter"}
    assert found.ways[0].kind == "test"


def test_two_tied_loci_are_one_question():
    genes = invented("one", "two")
    half = Fraction(1, 2)
    tied = {(("one", "+"), ("two", "+")): half, (("+", "+"), ("+", "+")): half}
    (found,) = telling_apart(make_animal(Sex.UNSEXED, [(("one", "two"), tied)]), genes)
    assert [p.words for p in found.possibilities] == ["no one, no two", "het one, het two"]
    mate = way(found, "one")
    # Either of both genes would show with a double visual; with a visual of one, one young in two.
    assert mate.certain[1] == (3, 4, 5)


def test_what_is_known_is_no_question(catalogue):
    assert telling_apart(read_animal("pastel het clown", catalogue), catalogue) == ()


@settings(max_examples=50, deadline=None)
@given(st.data(), st.integers(0, 4))
def test_draws_against_every_sequence_of_young(data, count):
    things = data.draw(st.integers(2, 3))
    spots = data.draw(st.integers(things, 4))
    weights = [data.draw(st.integers(1, 4)) for _ in range(spots)]
    prior = [Fraction(w, sum(weights)) for w in weights]
    groups = [min(place, things - 1) for place in range(spots)]
    tables = []
    for _ in range(spots):
        raw = [data.draw(st.integers(0, 3)) for _ in range(3)]
        total = sum(raw)
        tables.append({k: Fraction(c, total) for k, c in zip("abc", raw, strict=True) if c} if total else {})
    if not any(tables):
        return
    draws = draws_of(prior, groups, tables)
    level = 0.9
    sure, mean, certain, alive = ([Fraction(0)] * things for _ in range(4))
    for p, group, table in zip(prior, groups, tables, strict=True):
        alive[group] += p if table else 0
    for sequence in product("abc", repeat=count):
        joint = [Fraction(0)] * things
        for p, group, table in zip(prior, groups, tables, strict=True):
            chance = p if table else Fraction(0)
            for one in sequence:
                chance *= table.get(one, Fraction(0))
            joint[group] += chance
        for thing, weight in enumerate(joint):
            if weight:
                posterior = weight / sum(joint)
                sure[thing] += weight if posterior >= Fraction(9, 10) else 0
                mean[thing] += weight * posterior
                certain[thing] += weight if posterior == 1 else 0
    for thing, (found_sure, found_mean) in enumerate(draws.after(count, level=level)):
        if alive[thing]:
            assert found_sure == pytest.approx(float(sure[thing] / alive[thing]), abs=1e-12)
            assert found_mean == pytest.approx(float(mean[thing] / alive[thing]), abs=1e-12)
            if all(tables):
                assert draws.certain(thing, count) == certain[thing] / alive[thing]
    assert draws.bits(count) >= 0.0


def test_compositions_are_all_ways_in_order():
    assert compositions(2, 3).tolist() == sorted(
        [list(c) for c in product(range(3), repeat=3) if sum(c) == 2]
    )


def test_what_is_too_much_is_refused():
    many = Draws((Fraction(1, 2),) * 2, (0, 1), (tuple([Fraction(1, 40)] * 40),) * 2)
    with pytest.raises(TooManyOutcomes, match="ways"):
        many.after(6, level=0.9)
    width = 14
    rows = tuple(
        tuple(Fraction(0) if k == place else Fraction(1, width - 1) for k in range(width))
        for place in range(width)
    )
    crowd = Draws((Fraction(1, width),) * width, (0, *([1] * (width - 1))), rows)
    with pytest.raises(TooManyOutcomes, match="other possibilities"):
        crowd.certain(0, 3)


@pytest.mark.parametrize(
    "call",
    [
        lambda c: GeneTest("clown", Fraction(0)),
        lambda c: GeneTest("clown", Fraction(1), Fraction(3, 2)),
        lambda c: apart("66% het clown", c, level=0.5),
        lambda c: apart("66% het clown", c, chances=(Fraction(1),)),
        lambda c: apart("66% het clown", c, hatchlings=0),
    ],
)
def test_what_is_no_chance_is_refused(catalogue, call):
    with pytest.raises(BadTest, match="allowed"):
        call(catalogue)


def test_numbers_beyond_the_most_young_are_none(catalogue):
    mate = {"far": read_animal("5% het clown", catalogue, sex=Sex.MALE)}
    (found,) = apart("66% het clown", catalogue, tests=[], mates=mate).ways
    assert found.certain[0][0] is None
    assert MOST_YOUNG == 40


def test_a_mate_with_other_genes_answers_for_the_gene_in_question(catalogue):
    mate = {"his": read_animal("pastel clown", catalogue, sex=Sex.MALE)}
    (found,) = apart("66% het clown", catalogue, tests=[], mates=mate).ways
    assert found.certain[0] == (3, 4, 5)


def test_two_copies_that_do_not_hatch_are_no_mate(catalogue):
    found = apart("33% homozygous spider", catalogue)
    assert all("two copies" not in way.name for way in found.ways if way.kind == "mate")


def test_what_can_not_be_counted_is_not_said_to_be_reached(catalogue, monkeypatch):
    monkeypatch.setattr(apart_module, "MOST_OUTCOMES", 3)
    visual = way(apart("66% het clown", catalogue), "clown")
    assert visual.certain[0] == (3, 4, 5)
    assert visual.sure[1] == (None, None, None)
