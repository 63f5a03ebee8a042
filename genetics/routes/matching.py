"""Who is paired with whom in a season of a simulated route."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genetics.routes.herd import Herd
from genetics.routes.tables import Bools, Floats, Ints, Tables


@dataclass(frozen=True, eq=False)
class Pairs:
    """Pairings of a season, the most promising of each run first.

    Attributes
    ----------
    sire, dam
        Places of the parents, shape (N, K).
    there
        Whether there is such a pairing, shape (N, K).
    """

    sire: Ints
    dam: Ints
    there: Bools


def promise(herd: Herd, tables: Tables) -> Floats:
    """Expected worth of an egg of every two animals as far as is known, shape (N, P sires, P dams)."""
    runs, places = herd.alive.shape
    total = np.ones((runs, places, places), dtype=np.float32)
    for locus, belief in zip(tables.loci, herd.belief, strict=True):
        given = belief @ locus.merit
        total *= given @ belief.transpose(0, 2, 1)
    return total


def matched(herd: Herd, tables: Tables, *, season: int, females_per_male: int) -> Pairs:
    """Pair every grown female: the best pair first, until the males have no more room.

    Parameters
    ----------
    herd
        The animals.
    tables
        The loci.
    season
        The season.
    females_per_male
        Most females of one male.
    """
    grown = herd.grown(season)
    value = promise(herd, tables)
    open_pairs = (grown & herd.male)[:, :, None] & (grown & ~herd.male)[:, None, :]
    value[~open_pairs] = -1.0
    runs, places = grown.shape
    rows = np.arange(runs)
    mates = np.zeros((runs, places), dtype=np.int64)
    sires, dams, there = [], [], []
    for _ in range(places - 1):
        best = value.reshape(runs, -1).argmax(axis=1)
        sire, dam = best // places, best % places
        found = value[rows, sire, dam] >= 0.0
        if not found.any():
            break
        sires.append(sire)
        dams.append(dam)
        there.append(found)
        value[rows, :, dam] = -1.0
        mates[rows[found], sire[found]] += 1
        full = found & (mates[rows, sire] >= females_per_male)
        value[rows[full], sire[full], :] = -1.0
    if not sires:
        nobody = np.zeros((runs, 0), dtype=np.int64)
        return Pairs(nobody, nobody, nobody.astype(bool))
    return Pairs(np.stack(sires, axis=1), np.stack(dams, axis=1), np.stack(there, axis=1))
