"""Which known harms go with a single look of a clutch, by which genes, and how surely?"""

from __future__ import annotations

from dataclasses import dataclass

from dashboard.jobs.recent import Recent, number_of
from dashboard.jobs.valuation import Couple
from genetics import Catalogue, Clutch, HealthNote, LookTable, cross

_clutches: Recent[Clutch] = Recent(40)
_harms: Recent[tuple[LookHarm, ...]] = Recent(4000)


@dataclass(frozen=True)
class LookHarm:
    """A known harm of the hatchlings of one look.

    Attributes
    ----------
    note
        What the harm is, and its source.
    genes
        The gene, the compound, or the genes of several loci together it belongs to.
    chance
        Chance that a hatchling of the look has these genes [above 0, to 1]; it is not the chance of
        the harm itself, which is not known.
    """

    note: HealthNote
    genes: str
    chance: float


def look_harms(couple: Couple, looks: LookTable, label: str, *, catalogue: Catalogue) -> tuple[LookHarm, ...]:
    """Known harms of the hatchlings of one look, worst first; exact, what several genes do together too.

    Parameters
    ----------
    couple
        The parents.
    looks
        Table of looks of their clutch.
    label
        Label of the look in the table.
    catalogue
        The genes.

    Raises
    ------
    KeyError
        If the table has no such look.
    NotationError, PairingError
        If a parent can't be read, or the two can't breed.
    """
    parents, number = couple.genes(catalogue), number_of(catalogue)
    rows = [place for place, row in enumerate(looks.rows) if row.label == label]
    if not rows:
        raise KeyError(f"the clutch has no look “{label}”")

    def make() -> tuple[LookHarm, ...]:
        clutch = _clutches.get((*parents, number), lambda: cross(*parents, catalogue))
        if not clutch.harms:
            return ()
        found = clutch.harms_of_row(looks, rows[0])
        return tuple(LookHarm(note, genes, float(chance)) for note, genes, chance in found)

    return _harms.get((*parents, label, number), make)
