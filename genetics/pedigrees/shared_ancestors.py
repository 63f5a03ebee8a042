"""Which ancestors two animals share, by which paths, and what each adds to their young's inbreeding.

Wright's path formula: F is the sum over common ancestors A, and over pairs of paths from the parents to
A that meet only there, of 0.5^n (1 + F_A), n animals in the path, both parents counted.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from genetics.pedigrees.inbreeding import Kinship, SireChances, kinship
from genetics.pedigrees.pedigree import Collection, PedigreeError

MOST_PATHS = 20_000
"""Most paths from one animal to its ancestors that are listed."""


class TooManyPaths(ValueError):
    """Animals related in more ways than can be listed; their coefficient is still known."""

    def __init__(self, animal: str) -> None:
        super().__init__(f"{animal} has more than {MOST_PATHS} paths to its ancestors, too many to list")


@dataclass(frozen=True)
class RelationPath:
    """One way in which two animals descend from a common ancestor.

    Attributes
    ----------
    animals
        From the sire up to the ancestor and down to the dam.
    chance
        Chance that the path is real; below 1 where it runs through an uncertain sire.
    adds
        What it adds to the inbreeding coefficient of the young.
    """

    animals: tuple[str, ...]
    chance: float
    adds: float


@dataclass(frozen=True)
class SharedAncestor:
    """An ancestor of both animals.

    Attributes
    ----------
    id
        Its name.
    inbreeding
        Its own coefficient.
    adds
        What it adds to the inbreeding coefficient of the young, all paths together.
    paths
        The paths, the heaviest first.
    """

    id: str
    inbreeding: float
    adds: float
    paths: tuple[RelationPath, ...]


_Choices = tuple[tuple[str, str, float], ...]
_Path = tuple[tuple[str, ...], _Choices]


def shared_ancestors(
    collection: Collection,
    sire: str,
    dam: str,
    *,
    table: Kinship | None = None,
    sire_chances: SireChances | None = None,
) -> tuple[SharedAncestor, ...]:
    """Ancestors that two animals share, the one that adds most first.

    Parameters
    ----------
    collection
        Animals and clutches.
    sire, dam
        The two animals.
    table
        Their kinship, if it is known already.
    sire_chances
        Chance of each possible sire, as for `kinship`.

    Returns
    -------
    tuple
        What they add sums to the inbreeding coefficient of the young.

    Raises
    ------
    PedigreeError
        If one is not in the collection.
    TooManyPaths
        If there are too many paths to list.
    """
    for name in (sire, dam):
        if name not in collection.by_id:
            raise PedigreeError(f"{name} is not in the collection")
    known = kinship(collection, sire_chances=sire_chances) if table is None else table
    ups = _paths_up(collection, sire, sire_chances)
    downs = _paths_up(collection, dam, sire_chances)
    found = []
    for ancestor in sorted(ups.keys() & downs.keys()):
        own = known.of_animal(ancestor) if ancestor in collection.by_id else 0.0
        paths = tuple(_meeting(ups[ancestor], downs[ancestor], own))
        if paths:
            ranked = tuple(sorted(paths, key=lambda path: (-path.adds, path.animals)))
            found.append(SharedAncestor(ancestor, own, sum(path.adds for path in paths), ranked))
    return tuple(sorted(found, key=lambda item: (-item.adds, item.id)))


def _meeting(ups: list[_Path], downs: list[_Path], inbreeding: float) -> Iterator[RelationPath]:
    """Pairs of paths that meet only at the ancestor."""
    for up, first in ups:
        inside = set(up[:-1])
        for down, second in downs:
            chance = _chance(first, second)
            if chance > 0.0 and inside.isdisjoint(down[:-1]) and up[-1] not in down[:-1]:
                animals = (*up, *reversed(down[:-1]))
                yield RelationPath(animals, chance, chance * 0.5 ** len(animals) * (1.0 + inbreeding))


def _chance(first: _Choices, second: _Choices) -> float:
    """Chance that the sires of two paths are as taken; 0 if they contradict each other."""
    taken: dict[str, str] = {}
    chance = 1.0
    for clutch, male, share in (*first, *second):
        if clutch not in taken:
            taken[clutch] = male
            chance *= share
        elif taken[clutch] != male:
            return 0.0
    return chance


def _paths_up(collection: Collection, start: str, sire_chances: SireChances | None) -> dict[str, list[_Path]]:
    """All paths from an animal to itself and each of its ancestors, by ancestor."""
    found: dict[str, list[_Path]] = {}
    count = 0
    waiting: list[_Path] = [((start,), ())]
    while waiting:
        path, choices = waiting.pop()
        count += 1
        if count > MOST_PATHS:
            raise TooManyPaths(start)
        found.setdefault(path[-1], []).append((path, choices))
        record = collection.by_id.get(path[-1])
        if record is None or record.litter is None:
            continue
        waiting.append(((*path, collection.dams[record.litter]), choices))
        litter = collection.litter_by_id[record.litter]
        key = record.id if litter.per_egg else litter.id
        given = (sire_chances or {}).get(key)
        for sire in collection.sires[litter.id]:
            share = float(sire.chance) if given is None else given.get(str(sire.id), 0.0)
            more = () if len(litter.sires) == 1 else ((key, str(sire.id), share),)
            waiting.append(((*path, str(sire.id)), (*choices, *more)))
    return found
