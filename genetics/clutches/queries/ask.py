"""Put patterns to a clutch: each becomes conditions on its units, or one look of its table."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from genetics.clutches.queries.kinds import Kind, TwoKinds, kinds_from
from genetics.clutches.queries.labels import picks_of_label, sight_of_picks
from genetics.clutches.queries.pattern import Pattern, conditions_of
from genetics.clutches.queries.states import Ask, Sight, States
from genetics.clutches.units import Unit
from genetics.genes.catalogue import Catalogue

Asked = Pattern | str
"""A pattern, or the label of a look."""

StatesOf = Callable[[Sequence[Ask]], States]
"""Shares of kinds by everything the parents may be."""

FindLook = Callable[[str], Sight | None]
"""What the eye sees, unit by unit, of the look of a label; None for the covered look."""


def as_pattern(asked: Asked) -> Pattern:
    """Pattern of what was asked: a text is the label of a look."""
    return Pattern(label=asked) if isinstance(asked, str) else asked


def ask_for(pattern: Pattern, catalogue: Catalogue, find: FindLook) -> Ask:
    """Conditions of a pattern, its label looked up in the clutch.

    Raises
    ------
    UnknownGene
        If the catalogue lacks a look or gene.
    BadPattern
        If the clutch has no look of its label.
    """
    conditions = conditions_of(pattern, catalogue)
    if pattern.label is None:
        return Ask(conditions)
    sight = find(pattern.label)
    return Ask(conditions, sight, covered=sight is None)


def finder(units: Sequence[Unit]) -> FindLook:
    """Look-up of labels in a clutch of known parents."""

    def find(label: str) -> Sight | None:
        picks = picks_of_label(units, label)
        return None if picks is None else sight_of_picks(units, picks)

    return find


def kinds_of(
    patterns: Sequence[Asked],
    states: StatesOf,
    catalogue: Catalogue,
    find: FindLook,
    *,
    sires: tuple[Fraction, ...] = (Fraction(1),),
) -> tuple[Kind, ...]:
    """Several kinds of hatchlings, their parents in one common order.

    Parameters
    ----------
    patterns
        What is asked for.
    states
        Gives the shares of kinds by parents.
    catalogue
        The genes.
    find
        Look-up of labels.
    sires
        Share of the eggs of each sire.

    Raises
    ------
    UnknownGene, BadPattern
        As in `ask_for`.
    TooManyParents
        If the parents have too many joint genotypes that all give different chances.
    """
    meant = tuple(as_pattern(asked) for asked in patterns)
    asks = [ask_for(pattern, catalogue, find) for pattern in meant]
    return kinds_from(states(asks), tuple(str(pattern) for pattern in meant), sires)


def two_kinds_of(
    first: Asked,
    second: Asked,
    states: StatesOf,
    catalogue: Catalogue,
    find: FindLook,
    *,
    sires: tuple[Fraction, ...] = (Fraction(1),),
) -> TwoKinds:
    """Two kinds with what they have in common; parameters and errors as in `kinds_of`."""
    one, other = as_pattern(first), as_pattern(second)
    asks = [ask_for(pattern, catalogue, find) for pattern in (one, other)]
    asks.append(asks[0].joined(asks[1]))
    names = (str(one), str(other), f"{one} and {other}")
    kinds = kinds_from(states(asks), names, sires)
    return TwoKinds(*kinds)
