"""A clutch looked at through some of its genes."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from genetics import NothingHatches, Sex, UnknownGene, cross, make_animal, read_animal
from genetics.clutches.queries.pattern import Pattern
from tests.genetics.cases import by_label, pair
from tests.genetics.clutches.random_crosses import crosses

SLOW = settings(max_examples=40, deadline=None)


@SLOW
@given(crosses(), st.data())
def test_looks_of_some_loci_are_those_of_all_added_up(case, data):
    try:
        clutch = cross(case.sire, case.dam, case.catalogue)
    except NothingHatches:
        assume(False)
    kept = data.draw(st.lists(st.sampled_from(case.loci), unique_by=lambda locus: locus.id))
    part = clutch.only([locus.id for locus in kept])
    assert part.lost_share == clutch.lost_share
    covers = any(look.hides for locus in case.loci for look in locus.looks.values())
    slow: dict = {}
    live = Fraction(0)
    for weight, eggs in case.parents():
        alive = sum(eggs.values(), Fraction(0))
        live += weight if alive else 0
        for (_, pairs), chance in eggs.items():
            seen = tuple(
                locus.look(p).appearance for locus, p in zip(case.loci, pairs, strict=True) if locus in kept
            )
            slow[seen] = slow.get(seen, Fraction(0)) + weight * chance / alive
    if not covers:
        shares = sorted(row.per_hatchling for row in part.looks(limit=None).rows)
        assert shares == sorted(share / live for share in slow.values())
    for locus in kept:
        for name in {trait.key for look in locus.looks.values() for trait in look.shown}:
            if not covers:
                pattern = Pattern(shows=(name,))
                assert part.kind(pattern).per_hatchling == clutch.kind(pattern).per_hatchling


def test_a_table_of_two_of_four_genes():
    clutch = pair("pastel enchi het clown banana", "pastel het clown")
    assert by_label(clutch.only(["clown", "enchi"]).looks()) == {
        "66% het clown": Fraction(3, 8),
        "enchi 66% het clown": Fraction(3, 8),
        "clown": Fraction(1, 8),
        "enchi clown": Fraction(1, 8),
    }
    assert by_label(clutch.only([]).looks()) == {"normal": 1}
    assert by_label(clutch.only(["clown complex"]).looks()) == {
        "66% het clown": Fraction(3, 4),
        "clown": Fraction(1, 4),
    }


def test_what_is_lost_elsewhere_stays_lost():
    part = pair("spider het clown", "spider het clown").only(["clown"])
    assert part.lost_share == Fraction(1, 4)
    rows = {row.label: row for row in part.looks().rows}
    assert rows["clown"].per_hatchling == Fraction(1, 4)
    assert rows["clown"].per_egg == Fraction(3, 16)


def test_part_of_a_tied_pair_of_loci(catalogue):
    half = Fraction(1, 2)
    tied = {(("clown", "+"), ("pied", "+")): half, (("+", "+"), ("+", "+")): half}
    sire = make_animal(Sex.MALE, [(("clown complex", "pied"), tied)])
    dam = read_animal("clown pied", catalogue, sex=Sex.FEMALE)
    part = cross(sire, dam, catalogue).only(["pied"])
    assert by_label(part.looks()) == {"het pied": Fraction(3, 4), "pied": Fraction(1, 4)}
    assert len(part.looks().weights) == 2


def test_an_unknown_gene_is_refused():
    with pytest.raises(UnknownGene):
        pair("pastel", "normal").only(["pastle"])
