"""Mean price of a hatchling against all looks priced one by one."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics import Sex, UnknownGene
from genetics.clutches.queries import patterns_priced
from genetics.clutches.queries.pattern import Pattern
from genetics.clutches.queries.patterns_priced import TooManyPatterns
from genetics.clutches.queries.prices import BadPrice, ProductPrice
from tests.genetics.cases import invented, pair
from tests.genetics.clutches.queries.test_kinds import clutch_of, patterns, wanted_by
from tests.genetics.clutches.random_crosses import crosses

SLOW = settings(max_examples=40, deadline=None)
MONEY = st.sampled_from([0.0, 1.0, 2.5, 40.0, 300.0])


def kinds_of_all_looks(clutch):
    """Every choice of a class of each unit, with its share by sex."""
    half = 1.0 if any(unit.sexed for unit in clutch.units) else 0.5
    for choice in product(*(range(len(unit.classes)) for unit in clutch.units)):
        shares = []
        for sex in (0, 1):
            share = half
            for unit, place in zip(clutch.units, choice, strict=True):
                share *= float(unit.hatch[place][sex if unit.sexed else 0])
            shares.append(share)
        yield [unit.classes[place] for unit, place in zip(clutch.units, choice, strict=True)], shares


def slow_mean(case, clutch, price):
    order = sorted(price.patterns, key=lambda item: -item[0].conditions)
    covered_row = next((row for row in clutch.looks(limit=None).rows if _is_covered(clutch, row)), None)
    total = 0.0
    for kinds, shares in kinds_of_all_looks(clutch):
        covered = any(kind.hides_all for kind in kinds)
        traits = [t for kind in kinds if kind.hides_all or not covered for t in kind.priced_traits]
        words = frozenset(map(str, covered_row.traits if covered else traits))
        for sex, share, times in zip((Sex.MALE, Sex.FEMALE), shares, (price.male, price.female), strict=True):
            if not share:
                continue
            if words in price.exact:
                total += share * price.exact[words]
                continue
            for pattern, money in order:
                if all(
                    wanted_by(case, pattern)(sex.value, pairs)
                    for pairs in _genotypes(case, clutch, kinds, sex)
                ):
                    total += share * money
                    break
            else:
                total += share * price.base * times * price.factor(traits)
    return total


def _is_covered(clutch, row):
    table = clutch.looks(limit=None)
    return bool((table.picks[table.rows.index(row)] < 0).any())


def _genotypes(case, clutch, kinds, sex):
    where = {locus.id: place for place, locus in enumerate(case.loci)}
    for choice in product(*([p for who, p, _ in k.young if who in (None, sex)] for k in kinds)):
        pairs = [("+", "+")] * len(case.loci)
        for unit, entry in zip(clutch.units, choice, strict=True):
            for locus, pair_ in zip(unit.loci, entry, strict=True):
                pairs[where[locus.id]] = pair_
        yield tuple(pairs)


@SLOW
@given(st.data())
def test_mean_price_is_that_of_all_looks_priced_one_by_one(data):
    case = data.draw(crosses())
    clutch = clutch_of(case)
    rows = clutch.looks(limit=None).rows
    names = sorted({trait.key for row in rows for trait in row.traits})
    chosen = data.draw(st.lists(st.sampled_from(rows), max_size=3))
    price = ProductPrice(
        base=data.draw(MONEY),
        traits={name: data.draw(MONEY) for name in names},
        male=0.5,
        female=2.0,
        exact={frozenset(map(str, row.traits)): data.draw(MONEY) for row in chosen},
        patterns=tuple(
            (data.draw(patterns(case.catalogue)), data.draw(MONEY))
            for _ in range(data.draw(st.integers(0, 4)))
        ),
    )
    found = clutch.mean_price(price)
    expected = slow_mean(case, clutch, price)
    assert found.mean == pytest.approx(expected, rel=1e-12, abs=1e-9)
    assert found.by_exact + found.by_pattern + found.by_product == pytest.approx(1.0, abs=1e-12)
    assert min(found.by_exact, found.by_pattern, found.by_product) > -1e-12


def test_exact_before_pattern_longer_before_shorter_earlier_before_later():
    clutch = pair("pastel enchi", "pastel")
    both, one = Pattern(shows=("pastel", "enchi")), Pattern(shows=("enchi",))
    looks = {row.label: float(row.per_hatchling) for row in clutch.looks().rows}
    enchi = [looks[name] for name in ("enchi", "pastel enchi", "super pastel enchi")]
    longer = ProductPrice(1.0, patterns=((one, 10.0), (both, 100.0)))
    assert clutch.mean_price(longer).mean == pytest.approx(0.5 + 10 * (enchi[0] + enchi[2]) + 100 * enchi[1])
    tie = ProductPrice(1.0, patterns=((one, 10.0), (Pattern(carries=("enchi",)), 20.0)))
    assert clutch.mean_price(tie).mean == pytest.approx(0.5 + 5.0)
    exact = ProductPrice(1.0, exact={frozenset({"pastel", "enchi"}): 1000.0}, patterns=((both, 100.0),))
    found = clutch.mean_price(exact)
    assert found.mean == pytest.approx(1.0 - enchi[1] + 1000 * enchi[1])
    assert (found.by_exact, found.by_pattern) == (pytest.approx(enchi[1]), 0.0)


def test_a_label_and_a_sex_are_patterns_too():
    clutch = pair("pastel het clown", "het clown")
    price = ProductPrice(2.0, patterns=((Pattern(label="pastel 66% het clown", sex=Sex.FEMALE), 10.0),))
    assert clutch.mean_price(price).mean == pytest.approx(2 + 8 * 3 / 16)
    absent = ProductPrice(2.0, patterns=((Pattern(label="enchi"), 10.0), (Pattern(shows=("pied",)), 9.0)))
    assert clutch.mean_price(absent).mean == pytest.approx(2.0)


def test_a_covered_look_has_its_own_price_by_its_label_or_traits():
    clutch = pair("mojave het clown", "lesser het clown")
    row = next(row for row in clutch.looks().rows if row.label.startswith("mojave lesser"))
    by_label = ProductPrice(4.0, patterns=((Pattern(label=row.label), 100.0),))
    by_traits = ProductPrice(4.0, exact={frozenset(map(str, row.traits)): 100.0})
    assert clutch.mean_price(by_label).mean == pytest.approx(28.0)
    assert clutch.mean_price(by_traits).mean == pytest.approx(28.0)
    assert clutch.mean_price(by_traits).by_exact == pytest.approx(0.25)


def test_look_alikes_and_compounds_are_found_by_all_their_traits():
    clutch = pair("black pastel", "cinnamon")
    price = ProductPrice(
        1.0,
        exact={
            frozenset({"eight ball"}): 9.0,
            frozenset({"black pastel", "cinnamon"}): 5.0,
            frozenset({"clown"}): 7.0,
        },
    )
    assert clutch.mean_price(price).mean == pytest.approx(3 / 4 + 9 / 4)


def test_overlapping_patterns_of_fifteen_genes_and_the_limit(monkeypatch):
    names = [f"g{n}" for n in range(15)]
    sire = " ".join(names)
    clutch = pair(sire, sire, catalogue=invented(*names, mode="incomplete dominant"))
    rules = [
        (Pattern(shows=(one, other)), 3.0) for place, one in enumerate(names) for other in names[place + 1 :]
    ]
    # Two or more of fifteen genes show in one copy: binomial with chance 1/2.
    found = clutch.mean_price(ProductPrice(1.0, patterns=tuple(rules)))
    assert found.by_pattern == pytest.approx(stats.binom.sf(1, 15, 0.5), abs=1e-12)
    assert found.mean == pytest.approx(1 + 2 * stats.binom.sf(1, 15, 0.5), abs=1e-12)
    monkeypatch.setattr(patterns_priced, "MOST_STATES", 10)
    with pytest.raises(TooManyPatterns, match="fewer"):
        clutch.mean_price(ProductPrice(1.0, patterns=tuple(rules)))


@pytest.mark.parametrize("bad", [-1.0, float("nan"), float("inf")])
def test_a_price_that_is_none_is_refused(bad):
    with pytest.raises(BadPrice, match="0 or more"):
        ProductPrice(1.0, traits={"clown": bad})


def test_a_pattern_of_an_unknown_look_is_refused():
    with pytest.raises(UnknownGene):
        pair("pastel", "normal").mean_price(ProductPrice(1.0, patterns=((Pattern(shows=("pastle",)), 1.0),)))
