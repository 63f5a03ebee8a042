"""What a buyer pays for: the sex of an animal and the traits it shows or carries."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

Form = Literal["visual", "super", "het"]


class Sex(StrEnum):
    """Sex of an animal; pythons are XX (female) and XY (male)."""

    MALE = "male"
    FEMALE = "female"
    UNSEXED = "unsexed"


@dataclass(frozen=True, order=True)
class Trait:
    """One gene as it counts for the price of an animal.

    Attributes
    ----------
    gene
        Catalogue name of the gene, or of a compound look that has a name of its own.
    form
        "visual": it shows; "super": two copies of an incomplete dominant gene, or of one allele
        of a complex, show; "het": a recessive is carried and does not show.
    chance
        Chance that the animal has it [0 to 1]; 1 for all that shows, 2/3 for a "66% het".

    Raises
    ------
    ValueError
        If the chance is not above 0 and at most 1.
    """

    gene: str
    form: Form
    chance: float = 1.0

    def __post_init__(self) -> None:
        if not 0.0 < self.chance <= 1.0:
            raise ValueError(f"chance of {self.gene} is {self.chance}; allowed: above 0, at most 1")

    @property
    def key(self) -> str:
        """Name of the trait without its chance: "clown", "super pastel", "het clown"."""
        return self.gene if self.form == "visual" else f"{self.form} {self.gene}"

    def __str__(self) -> str:
        """Name as the trade writes it: "66% het clown" for a possible het (2/3, rounded down)."""
        if self.chance >= 1.0:
            return self.key
        return f"{whole_percent(self.chance)}% {self.key}"


def whole_percent(chance: float) -> int:
    """Chance in whole per cent as the trade says it, rounded down: 66 for 2/3, 33 for 1/3."""
    return int(100.0 * chance + 1e-9)
