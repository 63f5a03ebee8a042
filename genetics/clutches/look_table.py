"""The looks of a clutch with their shares, most likely first, and by the parents' genotypes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from genetics.clutches.expansion import (
    exact_shares,
    hidden_shares,
    join_label,
    likeliest,
    look_count,
)
from genetics.clutches.hidden import Covered, covered_class
from genetics.clutches.look_alikes import EyeClass
from genetics.clutches.parents import ParentCases, parent_cases
from genetics.clutches.units import Unit
from genetics.genes.genotype import traits_with_chances
from genetics.genes.loci import WILD, Locus
from genetics.genes.traits import Sex, Trait

Floats = NDArray[np.float64]
_GENE_AND_FORM = attrgetter("gene", "form")


@dataclass(frozen=True)
class LookRow:
    """One look of a clutch: young that can't be told apart by eye.

    Attributes
    ----------
    label
        In the trade's words: "pastel enchi 50% het clown".
    traits
        What it shows and carries, each with its chance within the look, sorted.
    certainty
        How sure the label is: "shows it", "het clown certain", "50% possible het clown".
    per_egg, per_hatchling
        Share of the fertile eggs and of the hatchlings, averaged over the parents' genotypes.
    male, female
        Share of the hatchlings that have this look and this sex.
    look_alikes
        The looks it may be, if they can't be told apart.
    from_sire
        Sex-linked genes of the sons with this look, each with the chance that it lies on the Y
        (the trade: male maker) and not on the X; a son with both is counted in neither.
    """

    label: str
    traits: tuple[Trait, ...]
    certainty: str
    per_egg: Fraction
    per_hatchling: Fraction
    male: Fraction
    female: Fraction
    look_alikes: tuple[str, ...]
    from_sire: tuple[tuple[str, Fraction], ...] = ()


@dataclass(frozen=True, eq=False)
class LookTable:
    """Looks of a clutch, and how their shares depend on what the parents are.

    Attributes
    ----------
    rows
        Most likely first, ties by label.
    rest_share, rest_count
        Share of the hatchlings beyond the rows, and the number of looks among them.
    weights
        Chance of each joint genotype of the parents that makes a visible difference, shape (S,).
    shares
        Share of the hatchlings by parents, row and sex (male, female), shape (S, K, 2); the last
        row is the rest if there is one. Sums to 1 for each of the parents' genotypes.
    lost
        Share of the fertile eggs that is lost, by parents, shape (S,).
    picks
        Class of each unit of the clutch in each row, shape (rows, units); -1 where covered.
    averaged
        Loci whose uncertainty in the parents was averaged because there were too many cases.
    """

    rows: tuple[LookRow, ...]
    rest_share: Fraction
    rest_count: int
    weights: Floats
    shares: Floats
    lost: Floats
    picks: NDArray[np.int64]
    averaged: tuple[str, ...]


def look_table(units: Sequence[Unit], *, limit: int | None) -> LookTable:
    """Make the table of the looks of a clutch.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    limit
        Most rows; None for all.

    Raises
    ------
    TooManyLooks
        If all are asked for and there are too many to list.
    ValueError
        If the limit is below 1.
    """
    if limit is not None and limit < 1:
        raise ValueError(f"limit is {limit}; allowed: 1 or more")
    picks = likeliest(units, limit)
    rows, numerators, whole = _rows(units, picks)
    covered = covered_class(units)
    if covered is not None:
        rows.append(_covered_row(units, covered))
        numerators.append(int(rows[-1].per_hatchling * whole))
        picks = np.vstack([picks, np.full((1, len(units)), -1)])
    order = sorted(range(len(rows)), key=lambda place: (-numerators[place], rows[place].label))
    order = order[:limit]
    kept = tuple(rows[place] for place in order)
    picks = picks[order]
    rest_share = 1 - Fraction(sum(numerators[place] for place in order), whole)
    cases = parent_cases(units)
    return LookTable(
        rows=kept,
        rest_share=rest_share,
        rest_count=look_count(units) - len(kept),
        weights=cases.weights,
        shares=_shares_by_parents(units, picks, cases, rest=rest_share > 0),
        lost=cases.lost,
        picks=picks,
        averaged=cases.averaged,
    )


def _rows(units: Sequence[Unit], picks: NDArray[np.int64]) -> tuple[list[LookRow], list[int], int]:
    """Rows of looks that nothing covers; numerators of their shares, and the common denominator."""
    male, female, whole = exact_shares(units, picks, per_egg=False)
    eggs: list[Fraction] = []
    if any(unit.lost for unit in units):
        egg_male, egg_female, egg_whole = exact_shares(units, picks, per_egg=True)
        eggs = [Fraction(share, egg_whole) for share in (egg_male + egg_female).tolist()]
    sexed = any(unit.sexed for unit in units)
    both = (male + female).tolist()
    exact = {share: Fraction(share, whole) for share in {*both, *male.tolist()}}
    loci = [unit.loci if unit.sexed else () for unit in units] if sexed else []
    half = len(units) // 2
    first, last = _told_of(units[:half], picks[:, :half]), _told_of(units[half:], picks[:, half:])
    rows = []
    for place, (classes, males, share) in enumerate(zip(picks.tolist(), male.tolist(), both, strict=True)):
        per_hatchling, sons = exact[share], exact[males]
        rows.append(
            _row(
                first[place],
                last[place],
                per_egg=eggs[place] if eggs else per_hatchling,
                per_hatchling=per_hatchling,
                male=sons,
                female=per_hatchling - sons if sexed else sons,
                from_sire=_from_sire(loci, [unit.classes[k] for unit, k in zip(units, classes, strict=True)])
                if sexed
                else (),
            )
        )
    return rows, both, whole


@dataclass(frozen=True, eq=False)
class _Told:
    """What some classes of a look tell together: words, traits, and looks they can't be told from."""

    shown: str
    carried: str
    certainty: str
    traits: tuple[Trait, ...]
    look_alikes: tuple[str, ...]


