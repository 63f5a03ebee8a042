"""Speed of a clutch as ratios and growth within one run; prints a table (run with -m bench -s).

Times are processor time, the least of several runs, since what else the machine does only adds.
"""

from __future__ import annotations

import random
from time import process_time

import numpy as np
import pytest

from genetics import Sex, cross, load_catalogue, read_animal
from genetics.clutches.queries.pattern import Pattern
from genetics.clutches.queries.prices import ProductPrice
from tests.genetics.cases import invented
from tests.oracles import square

pytestmark = pytest.mark.bench


def _timed(call, repeats):
    times = []
    for _ in range(repeats):
        start = process_time()
        call()
        times.append(process_time() - start)
    return min(times)


def _recessives(catalogue, count):
    names = [
        g.name
        for g in catalogue.genes
        if g.mode == "recessive" and len(catalogue.locus_of(g.name).genes) == 1
    ]
    return names[:count]


def test_twelve_loci_with_all_labels_against_the_pencil_square():
    names = [f"g{place:02d}" for place in range(12)]
    catalogue = invented(*names)
    text = " ".join(f"het {name}" for name in names)
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
    assert naive / ours > 5000
    assert ours < 0.005


def _incomplete_dominants(count):
    """Clutch of two animals with one copy of each of so many genes, and a price with 500 overrides."""
    names = [f"gene {place:02d}" for place in range(count)]
    genes = invented(*names, mode="incomplete dominant")
    sire, dam = (read_animal(" ".join(names), genes, sex=sex) for sex in (Sex.MALE, Sex.FEMALE))
    draw = random.Random(3)
    exact = {}
    while len(exact) < 500:
        words = (draw.choice(["", name, f"super {name}"]) for name in names)
        exact[frozenset(word for word in words if word)] = 100 * draw.random()
    factors = dict.fromkeys(names, 1.3) | {f"super {name}": 2.0 for name in names}
    rules = tuple((Pattern(shows=tuple(draw.sample(names, 2))), 50 * draw.random()) for _ in range(20))
    return (
        names,
        lambda: cross(sire, dam, genes),
        ProductPrice(10.0, factors, exact=exact),
        ProductPrice(10.0, factors, exact=exact, patterns=rules),
    )


def test_twelve_incomplete_dominants_and_growth_to_fifteen():
    jobs = {}
    for count in (8, 12, 15):
        names, clutch, price, ruled = _incomplete_dominants(count)
        wanted = Pattern(shows=tuple(names[:4]))
        jobs[count] = {
            "100 likeliest looks": lambda c=clutch: c().looks(limit=100),
            "mean price, 500 overrides": lambda c=clutch, p=price: c().mean_price(p),
            "the same and 20 patterns": lambda c=clutch, p=ruled: c().mean_price(p),
            "chance of a pattern": lambda c=clutch, w=wanted: c().kind(w),
        }
        if count == 8:
            _check_by_expansion(clutch(), price)
    print()
    for name in jobs[8]:
        times = {count: _timed(jobs[count][name], 15) for count in jobs}
        grows = times[15] / times[8]
        cells = "".join(f"{1e3 * time:9.2f}" for time in times.values())
        print(f"{name:30s}{cells} ms for 8, 12, 15 loci, growth {grows:.2f}")
        assert grows < 3
        if name == "100 likeliest looks":
            assert times[12] < 0.004
        if name == "mean price, 500 overrides":
            assert times[12] < 0.005


def _check_by_expansion(clutch, price):
    """The mean price of 8 loci against all 6561 looks one by one."""
    made = clutch.expand()
    total = 0.0
    for label, share in zip(made.labels, made.shares, strict=True):
        words = label.replace("super ", "super_").replace("gene ", "gene_").split()
        names = frozenset(word.replace("_", " ") for word in words if word != "normal")
        product = price.base
        for name in names:
            product *= price.traits[name]
        total += share * price.exact.get(names, product)
    assert clutch.mean_price(price).mean == pytest.approx(total, rel=1e-12)


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
