from __future__ import annotations

import pytest

from genetics import NotationError, UnknownGene
from genetics.routes.target import BadTarget, read_target, target_of


def accepted(target):
    return dict(target.accepted)


def test_two_recessives_ask_for_two_copies_each(catalogue):
    target = read_target("clown  pied", catalogue)
    clown, pied = catalogue.gene("clown").locus, catalogue.gene("pied").locus
    assert accepted(target) == {
        clown: frozenset({("clown", "clown")}),
        pied: frozenset({("pied", "pied")}),
    }
    assert target.words == "clown pied"
    assert target.needs == (0, 0, 1)


def test_a_look_of_a_dominant_gene_counts_one_copy_and_two(catalogue):
    gene = next(g for g in catalogue.genes if g.mode == "dominant" and not g.health)
    pairs = accepted(read_target(gene.name, catalogue))[gene.locus]
    assert {(gene.name, gene.name), (gene.name, "+")} <= pairs
    assert accepted(read_target(gene.name, catalogue, exact=True))[gene.locus] == {(gene.name, "+")}


def test_a_super_is_not_its_single_copy(catalogue):
    locus = catalogue.gene("pastel").locus
    assert accepted(read_target("super pastel", catalogue))[locus] == {("pastel", "pastel")}
    assert ("pastel", "pastel") not in accepted(read_target("pastel", catalogue))[locus]


def test_a_het_does_not_take_normal_animals(catalogue):
    locus = catalogue.gene("clown").locus
    assert accepted(read_target("het clown", catalogue))[locus] == {("clown", "+")}


def test_a_sex_linked_gene_counts_on_either_chromosome_unless_said(catalogue):
    locus = catalogue.gene("banana").locus
    open_phase = accepted(read_target("banana", catalogue, sexes="male"))[locus]
    assert {("banana", "+"), ("+", "banana")} <= open_phase
    assert open_phase == accepted(read_target("banana", catalogue))[locus]
    maker = accepted(read_target("banana (from sire)", catalogue, sexes="male"))[locus]
    assert ("+", "banana") in maker
    assert ("banana", "+") not in maker
    exact = accepted(read_target("banana", catalogue, exact=True))[locus]
    assert exact == {("banana", "+"), ("+", "banana")}


def test_needs_by_sex(catalogue):
    assert read_target("clown", catalogue, sexes="pair", count=2).needs == (2, 2, 0)
    assert read_target("clown", catalogue, sexes="female").needs == (0, 1, 0)
    assert read_target("clown", catalogue, sexes="male", count=3).needs == (3, 0, 0)


def test_harms_of_the_target_are_carried_along(catalogue):
    target = read_target("spider", catalogue)
    assert any(note.harm == "wobble" and gene == "spider" for note, gene in target.harms)
    assert read_target("clown", catalogue).harms == ()


@pytest.mark.parametrize("text", ["66% het clown", "normal"])
def test_an_unclear_target_is_refused(catalogue, text):
    with pytest.raises(BadTarget):
        read_target(text, catalogue)


def test_other_faults_are_named(catalogue):
    with pytest.raises(NotationError):
        read_target("clwon", catalogue)
    with pytest.raises(BadTarget, match="asks for"):
        read_target("1.0 clown", catalogue, sexes="female")
    with pytest.raises(BadTarget, match="whole numbers"):
        read_target("clown", catalogue, count=0)
    with pytest.raises(BadTarget, match="sexes"):
        read_target("clown", catalogue, sexes="both")
    locus = catalogue.gene("clown").locus
    with pytest.raises(BadTarget, match="no allele"):
        target_of({locus: [("pastel", "+")]}, catalogue)
    with pytest.raises(BadTarget, match="no allele pair"):
        target_of({locus: []}, catalogue)
    with pytest.raises(UnknownGene):
        target_of({"nowhere": [("clown", "+")]}, catalogue)


def test_pairs_given_in_code_are_ordered_and_written(catalogue):
    locus = catalogue.gene("clown").locus
    target = target_of({locus: [("+", "clown")]}, catalogue)
    assert accepted(target)[locus] == {("clown", "+")}
    assert target.words == "clown/+"
