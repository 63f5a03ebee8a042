"""Speed of the money pages: the demo's season, a hundred candidates, one changed figure; with a table."""

from __future__ import annotations

import time

import numpy as np
import pytest

from dashboard.jobs import market, prices, valuation
from dashboard.jobs.pairing import pairing_answer
from dashboard.jobs.prices import prices_answer
from dashboard.jobs.recent import Recent
from dashboard.jobs.season import season_answer
from dashboard.records import demo_book
from genetics import Sex, load_catalogue

pytestmark = pytest.mark.bench

SIRES = (
    *("pastel enchi clown", "banana (from sire) het pied", "mojave enchi pastel", "leopard fire het clown"),
    *("pastel yellow belly enchi", "spider enchi het pied", "66% het clown pastel fire", "fire 50% het pied"),
    *("enchi het pied het clown", "pinstripe pastel"),
)
DAMS = (
    *("pastel het clown", "pied", "pastel 66% het clown", "mojave fire", "leopard enchi het clown"),
    *("enchi pinstripe", "fire pastel", "spider", "normal", "yellow belly leopard het pied"),
)


def forget() -> None:
    """Empty every kept answer of this process."""
    for module in (market, valuation, prices):
        for kept in vars(module).values():
            if isinstance(kept, Recent):
                kept.clear()


def best(work, times=5, *, before=lambda: None, clock=time.perf_counter) -> float:
    """Shortest of several runs, each after some preparation, by the wall clock or another [s]."""
    found = []
    for _ in range(times):
        before()
        start = clock()
        work()
        found.append(clock() - start)
    return min(found)


PACE = 0.015  # shortest time of `yardstick` seen when the limits below were set [s]


def yardstick() -> None:
    """Do a fixed piece of work: some linear algebra and some plain Python."""
    square = np.random.default_rng(0).normal(size=(220, 220))
    np.linalg.eigh(square @ square.T)
    sum(number * number for number in range(200_000))


def allowed(seconds: float) -> float:
    """Time allowed on this machine as busy as it is now: longer where the yardstick takes longer [s]."""
    return seconds * max(1.0, best(yardstick) / PACE)


def show(title, rows):
    print(f"\n{title}")
    for name, seconds in rows:
        print(f"  {name:<58}{1e3 * seconds:9.1f} ms")


@pytest.fixture(scope="module")
def genes():
    return load_catalogue()


@pytest.fixture
def demo(tmp_path):
    with demo_book(tmp_path / "demo.sqlite") as book:
        yield book


def forget_values() -> None:
    """Empty all that is kept of clutches and values, but not the market."""
    for kept in vars(valuation).values():
        if isinstance(kept, Recent):
            kept.clear()


def test_season_of_the_demo_cold_and_warm(demo, genes):
    def season():
        return season_answer(demo, catalogue=genes)

    season()  # what a process loads and reads once
    cold = best(season, before=forget)
    values = best(season, before=forget_values)
    warm = best(season)
    page = best(lambda: prices_answer(demo, catalogue=genes))
    show(
        "Season of the demo book",
        [
            ("nothing kept: prices fitted, counts read, pairings valued", cold),
            ("market kept, every pairing valued anew", values),
            ("asked again", warm),
            ("page Prices, asked again", page),
        ],
    )
    assert cold < allowed(1.0)
    assert warm < allowed(0.1)
    assert warm < 0.4 * cold


def test_one_changed_figure_of_a_pairing(demo, genes):
    row = season_answer(demo, catalogue=genes).planned[0]
    ids = (row.sire.id, row.dam.id)
    shares = iter(0.5 + step / 1000 for step in range(400))

    def tried():
        return pairing_answer(demo, *ids, catalogue=genes, trial={"clutch.laying_chance": next(shares)})

    def stored():
        return pairing_answer(demo, *ids, catalogue=genes)

    first = best(stored, before=forget)
    trial = best(tried)
    edited = best(stored, before=lambda: demo.set_assumption("sale.fee_share", next(shares) / 5))
    show(
        "Page Pairing of the demo book",
        [
            ("nothing kept", first),
            ("one figure tried", trial),
            ("one figure of the book stored, all pairings anew", edited),
        ],
    )
    assert trial < allowed(0.15)
    assert edited < allowed(0.3)
    assert trial < 0.5 * first


def crowd(book, count: int) -> None:
    """Pair the first so many of all sires with all dams, every sire and every dam in turn."""
    sires = [book.add_animal(f"Sire {i}", text, sex=Sex.MALE).id for i, text in enumerate(SIRES)]
    dams = [book.add_animal(f"Dam {i}", text, sex=Sex.FEMALE).id for i, text in enumerate(DAMS)]
    couples = [
        (place, (place + shift) % len(DAMS)) for shift in range(len(DAMS)) for place in range(len(SIRES))
    ]
    for number, (sire, dam) in enumerate(couples[:count]):
        book.add_pairing(2030, sires[sire], dams[dam], planned=number % 3 == 0)


def test_a_season_of_a_hundred_candidates_and_its_growth(tmp_path, genes):
    found, busy, rows = {}, {}, []
    for count in (10, 100):
        with demo_book(tmp_path / f"{count}.sqlite") as book:
            crowd(book, count)

            def season(book=book):
                return season_answer(book, 2030, catalogue=genes)

            answer = season()
            assert len(answer.rows) == count
            assert all(row.valued is not None for row in answer.rows)
            found[count] = best(season, times=3, before=forget_values)
            # growth by the time of this thread alone: other work on the machine does not count
            busy[count] = best(season, times=3, before=forget_values, clock=time.thread_time)
            again = best(season, times=3)
            looks = sum(len(row.valued.looks.rows) for row in answer.rows if row.valued) / count
            rows += [
                (f"{count} candidates, {looks:.0f} looks each, valued anew", found[count]),
                (f"{count} candidates, of it this thread alone", busy[count]),
                (f"{count} candidates, asked again", again),
            ]
            if count == 100:
                book.set_assumption("sale.fee_share", 0.055)
                edited = best(season, times=1)
                rows.append(("100 candidates after one figure was stored", edited))
    show("A crowded season", rows)
    assert found[100] < allowed(2.0)
    assert busy[100] < 14 * busy[10]
    assert again < 0.5 * found[100]
