"""Speed of a clutch as ratios within one run; prints a table (run with -m bench -s)."""

from __future__ import annotations

import random
from statistics import median
from time import perf_counter

import numpy as np
import pytest

from genetics import Sex, cross, load_catalogue, read_animal
from tests.oracles import square

pytestmark = pytest.mark.bench


def _timed(call, repeats):
    times = []
    for _ in range(repeats):
        start = perf_counter()
        call()
        times.append(perf_counter() - start)
    return median(times)


def _recessives(catalogue, count):
    names = [
        g.name
        for g in catalogue.genes
        if g.mode == "recessive" and len(catalogue.locus_of(g.name).genes) == 1
    ]
    return names[:count]


def test_twelve_loci_with_all_labels_against_the_pencil_square():
    catalogue = load_catalogue()
    text = " ".join(f"het {name}" for name in _recessives(catalogue, 12))
    sire = read_animal(text, catalogue, sex=Sex.MALE)
    dam = read_animal(text, catalogue, sex=Sex.FEMALE)
    made = cross(sire, dam, catalogue).expand()
    assert len(made.labels) == len(set(made.labels)) == 4096
    assert int(np.sum(made.numerators)) == made.denominator

    def whole():
        clutch = cross(sire, dam, catalogue).expand()
        return clutch.shares, clutch.labels

    ours = _timed(whole, 15)
    eight = _timed(lambda: square([("x", "+")] * 8, [("x", "+")] * 8), 1)
    naive = eight * 4**4
    print(f"\n12 loci, 4096 looks, all labels  {1e3 * ours:9.2f} ms")
    print(f"pencil square of 8 loci          {1e3 * eight:9.2f} ms, of 12 loci about {naive:.0f} s")
    print(f"ratio                            {naive / ours:9.0f}")
    assert naive / ours > 1000
    assert ours < 0.005


def test_a_hundred_pairings_of_six_loci_with_labels_and_a_price():
    catalogue = load_catalogue()
    names = [*_recessives(catalogue, 3), "pastel", "enchi", "mojave"]
    draw = random.Random(5)

    def animal(sex):
        words = []
        for name in names:
            recessive = catalogue.gene(name).mode == "recessive"
            words.append(draw.choice(["", "het ", "66% het "] if recessive else [""]) + name)
        return read_animal(" ".join(words), catalogue, sex=sex)

    pairs = [(animal(Sex.MALE), animal(Sex.FEMALE)) for _ in range(100)]
    price = {}

    def season():
        total = 0.0
        for sire, dam in pairs:
            made = cross(sire, dam, catalogue).expand()
            prices = np.array([price.setdefault(label, 10.0 + len(label)) for label in made.labels])
            total += float(made.shares @ prices)
        return total

    assert season() > 0.0
    ours = _timed(season, 9)
    tables = _timed(lambda: [cross(sire, dam, catalogue).looks() for sire, dam in pairs], 3)
    print(f"\n100 pairings of 6 loci, labels and price sum {1e3 * ours:9.2f} ms")
    print(f"100 pairings of 6 loci, tables of looks       {1e3 * tables:9.2f} ms")
    assert ours < 0.05
