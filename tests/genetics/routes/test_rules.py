"""What the rules of a breeder are worth: triple projects from single visuals.

The product states: replacing the worst animal by the best hatchling misses 25 years in 62 % of the runs; with
the last-carrier rule and updating 13 %. The herd behind these figures is not stated, so the order and a wide
gap are asked for.
"""

from __future__ import annotations

from genetics.routes.biology import Biology
from genetics.routes.parallel import simulate
from genetics.routes.policy import Policy
from genetics.routes.target import read_target
from tests.genetics.routes.projects import held

SINGLES = [
    held("c1", "1.0 clown"),
    held("c2", "0.1 clown"),
    held("p1", "1.0 pied"),
    held("p2", "0.1 pied"),
    held("a1", "1.0 albino"),
    held("a2", "0.1 albino"),
]


def missed(catalogue, **rules):
    target = read_target("albino clown pied", catalogue)
    policy = Policy(places=12, male_places=3, **rules)
    route = simulate(target, SINGLES, catalogue, biology=Biology(), policy=policy, seed=1, runs=800)
    return route.first_year.not_reached


def test_last_carrier_rule_balance_and_updating_save_triple_projects(catalogue):
    bare = missed(catalogue, last_carrier=False, working_pair=False, balance=False, updating=False)
    whole = missed(catalogue)
    without_rule = missed(catalogue, last_carrier=False)
    without_balance = missed(catalogue, balance=False)
    without_updating = missed(catalogue, updating=False)
    assert bare > 0.45
    assert whole < 0.13
    assert whole + 0.05 < min(without_rule, without_balance, without_updating)
    assert max(without_rule, without_balance, without_updating) < bare
