"""The figures that costs and clutch odds rest on, and the breeder's own in their place."""

from __future__ import annotations

import difflib
import math
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from genetics.genes.sources import Source


class AssumptionError(ValueError):
    """A figure can't be used; the message is a sentence for the breeder."""


class UnknownAssumption(AssumptionError):
    """No figure has this id.

    Attributes
    ----------
    found, nearest
        The id that was asked for, and the nearest ids that exist.
    """

    def __init__(self, found: str) -> None:
        self.found = found
        self.nearest = tuple(difflib.get_close_matches(found, ASSUMPTIONS, n=3, cutoff=0.5))
        hint = f"; the nearest are {', '.join(self.nearest)}" if self.nearest else ""
        super().__init__(f"No assumption is called '{found}'{hint}.")


class OutOfRange(AssumptionError):
    """A figure lies outside what may be entered.

    Attributes
    ----------
    id, name, found, allowed
        Which figure, its plain name, what was given, and what is allowed in words.
    """

    def __init__(self, assumption: Assumption, found: object) -> None:
        self.id = assumption.id
        self.name = assumption.name
        self.found = found
        self.allowed = assumption.allowed
        super().__init__(f"{self.name} is {found}; allowed: {self.allowed}.")


class Contradiction(AssumptionError):
    """Two figures can't both be true.

    Attributes
    ----------
    ids
        The figures that clash.
    """

    def __init__(self, ids: tuple[str, ...], sentence: str) -> None:
        self.ids = ids
        super().__init__(sentence)


class MissingCost(AssumptionError):
    """A figure that is needed was left empty.

    Attributes
    ----------
    id, name
        Which figure, and its plain name.
    """

    def __init__(self, assumption: Assumption) -> None:
        self.id = assumption.id
        self.name = assumption.name
        super().__init__(
            f"No figure for '{self.name}' ({assumption.unit}). Enter one under Costs, or go back to "
            f"{assumption.value:g}, {assumption.source.text}."
        )


@dataclass(frozen=True)
class Assumption:
    """One figure of the registry.

    Attributes
    ----------
    id, name, unit, group, help
        Dotted id, plain name, unit in words, heading on the Costs page, one sentence of help.
    value, low, high
        Default, and the range that holds the figure in 8 of 10 books [unit].
    minimum, maximum
        What may be entered, both ends included [unit].
    source, range_source
        Where the default comes from, and where its range does.
    whole, first
        Whether only whole numbers are allowed, and whether it is shown before the others.
    """

    id: str
    name: str
    unit: str
    value: float
    low: float
    high: float
    minimum: float
    maximum: float
    group: str
    help: str
    source: Source
    range_source: Source
    whole: bool = False
    first: bool = False

    @property
    def is_money(self) -> bool:
        """Whether the figure is a sum in the book's currency."""
        return self.unit.split()[0] == "money"

    @property
    def allowed(self) -> str:
        """What may be entered, in words."""
        kind = "a whole number from " if self.whole else ""
        return f"{kind}{self.minimum:g} to {self.maximum:g} ({self.unit})"

    def check(self, found: object) -> float:
        """Return a figure as a number if it may be entered.

        Raises
        ------
        OutOfRange
            If it isn't a number, isn't whole where it must be, or lies outside.
        """
        if isinstance(found, bool) or not isinstance(found, (int, float)):
            raise OutOfRange(self, found)
        number = float(found)
        outside = not self.minimum <= number <= self.maximum
        if outside or (self.whole and number != round(number)):
            raise OutOfRange(self, found)
        return number


SMALL_UNIT = 1000.0  # sums may be entered in a currency worth a thousandth of a euro


def _read_registry() -> Mapping[str, Assumption]:
    data = tomllib.loads(files("econ").joinpath("assumptions.toml").read_text(encoding="utf-8"))
    sources = {key: Source(**row) for key, row in data.pop("sources").items()}
    registry = {
        id_: _read_item(id_, group, row, sources) for group, rows in data.items() for id_, row in rows.items()
    }
    return MappingProxyType(registry)


def _read_item(id_: str, group: str, row: Mapping[str, Any], sources: Mapping[str, Source]) -> Assumption:
    figures = row["figures"]
    low, high = figures["range"]
    minimum, maximum = figures["allowed"]
    return Assumption(
        id=id_,
        name=row["name"],
        unit=figures["unit"],
        value=float(figures["value"]),
        low=float(low),
        high=float(high),
        minimum=float(minimum),
        maximum=float(maximum) * (SMALL_UNIT if figures["unit"].startswith("money") else 1.0),
        group=group,
        help=row["help"],
        source=sources[figures["source"]],
        range_source=sources[figures.get("range_source", "custom")],
        whole=figures.get("whole", False),
        first=figures.get("first", False),
    )