def _told(kinds: Sequence[EyeClass]) -> _Told:
    """Put together what some classes tell."""
    telling = [kind for kind in kinds if kind.tells]
    return _Told(
        shown=" ".join([kind.shown for kind in telling if kind.shown]),
        carried=" ".join([kind.carried for kind in telling if kind.carried]),
        certainty="; ".join([word for kind in telling for word in kind.certainty]),
        traits=tuple([trait for kind in telling for trait in kind.priced_traits]),
        look_alikes=tuple([look for kind in telling for look in kind.look_alikes]),
    )


def _told_of(units: Sequence[Unit], picks: NDArray[np.int64]) -> list[_Told]:
    """What the classes of some units tell in each row; the same classes are put together once."""
    known: dict[tuple[int, ...], _Told] = {}
    told = []
    for pick in map(tuple, picks.tolist()):
        if pick not in known:
            known[pick] = _told([unit.classes[index] for unit, index in zip(units, pick, strict=True)])
        told.append(known[pick])
    return told


def look_row(
    kinds: Sequence[EyeClass],
    *,
    per_egg: Fraction,
    per_hatchling: Fraction,
    male: Fraction,
    female: Fraction,
    loci: Sequence[Sequence[Locus]],
) -> LookRow:
    """Row of a look that nothing covers.

    Parameters
    ----------
    kinds
        Its class in each unit.
    per_egg, per_hatchling, male, female
        Its shares.
    loci
        Loci of each unit that knows the sexes, none for the others; empty if no unit does.
    """
    return _row(
        _told(kinds),
        _NOTHING,
        per_egg=per_egg,
        per_hatchling=per_hatchling,
        male=male,
        female=female,
        from_sire=_from_sire(loci, kinds) if loci else (),
    )


_NOTHING = _Told("", "", "", (), ())


