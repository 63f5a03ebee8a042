"""How two animals are related, path by path, and which pairings are the closest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.figures.marks import mark
from dashboard.figures.markup import (
    Column,
    cell,
    esc,
    heading,
    link,
    name_cell,
    number_cell,
    row,
    strong,
    sub,
    table,
)

_DOWN = " → "
_UP = " ← "


@dataclass(frozen=True)
class PathLine:
    """One way in which two animals descend from an ancestor.

    Attributes
    ----------
    animals
        Names from the sire up to the ancestor and down to the dam.
    ancestor
        Place of the ancestor among them.
    adds
        What it adds to the inbreeding of the young, as words.
    under
        What is to be said of the path; empty for nothing.
    """

    animals: tuple[str, ...]
    ancestor: int
    adds: str
    under: str = ""


@dataclass(frozen=True)
class PairLine:
    """One possible pairing: target and name, what stands beneath, its inbreeding as words.

    `marked` is for one in the plan whose young would be as inbred as those of half sibs, or more.
    """

    link: str
    name: str
    under: str
    inbreeding: str
    like: str
    marked: bool = False


def paths_table(title: str, reading: str, *, rows: Sequence[PathLine]) -> str:
    """Write the paths through shared ancestors, the heaviest first."""
    columns = (
        Column("Shared ancestor", 24),
        Column("Path, from parent to young", 56),
        Column("Adds", 20, "number"),
    )
    return heading(title, reading, spaced=True) + table(title, columns, rows=[_path_row(r) for r in rows])


def _path_row(line: PathLine) -> str:
    cells = (
        name_cell(strong(line.animals[line.ancestor]), phone=4),
        cell(path_words(line) + sub(line.under)),
        number_cell(line.adds, phone=2, to_right=True),
    )
    return row(cells)


def path_words(line: PathLine) -> str:
    """Write a path with its ancestor in bold; arrows go from parent to young."""
    words = ""
    for place, name in enumerate(line.animals):
        if place:
            words += _UP if place <= line.ancestor else _DOWN
        words += strong(name) if place == line.ancestor else esc(name)
    return words


def pairs_table(title: str, reading: str, *, rows: Sequence[PairLine]) -> str:
    """Write possible pairings, the closest first; a welfare mark stands above a close one in the plan."""
    columns = (
        Column("Pairing", 50),
        Column("As close as", 32),
        Column("Inbreeding|of the young", 18, "number"),
    )
    return heading(title, reading, spaced=True) + table(title, columns, rows=[_pair_row(r) for r in rows])


def _pair_row(line: PairLine) -> str:
    above = f"<div>{mark('welfare', ': close relatives')}</div>" if line.marked else ""
    cells = (
        name_cell(above + link(line.name, line.link, strong=True) + sub(line.under)),
        cell(esc(line.like), phone=4, label="As close as"),
        number_cell(line.inbreeding, phone=2, label="Inbreeding", to_right=True),
    )
    return row(cells)
