from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics import Sex, read_animal
from genetics.routes.states import (
    CARRIES_NOTHING,
    CARRIES_PART,
    MOST_GENOTYPES,
    TooManyGenotypes,
    covers,
    states_of,
)
from genetics.routes.target import read_target, target_of
from tests.genetics.cases import invented, sex_linked
from tests.genetics.routes.projects import covered
from tests.oracles import sex_linked_square, square


def test_young_of_an_autosomal_locus_against_the_pencil_square(catalogue):
    (locus,) = states_of(read_target("lesser mojave", catalogue), [], catalogue)
    for sire in locus.pairs:
        for dam in locus.pairs:
            cells = square([sire], [dam])
            for sex in (0, 1):
                row = dict(locus.exact[sex, locus.index[sire], locus.index[dam]])
                found = {tuple(sorted(locus.pairs[state])): chance for state, chance in row.items()}
                assert found == {pairs[0]: chance for pairs, chance in cells.items()}


@settings(deadline=None)
@given(r=st.fractions(0, Fraction(1, 2), max_denominator=40))
def test_young_of_a_sex_linked_locus_against_the_four_kinds_of_gamete(r):
    catalogue = sex_linked("glow")
    target = read_target("glow", catalogue)
    (locus,) = states_of(target, [], catalogue, recombination={target.accepted[0][0]: r})
    dams = [pair for pair in locus.pairs if pair == locus.locus.ordered(*pair)]
    for sire in locus.pairs:
        for dam in dams:
            cells = sex_linked_square(sire, dam, r)
            for number, sex in ((0, "male"), (1, "female")):
                row = locus.exact[number, locus.index[sire], locus.index[dam]]
                found: dict = {}
                for state, chance in row:
                    pair = locus.pairs[state]
                    key = pair if sex == "male" else tuple(sorted(pair))
                    found[key] = found.get(key, 0) + chance
                expected = {
                    pair: 2 * chance for (who, pair), chance in cells.items() if who == sex and chance
                }
                assert found == expected


def test_what_a_genotype_lacks_and_is_worth(catalogue):
    (locus,) = states_of(read_target("clown", catalogue), [], catalogue)
    order = [locus.index[pair] for pair in (("clown", "clown"), ("clown", "+"), ("+", "+"))]
    assert locus.missing[order].tolist() == [0, 1, 2]
    assert locus.worth[order].tolist() == [1.0, CARRIES_PART, CARRIES_NOTHING]
    assert locus.carries[:, order].tolist() == [[True, True, False]]


def test_a_compound_needs_both_alleles(catalogue):
    (locus,) = states_of(read_target("lesser mojave", catalogue, exact=True), [], catalogue)
    assert locus.groups == (frozenset({"lesser"}), frozenset({"mojave"}))
    assert locus.missing[locus.index[("+", "+")]] == 2


def test_alternatives_form_one_group():
    catalogue = invented("one", "two")
    first = catalogue.gene("one").locus
    target = target_of({first: [("one", "+"), ("+", "+")]}, catalogue)
    (locus,) = states_of(target, [], catalogue)
    assert locus.groups == ()
    assert locus.worth[locus.index[("one", "one")]] == CARRIES_PART


def test_either_of_two_alleles_is_one_group(catalogue):
    locus_id = catalogue.gene("lesser").locus
    target = target_of({locus_id: [("lesser", "+"), ("mojave", "+")]}, catalogue)
    (locus,) = states_of(target, [], catalogue)
    assert locus.groups == (frozenset({"lesser", "mojave"}),)


def test_chromosomes_count_where_the_target_says_so():
    catalogue = sex_linked("glow")
    target = read_target("glow (from sire)", catalogue, sexes="male")
    (locus,) = states_of(target, [], catalogue)
    assert locus.missing[locus.index[("glow", "+")]] == 1
    assert locus.missing[locus.index[("+", "glow")]] == 0


def test_belief_of_an_animal_at_a_locus(catalogue):
    animal = read_animal("66% het clown", catalogue, sex=Sex.FEMALE)
    (locus,) = states_of(read_target("clown", catalogue), [animal], catalogue)
    found = {locus.pairs[state]: chance for state, chance in locus.belief(animal)}
    assert found == {("clown", "+"): Fraction(2, 3), ("+", "+"): Fraction(1, 3)}
    normal = read_animal("pastel", catalogue, sex=Sex.FEMALE)
    assert locus.belief(normal) == ((locus.index[("+", "+")], Fraction(1)),)


def test_a_gene_that_hides_all_covers_the_other_loci():
    states = states_of(read_target("white spot", covered()), [], covered())
    row = next(n for n, each in enumerate(states) if ("white", "white") in each.pairs)
    both = covers(states)[row][1 - row]
    assert both == {states[row].index[("white", "white")]}
    assert covers(states)[row][row] == frozenset()
    assert covers(states)[1 - row][row] == frozenset()


def test_too_many_genotypes_of_a_complex_are_refused(catalogue):
    big = max(catalogue.loci, key=lambda locus: len(locus.genes))
    names = [gene.name for gene in big.genes]
    if (len(names) + 1) * (len(names) + 2) // 2 <= MOST_GENOTYPES:
        pytest.skip("no complex of the catalogue is so large")
    target = target_of({big.id: [(name, "+") for name in names]}, catalogue)
    with pytest.raises(TooManyGenotypes, match=str(MOST_GENOTYPES)):
        states_of(target, [], catalogue)
