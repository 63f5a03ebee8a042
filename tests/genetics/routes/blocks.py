"""Blocks of simulated runs, taken apart for the tests."""

from __future__ import annotations

import numpy as np

from genetics import load_catalogue
from genetics.routes.hatching import hatch
from genetics.routes.herd import Draws, first_herd
from genetics.routes.matching import matched
from genetics.routes.states import states_of
from genetics.routes.tables import tables_of
from genetics.routes.target import read_target


def begin(target, founders, *, biology, runs=200, places=6, seed=1, catalogue=None):
    """Tables, random numbers and the first herd of a project."""
    genes = catalogue or load_catalogue()
    states = states_of(read_target(target, genes), [each.animal for each in founders], genes)
    tables = tables_of(states, male_share=biology.male_share)
    draws = Draws(seed, 0, runs)
    return tables, draws, first_herd(founders, tables, draws, places=places)


def season_of(herd, tables, draws, biology, *, season=1, updating=True):
    """Pair, lay and hatch once."""
    pairs = matched(herd, tables, season=season, females_per_male=biology.females_per_male)
    return hatch(herd, pairs, tables, draws, biology, season=season, updating=updating)


def random_beliefs(herd, tables, rng):
    """Give every animal a belief of its own, certain at some loci, and a true genotype within it."""
    for number, locus in enumerate(tables.loci):
        weights = rng.dirichlet(np.ones(locus.size), size=herd.alive.shape)
        weights[rng.random(weights.shape) < 0.4] = 0.0
        none = weights.sum(axis=2) == 0.0
        weights[none, 0] = 1.0
        weights /= weights.sum(axis=2, keepdims=True)
        herd.belief[number] = weights.astype(np.float32)
        limits = weights.cumsum(axis=2)
        herd.genotype[number] = (rng.random(herd.alive.shape)[:, :, None] >= limits[:, :, :-1]).sum(axis=2)
