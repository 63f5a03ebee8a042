"""One line of a budget, and a sheet of such lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from genetics.genes.sources import CUSTOM, Source

CostKind = Literal["variable", "fixed"]

CAPITAL_RECOVERY = Source(
    "paper",
    "Extension texts on enterprise budgets; Commodity Costs and Returns Estimation Handbook (AAEA)",
)


@dataclass(frozen=True)
class CostLine:
    """One cost.

    Attributes
    ----------
    id, name
        Dotted id, and the name as it stands in a budget.
    amount
        The cost, never negative [money].
    kind
        "variable": it is there because of this pairing; "fixed": it would be there without it.
    why
        How it was reckoned, in one sentence.
    rests_on
        Ids of the assumptions that went in.
    source
        Where the way of reckoning comes from; each assumption has a source of its own.
    """

    id: str
    name: str
    amount: float
    kind: CostKind
    why: str
    rests_on: tuple[str, ...]
    source: Source = CUSTOM

    def times(self, share: float, *, why: str, rests_on: tuple[str, ...] = ()) -> CostLine:
        """Take a share or a multiple of the line, with a sentence that says which.

        Parameters
        ----------
        share
            Factor, 0 or more.
        why
            Sentence added to the line's own.
        rests_on
            Assumptions the factor rests on, added to the line's own.
        """
        return replace(
            self,
            amount=self.amount * share,
            why=f"{self.why} {why}",
            rests_on=self.rests_on + rests_on,
        )


@dataclass(frozen=True)
class CostSheet:
    """Costs that belong together.

    Attributes
    ----------
    lines
        One per cost, in the order of a budget.
    """

    lines: tuple[CostLine, ...]

    @property
    def total(self) -> float:
        """Sum of all lines [money]."""
        return float(sum(line.amount for line in self.lines))

    def of_kind(self, kind: CostKind) -> float:
        """Sum of the variable or of the fixed lines [money]."""
        return float(sum(line.amount for line in self.lines if line.kind == kind))

    def line(self, id_: str) -> CostLine:
        """Find the line with this id.

        Raises
        ------
        KeyError
            If the sheet has no such line.
        """
        for line in self.lines:
            if line.id == id_:
                return line
        raise KeyError(f"no cost line '{id_}'; there are {', '.join(line.id for line in self.lines)}")

    def times(self, share: float, *, why: str, rests_on: tuple[str, ...] = ()) -> CostSheet:
        """Take a share or a multiple of each line; see `CostLine.times`."""
        return CostSheet(tuple(line.times(share, why=why, rests_on=rests_on) for line in self.lines))


def together(sheets: Iterable[CostSheet]) -> CostSheet:
    """One sheet with the lines of several, in their order."""
    return CostSheet(tuple(line for sheet in sheets for line in sheet.lines))
