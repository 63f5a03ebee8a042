"""How is one field of the catalogue's tables read: a source, a choice, a chance, a health note?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any, cast, get_args

from genetics.genes.faults import CatalogueError
from genetics.genes.loci import AppliesTo, Harm, HealthNote
from genetics.genes.sources import MARKS, Source

Row = Mapping[str, Any]
Sources = Mapping[str, Source]


def read_papers(papers: Mapping[str, Mapping[str, str]], *, given: str = "") -> dict[str, Source]:
    """Read sources by their short names; each paper says how far it was read.

    Parameters
    ----------
    papers
        Citations by short name.
    given
        What "given" stands for, where whoever posed the tables says more than that.

    Raises
    ------
    CatalogueError
        If a paper has no text or does not say how far it was read.
    """
    sources = dict(MARKS) | ({"given": Source("given", given)} if given else {})
    for key, paper in papers.items():
        for field in ("text", "read"):
            if not paper.get(field):
                raise CatalogueError(f"paper {key}", paper, f"a text in '{field}'")
        sources[key] = Source("paper", f"{paper['text']} [{paper['read']}]", paper.get("doi", ""))
    return sources


def rows_of(tables: Row, name: str) -> Sequence[dict[str, Any]]:
    """Rows of one kind; none if there are none."""
    return cast("Sequence[dict[str, Any]]", tables.get(name, ()))


def read_source(row: Row, sources: Sources, where: str) -> Source:
    """Source of a row by its short name.

    Raises
    ------
    CatalogueError
        If there is none or it is unknown.
    """
    name = row.get("source")
    if name not in sources:
        raise CatalogueError(f"{where}, source", name, ", ".join(sources))
    return sources[str(name)]


def read_choice(value: object, allowed: tuple[str, ...], where: str) -> str:
    """One of some words.

    Raises
    ------
    CatalogueError
        If it is none of them.
    """
    if value not in allowed:
        raise CatalogueError(where, value, ", ".join(repr(word) for word in allowed))
    return str(value)


def read_share(value: object, most: Fraction, where: str) -> Fraction:
    """Exact number from 0 to a bound: "1/20", "0.05" or 0.05.

    Raises
    ------
    CatalogueError
        If it is no number or out of bounds.
    """
    try:
        share = Fraction(str(value))
    except (ValueError, ZeroDivisionError):
        share = Fraction(-1)
    if not 0 <= share <= most:
        raise CatalogueError(where, value, f"0 to {float(most):g}")
    return share


def read_health(row: Row, sources: Sources, where: str, *, applies_to: str | None = None) -> HealthNote:
    """One health note.

    Parameters
    ----------
    row
        Its fields.
    sources
        Sources by short name.
    where
        What it belongs to.
    applies_to
        Which animals, where the row need not say it.

    Raises
    ------
    CatalogueError
        If a field is missing or unknown.
    """
    place = f"{where}, health note"
    for field in ("id", "what"):
        if not row.get(field):
            raise CatalogueError(f"{place}, {field}", row.get(field), "a text")
    given = row.get("applies_to", applies_to)
    return HealthNote(
        id=row["id"],
        applies_to=cast("AppliesTo", read_choice(given, get_args(AppliesTo), f"{place}, applies_to")),
        what=row["what"],
        harm=cast("Harm", read_choice(row.get("harm"), get_args(Harm), f"{place}, harm")),
        lost_chance=read_share(row.get("lost_chance", 0), Fraction(1), f"{place}, lost_chance"),
        source=read_source(row, sources, place),
    )
