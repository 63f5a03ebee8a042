"""Which figures does everything rest on, and what do they add up to? The breeder's own are marked."""

from __future__ import annotations

from dataclasses import dataclass

from dashboard.records import Book, Conflict
from econ.assumptions import ASSUMPTIONS, Assumption, AssumptionError, Assumptions
from econ.costs import CostSheet, female_season, hatchling_cost_by_month, male_year, shared_costs
from genetics.genes.sources import Source


@dataclass(frozen=True)
class Figure:
    """One figure of the book.

    Attributes
    ----------
    entry
        Its name, unit, range, allowed values and default.
    value
        The value in use; None if it was emptied.
    own
        Whether it is the breeder's own.
    source
        Where the value in use comes from.
    """

    entry: Assumption
    value: float | None
    own: bool
    source: Source


@dataclass(frozen=True, eq=False)
class CostsAnswer:
    """All figures, and what they add up to.

    Attributes
    ----------
    currency
        ISO 4217 code of the book's money.
    groups
        Figures by heading, in the registry's order.
    hatchling
        Cost of keeping one hatchling for 6 and for 12 months [money]; None where a figure is missing.
    female, male, shared
        Costs of a breeding female's season, a male's year, and what no pairing causes; None likewise.
    fault
        Which figure is missing, as a sentence; empty if none.
    """

    currency: str
    groups: tuple[tuple[str, tuple[Figure, ...]], ...]
    hatchling: tuple[float, float] | None
    female: CostSheet | None
    male: CostSheet | None
    shared: CostSheet | None
    fault: str

    @property
    def own(self) -> int:
        """How many figures are the breeder's own."""
        return sum(figure.own for _, figures in self.groups for figure in figures)

    @property
    def total(self) -> int:
        """How many figures there are."""
        return sum(len(figures) for _, figures in self.groups)


def costs_answer(book: Book) -> CostsAnswer:
    """All figures of a book and what they add up to."""
    figures = Assumptions(book.assumptions())
    groups: dict[str, list[Figure]] = {}
    for id_, entry in ASSUMPTIONS.items():
        groups.setdefault(entry.group, []).append(
            Figure(entry, figures.figure(id_), own=not figures.is_default(id_), source=figures.source(id_))
        )
    fault = ""
    hatchling, female, male, shared = None, None, None, None
    try:
        kept = hatchling_cost_by_month(12, assumptions=figures).total
        hatchling = (float(kept[6]), float(kept[12]))
        female, male = female_season(assumptions=figures), male_year(assumptions=figures)
        shared = shared_costs(figures)
    except AssumptionError as missing:
        fault = str(missing)
    return CostsAnswer(
        currency=book.currency,
        groups=tuple((name, tuple(rows)) for name, rows in groups.items()),
        hatchling=hatchling,
        female=female,
        male=male,
        shared=shared,
        fault=fault,
    )


def change_figure(book: Book, id_: str, value: float | None, *, seen: float | None) -> None:
    """Store the breeder's own figure if the book still holds what the breeder saw.

    Parameters
    ----------
    book
        The records.
    id_
        Which figure.
    value
        The new one [its unit]; None goes back to the default.
    seen
        The figure in use when the breeder began to change it.

    Raises
    ------
    Conflict
        If it was changed elsewhere since; carries both values.
    NotStored
        If the value is not allowed or contradicts another; nothing is stored.
    """
    now = Assumptions(book.assumptions()).figure(id_)
    if now != seen:
        name = ASSUMPTIONS[id_].name
        raise Conflict(
            f"“{name}”", yours={"value": value}, stored={"value": now}, stored_version=book.data_version
        )
    book.set_assumption(id_, value)
