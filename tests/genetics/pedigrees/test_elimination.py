"""Sums over small networks against numpy's own sums; orders and limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics.pedigrees import elimination, ordering
from genetics.pedigrees.elimination import Term, TooTangled, joint, solve
from genetics.pedigrees.ordering import elimination_order


def _network(seed, count):
    draw = np.random.default_rng(seed)
    sizes = [int(n) for n in draw.integers(2, 4, count)]
    terms = []
    for _ in range(count + 1):
        scope = tuple(
            int(v) for v in draw.choice(count, size=min(count, int(draw.integers(1, 4))), replace=False)
        )
        values = draw.random([sizes[v] for v in scope])
        values[values < 0.2] = 0.0
        terms.append(Term(scope, values))
    return sizes, terms


def _whole(sizes, terms):
    """The full product of all terms as one array, by numpy."""
    operands = []
    for term in terms:
        operands += [term.values, list(term.scope)]
    for variable, size in enumerate(sizes):
        operands += [np.ones(size), [variable]]
    return np.einsum(*operands, list(range(len(sizes))))


@settings(max_examples=80, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10**6), count=st.integers(1, 6))
def test_chances_and_joint_chances_are_those_of_the_full_product(seed, count):
    sizes, terms = _network(seed, count)
    whole = _whole(sizes, terms)
    found = solve(sizes, terms)
    if whole.sum() == 0.0:
        assert not found.possible
        assert found.chances == ()
        with pytest.raises(ValueError, match="contradict"):
            joint(sizes, terms, [0])
        return
    assert found.log_evidence == pytest.approx(math.log(whole.sum()), abs=1e-12)
    for variable in range(count):
        others = tuple(v for v in range(count) if v != variable)
        expected = whole.sum(axis=others) / whole.sum()
        np.testing.assert_allclose(found.chances[variable], expected, atol=1e-13)
    asked = list(range(count))[::-2]
    rest = tuple(v for v in range(count) if v not in asked)
    expected = whole.sum(axis=rest) / whole.sum()
    expected = expected.transpose([sorted(asked).index(v) for v in asked])
    np.testing.assert_allclose(joint(sizes, terms, asked), expected, atol=1e-13)


def test_a_chain_is_summed_from_its_ends():
    order = elimination_order([2] * 5, [(0, 1), (1, 2), (2, 3), (3, 4)])
    assert order == [0, 1, 2, 3, 4]


def test_a_ring_needs_tables_of_three_variables_only():
    ring = [(place, (place + 1) % 12) for place in range(12)]
    steps = elimination._plan((2,) * 12, tuple(ring))
    assert max(len(step.scope) for step in steps) == 3


def _grid(side):
    across = [(r * side + c, r * side + c + 1) for r in range(side) for c in range(side - 1)]
    return across + [(r * side + c, (r + 1) * side + c) for r in range(side - 1) for c in range(side)]


def test_too_large_a_table_is_refused_with_its_size(monkeypatch):
    monkeypatch.setattr(elimination, "LARGEST_TABLE", 100)
    terms = [Term(scope, np.ones((3, 3))) for scope in _grid(6)]
    elimination._plan.cache_clear()
    with pytest.raises(TooTangled, match="too entangled") as caught:
        solve([3] * 36, terms)
    assert caught.value.entries > 100
    elimination._plan.cache_clear()


def test_other_orders_are_tried_where_tables_are_large_and_never_make_it_worse(monkeypatch):
    sizes, scopes = (3,) * 64, tuple(_grid(8))

    def largest(limit):
        monkeypatch.setattr(ordering, "WORTH_A_SEARCH", limit)
        elimination._plan.cache_clear()
        steps = elimination._plan(sizes, scopes)
        elimination._plan.cache_clear()
        return sum(math.prod(step.shape) for step in steps)

    assert largest(100) <= largest(10**12)


@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 1, 0, 2)])
def test_any_known_order_gives_the_same_chances_and_a_bad_one_is_searched_anew(order):
    sizes, terms = _network(5, 4)
    plain = solve(sizes, terms)
    given_order = solve(sizes, terms, order=order)
    assert given_order.order == order
    for ours, theirs in zip(given_order.chances, plain.chances, strict=True):
        np.testing.assert_allclose(ours, theirs, atol=1e-13)
    assert solve(sizes, terms, order=order, entries=1).order == plain.order


def test_a_known_order_that_needs_too_large_a_table_is_left(monkeypatch):
    monkeypatch.setattr(elimination, "LARGEST_TABLE", 30)
    elimination._plan.cache_clear()
    star = [Term((0, leaf), np.ones((3, 3))) for leaf in range(1, 6)]
    assert solve([3] * 6, star, order=(0, 1, 2, 3, 4, 5)).possible
    elimination._plan.cache_clear()


def test_a_variable_that_no_term_names_may_be_anything():
    found = solve([2, 4], [Term((0,), np.array([1.0, 3.0]))])
    np.testing.assert_allclose(found.chances[1], [0.25] * 4)