def _row(
    first: _Told,
    last: _Told,
    *,
    per_egg: Fraction,
    per_hatchling: Fraction,
    male: Fraction,
    female: Fraction,
    from_sire: tuple[tuple[str, Fraction], ...],
) -> LookRow:
    """Row of a look from what two halves of its classes tell."""
    shown = f"{first.shown} {last.shown}".strip()
    certainty = f"{first.certainty}; {last.certainty}" if first.certainty and last.certainty else ""
    return LookRow(
        label=join_label(shown, f"{first.carried} {last.carried}".strip()),
        traits=tuple(sorted(first.traits + last.traits, key=_GENE_AND_FORM)),
        certainty=certainty or first.certainty or last.certainty or ("shows it" if shown else "normal"),
        per_egg=per_egg,
        per_hatchling=per_hatchling,
        male=male,
        female=female,
        look_alikes=first.look_alikes + last.look_alikes,
        from_sire=from_sire,
    )


def _from_sire(
    loci: Sequence[Sequence[Locus]], kinds: Sequence[EyeClass]
) -> tuple[tuple[str, Fraction], ...]:
    """Sex-linked genes of the sons of a look, with the chance that they lie on the Y."""
    found: list[tuple[str, Fraction]] = []
    for here, kind in zip(loci, kinds, strict=True):
        for place, locus in enumerate(here):
            on_one: dict[str, list[Fraction]] = {}
            for sex, pairs, chance in kind.young:
                on_x, on_y = pairs[place]
                if locus.sex_linked and sex is Sex.MALE and WILD in (on_x, on_y) and on_x != on_y:
                    sums = on_one.setdefault(on_x if on_y == WILD else on_y, [Fraction(0), Fraction(0)])
                    sums[on_y != WILD] += chance
            found.extend((gene, on_y / (on_x + on_y)) for gene, (on_x, on_y) in on_one.items())
    return tuple(found)


def _covered_row(units: Sequence[Unit], covered: Covered) -> LookRow:
    """Row of the young of a clutch that are covered by a gene that hides all."""
    male, female = hidden_shares(units, per_egg=False)
    per_egg = sum(hidden_shares(units, per_egg=True), Fraction(0))
    return covered_row(covered, per_egg=per_egg, male=male, female=female)


def covered_row(covered: Covered, *, per_egg: Fraction, male: Fraction, female: Fraction) -> LookRow:
    """Row of young that are covered, from their class and shares."""
    return LookRow(
        label=join_label(covered.shown, covered.carried),
        traits=traits_with_chances(dict(covered.traits)),
        certainty="; ".join(covered.certainty) or "shows it",
        per_egg=per_egg,
        per_hatchling=male + female,
        male=male,
        female=female,
        look_alikes=covered.look_alikes,
    )


def _shares_by_parents(
    units: Sequence[Unit], picks: NDArray[np.int64], cases: ParentCases, *, rest: bool
) -> Floats:
    """Share of each row by parents' genotype and sex, shape (S, K, 2)."""
    shape = (cases.weights.size, len(picks), 2)
    half = 1.0 if any(unit.sexed for unit in units) else 0.5
    shares = np.full(shape, half)
    for place, chosen in enumerate(cases.case_of):
        table = cases.tables[place][chosen]
        shares *= table[:, picks[:, place], :]
    covered = np.flatnonzero((picks < 0).any(axis=1)) if picks.shape[1] else np.zeros(0, dtype=np.int64)
    totals = np.full((shape[0], 2), half)
    for table, chosen in zip(cases.tables, cases.case_of, strict=True):
        totals = totals * table[chosen].sum(axis=1)
    if covered.size:
        seen = np.full((shape[0], 2), half)
        for unit, table, chosen in zip(units, cases.tables, cases.case_of, strict=True):
            seen *= table[chosen][:, [not kind.hides_all for kind in unit.classes], :].sum(axis=1)
        shares[:, covered, :] = np.clip(totals - seen, 0.0, None)[:, None, :]
    if rest:
        beyond = np.clip(totals - shares.sum(axis=1), 0.0, None)
        shares = np.concatenate([shares, beyond[:, None, :]], axis=1)
    return shares
