"""Kinds of hatchlings against every genotype counted one by one."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics import NothingHatches, Sex, UnknownGene, cross
from genetics.clutches.queries.counts import BadCount
from genetics.clutches.queries.pattern import BadPattern, Pattern
from genetics.clutches.queries.states import TooManyParents
from tests.genetics.cases import invented, pair
from tests.genetics.clutches.random_crosses import crosses
from tests.oracles import slow_numbers

SLOW = settings(max_examples=40, deadline=None)


def clutch_of(case):
    try:
        return cross(case.sire, case.dam, case.catalogue)
    except NothingHatches:
        assume(False)
        raise


@st.composite
def patterns(draw, catalogue):
    looks = sorted({t.key for locus in catalogue.loci for look in locus.looks.values() for t in look.shown})
    genes = [gene.name for gene in catalogue.genes]
    shows = draw(st.lists(st.sampled_from(looks), max_size=2, unique=True))
    hidden = draw(st.lists(st.sampled_from([n for n in looks if n not in shows] or ["a"]), max_size=1))
    carries = draw(st.lists(st.sampled_from(genes), max_size=1))
    lacks = draw(st.lists(st.sampled_from([g for g in genes if g not in carries] or ["a"]), max_size=1))
    sex = draw(st.sampled_from([None, Sex.MALE, Sex.FEMALE]))
    return Pattern(
        tuple(shows),
        tuple(n for n in hidden if n not in shows),
        tuple(carries),
        tuple(g for g in lacks if g not in carries),
        sex,
    )


def wanted_by(case, pattern):
    def wanted(sex, pairs):
        shown = case.shown(pairs)
        alleles = {allele for pair in pairs for allele in pair}
        return (
            shown.issuperset(pattern.shows)
            and shown.isdisjoint(pattern.not_showing)
            and alleles.issuperset(pattern.carries)
            and alleles.isdisjoint(pattern.not_carrying)
            and pattern.sex in (None, sex)
        )

    return wanted


@SLOW
@given(st.data())
def test_shares_of_a_pattern_are_exactly_those_counted_genotype_by_genotype(data):
    case = data.draw(crosses())
    pattern = data.draw(patterns(case.catalogue))
    kind = clutch_of(case).kind(pattern)
    rows = case.shares(wanted_by(case, pattern))
    live = sum(weight for weight, *_, alive in rows if alive)
    assert kind.per_egg == sum(w * (m + f) * alive for w, m, f, alive in rows)
    assert kind.per_hatchling == sum(w * (m + f) for w, m, f, _ in rows) / live
    assert kind.possible == sum(w for w, m, f, _ in rows if m + f)
    assert sum(kind.weights) == 1


@SLOW
@given(st.data(), st.integers(0, 5))
def test_numbers_of_a_kind_are_mixtures_counted_parent_by_parent(data, count):
    case = data.draw(crosses(most=2))
    pattern = data.draw(patterns(case.catalogue))
    kind = clutch_of(case).kind(pattern)
    rows = case.shares(wanted_by(case, pattern))
    live = sum(weight for weight, *_, alive in rows if alive)
    slow, eggs, each = [Fraction(0)] * (count + 1), [Fraction(0)] * (count + 1), Fraction(0)
    for weight, male, female, alive in rows:
        for k, chance in enumerate(slow_numbers(male + female, count)):
            slow[k] += weight / live * chance if alive else 0
        for k, chance in enumerate(slow_numbers((male + female) * alive / 2, count)):
            eggs[k] += weight * chance
        if alive:
            no_one = (1 - male) ** count + (1 - female) ** count - (1 - male - female) ** count
            each += weight / live * (1 - no_one)
    assert kind.numbers(count) == pytest.approx([float(c) for c in slow], abs=1e-12)
    assert kind.numbers(eggs=count, hatching=0.5) == pytest.approx([float(c) for c in eggs], abs=1e-12)
    assert kind.one_of_each_sex(count) == pytest.approx(float(each), abs=1e-12)
    for wanted in range(count + 2):
        tail = float(sum(slow[wanted:]))
        assert kind.at_least(wanted, hatchlings=count) == pytest.approx(tail, abs=1e-12)
    mean = sum(k * float(c) for k, c in enumerate(slow))
    assert kind.expected(count) == pytest.approx(mean, abs=1e-12)


@SLOW
@given(st.data(), st.integers(0, 4))
def test_two_kinds_together_counted_hatchling_by_hatchling(data, count):
    case = data.draw(crosses(most=2))
    one, other = data.draw(patterns(case.catalogue)), data.draw(patterns(case.catalogue))
    two = clutch_of(case).two_kinds(one, other)
    first, second = wanted_by(case, one), wanted_by(case, other)
    both = case.shares(lambda s, p: first(s, p) and second(s, p))
    only = case.shares(lambda s, p: first(s, p) and not second(s, p))
    alone = case.shares(lambda s, p: second(s, p) and not first(s, p))
    live = sum(weight for weight, *_, alive in both if alive)
    table = np.zeros((count + 1, count + 1))
    for (w, bm, bf, alive), (_, om, of, _), (_, am, af, _) in zip(both, only, alone, strict=True):
        if not alive:
            continue
        parts = [float(bm + bf), float(om + of), float(am + af)]
        law = stats.multinomial(count, [*parts, max(0.0, 1.0 - sum(parts))])
        for b in range(count + 1):
            for o in range(count + 1 - b):
                for a in range(count + 1 - b - o):
                    chance = law.pmf([b, o, a, count - a - b - o])
                    table[o + b, a + b] += float(w / live) * chance
    assert two.numbers(count) == pytest.approx(table, abs=1e-9)
    assert two.one_of_each(count) == pytest.approx(table[1:, 1:].sum(), abs=1e-9)


@SLOW
@given(crosses())
def test_every_row_of_the_table_is_a_kind_by_its_label(case):
    clutch = clutch_of(case)
    table = clutch.looks(limit=None)
    labels = [row.label for row in table.rows]
    assume(len(set(labels)) == len(labels))
    for kind, row in zip(clutch.kinds(labels), table.rows, strict=True):
        assert kind.per_hatchling == row.per_hatchling
        assert kind.per_egg == row.per_egg
        assert (
            sum(w * m for w, m in zip(kind.weights, kind.male, strict=True))
            / (sum(w for w, a in zip(kind.weights, kind.alive, strict=True) if a))
            == row.male
        )


def test_possible_hets_of_fifteen_loci_are_one_mixture_of_two_cases():
    names = [f"g{n}" for n in range(15)]
    genes = invented(*names)
    sire = " ".join(f"66% het {name}" for name in names)
    clutch = pair(sire, sire.replace("66% ", ""), catalogue=genes)
    kind = clutch.kind(Pattern(shows=tuple(names)))
    assert len(kind.weights) == 2
    assert kind.per_hatchling == Fraction(1, 6) ** 15
    assert kind.possible == Fraction(2, 3) ** 15
    some = clutch.kind(Pattern(shows=("g3", "g9"), sex=Sex.FEMALE))
    missed = 1 - 4 / 9 * (1 - (1 - 1 / 32) ** 8)
    assert some.at_least(hatchlings=8) == pytest.approx(1 - missed, abs=1e-12)


def test_random_clutch_size_uses_its_generating_function():
    kind = pair("het clown", "het clown").kind(Pattern(shows=("clown",)))
    sizes = [0.2, 0.0, 0.0, 0.5, 0.3]
    expected = sum(p * stats.binom.pmf(np.arange(5), n, 0.25) for n, p in enumerate(sizes))
    assert kind.numbers(sizes) == pytest.approx(expected, abs=1e-12)
    assert kind.at_least(hatchlings=sizes) == pytest.approx(1 - expected[0], abs=1e-12)


def test_one_of_each_sex_is_not_two_independent_events():
    kind = pair("clown", "clown").kind("clown")
    assert kind.one_of_each_sex(2) == pytest.approx(0.5)
    assert kind.per_hatchling == 1


def test_a_covered_clown_does_not_show_but_is_carried():
    clutch = pair("mojave het clown", "lesser het clown")
    assert clutch.kind(Pattern(shows=("clown",))).per_hatchling == Fraction(3, 16)
    assert clutch.kind(Pattern(carries=("clown",))).per_hatchling == Fraction(3, 4)
    white = next(row for row in clutch.looks().rows if row.label.startswith("mojave lesser"))
    assert clutch.kind(white.label).per_hatchling == Fraction(1, 4)
    both = clutch.two_kinds(white.label, "clown")
    assert both.both.per_hatchling == 0


def test_a_locus_that_is_not_there_is_wild_type():
    clutch = pair("pastel", "normal")
    assert clutch.kind(Pattern(shows=("clown",))).per_hatchling == 0
    assert clutch.kind(Pattern(carries=("clown",))).per_hatchling == 0
    assert clutch.kind(Pattern(not_showing=("clown",), not_carrying=("pied",))).per_hatchling == 1
    assert pair("normal", "normal").kind(Pattern(sex=Sex.MALE)).per_hatchling == Fraction(1, 2)
    assert clutch.two_kinds(Pattern(sex=Sex.MALE), Pattern(sex=Sex.FEMALE)).both.per_hatchling == 0
    assert clutch.two_kinds("pastel", "normal").one_of_each(2) == pytest.approx(0.5)


def test_too_many_parents_that_all_differ_are_refused_by_name():
    names = [f"g{n}" for n in range(15)]
    sire = " ".join(f"{30 + n}% het {name}" for n, name in enumerate(names))
    dam = " ".join(f"{50 + n}% het {name}" for n, name in enumerate(names))
    clutch = pair(sire, dam, catalogue=invented(*names))
    assert len(clutch.kind(Pattern(shows=tuple(names))).weights) == 2
    with pytest.raises(TooManyParents, match="fewer genes"):
        clutch.kinds([Pattern(carries=(name,)) for name in names])


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Pattern(shows=("clown",), not_showing=("clown",)), "both asked for"),
        (lambda: Pattern(carries=("clown",), not_carrying=("clown",)), "both asked for"),
        (lambda: Pattern(sex=Sex.UNSEXED), "unsexed"),
        (lambda: Pattern(shows="clown"), "tuple of names"),
        (lambda: Pattern(without=("sneezing",)), "no such harm"),
        (lambda: pair("pastel", "normal").kind("clown"), "no look 'clown'"),
    ],
)
def test_a_pattern_that_can_not_be_is_refused(make, words):
    with pytest.raises(BadPattern, match=words):
        make()


def test_unknown_names_carry_the_nearest():
    with pytest.raises(UnknownGene) as fault:
        pair("pastel", "normal").kind(Pattern(shows=("pastle",)))
    assert "pastel" in fault.value.nearest


def test_numbers_that_can_not_be_are_refused():
    kind = pair("pastel", "normal").kind("pastel")
    for call in (
        lambda: kind.numbers(-1),
        lambda: kind.numbers([0.5, 0.4]),
        lambda: kind.numbers(),
        lambda: kind.numbers(3, eggs=3),
        lambda: kind.numbers(eggs=3, hatching=1.5),
    ):
        with pytest.raises(BadCount):
            call()


def test_a_pattern_says_itself_in_plain_words():
    pattern = Pattern(("clown",), ("pied",), ("hypo",), ("albino",), Sex.FEMALE, without=("wobble",))
    assert str(pattern) == "clown, not pied, carrying hypo, without albino, without wobble, female"
    assert pattern.conditions == 6
    assert str(Pattern()) == "any hatchling"
