"""Which look of a clutch a label means, found without listing the looks."""

from __future__ import annotations

from collections.abc import Sequence

from genetics.clutches.expansion import join_label
from genetics.clutches.hidden import Covered, covered_class
from genetics.clutches.look_alikes import appearance
from genetics.clutches.queries.pattern import BadPattern
from genetics.clutches.queries.states import Sight
from genetics.clutches.units import Unit


def picks_of_label(units: Sequence[Unit], label: str) -> tuple[int, ...] | None:
    """Class of each unit in the look of that label; None for the covered look.

    A label is what shows, unit by unit, and then what is carried; the search walks the units with
    the two places in the text it has reached.

    Parameters
    ----------
    units
        Independent parts of the clutch.
    label
        Label as the table of looks writes it.

    Raises
    ------
    BadPattern
        If the clutch has no look of that label.
    """
    covered = covered_class(units)
    if covered is not None and _covered_label(covered) == label:
        return None
    words = [] if label == "normal" else label.split()
    for split in range(len(words) + 1):
        found = _walk(units, words[:split], words[split:])
        if found is not None:
            return found
    raise BadPattern(f"this clutch has no look '{label}'")


def sight_of_picks(units: Sequence[Unit], picks: Sequence[int]) -> Sight:
    """What the eye sees of a look given by the class of each unit."""
    return tuple(
        appearance(unit.loci, unit.classes[pick].young[0][1], joined=unit.alike)
        for unit, pick in zip(units, picks, strict=True)
    )


def _covered_label(covered: Covered) -> str:
    return join_label(covered.shown, covered.carried)


def _walk(units: Sequence[Unit], shown: list[str], carried: list[str]) -> tuple[int, ...] | None:
    """Classes whose words make up exactly what shows and what is carried."""
    reached: dict[tuple[int, int], tuple[int, ...]] = {(0, 0): ()}
    for unit in units:
        grown: dict[tuple[int, int], tuple[int, ...]] = {}
        for (a, b), picks in reached.items():
            for place, kind in enumerate(unit.classes):
                first, second = kind.shown.split(), kind.carried.split()
                end = (a + len(first), b + len(second))
                fits = shown[a : end[0]] == first and carried[b : end[1]] == second
                if fits and not kind.hides_all and end not in grown:
                    grown[end] = (*picks, place)
        reached = grown
    return reached.get((len(shown), len(carried)))
