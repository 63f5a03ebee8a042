from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics.routes.biology import Biology
from genetics.routes.holding import choose, go_on, spend_tests
from genetics.routes.policy import Policy
from tests.genetics.routes.blocks import begin, random_beliefs, season_of
from tests.genetics.routes.projects import held

FOUNDERS = [
    held("m0", "1.0 clown"),
    held("m1", "1.0 pied"),
    held("f0", "0.1 albino"),
    held("f1", "0.1 clown"),
    held("f2", "0.1 pied"),
]
TARGET = "clown pied albino"
LAYING = Biology(laying=1.0)


def project(seed, *, places=6, runs=25):
    tables, draws, herd = begin(TARGET, FOUNDERS, biology=LAYING, runs=runs, places=places, seed=seed)
    random_beliefs(herd, tables, np.random.default_rng(seed))
    young = season_of(herd, tables, draws, LAYING)
    return tables, draws, herd, young


def carriers(herd, young, tables):
    """Chance of each animal, adults then young, to carry each needed allele and live; (A, N, pool)."""
    rows = []
    for number, locus in enumerate(tables.loci):
        for mask in locus.carries:
            adult = np.where(herd.alive, herd.belief[number] @ mask, 0.0)
            fresh = young.spread(young.expected_at(number, mask), 0.0) * LAYING.survival
            rows.append(np.concatenate([adult, fresh], axis=1))
    return np.stack(rows)


@settings(deadline=None, max_examples=20)
@given(seed=st.integers(0, 10_000), balance=st.booleans(), working=st.booleans())
def test_the_likeliest_carrier_of_every_needed_allele_is_kept(seed, balance, working):
    tables, _, herd, young = project(seed)
    policy = Policy(places=6, male_places=2, balance=balance, working_pair=working)
    choice = choose(herd, young, tables, policy, LAYING, season=1)
    chance = carriers(herd, young, tables)
    kept = np.zeros(chance.shape[1:], dtype=bool)
    np.put_along_axis(kept, choice.picks, choice.taken, axis=1)
    best_kept = np.where(kept, chance, 0.0).max(axis=2)
    # young that are worth no more than a normal animal are never held back; they carry next to nothing
    assert (best_kept >= chance.max(axis=2) - 0.0015).all()


def test_without_the_rule_carriers_are_lost():
    lost = 0
    for seed in range(6):
        tables, _, herd, young = project(seed, runs=60)
        policy = Policy(places=6, male_places=2, last_carrier=False, balance=False, working_pair=False)
        choice = choose(herd, young, tables, policy, LAYING, season=1)
        chance = carriers(herd, young, tables)
        kept = np.zeros(chance.shape[1:], dtype=bool)
        np.put_along_axis(kept, choice.picks, choice.taken, axis=1)
        lost += int((np.where(kept, chance, 0.0).max(axis=2) < chance.max(axis=2) - 0.3).sum())
    assert lost > 0


@settings(deadline=None, max_examples=15)
@given(seed=st.integers(0, 10_000), male_places=st.integers(1, 4))
def test_places_are_shared_between_the_sexes(seed, male_places):
    tables, _, herd, young = project(seed)
    policy = Policy(places=6, male_places=male_places, last_carrier=False, working_pair=False)
    choice = choose(herd, young, tables, policy, LAYING, season=1)
    pool = np.concatenate([herd.male, young.spread(young.male, False)], axis=1)
    picked = np.take_along_axis(pool, choice.picks, axis=1)
    males = (picked & choice.taken).sum(axis=1)
    females = (~picked & choice.taken).sum(axis=1)
    assert (males + females <= 6).all()
    full = males + females == 6
    # a sex has more than its places only if the other has no more animals to fill them
    more = full & (males > male_places)
    available = np.where(herd.alive & ~herd.male, 1, 0).sum(axis=1)
    assert (females[more] >= available[more]).all()


def test_a_pair_that_can_breed_next_season_stays():
    for seed in range(8):
        tables, draws, herd, young = project(seed)
        policy = Policy(places=6, male_places=1)
        choice = choose(herd, young, tables, policy, LAYING, season=1)
        go_on(herd, young, choice, draws, LAYING, season=1, hits=np.zeros(young.run.size, dtype=bool))
        grown = herd.grown(2)
        assert ((grown & herd.male).sum(axis=1) >= 1).all()
        assert ((grown & ~herd.male).sum(axis=1) >= 1).all()


def test_animals_go_on_with_their_genes_and_what_is_known():
    tables, draws, herd, young = project(3)
    before = [part.copy() for part in herd.genotype]
    choice = choose(herd, young, tables, Policy(places=6, male_places=2), LAYING, season=1)
    numbers = young.spread(np.arange(young.run.size), 0)
    go_on(herd, young, choice, draws, LAYING, season=1, hits=np.ones(young.run.size, dtype=bool))
    for run in range(25):
        for place in range(6):
            if not choice.taken[run, place]:
                assert not herd.alive[run, place]
                continue
            pick = int(choice.picks[run, place])
            for number in range(3):
                found = herd.genotype[number][run, place]
                assert herd.belief[number][run, place, found] > 0.0
                if pick < 6:
                    assert found == before[number][run, pick]
                else:
                    assert found == young.genotype[number][numbers[run, pick - 6]]
            if pick >= 6:
                male = bool(young.male[numbers[run, pick - 6]])
                assert herd.ready[run, place] == 1 + (2 if male else 3)
                assert herd.counted[run, place]
    assert choice.held.sum() == (choice.taken & (choice.picks >= 6)).sum()


def test_young_held_back_die_with_the_chance_given():
    biology = Biology(laying=1.0, survival=0.6)
    tables, draws, herd = begin(
        "clown", [held("a", "1.0 clown"), held("b", "0.1 clown")], biology=biology, runs=4000
    )
    young = season_of(herd, tables, draws, biology)
    choice = choose(herd, young, tables, Policy(places=6, male_places=3), biology, season=1)
    go_on(herd, young, choice, draws, biology, season=1, hits=np.zeros(young.run.size, dtype=bool))
    kept = (choice.taken & (choice.picks >= 6)).sum()
    alive = herd.alive.sum() - (choice.taken & (choice.picks < 6)).sum()
    assert alive / kept == pytest.approx(0.6, abs=0.02)


def test_tests_go_to_the_best_young_whose_genes_are_open():
    founders = [held("he", "1.0 het clown"), held("she", "0.1 het clown")]
    tables, _, herd = begin("clown", founders, biology=LAYING, runs=50)
    draws_young = season_of(herd, tables, begin("clown", founders, biology=LAYING, runs=50)[1], LAYING)
    open_before = np.bincount(draws_young.run[draws_young.uncertain()], minlength=50)
    spent = spend_tests(draws_young, tables, Policy(tests=2))
    assert spent == np.minimum(open_before, 2).sum()
    assert np.bincount(draws_young.run[draws_young.tested], minlength=50).max() == 2
    states = tables.loci[0].states
    het = np.zeros(3, dtype=np.float32)
    het[states.index[("clown", "+")]] = 1.0
    said = draws_young.expected_at(0, het)
    true = draws_young.genotype[0] == states.index[("clown", "+")]
    assert said[draws_young.tested] == pytest.approx(true[draws_young.tested].astype(float))
    certain = draws_young.believed(0, np.flatnonzero(draws_young.tested))
    assert set(np.unique(certain)) <= {0.0, 1.0}
    assert spend_tests(draws_young, tables, Policy(tests=0)) == 0
