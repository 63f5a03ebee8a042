"""When a breeder who works on everything at once gets there: many seeded runs of the whole project."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from genetics.genes.catalogue import Catalogue
from genetics.routes.biology import Biology
from genetics.routes.first_year import FirstYear, counted_years
from genetics.routes.founders import Founder, checked_founders, founder_harms
from genetics.routes.hatching import Young, hatch
from genetics.routes.herd import Draws, Herd, first_herd, let_die
from genetics.routes.holding import choose, go_on, spend_tests
from genetics.routes.matching import matched
from genetics.routes.policy import BadPolicy, Policy
from genetics.routes.states import Recombination, states_of
from genetics.routes.tables import Bools, Ints, Tables, tables_of
from genetics.routes.tally import Animals, Tally
from genetics.routes.target import Harms, Target, worst_first

Numbers = NDArray[np.float64]
Progress = Callable[[int, int], None]

BLOCK = 1000
"""Runs simulated together; part of what a seed means."""


class BadRuns(ValueError):
    """A number of runs or seasons that can't be simulated."""


@dataclass(frozen=True, eq=False)
class ParallelRoute:
    """What many runs of a whole project gave.

    Numbers by season are means a run, runs that have ended counted as none; a run ends in the season
    that reaches the target.

    Attributes
    ----------
    first_year
        Distribution of the first season with the target, "not reached" counted.
    years
        First season of each run, 0 where the target was not reached, shape (runs,).
    going
        Share of the runs that worked in each season, shape (S,).
    kept, growing
        Grown animals, and young held back, kept after each season by label and sex.
    by_products
        Young of each season that were not held back, by label and sex.
    places, fullest
        Places used after each season: mean a run still going, and most in any run, shape (S,).
    let_go, lost_eggs, clutches, tests
        Adults let go, eggs lost to their genes, clutches with young and tests spent by season,
        shape (S,).
    harms
        Health notes of the target, of the founders at all their loci, and of all that can hatch at
        the target's loci, with the gene each belongs to, worst first.
    seed
        Seed that gives the same result again.
    basis
        What the result rests on.
    """

    first_year: FirstYear
    years: Ints
    going: Numbers
    kept: tuple[Animals, ...]
    growing: tuple[Animals, ...]
    by_products: tuple[Animals, ...]
    places: Numbers
    fullest: Ints
    let_go: Numbers
    lost_eggs: Numbers
    clutches: Numbers
    tests: Numbers
    harms: Harms
    seed: int
    basis: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class _Project:
    """Everything the blocks of one simulation have in common."""

    target: Target
    founders: tuple[Founder, ...]
    catalogue: Catalogue
    tables: Tables
    biology: Biology
    policy: Policy
    seasons: int


