"""Histories: which prices belong to a trait, and which to an exact combination."""

from __future__ import annotations

import itertools

import pytest

from econ.prices.history import MissingRate, by_combination, by_trait, combination_key, price_in
from genetics.genes.traits import Trait
from tests.econ.prices.cases import TODAY, days_ago, seen

HET = Trait("clown", "het", 2 / 3)
ENCHI, PASTEL, SUPER = Trait("enchi", "visual"), Trait("pastel", "visual"), Trait("pastel", "super")


def test_key_does_not_depend_on_the_order_of_traits():
    for order in itertools.permutations((HET, ENCHI, PASTEL)):
        assert combination_key(order) == "enchi pastel 66% het clown"


def test_key_of_no_trait_is_normal_and_of_one_trait_its_own_key():
    assert combination_key(()) == "normal"
    for trait in (ENCHI, SUPER, Trait("pied", "het")):
        assert combination_key((trait,)) == trait.key


def test_an_animal_counts_with_each_trait_but_in_one_combination():
    rows = [
        seen("x", 100, days_ago(30), traits=(ENCHI, PASTEL)),
        seen("x", 80, days_ago(60), traits=(PASTEL,), kind="sold"),
        seen("normal", 40, TODAY),
    ]
    traits = by_trait(rows, currency="EUR")
    assert {k: h.count for k, h in traits.items()} == {"enchi": 1, "normal": 1, "pastel": 2}
    assert traits["pastel"].prices == (80.0, 100.0)
    assert traits["pastel"].sold == (True, False)
    assert (traits["pastel"].first, traits["pastel"].last) == (days_ago(60), days_ago(30))
    assert {k: h.count for k, h in by_combination(rows, currency="EUR").items()} == {
        "enchi pastel": 1, "normal": 1, "pastel": 1,
    }  # fmt: skip


def test_other_currencies_need_a_rate():
    row = seen("clown", 100, TODAY, currency="USD")
    assert price_in(row, "EUR", {"USD": 0.9}) == pytest.approx(90.0, abs=1e-12)
    for rates in ({}, {"USD": 0.0}, {"USD": float("nan")}, {"GBP": 1.1}):
        with pytest.raises(MissingRate, match="how many EUR one USD is worth"):
            price_in(row, "EUR", rates)
