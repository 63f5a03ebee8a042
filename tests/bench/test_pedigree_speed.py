"""Speed of what is known of a collection, in processor time; prints a table (run with -m bench -s)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from statistics import median
from time import process_time

import pytest

from genetics import load_catalogue
from genetics.pedigrees import elimination
from genetics.pedigrees.inbreeding import kinship
from genetics.pedigrees.knowledge import know
from genetics.pedigrees.pedigree import Collection, PedigreeAnimal, Seen, TestResult
from tests.genetics.pedigrees.big_herds import BigHerd

pytestmark = pytest.mark.bench


def _timed(call, repeats):
    times = []
    for _ in range(repeats):
        start = process_time()
        call()
        times.append(process_time() - start)
    return median(times)


def _cold(herd, catalogue):
    elimination._plan.cache_clear()
    return know(herd, catalogue)


def test_a_hundred_animals_with_loops_at_one_locus():
    catalogue = load_catalogue()
    print()
    for seed in range(5):
        herd = BigHerd(
            catalogue, ["pied"], seed=seed, animals=100, founders=14, clutch=4, share=0.7
        ).collection
        took = _timed(lambda herd=herd: _cold(herd, catalogue), 5)
        told = know(herd, catalogue)
        assert not told.tangled
        print(f"100 animals, loops, one locus, herd {seed}   {1e3 * took:9.1f} ms")
        assert took < 0.5


def _all_loci(catalogue, seed, animals):
    loci = [locus.id for locus in catalogue.loci]
    founders = animals // 10
    return BigHerd(
        catalogue, loci, seed=seed, animals=animals, founders=founders, clutch=6, share=0.06
    ).collection


def test_three_hundred_animals_at_all_loci_and_an_edit():
    catalogue = load_catalogue()
    print()
    for seed in range(3):
        herd = _all_loci(catalogue, seed, 300)
        whole = _timed(lambda herd=herd: _cold(herd, catalogue), 3)
        told = know(herd, catalogue)
        assert not told.tangled
        beliefs = _timed(lambda told=told: [told.animal(animal.id) for animal in told.collection.animals], 1)
        edited = [_tested(herd), _hatched(herd), _seen_again(herd)]
        times = [_timed(lambda new=new, told=told: know(new, catalogue, previous=told), 3) for new in edited]
        print(
            f"300 animals, {len(told.evidence.loci)} loci, herd {seed}: whole {1e3 * whole:6.0f} ms, beliefs "
            f"{1e3 * beliefs:5.0f} ms, edits " + " ".join(f"{1e3 * t:5.0f} ms" for t in times)
        )
        assert whole + beliefs < 3.0
        assert max(times) < 0.3


def _last(herd: Collection, **changes) -> Collection:
    return replace(herd, animals=(*herd.animals[:-1], replace(herd.animals[-1], **changes)))


def _tested(herd: Collection) -> Collection:
    """The youngest animal is tested for one gene."""
    test = TestResult("pied", "does not carry", Fraction(99, 100), Fraction(99, 100))
    return _last(herd, tests=(*herd.animals[-1].tests, test))


def _seen_again(herd: Collection) -> Collection:
    """The look of the youngest animal is left open."""
    return _last(herd, seen=None)


def _hatched(herd: Collection) -> Collection:
    """One more young of the last clutch."""
    last = herd.animals[-1]
    return replace(
        herd, animals=(*herd.animals, PedigreeAnimal("new", last.sex, last.litter, None, Seen(), ()))
    )


def test_time_grows_with_what_is_open_and_not_with_its_square():
    catalogue = load_catalogue()
    print()
    each = {}
    for animals in (75, 300):
        herds = [_all_loci(catalogue, seed, animals) for seed in range(4)]
        took = sum(_timed(lambda herd=herd: _cold(herd, catalogue), 3) for herd in herds)
        told = [know(herd, catalogue) for herd in herds]
        unsure = sum(len(p.keys) for t in told for found in t.answers for p in found.network.parts)
        each[animals] = took / unsure
        print(f"{animals} animals, all loci: {unsure:6.0f} open pairs, {1e3 * each[animals]:6.3f} ms each")
    assert each[300] / each[75] < 3


def test_kinship_of_three_hundred_animals():
    herd = _all_loci(load_catalogue(), 1, 300)
    took = _timed(lambda: kinship(herd).pairings(), 5)
    print(f"\nkinship of 300 animals, all pairs      {1e3 * took:9.1f} ms")
    assert took < 0.1
