"""Speed of routes, and what the rules of a breeder are worth; prints tables (run with -m bench -s).

Times are seconds of the processor, so that other work on the machine does not count.
"""

from __future__ import annotations

from time import process_time

import pytest

from genetics import load_catalogue
from genetics.routes.biology import Biology
from genetics.routes.candidates import find_routes
from genetics.routes.parallel import simulate
from genetics.routes.policy import Policy
from genetics.routes.target import read_target
from tests.genetics.routes.projects import held

pytestmark = pytest.mark.bench

SINGLES = [
    held("c1", "1.0 clown"),
    held("c2", "0.1 clown"),
    held("p1", "1.0 pied"),
    held("p2", "0.1 pied"),
    held("a1", "1.0 albino"),
    held("a2", "0.1 albino"),
]


def _run(runs, **rules):
    catalogue = load_catalogue()
    target = read_target("albino clown pied", catalogue)
    start = process_time()
    route = simulate(
        target, SINGLES, catalogue, biology=Biology(), policy=Policy(**rules), seed=1, runs=runs, seasons=25
    )
    return process_time() - start, route


def test_ten_thousand_runs_of_25_seasons():
    taken, route = _run(10_000)
    print(f"\n10,000 runs of 25 seasons, three loci, 12 places {taken:8.2f} s")
    print(
        f"target not reached in {route.first_year.not_reached:.1%}, median season {route.first_year.median}"
    )
    assert route.first_year.runs == 10_000
    assert taken < 10.0


def test_time_grows_with_the_number_of_runs_and_no_faster():
    _run(200)
    small = min(_run(1000)[0] for _ in range(3))
    large = min(_run(4000)[0] for _ in range(2))
    print(f"\n1,000 runs {small:.2f} s, 4,000 runs {large:.2f} s, ratio {large / small:.1f}")
    assert large / small < 6.0


def test_what_the_rules_are_worth():
    rules = {
        "all rules": {},
        "last carriers may go": {"last_carrier": False},
        "no working pair": {"working_pair": False},
        "sexes not balanced": {"balance": False},
        "no updating": {"updating": False},
        "none of them": {
            "last_carrier": False,
            "working_pair": False,
            "balance": False,
            "updating": False,
        },
    }
    print("\nrules                   not reached in 25 seasons   median   90 % by")
    missed = {}
    for name, chosen in rules.items():
        years = _run(2000, **chosen)[1].first_year
        missed[name] = years.not_reached
        print(f"{name:24}{years.not_reached:12.1%}{years.median!s:>22}{years.quantile(0.9)!s:>10}")
    assert missed["all rules"] < 0.13
    assert missed["none of them"] > 0.45


def test_search_for_a_triple_from_single_visuals():
    catalogue = load_catalogue()
    target = read_target("albino clown pied", catalogue)
    start = process_time()
    routes = find_routes(target, SINGLES, catalogue, biology=Biology())
    taken = process_time() - start
    print(f"\nsearch: {routes.looked_at} stocks, {len(routes.plans)} plans in {taken:.2f} s")
    assert routes.plans
    assert taken < 30.0
