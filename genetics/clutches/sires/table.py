"""The looks of a clutch with several possible sires: shares and honest labels over all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import prod

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.expansion import (
    MOST_LOOKS,
    TooManyLooks,
    exact_shares,
    hidden_shares,
    likeliest,
    look_count,
)
from genetics.clutches.hidden import covered_classes, covered_from
from genetics.clutches.look_alikes import EyeClass, Kind, appearance, eye_class
from genetics.clutches.look_table import LookRow, covered_row, look_row
from genetics.clutches.units import Unit

Sight = tuple[str, ...]


@dataclass(frozen=True, eq=False)
class CommonClasses:
    """Classes of each unit over all sires.

    Attributes
    ----------
    sights
        What the eye can see at each unit, sorted; a place in it is a common class.
    own
        For each sire and unit, his own class of each common class; -1 where he has none.
    covers
        Whether each common class covers all other genes.
    """

    sights: tuple[tuple[Sight, ...], ...]
    own: tuple[tuple[NDArray[np.int64], ...], ...]
    covers: tuple[tuple[bool, ...], ...]


@dataclass(frozen=True, eq=False)
class MixedRows:
    """Rows of looks, most likely first.

    Attributes
    ----------
    rows
        The looks.
    picks
        Common class of each unit in each row; -1 where covered.
    by_sire
        Share of each row and sex that each sire brings, (male, female) for each sire.
    count
        Number of looks in all.
    """

    rows: tuple[LookRow, ...]
    picks: NDArray[np.int64]
    by_sire: tuple[tuple[tuple[Fraction, Fraction], ...], ...]
    count: int


def common_classes(by_sire: Sequence[Sequence[Unit]]) -> CommonClasses:
    """Classes that the eye can tell apart, over the clutches of all sires.

    Parameters
    ----------
    by_sire
        For each sire his units; all over the same loci in the same order.
    """
    sights, covers = [], []
    own: list[list[NDArray[np.int64]]] = [[] for _ in by_sire]
    for units in zip(*by_sire, strict=True):
        seen = [[_sight(unit, kind) for kind in unit.classes] for unit in units]
        known = sorted({sight for row in seen for sight in row})
        hides = {
            s: k.hides_all
            for unit, row in zip(units, seen, strict=True)
            for s, k in zip(row, unit.classes, strict=True)
        }
        sights.append(tuple(known))
        covers.append(tuple(hides[sight] for sight in known))
        for place, row in enumerate(seen):
            own[place].append(np.array([row.index(sight) if sight in row else -1 for sight in known]))
    return CommonClasses(tuple(sights), tuple(tuple(row) for row in own), tuple(covers))


def _sight(unit: Unit, kind: EyeClass) -> Sight:
    return appearance(unit.loci, kind.young[0][1], joined=unit.alike)


def mixed_rows(
    by_sire: Sequence[Sequence[Unit]],
    classes: CommonClasses,
    hatchlings: Sequence[Fraction],
    *,
    eggs: Sequence[Fraction],
    per_egg: bool,
    limit: int | None,
) -> MixedRows:
    """Likeliest looks over several sires.

    A look that is not among the likeliest of any sire has at most the share of the last listed look
    of each of them; more are listed until that bound shows that none is missing.

    Parameters
    ----------
    by_sire
        For each sire his units, all over the same loci.
    classes
        Their common classes.
    hatchlings, eggs
        Factor of each sire that turns his own shares into shares of the hatchlings and of the eggs.
    per_egg
        True if the shares of the hatchlings come from those of the eggs (each egg has its own sire).
    limit
        Most rows; None for all.

    Raises
    ------
    TooManyLooks
        If all are asked for and there are too many to list.
    """
    count = _count(by_sire, classes)
    if limit is None and count > MOST_LOOKS:
        raise TooManyLooks(count)
    reach = limit
    while True:
        picks, bound = _candidates(by_sire, classes, hatchlings, per_egg=per_egg, limit=reach)
        shares = [
            _own_shares(units, own, picks, per_egg=per_egg)
            for units, own in zip(by_sire, classes.own, strict=True)
        ]
        totals = [
            sum(
                (q * (row[place][0] + row[place][1]) for q, row in zip(hatchlings, shares, strict=True)),
                Fraction(0),
            )
            for place in range(len(picks))
        ]
        order = sorted(range(len(picks)), key=lambda place: -totals[place])
        if reach is None or limit is None or not bound:
            break
        if len(order) >= limit and totals[order[limit - 1]] >= bound:
            break
        reach = 2 * reach
    rows = []
    for place in order[: None if limit is None else limit + 8]:
        brings = tuple(
            (q * row[place][0], q * row[place][1]) for q, row in zip(hatchlings, shares, strict=True)
        )
        rows.append((_row(by_sire, classes, picks[place], brings, eggs), picks[place], brings))
    covered = _covered(by_sire, hatchlings, eggs, per_egg=per_egg)
    if covered is not None:
        rows.append((covered[0], np.full(len(classes.sights), -1), covered[1]))
    rows.sort(key=lambda item: (-item[0].per_hatchling, item[0].label))
    rows = rows[:limit]
    table = np.array([pick for _, pick, _ in rows], dtype=np.int64).reshape(len(rows), len(classes.sights))
    return MixedRows(tuple(row for row, _, _ in rows), table, tuple(brings for *_, brings in rows), count)


def _count(by_sire: Sequence[Sequence[Unit]], classes: CommonClasses) -> int:
    """Count the looks of all sires, each once: boxes of classes, by inclusion and exclusion."""
    count = 0
    for size in range(1, len(by_sire) + 1):
        for chosen in combinations(range(len(by_sire)), size):
            each = [
                sum(
                    not hides and all(classes.own[sire][unit][place] >= 0 for sire in chosen)
                    for place, hides in enumerate(covers)
                )
                for unit, covers in enumerate(classes.covers)
            ]
            count -= (-1) ** size * prod(each)
    return count + any(kind.hides_all for units in by_sire for unit in units for kind in unit.classes)


def _candidates(
    by_sire: Sequence[Sequence[Unit]],
    classes: CommonClasses,
    hatchlings: Sequence[Fraction],
    *,
    per_egg: bool,
    limit: int | None,
) -> tuple[NDArray[np.int64], Fraction]:
    """Likeliest looks of each sire as common classes, and the most that any other look can have."""
    found: dict[tuple[int, ...], None] = {}
    bound = Fraction(0)
    for units, own, factor in zip(by_sire, classes.own, hatchlings, strict=True):
        picks = likeliest(units, limit)
        back = [np.argsort(row)[(row < 0).sum() :] for row in own]
        common = np.stack([row[picks[:, place]] for place, row in enumerate(back)], axis=1) if back else picks
        found.update(dict.fromkeys(map(tuple, common.tolist())))
        if limit is not None and len(picks) == limit < look_count(units):
            male, female, whole = exact_shares(units, picks[-1:], per_egg=per_egg)
            bound += factor * Fraction(int(male[0] + female[0]), whole)
    width = len(classes.sights)
    return np.array(list(found), dtype=np.int64).reshape(len(found), width), bound


def _own_shares(
    units: Sequence[Unit], own: Sequence[NDArray[np.int64]], picks: NDArray[np.int64], *, per_egg: bool
) -> list[tuple[Fraction, Fraction]]:
    """Share of each look among one sire's young (male, female); 0 for looks he can't give."""
    local = np.stack([row[picks[:, place]] for place, row in enumerate(own)], axis=1) if own else picks
    there: NDArray[np.bool_] = np.all(local >= 0, axis=1)
    male, female, whole = exact_shares(units, np.where(there[:, None], local, 0), per_egg=per_egg)
    return [
        (Fraction(int(m), whole), Fraction(int(f), whole)) if known else (Fraction(0), Fraction(0))
        for m, f, known in zip(male.tolist(), female.tolist(), there.tolist(), strict=True)
    ]


def _row(
    by_sire: Sequence[Sequence[Unit]],
    classes: CommonClasses,
    pick: NDArray[np.int64],
    brings: tuple[tuple[Fraction, Fraction], ...],
    eggs: Sequence[Fraction],
) -> LookRow:
    """Row of one look, what it may be weighed over the sires."""
    total = sum((m + f for m, f in brings), Fraction(0))
    kinds, sexed = [], []
    for place in range(len(classes.sights)):
        parts = [
            (units[place].classes[int(own[place][pick[place]])], (m + f) / total)
            for units, own, (m, f) in zip(by_sire, classes.own, brings, strict=True)
            if m + f
        ]
        unit = by_sire[0][place]
        kinds.append(_mixed_class(unit, parts))
        sexed.append(unit.loci if unit.sexed else ())
    per_egg = Fraction(0)
    for units, own, factor in zip(by_sire, classes.own, eggs, strict=True):
        male, female = _own_shares(units, own, pick[None, :], per_egg=True)[0]
        per_egg += factor * (male + female)
    male = sum((m for m, _ in brings), Fraction(0))
    return look_row(
        kinds,
        per_egg=per_egg,
        per_hatchling=total,
        male=male,
        female=total - male,
        loci=sexed if any(sexed) else [],
    )


def _mixed_class(unit: Unit, parts: Sequence[tuple[EyeClass, Fraction]]) -> EyeClass:
    """Class of a unit over several sires; his own where all agree."""
    first = parts[0][0]
    if all(dict_of(kind) == dict_of(first) for kind, _ in parts):
        return first
    members: dict[Kind, Fraction] = {}
    for kind, weight in parts:
        for key, chance in dict_of(kind).items():
            members[key] = members.get(key, Fraction(0)) + weight * chance
    return eye_class(unit.loci, members)


def dict_of(kind: EyeClass) -> dict[Kind, Fraction]:
    """Chance of each sex and genotype within a class."""
    return {(sex, pairs): chance for sex, pairs, chance in kind.young}


def _covered(
    by_sire: Sequence[Sequence[Unit]],
    hatchlings: Sequence[Fraction],
    eggs: Sequence[Fraction],
    *,
    per_egg: bool,
) -> tuple[LookRow, tuple[tuple[Fraction, Fraction], ...]] | None:
    """Row of the young that a gene covers, with the share that each sire brings; None if none can be."""
    brings = []
    for units, factor in zip(by_sire, hatchlings, strict=True):
        male, female = hidden_shares(units, per_egg=per_egg)
        brings.append((factor * male, factor * female))
    total = sum((m + f for m, f in brings), Fraction(0))
    if not total:
        return None
    items = [
        (kind, chance * (m + f) / total)
        for units, (m, f) in zip(by_sire, brings, strict=True)
        for kind, chance in covered_classes(units)
        if m + f
    ]
    share = sum(
        (
            factor * sum(hidden_shares(units, per_egg=True), Fraction(0))
            for units, factor in zip(by_sire, eggs, strict=True)
        ),
        Fraction(0),
    )
    male = sum((m for m, _ in brings), Fraction(0))
    return covered_row(covered_from(items), per_egg=share, male=male, female=total - male), tuple(brings)