ASSUMPTIONS: Mapping[str, Assumption] = _read_registry()


def assumption(id_: str) -> Assumption:
    """One entry of the registry.

    Raises
    ------
    UnknownAssumption
        If no figure has this id; the error names the nearest.
    """
    if id_ not in ASSUMPTIONS:
        raise UnknownAssumption(id_)
    return ASSUMPTIONS[id_]


@dataclass(frozen=True, eq=False)
class Assumptions:
    """All figures of one book: the breeder's own where entered, else the defaults.

    Attributes
    ----------
    overrides
        The breeder's figures by id. None or NaN marks a figure that was emptied: it is missed
        when it is needed, never replaced by the default. Kept read-only.

    Raises
    ------
    UnknownAssumption, OutOfRange, Contradiction
        If the figures can't be used.
    """

    overrides: Mapping[str, float | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        checked: dict[str, float | None] = {}
        for id_ in sorted(self.overrides):
            entry, found = assumption(id_), self.overrides[id_]
            empty = found is None or (isinstance(found, float) and math.isnan(found))
            checked[id_] = None if empty else entry.check(found)
        object.__setattr__(self, "overrides", MappingProxyType(checked))
        _check_together(self)

    def __getitem__(self, id_: str) -> float:
        """One figure [its unit].

        Raises
        ------
        UnknownAssumption
            If no figure has this id.
        MissingCost
            If the breeder left it empty.
        """
        found = self.figure(id_)
        if found is None:
            raise MissingCost(assumption(id_))
        return found

    def figure(self, id_: str) -> float | None:
        """One figure, or None where the breeder left it empty."""
        entry = assumption(id_)
        return self.overrides.get(id_, entry.value)

    def is_default(self, id_: str) -> bool:
        """Whether the registry's own figure is in use."""
        assumption(id_)
        return id_ not in self.overrides

    def is_missing(self, id_: str) -> bool:
        """Whether the breeder left the figure empty."""
        return self.figure(id_) is None

    def source(self, id_: str) -> Source:
        """Where the figure in use comes from: the registry's source, or the breeder."""
        return assumption(id_).source if self.is_default(id_) else OWN_FIGURE

    def with_values(self, values: Mapping[str, float | None]) -> Assumptions:
        """Copy with some figures changed; None empties a figure."""
        return Assumptions({**self.overrides, **values})

    def with_defaults(self, ids: Iterable[str]) -> Assumptions:
        """Copy in which these figures are the registry's own again."""
        back = {assumption(id_).id for id_ in ids}
        return Assumptions({key: value for key, value in self.overrides.items() if key not in back})

    @cached_property
    def fingerprint(self) -> tuple[tuple[str, float | None], ...]:
        """The breeder's figures as a hashable value: equal for equal books."""
        return tuple(self.overrides.items())

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Assumptions):
            return NotImplemented
        return self.fingerprint == other.fingerprint

    def __hash__(self) -> int:
        return hash(self.fingerprint)

    def __reduce__(self) -> tuple[type[Assumptions], tuple[dict[str, float | None]]]:
        return Assumptions, (dict(self.overrides),)


OWN_FIGURE = Source("custom", "the breeder's own figure")


def _check_together(book: Assumptions) -> None:
    """Refuse figures that clash; a figure left empty clashes with nothing."""
    first, last = book.figure("sale.first_month"), book.figure("sale.last_month")
    if first is not None and last is not None and first >= last:
        raise Contradiction(
            ("sale.first_month", "sale.last_month"),
            f"Hatchlings are offered from month {first:g} and given away after month {last:g}; "
            f"allowed: the first before the last.",
        )
    for sex in ("female", "male"):
        ids = ("growth.hatchling_mass", "growth.first_year_multiple", f"growth.adult_{sex}_mass")
        start, times, grown = (book.figure(id_) for id_ in ids)
        if start is not None and times is not None and grown is not None and start * times >= grown:
            raise Contradiction(
                ids,
                f"{start:g} g at hatching times {times:g} is {start * times:g} g after one year, but a grown "
                f"{sex} is put at {grown:g} g; allowed: less than the grown mass.",
            )


def faults_of(overrides: Mapping[str, float | None]) -> tuple[AssumptionError, ...]:
    """All reasons why figures can't be used, one error each; empty when they can."""
    faults: list[AssumptionError] = []
    good: dict[str, float | None] = {}
    for id_, value in overrides.items():
        try:
            Assumptions({id_: value})
        except Contradiction:
            good[id_] = value
        except AssumptionError as fault:
            faults.append(fault)
        else:
            good[id_] = value
    try:
        Assumptions(good)
    except AssumptionError as fault:
        faults.append(fault)
    return tuple(faults)
