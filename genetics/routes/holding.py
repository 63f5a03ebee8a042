"""Which animals a simulated route goes on with after a season: held back, kept, let go."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genetics.routes.biology import Biology
from genetics.routes.hatching import Young
from genetics.routes.herd import REARING, Draws, Herd
from genetics.routes.policy import Policy
from genetics.routes.tables import Bools, Floats, Ints, Tables

_GUARDED = 100.0
_SURE = 1000.0
_NAMES = 100_000


@dataclass(frozen=True, eq=False)
class Choice:
    """What is kept of a season's animals: adults first, then young, in one row.

    Attributes
    ----------
    picks
        Place of each animal kept among adults and young, shape (N, P).
    taken
        Whether the place is taken, shape (N, P).
    held
        Young that are held back, shape (Y,).
    """

    picks: Ints
    taken: Bools
    held: Bools


def spend_tests(young: Young, tables: Tables, policy: Policy) -> int:
    """Test the most promising young whose genes are open; give the number of tests spent."""
    if not policy.tests or not young.widest:
        return 0
    worth = young.expected([each.worth for each in tables.loci])
    score = young.spread(np.where(young.uncertain(), worth, 0.0), 0.0)
    most = min(policy.tests, score.shape[1])
    best = np.argpartition(-score, most - 1, axis=1)[:, :most]
    chosen = np.zeros(score.shape, dtype=bool)
    np.put_along_axis(chosen, best, np.take_along_axis(score, best, axis=1) > 0.0, axis=1)
    young.tested |= chosen[young.run, young.column]
    return int(chosen.sum())


def choose(
    herd: Herd, young: Young, tables: Tables, policy: Policy, biology: Biology, *, season: int
) -> Choice:
    """Keep the most promising animals, the last carriers first, with places for both sexes.

    An animal's promise is the expected worth of its genotype as far as is known, less for every
    season until it can be paired and for the chance that it does not live so long.
    """
    places = herd.alive.shape[1]
    values = [each.worth for each in tables.loci]
    wait = np.maximum(herd.ready - season - 1, 0)
    adult = np.where(herd.alive, herd.expected(values) * np.power(policy.patience, wait), -1.0)
    score = young.expected(values)
    useful = score > 1.001 * float(np.prod([value.min() for value in values]))
    later = np.power(policy.patience, [biology.female_maturity - 1, biology.male_maturity - 1])
    fresh = np.where(useful, score * (later * biology.survival)[young.male.astype(np.int64)], -1.0)
    key = np.concatenate([adult, young.spread(fresh, -1.0)], axis=1).astype(np.float32)
    male = np.concatenate([herd.male, young.spread(young.male, 0.0)], axis=1)
    if policy.last_carrier:
        _guard(key, herd, young, tables, biology)
    if policy.working_pair:
        _keep_working(key, herd, season=season)
    picks, taken = _within(key, male, policy, places) if policy.balance else _best(key, places)
    kept = np.zeros(key.shape, dtype=bool)
    np.put_along_axis(kept, picks, taken, axis=1)
    return Choice(picks, taken, kept[young.run, places + young.column])


def _guard(key: Floats, herd: Herd, young: Young, tables: Tables, biology: Biology) -> None:
    """Put the likeliest carrier of every needed allele before all others."""
    runs = key.shape[0]
    rows = np.arange(runs)
    before = key.copy()
    for number, locus in enumerate(tables.loci):
        for mask in locus.carries:
            adult = herd.belief[number] @ mask
            fresh = young.spread(young.expected_at(number, mask), 0.0) * biology.survival
            chance = np.concatenate([adult, fresh], axis=1)
            chance = np.where(before > -1.0, chance, 0.0)
            best = (_SURE * np.round(chance, 3) + before).argmax(axis=1)
            key[rows, best] += np.where(
                (chance[rows, best] > 0.0) & (key[rows, best] < _GUARDED), _GUARDED, 0.0
            )


def _keep_working(key: Floats, herd: Herd, *, season: int) -> None:
    """Put the best male and the best female that can be paired next season before all others."""
    rows = np.arange(key.shape[0])
    grown = herd.grown(season + 1)
    for sex in (herd.male, ~herd.male):
        value = np.where(grown & sex, key[:, : grown.shape[1]], -1.0)
        best = value.argmax(axis=1)
        found = value[rows, best]
        key[rows, best] += np.where((found > -1.0) & (found < _GUARDED), _GUARDED, 0.0)


def _best(key: Floats, places: int) -> tuple[Ints, Bools]:
    """Best animals of each run, best first, and whether there are so many; shapes (N, P)."""
    if key.shape[1] > places:
        top = np.argpartition(-key, places - 1, axis=1)[:, :places]
    else:
        top = np.broadcast_to(np.arange(key.shape[1]), key.shape)
    value = np.take_along_axis(key, top, axis=1)
    order = np.argsort(-value, axis=1, kind="stable")
    picks = np.take_along_axis(top, order, axis=1)
    return picks, np.take_along_axis(value, order, axis=1) > -1.0


def _within(key: Floats, male: Bools, policy: Policy, places: int) -> tuple[Ints, Bools]:
    """Best animals of each sex within its places; guarded ones first, what is left open to the other."""
    males, there_m = _best(np.where(male, key, -1.0), places)
    females, there_f = _best(np.where(male, -1.0, key), places)
    guarded_m = _guarded(key, males, there_m)
    guarded_f = _guarded(key, females, there_f)
    count_m, count_f = there_m.sum(axis=1), there_f.sum(axis=1)
    quota = np.clip(np.maximum(policy.male_places, guarded_m), 0, places - guarded_f)
    for_males = np.minimum(quota, count_m)
    for_females = np.minimum(places - for_males, count_f)
    for_males = np.minimum(places - for_females, count_m)
    place = np.arange(places)
    both = np.concatenate([males, females], axis=1)
    taken = np.concatenate([place < for_males[:, None], place < for_females[:, None]], axis=1)
    order = np.argsort(~taken, axis=1, kind="stable")[:, :places]
    return np.take_along_axis(both, order, axis=1), np.take_along_axis(taken, order, axis=1)


def _guarded(key: Floats, picks: Ints, there: Bools) -> Ints:
    """How many of the animals are guarded, by run."""
    count: Ints = ((np.take_along_axis(key, picks, axis=1) >= _GUARDED) & there).sum(axis=1)
    return count


def go_on(
    herd: Herd,
    young: Young,
    choice: Choice,
    draws: Draws,
    biology: Biology,
    *,
    season: int,
    hits: Bools,
) -> None:
    """Make the chosen animals the herd of the next season; some of the young held back die.

    Parameters
    ----------
    herd
        Changed in place.
    young, choice
        The season's young, and what is kept.
    draws, biology
        Random numbers, life history.
    season
        The season.
    hits
        Young already counted as meeting the target, shape (Y,).
    """
    runs, places = herd.alive.shape
    picks, taken = choice.picks, choice.taken
    fresh = taken & (picks >= places)
    old = np.where(fresh, 0, picks)
    spot = old + places * np.arange(runs)[:, None]
    new = np.nonzero(fresh)
    which = _numbered(young)[new[0], picks[new] - places]
    male = np.take_along_axis(herd.male, old, axis=1)
    ready = np.take_along_axis(herd.ready, old, axis=1)
    counted = np.take_along_axis(herd.counted, old, axis=1)
    male[new] = young.male[which]
    ready[new] = season + np.where(male[new], biology.male_maturity, biology.female_maturity)
    counted[new] = hits[which]
    name = np.take_along_axis(herd.name, old, axis=1)
    name[new] = season * _NAMES + young.column[which]
    mate = np.take_along_axis(herd.mate, old, axis=1)
    mate[new] = -1
    for number in range(len(herd.genotype)):
        genotype = np.take_along_axis(herd.genotype[number], old, axis=1)
        belief = _moved(herd.belief[number], spot)
        genotype[new] = young.genotype[number][which]
        belief[new] = young.believed(number, which)
        herd.genotype[number] = genotype
        herd.belief[number] = belief
        herd.bond[number] = _moved(herd.bond[number], spot)
    herd.male, herd.ready, herd.counted = male, ready, counted
    herd.name, herd.mate = name, mate
    lives = biology.survival > draws.uniform(season, REARING, places)[:, herd.ids].T
    herd.alive = taken & (lives | ~fresh)


def _moved(part: Floats, spot: Ints) -> Floats:
    """Rows of a table (N, P, G) in their new places; `spot` counts places through all runs."""
    return part.reshape(-1, part.shape[2]).take(spot, axis=0)


def _numbered(young: Young) -> Ints:
    """Number of the hatchling in each place of the table of young, shape (N, widest)."""
    return young.spread(np.arange(young.run.size), 0)
