"""What a test, one more female or a bought animal saves: paired runs with common random numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from genetics.genes.catalogue import Catalogue
from genetics.routes.biology import Biology
from genetics.routes.first_year import FirstYear
from genetics.routes.founders import BadFounders, Founder, checked_founders, with_test
from genetics.routes.kinds import certain, kind_of
from genetics.routes.parallel import ParallelRoute, Progress, simulate
from genetics.routes.policy import Policy
from genetics.routes.states import Recombination, states_of
from genetics.routes.target import Target

_Z = 1.959963984540054  # two-sided 95 % point of the normal distribution

Interval = tuple[float, float]


class NotPaired(ValueError):
    """Two simulations that do not have their random numbers in common."""


@dataclass(frozen=True)
class Change:
    """Something that could be done differently.

    Attributes
    ----------
    what
        In plain words.
    founders
        Animals the project then starts from.
    policy
        How the breeder then works.
    price
        What it costs once [money]; None if that is not known here.
    """

    what: str
    founders: tuple[Founder, ...]
    policy: Policy
    price: float | None = None


@dataclass(frozen=True, eq=False)
class Saving:
    """What a change saves, with the error of the simulation.

    Attributes
    ----------
    what
        The change.
    price
        What it costs once [money]; None if that is not known here.
    years
        Mean years saved; a run that does not reach the target counts with all seasons, so this is
        a lower bound where the change makes more runs reach it [years].
    years_interval
        95 % interval of `years` from the number of runs.
    reached
        How much more of the runs reach the target [share].
    reached_interval
        95 % interval of `reached`.
    error_cut
        Error of `years` against that of two simulations without common random numbers [0 to 1 or
        more].
    before, after
        Distribution of the first year without and with the change.
    basis
        What it rests on.
    """

    what: str
    price: float | None
    years: float
    years_interval: Interval
    reached: float
    reached_interval: Interval
    error_cut: float
    before: FirstYear
    after: FirstYear
    basis: tuple[str, ...]


def buying(founders: Sequence[Founder], founder: Founder, policy: Policy) -> Change:
    """One more animal, which takes a place; a place is added if all are taken by founders."""
    more = (*founders, founder)
    room = policy if len(more) <= policy.places else replace(policy, places=len(more))
    return Change(f"buy {founder.name}", more, room, founder.price)


def having_tested(
    founders: Sequence[Founder], name: str, policy: Policy, *, fee: float | None = None
) -> Change:
    """A test of an animal that is held.

    Raises
    ------
    BadFounders
        If none has that name.
    """
    return Change(f"test {name}", with_test(founders, name), policy, fee)


def having_young_tested(founders: Sequence[Founder], policy: Policy, *, tests: int) -> Change:
    """Tests of the best young every season, beyond those already planned."""
    words = f"{tests} more tests of young a season"
    return Change(words, tuple(founders), replace(policy, tests=policy.tests + tests), None)


def compare(before: ParallelRoute, after: ParallelRoute, *, what: str, price: float | None = None) -> Saving:
    """Difference of two simulations that have their random numbers in common.

    Parameters
    ----------
    before, after
        Results with the same seed, runs and seasons.
    what, price
        The change, and what it costs.

    Raises
    ------
    NotPaired
        If seed, runs or seasons differ.
    """
    first, second = before.first_year, after.first_year
    if (before.seed, first.runs, first.seasons) != (after.seed, second.runs, second.seasons):
        raise NotPaired("the two simulations differ in seed, runs or seasons; allowed: the same in both")
    seasons = first.seasons
    wait_before = np.where(before.years == 0, seasons, before.years).astype(float)
    wait_after = np.where(after.years == 0, seasons, after.years).astype(float)
    years, error = _mean_error(wait_before - wait_after)
    reached, reach_error = _mean_error((after.years > 0).astype(float) - (before.years > 0).astype(float))
    apart = float(np.hypot(_mean_error(wait_before)[1], _mean_error(wait_after)[1]))
    return Saving(
        what=what,
        price=price,
        years=years,
        years_interval=(years - _Z * error, years + _Z * error),
        reached=reached,
        reached_interval=(reached - _Z * reach_error, reached + _Z * reach_error),
        error_cut=error / apart if apart else 1.0,
        before=first,
        after=second,
        basis=(
            f"{first.runs} pairs of runs with the same random numbers, seed {before.seed}",
            f"runs that do not reach the target count with {seasons} seasons",
        ),
    )


def _mean_error(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> tuple[float, float]:
    """Mean and its standard error."""
    if values.size < 2:
        return float(values.mean()), 0.0
    return float(values.mean()), float(values.std(ddof=1) / np.sqrt(values.size))


def savings(
    target: Target,
    founders: Sequence[Founder],
    catalogue: Catalogue,
    *,
    biology: Biology,
    policy: Policy,
    seed: int,
    changes: Sequence[Change] = (),
    seasons: int = 25,
    runs: int = 4000,
    fee: float | None = None,
    recombination: Recombination | None = None,
    progress: Progress | None = None,
) -> tuple[Saving, ...]:
    """What each change saves against the animals that are held, the most years first.

    Founders with a price are not held: buying each of them alone is one of the changes. A test of
    each held animal whose genes at the target's loci are open is another.

    Parameters
    ----------
    target, founders, catalogue, biology, policy, seed, seasons, runs, recombination
        As in `simulate`.
    changes
        Further changes.
    fee
        Fee of one test [money].
    progress
        Called with runs done and runs in all, over all simulations; it may raise to stop.

    Raises
    ------
    BadFounders
        If no animal is held.
    BadRuns, BadPolicy, TooManyGenotypes, TooManyLabels, BadRecombination
        As in `simulate`.
    """
    held = tuple(each for each in checked_founders(founders) if each.price is None)
    if not held:
        raise BadFounders("no animal is held; allowed: one or more without a price")
    states = states_of(target, [each.animal for each in founders], catalogue, recombination=recombination)
    tests = [each for each in held if not each.tested and not certain(kind_of(each.animal, states))]
    every = [
        *(buying(held, each, policy) for each in founders if each.price is not None),
        *(having_tested(held, each.name, policy, fee=fee) for each in tests),
        *changes,
    ]
    plans = [Change("", held, policy), *every]
    results = []
    for number, plan in enumerate(plans):

        def told(done: int, _: int, before: int = number * runs) -> None:
            if progress is not None:
                progress(before + done, runs * len(plans))

        results.append(
            simulate(
                target,
                plan.founders,
                catalogue,
                biology=biology,
                policy=plan.policy,
                seed=seed,
                seasons=seasons,
                runs=runs,
                recombination=recombination,
                progress=told,
            )
        )
    found = [
        compare(results[0], result, what=plan.what, price=plan.price)
        for plan, result in zip(every, results[1:], strict=True)
    ]
    return tuple(sorted(found, key=lambda each: -each.years))
