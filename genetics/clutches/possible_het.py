"""The honest label of a hatchling: het for certain, "66% het", or possible only."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from genetics.genes.traits import Trait, whole_percent


def percent_words(chance: Fraction) -> str:
    """Chance in whole per cent as the trade says it, rounded down: "66%" for 2/3."""
    percent = whole_percent(float(chance))
    return f"{percent}%" if percent else "under 1%"


def carried_words(carried: Sequence[tuple[Trait, Fraction]]) -> str:
    """Name what is carried unseen: "het clown" for certain, "66% het clown" if possible.

    Parameters
    ----------
    carried
        Hets with their chance.
    """
    words = (
        trait.key if chance == 1 else f"{percent_words(chance)} {trait.key}" for trait, chance in carried
    )
    return " ".join(words)


def certainty_words(
    carried: Sequence[tuple[Trait, Fraction]],
    doubled: Sequence[tuple[str, Fraction]],
    several: bool,  # noqa: FBT001
) -> tuple[str, ...]:
    """How sure the parts of a label are, in plain words.

    Parameters
    ----------
    carried
        Hets with their chance.
    doubled
        Dominant genes with the chance that there are two copies of them.
    several
        True if the look may be one of several.
    """
    words = ["one of several looks"] if several else []
    for trait, chance in carried:
        certain = chance == 1
        words.append(
            f"het {trait.gene} certain" if certain else f"{percent_words(chance)} possible {trait.key}"
        )
    for gene, chance in doubled:
        how = "two copies" if chance == 1 else f"{percent_words(chance)} possible two copies"
        words.append(f"{how} of {gene}")
    return tuple(words)
