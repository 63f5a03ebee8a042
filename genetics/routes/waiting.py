"""How many seasons a pairing takes until enough wanted young have hatched, exactly.

The number of eggs of a season is random, so a season is a generating function, never its mean. All
young of two animals share the animals' true genotypes, so uncertain parents are a mixture of waits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import comb

import numpy as np
from numpy.typing import NDArray

from genetics.routes.biology import Biology

Floats = NDArray[np.float64]


class BadWait(ValueError):
    """Chances or numbers that no wait can have."""


@dataclass(frozen=True)
class Case:
    """What the parents of a pairing may be.

    Attributes
    ----------
    weight
        Chance of these parents' genotypes; the weights of all cases sum to 1.
    dams
        For each dam, the chance that a fertile egg of hers, if it hatches at all, becomes a wanted
        male, and a wanted female.
    """

    weight: float
    dams: tuple[tuple[float, float], ...]


@lru_cache(maxsize=4096)
def season_counts(dams: tuple[tuple[float, float], ...], needs: tuple[int, int], biology: Biology) -> Floats:
    """Chance of each number of wanted males and females of one season, capped at what is needed.

    Parameters
    ----------
    dams
        As in `Case`.
    needs
        Males and females needed; the last row and column stand for "so many or more".
    biology
        Laying, clutch size, fertile and hatching eggs.

    Returns
    -------
    ndarray
        Shape (needs[0] + 1, needs[1] + 1); read-only.

    Raises
    ------
    BadWait
        If a chance is not within 0 to 1.
    """
    total = np.zeros((needs[0] + 1, needs[1] + 1))
    total[0, 0] = 1.0
    for male, female in dams:
        if min(male, female) < 0.0 or male + female > 1.0 + 1e-12:
            raise BadWait(f"chances of a wanted male and female are {male} and {female}; allowed: 0 to 1")
        total = _added(total, _one_dam(male, female, needs, biology))
    total.setflags(write=False)
    return total


@lru_cache(maxsize=4096)
def _one_dam(male: float, female: float, needs: tuple[int, int], biology: Biology) -> Floats:
    """Counts of one dam: a multinomial of a random number of eggs."""
    eggs = biology.eggs_pmf
    first, second = male * biology.each_hatches, female * biology.each_hatches
    rest = max(0.0, 1.0 - first - second)
    counts = np.zeros((needs[0] + 1, needs[1] + 1))
    for number, chance in enumerate(eggs):
        for sons in range(number + 1 if needs[0] else 1):
            for daughters in range(number - sons + 1 if needs[1] else 1):
                left = number - sons - daughters
                none = rest if needs[0] and needs[1] else _others(first, second, needs)
                ways = comb(number, sons) * comb(number - sons, daughters)
                part = ways * _power(first, sons) * _power(second, daughters) * _power(none, left)
                counts[min(sons, needs[0]), min(daughters, needs[1])] += biology.laying * chance * part
    counts[0, 0] += 1.0 - biology.laying
    return counts


def _others(first: float, second: float, needs: tuple[int, int]) -> float:
    """Chance that an egg is none that is counted, where one sex or both are not."""
    return 1.0 - (first if needs[0] else 0.0) - (second if needs[1] else 0.0)


def _power(base: float, exponent: int) -> float:
    return 1.0 if exponent == 0 else base**exponent


def _added(one: Floats, other: Floats) -> Floats:
    """Distribution of the sum of two capped counts."""
    total = np.zeros_like(one)
    last = (one.shape[0] - 1, one.shape[1] - 1)
    for (a, b), chance in np.ndenumerate(one):
        if chance:
            for (c, d), share in np.ndenumerate(other):
                total[min(a + c, last[0]), min(b + d, last[1])] += chance * share
    return total


def enough_by(
    cases: Sequence[Case],
    needs: tuple[int, int],
    biology: Biology,
    *,
    seasons: int,
    delays: tuple[int, int] = (0, 0),
) -> Floats:
    """Chance that enough wanted young are there by each season, counted from the first pairing.

    Parameters
    ----------
    cases
        What the parents may be; they are the same in all seasons.
    needs
        Males and females needed.
    biology
        The life history.
    seasons
        Seasons to look at.
    delays
        Seasons that pass after hatching before a male, and a female, counts.

    Returns
    -------
    ndarray
        Chance by the end of season 0, 1, ..., shape (seasons + 1,); it may stay below 1.

    Raises
    ------
    BadWait
        If nothing is needed, or the weights do not sum to 1.
    """
    if min(needs) < 0 or max(needs) < 1:
        raise BadWait(f"{needs[0]} males and {needs[1]} females needed; allowed: at least one animal")
    whole = sum(case.weight for case in cases)
    if abs(whole - 1.0) > 1e-9:
        raise BadWait(f"weights of the parents sum to {whole}; they must sum to 1")
    by = np.zeros(seasons + 1)
    for case in cases:
        counts = season_counts(case.dams, needs, biology)
        by += case.weight * _reached(counts, seasons=seasons, delays=delays)
    return by


def _reached(counts: Floats, *, seasons: int, delays: tuple[int, int]) -> Floats:
    """Chance that both counts are full by each season, each with its own delay."""
    if counts.size == 2:
        return _geometric(float(counts.ravel()[0]), seasons, delays[0 if counts.shape[0] == 2 else 1])
    moves = _moves(counts)
    males, females = counts.shape
    late = 0 if delays[0] >= delays[1] else 1
    ahead = abs(delays[0] - delays[1])
    full = np.zeros((2, males, females))
    full[0, -1, :] = 1.0
    full[1, :, -1] = 1.0
    # the sex that takes longer has to be full first; the other may go on for the difference
    if males == 1 or females == 1:
        late, ahead = (1, 0) if males == 1 else (0, 0)
    goal = np.linalg.matrix_power(moves, ahead) @ full[1 - late].ravel() * full[late].ravel()
    state = np.zeros(counts.size)
    state[0] = 1.0
    by = np.zeros(seasons + 1)
    for season in range(delays[late], seasons + 1):
        by[season] = state @ goal
        state = state @ moves
    return by


def _geometric(miss: float, seasons: int, delay: int) -> Floats:
    """Chance of a first hit by each season, when one is enough."""
    past = np.arange(seasons + 1) - delay
    return np.where(past > 0, 1.0 - np.power(miss, np.maximum(past, 0)), 0.0)


def _moves(counts: Floats) -> Floats:
    """Chance of going from one pair of capped counts to another in a season, shape (N, N)."""
    males, females = counts.shape
    table = np.zeros((counts.size, counts.size))
    for (a, b), chance in np.ndenumerate(counts):
        for c in range(males):
            for d in range(females):
                end = min(c + a, males - 1) * females + min(d + b, females - 1)
                table[c * females + d, end] += chance
    return table


def steps(by: Floats) -> Floats:
    """Chance of each season from the chance by the end of each, shape (N,)."""
    return np.diff(by, prepend=0.0)


def after(start: Floats, wait: Floats) -> Floats:
    """Chance of each end of a wait that begins at a random time: a convolution cut to its length.

    Parameters
    ----------
    start, wait
        Chance of each time and of each length, index = seasons, shape (N,).
    """
    return np.convolve(start, wait)[: start.size]
