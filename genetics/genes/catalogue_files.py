"""Which species come with the program, and how are their data files read into tables?

A species is one entry of the data folder: a TOML file, or a folder of them with a file "species.toml"
that lists the others in the order in which the trade names the genes of one animal. The entry's name
is the species' name, underscores for spaces.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal

from genetics.genes.faults import CatalogueError, UnknownSpecies

__all__ = ["BALL_PYTHON", "SEXES", "CatalogueError", "Sexes", "UnknownSpecies", "species", "species_tables"]

Sexes = Literal["XX females, XY males", "none"]
SEXES: Sexes = "XX females, XY males"
"""How the sexes come about where a species says nothing else; "none" for plants that have both."""

BALL_PYTHON = "ball python"
DATA = Path(__file__).parent / "data"
_LISTS = ("locus", "alike", "combination", "combined_harm")


def species() -> tuple[str, ...]:
    """Names of the species that come with the program, sorted."""
    return tuple(sorted(path.stem.replace("_", " ") for path in DATA.iterdir() if _is_species(path)))


def _is_species(path: Path) -> bool:
    return path.suffix == ".toml" or (path / "species.toml").is_file()


def species_tables(name: str = BALL_PYTHON) -> dict[str, Any]:
    """Tables of all data files of one species, lists put one after the other.

    Raises
    ------
    UnknownSpecies
        If it has no data file.
    CatalogueError
        If a file has a table that is none of the catalogue's.
    """
    if name not in species():
        raise UnknownSpecies(name, species())
    place = DATA / name.replace(" ", "_")
    if not place.is_dir():
        return _joined([place.with_suffix(".toml")])
    first = place / "species.toml"
    files = tomllib.loads(first.read_text(encoding="utf-8"))["species"]["files"]
    return _joined([first, *(place / file for file in files)])


def _joined(paths: list[Path]) -> dict[str, Any]:
    """Tables of several files as one."""
    joined: dict[str, Any] = {"species": {}, "papers": {}} | {name: [] for name in _LISTS}
    for path in paths:
        for name, part in tomllib.loads(path.read_text(encoding="utf-8")).items():
            if name not in joined:
                raise CatalogueError(path.name, name, ", ".join(joined))
            if isinstance(part, Mapping):
                joined[name].update(part)
            else:
                joined[name].extend(part)
    return joined
