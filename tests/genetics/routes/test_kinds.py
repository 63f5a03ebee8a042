from __future__ import annotations

from fractions import Fraction

from genetics import read_animal
from genetics.routes.kinds import (
    certain,
    genotypes,
    goal_sets,
    kind_of,
    kind_words,
    lacking,
    share_of,
    young_kinds,
)
from genetics.routes.states import states_of
from genetics.routes.target import read_target
from tests.genetics.cases import sex_linked
from tests.genetics.routes.projects import covered, lethal
from tests.oracles import square


def kinds(catalogue, target, *texts):
    animals = [read_animal(text, catalogue) for text in texts]
    states = states_of(read_target(target, catalogue), animals, catalogue)
    return states, [kind_of(animal, states) for animal in animals]


def test_young_that_can_be_told_against_the_pencil_square(catalogue):
    states, (sire, dam) = kinds(catalogue, "clown pied", "1.0 het clown het pied", "0.1 clown het pied")
    cells = square([("clown", "+"), ("pied", "+")], [("clown", "clown"), ("pied", "+")])
    found = young_kinds(states, sire, dam, male=True)
    order = [each.locus.id for each in states]
    first = order.index(catalogue.gene("clown").locus)
    shares = {}
    for each in found:
        share = share_of(states, _only(sire), _only(dam), male=True, sets=each.sets)
        shares[kind_words(states, each.kind, catalogue, male=True)] = share
    by_look = {}
    for pairs, share in cells.items():
        words = ["clown" if pairs[0] == ("clown", "clown") else "het clown"]
        words.append("pied" if pairs[1] == ("pied", "pied") else "66% het pied")
        by_look[frozenset(words)] = by_look.get(frozenset(words), 0) + share
    assert first in (0, 1)
    assert sum(shares.values()) == 1
    assert sorted(shares.values()) == sorted(by_look.values())
    assert shares["clown pied"] == Fraction(1, 8)
    assert any("66% het pied" in words for words in shares)


def _only(kind):
    ((joint, chance),) = genotypes(kind)
    assert chance == 1
    return joint


def test_young_of_uncertain_parents_count_only_if_their_own_genes_are_certain(catalogue):
    states, (sire, dam) = kinds(catalogue, "clown", "1.0 66% het clown", "0.1 het clown")
    assert not certain(sire)
    found = [
        kind_words(states, each.kind, catalogue, male=False)
        for each in young_kinds(states, sire, dam, male=False)
    ]
    assert found == ["clown"]


def test_young_open_at_two_loci_are_left_to_the_simulation(catalogue):
    states, (sire, dam) = kinds(catalogue, "clown pied", "1.0 het clown het pied", "0.1 het clown het pied")
    words = {
        kind_words(states, each.kind, catalogue, male=True)
        for each in young_kinds(states, sire, dam, male=True)
    }
    assert "clown pied" in words
    assert not any(text.count("66%") > 1 for text in words)


def test_covered_young_count_only_if_nothing_is_open_beneath():
    genes = covered()
    states, (sire, dam) = kinds(genes, "white spot", "1.0 white het spot", "0.1 white spot")
    assert young_kinds(states, sire, dam, male=True) == ()
    assert goal_sets(states, sire, dam, male=True) is None
    states, (sire, dam) = kinds(genes, "white spot", "1.0 white spot", "0.1 white spot")
    assert len(young_kinds(states, sire, dam, male=True)) == 1


def test_lost_eggs_stay_in_the_whole():
    genes = lethal()
    states, (sire, dam) = kinds(genes, "dun", "1.0 dun", "0.1 dun")
    shares = [
        share_of(states, _only(sire), _only(dam), male=True, sets=each.sets)
        for each in young_kinds(states, sire, dam, male=True)
    ]
    assert sorted(shares) == [Fraction(1, 4), Fraction(1, 2)]


def test_what_a_possible_het_lacks_is_an_expectation(catalogue):
    states, (kind,) = kinds(catalogue, "clown", "0.1 66% het clown")
    assert lacking(states, kind) == (4 / 3,)


def test_a_belief_without_words_is_written_as_allele_pairs():
    genes = sex_linked("glow")
    states, (kind,) = kinds(genes, "glow", "1.0 glow (from sire)")
    locus = states[0]
    mixed = (
        (
            (locus.index[("+", "+")], Fraction(1, 2)),
            (locus.index[("+", "glow")], Fraction(1, 2)),
        ),
    )
    assert kind_words(states, kind, genes, male=True) == "glow (from sire)"
    assert kind_words(states, mixed, genes, male=True) == "1/2 +/+, 1/2 +/glow"