def simulate(
    target: Target,
    founders: Sequence[Founder],
    catalogue: Catalogue,
    *,
    biology: Biology,
    policy: Policy,
    seed: int | np.random.Generator,
    seasons: int = 25,
    runs: int = 10_000,
    recombination: Recombination | None = None,
    progress: Progress | None = None,
) -> ParallelRoute:
    """Simulate a project in which all grown females are paired every season.

    Each run draws the founders' uncertain genes, then season by season: pairings, clutches, what the
    young tell of themselves and their parents, tests, what is held back and let go, deaths. What is
    known is updated for each clutch with both parents together, and a pair that is paired again is
    judged together; between an animal and its own young it is not carried back. Looks of different loci
    are taken to be told apart unless one of them hides the other.

    Parameters
    ----------
    target
        What is wanted.
    founders
        Animals the project starts from; all of them are used, those with a price as well.
    catalogue
        The genes.
    biology, policy
        Life history, and how the breeder works.
    seed
        Seed, or a generator one is drawn from.
    seasons, runs
        Seasons a run goes on at most, and number of runs.
    recombination
        Recombination fraction by sex-linked locus, where it is not the catalogue's own.
    progress
        Called with runs done and runs in all; it may raise to stop, which leaves nothing behind.

    Raises
    ------
    BadRuns, BadPolicy, BadFounders
        If there are no runs or seasons, fewer places than founders, or animals that can't be used.
    TooManyGenotypes, TooManyLabels, BadRecombination
        If the target's loci have too many genotypes or looks, or r is not between 0 and 1/2.
    """
    if runs < 1 or seasons < 1:
        raise BadRuns(f"{runs} runs of {seasons} seasons; allowed: 1 or more of both")
    held = checked_founders(founders)
    if len(held) > policy.places:
        raise BadPolicy(
            f"{len(held)} animals to start from and {policy.places} places; allowed: a place each"
        )
    number = int(seed.integers(2**63)) if isinstance(seed, np.random.Generator) else int(seed)
    states = states_of(target, [each.animal for each in held], catalogue, recombination=recombination)
    tables = tables_of(states, male_share=biology.male_share)
    project = _Project(target, held, catalogue, tables, biology, policy, seasons)
    tally = Tally(tables, seasons=seasons)
    years = np.zeros(runs, dtype=np.int64)
    for part, start in enumerate(range(0, runs, BLOCK)):
        size = min(BLOCK, runs - start)

        def told(season: int, done: int = start, size: int = size) -> None:
            if progress is not None:
                progress(done + size * season // seasons, runs)

        years[start : start + size] = _block(project, tally, Draws(number, part, size), told)
    return _result(project, tally, years, seed=number)


def _block(project: _Project, tally: Tally, draws: Draws, told: Callable[[int], None]) -> Ints:
    """Simulate a block of runs; give the first season of each, 0 where it was not reached."""
    years = np.zeros(draws.runs, dtype=np.int64)
    herd = first_herd(project.founders, project.tables, draws, places=project.policy.places)
    found = np.zeros((draws.runs, 2), dtype=np.int64)
    for season in range(1, project.seasons + 1):
        found, done = _season(project, herd, found, tally, draws, season=season)
        years[herd.ids[done]] = season
        herd.only(~done)
        found = found[~done]
        told(season)
        if not herd.ids.size:
            told(project.seasons)
            break
    return years


def _season(
    project: _Project, herd: Herd, found: Ints, tally: Tally, draws: Draws, *, season: int
) -> tuple[Ints, Bools]:
    """Carry out one season; give the animals found so far and which runs are done."""
    tables, policy, biology = project.tables, project.policy, project.biology
    let_die(herd, draws, biology, season=season)
    pairs = matched(herd, tables, season=season, females_per_male=biology.females_per_male)
    young = hatch(herd, pairs, tables, draws, biology, season=season, updating=policy.updating)
    tally.tests[season - 1] += spend_tests(young, tables, policy)
    hits, found, done = _counted(project, herd, found, young)
    choice = choose(herd, young, tables, policy, biology, season=season)
    tally.sell(young, choice.held, season=season)
    stayed = (choice.taken & (choice.picks < policy.places)).sum()
    tally.let_go[season - 1] += herd.alive.sum() - stayed
    go_on(herd, young, choice, draws, biology, season=season, hits=hits)
    tally.keep(herd, season=season)
    return found, done


def _counted(project: _Project, herd: Herd, found: Ints, young: Young) -> tuple[Bools, Ints, Bools]:
    """Count young that meet the target and are known to, and those held back and proven since."""
    tables, sure = project.tables, project.policy.sure - 1e-4
    wanted = [each.wanted for each in tables.loci]
    proven = herd.truly(tables) & ~herd.counted & (herd.expected(wanted) >= sure)
    herd.counted |= proven
    hits = young.expected(wanted) >= sure
    for each, genotype in zip(tables.loci, young.genotype, strict=True):
        hits &= each.states.wanted[genotype]
    total = found + np.stack([(proven & sex).sum(axis=1) for sex in (herd.male, ~herd.male)], axis=1)
    for column, sex in enumerate((young.male, ~young.male)):
        total[:, column] += np.bincount(young.run[hits & sex], minlength=total.shape[0])
    need_m, need_f, either = project.target.needs
    done = (total[:, 0] >= need_m) & (total[:, 1] >= need_f) & (total.sum(axis=1) >= either)
    return hits, total, done


def _harms(project: _Project) -> Harms:
    """Health notes of the target, the founders, and all the project's young can be at its loci."""
    found = list(project.target.harms) + list(founder_harms(project.founders, project.catalogue))
    for each in project.tables.loci:
        for pair in each.states.pairs:
            found.extend(each.states.locus.look(pair).notes)
    return worst_first({(note.id, name): (note, name) for note, name in found}.values())


def _result(project: _Project, tally: Tally, years: Ints, *, seed: int) -> ParallelRoute:
    """Put the sums of all blocks into a result."""
    runs = years.size
    going = tally.going / runs
    years.setflags(write=False)
    return ParallelRoute(
        first_year=counted_years(years, seasons=project.seasons),
        years=years,
        going=going,
        kept=tally.animals(tally.kept, runs=runs),
        growing=tally.animals(tally.growing, runs=runs),
        by_products=tally.animals(tally.sold, runs=runs),
        places=np.divide(tally.places, tally.going, out=np.zeros_like(going), where=tally.going > 0.0),
        fullest=tally.fullest,
        let_go=tally.let_go / runs,
        lost_eggs=tally.lost / runs,
        clutches=tally.clutches / runs,
        tests=tally.tests / runs,
        harms=_harms(project),
        seed=seed,
        basis=(
            f"{runs} simulated runs of up to {project.seasons} seasons, seed {seed}",
            *project.policy.described(),
            *project.biology.described(),
            "what young tell changes what is known of their parents, not of their grandparents",
        ),
    )
