"""Who descends from whom, and what was seen, said and tested: the records of a collection."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

from genetics.genes.genotype import Animal
from genetics.genes.traits import Sex

TestAnswer = Literal["carries", "does not carry", "no copy", "one copy", "two copies"]
Parent = Literal["sire", "dam"]


class PedigreeError(ValueError):
    """Records that can't all be true whatever the genes: a loop, a sex, a name that is missing."""


@dataclass(frozen=True)
class Seen:
    """What the eye saw of an animal.

    Attributes
    ----------
    shows
        Locus and the appearance seen there, for each look that is not normal; as `PairLook`
        names appearances, so look-alikes have one and the same.
    unclear
        Loci on which nothing can be said, besides those that a look hides.
    """

    shows: tuple[tuple[str, str], ...] = ()
    unclear: tuple[str, ...] = ()


@dataclass(frozen=True)
class TestResult:
    """Answer of a gene test, which can err.

    Attributes
    ----------
    gene
        Catalogue name of the gene.
    result
        "carries" (one copy or two) or "does not carry"; or, from a test that counts, "no copy",
        "one copy", "two copies".
    sensitivity
        Chance that an animal with the gene is told so, with its right number of copies if the test
        counts [above 0, to 1].
    specificity
        Chance that an animal without the gene is told so [above 0, to 1].

    Raises
    ------
    PedigreeError
        If a chance is outside its range or the result is not one of the five.
    """

    __test__ = False

    gene: str
    result: TestAnswer
    sensitivity: Fraction = Fraction(1)
    specificity: Fraction = Fraction(1)

    def __post_init__(self) -> None:
        for name, chance in (("sensitivity", self.sensitivity), ("specificity", self.specificity)):
            if not 0 < chance <= 1:
                raise PedigreeError(
                    f"{name} of the {self.gene} test is {chance}; allowed: above 0, at most 1"
                )
        if self.result not in ("carries", "does not carry", "no copy", "one copy", "two copies"):
            raise PedigreeError(
                f"the {self.gene} test says '{self.result}'; allowed: carries, does not carry, no copy, "
                "one copy, two copies"
            )


@dataclass(frozen=True)
class PossibleSire:
    """A male that may have sired a clutch.

    Attributes
    ----------
    id
        The male; None for a male that is not in the collection.
    chance
        Chance before anything is known of the young [above 0, to 1].
    """

    id: str | None
    chance: Fraction = Fraction(1)


UNKNOWN_SIRE = (PossibleSire(None),)
"""A sire who is not in the collection."""


@dataclass(frozen=True)
class Litter:
    """One clutch, or all clutches of the same two parents: what its young share.

    Attributes
    ----------
    id
        Its name.
    dam
        The female; None for one that is not in the collection (all its young share her).
    sires
        The sire, or each male it may have been, with chances that sum to 1.
    per_egg
        False: one of the sires has all the eggs. True: each egg has its own (eggs of two males in
        one clutch, retained sperm).
    """

    id: str
    dam: str | None = None
    sires: tuple[PossibleSire, ...] = UNKNOWN_SIRE
    per_egg: bool = False


@dataclass(frozen=True)
class PedigreeAnimal:
    """One animal with all that is said of it.

    Attributes
    ----------
    id
        Its name.
    sex
        Its sex; a parent has the sex of its place.
    litter
        Clutch it hatched from; None for a founder (both parents outside the collection).
    claim
        What it is said to carry. Where a parent is outside the collection it is the prior at the
        loci it names; of an animal whose parents are both recorded it is no evidence, since it
        repeats what the parents say, but it is compared with what is known.
    seen
        What the eye saw; None if the animal was not seen.
    tests
        Results of gene tests, a panel as one result for each gene.
    """

    id: str
    sex: Sex = Sex.UNSEXED
    litter: str | None = None
    claim: Animal | None = None
    seen: Seen | None = None
    tests: tuple[TestResult, ...] = ()


def outside_parent(litter: str, place: Parent) -> str:
    """Name of the parent of a clutch that is not in the collection."""
    return f"unknown {place} of {litter}"


@dataclass(frozen=True)
class Collection:
    """All animals and the clutches they hatched from.

    Attributes
    ----------
    animals, litters
        The records; each name once.

    Raises
    ------
    PedigreeError
        If a name occurs twice or is missing, an animal is its own ancestor, a sire is a female or
        a dam a male, or the chances of the sires of a clutch do not sum to 1.
    """

    animals: tuple[PedigreeAnimal, ...]
    litters: tuple[Litter, ...] = ()

    def __post_init__(self) -> None:
        _check_names(self.animals, self.litters)
        for litter in self.litters:
            _check_litter(litter, self.by_id)
        _check_sexes(self)
        _ = self.order

    @cached_property
    def by_id(self) -> Mapping[str, PedigreeAnimal]:
        """Animals by name."""
        return {animal.id: animal for animal in self.animals}

    @cached_property
    def litter_by_id(self) -> Mapping[str, Litter]:
        """Clutches by name."""
        return {litter.id: litter for litter in self.litters}

    @cached_property
    def sires(self) -> Mapping[str, tuple[PossibleSire, ...]]:
        """Possible sires of each clutch; one outside the collection under the name he has here."""
        return {
            litter.id: tuple(
                PossibleSire(sire.id or outside_parent(litter.id, "sire"), sire.chance)
                for sire in litter.sires
            )
            for litter in self.litters
        }

    @cached_property
    def dams(self) -> Mapping[str, str]:
        """Dam of each clutch; one outside the collection under the name she has here."""
        return {litter.id: litter.dam or outside_parent(litter.id, "dam") for litter in self.litters}

    @cached_property
    def outsiders(self) -> frozenset[str]:
        """Names of the parents that are not in the collection."""
        named = {sire.id for sires in self.sires.values() for sire in sires} | set(self.dams.values())
        return frozenset(name for name in named if name is not None and name not in self.by_id)

    @cached_property
    def sexes(self) -> Mapping[str, Sex]:
        """Sex of every animal and outside parent; a parent has the sex of its place."""
        found = {animal.id: animal.sex for animal in self.animals}
        for litter in self.litters:
            found[self.dams[litter.id]] = Sex.FEMALE
            found.update((str(sire.id), Sex.MALE) for sire in self.sires[litter.id])
        return found

    def parents(self, animal: str) -> tuple[str, ...]:
        """Dam and all possible sires of an animal; empty for a founder."""
        record = self.by_id.get(animal)
        if record is None or record.litter is None:
            return ()
        return (self.dams[record.litter], *(str(sire.id) for sire in self.sires[record.litter]))

    @cached_property
    def children(self) -> Mapping[str, tuple[str, ...]]:
        """Young of each animal and outside parent, possible ones too."""
        found: dict[str, list[str]] = {name: [] for name in (*self.by_id, *self.outsiders)}
        for animal in self.animals:
            for parent in dict.fromkeys(self.parents(animal.id)):
                found[parent].append(animal.id)
        return {name: tuple(young) for name, young in found.items()}

    @cached_property
    def young_of(self) -> Mapping[str, tuple[str, ...]]:
        """Young of each clutch."""
        found: dict[str, list[str]] = {litter.id: [] for litter in self.litters}
        for animal in self.animals:
            if animal.litter is not None:
                found[animal.litter].append(animal.id)
        return {litter: tuple(young) for litter, young in found.items()}

    @cached_property
    def order(self) -> Mapping[str, int]:
        """Place of every animal and outside parent, parents before their young."""
        waiting = {animal.id: len(set(self.parents(animal.id))) for animal in self.animals}
        ready = [*sorted(self.outsiders), *(name for name, count in waiting.items() if count == 0)]
        placed: dict[str, int] = {}
        for name in ready:
            placed[name] = len(placed)
            for young in self.children[name]:
                waiting[young] -= 1
                if waiting[young] == 0:
                    ready.append(young)
        left = [name for name in self.by_id if name not in placed]
        if left:
            raise PedigreeError(f"these animals descend from themselves: {', '.join(_loop(self, left))}")
        return placed

    def ancestors(self, names: Iterable[str]) -> set[str]:
        """All of the animals named and all their ancestors, outside parents too."""
        found: set[str] = set()
        open_names = list(names)
        while open_names:
            name = open_names.pop()
            if name not in found:
                found.add(name)
                open_names.extend(self.parents(name))
        return found

    def descendants(self, names: Iterable[str]) -> set[str]:
        """All of the animals named and all their descendants, possible ones too."""
        found: set[str] = set()
        open_names = list(names)
        while open_names:
            name = open_names.pop()
            if name not in found:
                found.add(name)
                open_names.extend(self.children.get(name, ()))
        return found


def _check_names(animals: tuple[PedigreeAnimal, ...], litters: tuple[Litter, ...]) -> None:
    """Refuse names that occur twice, and clutches that are missing."""
    for what, names in (("animal", [a.id for a in animals]), ("clutch", [part.id for part in litters])):
        twice = {name for name in names if names.count(name) > 1} if len(set(names)) < len(names) else set()
        if twice:
            raise PedigreeError(f"{what} {min(twice)} occurs twice; each name may occur once")
    known = {litter.id for litter in litters}
    for animal in animals:
        if animal.litter is not None and animal.litter not in known:
            raise PedigreeError(f"{animal.id} hatched from clutch {animal.litter}, which is not recorded")


def _check_litter(litter: Litter, animals: Mapping[str, PedigreeAnimal]) -> None:
    """Refuse parents that are missing, and chances that do not sum to 1."""
    named = [sire.id for sire in litter.sires]
    for parent in (litter.dam, *named):
        if parent is not None and parent not in animals:
            raise PedigreeError(f"a parent of clutch {litter.id} is {parent}, which is not recorded")
    if len(set(named)) < len(named):
        raise PedigreeError(f"clutch {litter.id} names a possible sire twice")
    total = sum((sire.chance for sire in litter.sires), Fraction(0))
    if total != 1 or any(sire.chance <= 0 for sire in litter.sires):
        raise PedigreeError(
            f"the chances of the sires of clutch {litter.id} sum to {total}; allowed: above 0, sum 1"
        )


def _check_sexes(collection: Collection) -> None:
    """Refuse a female as sire, a male as dam, and an animal in both places."""
    places: dict[str, Parent] = {}
    for litter in collection.litters:
        parents: list[tuple[str | None, Parent]] = [(litter.dam, "dam")]
        parents.extend((sire.id, "sire") for sire in litter.sires)
        for parent, place in parents:
            if parent is None:
                continue
            wrong = Sex.MALE if place == "dam" else Sex.FEMALE
            if collection.by_id[parent].sex is wrong:
                raise PedigreeError(f"{parent} is a {wrong.value}, so it can't be the {place} of {litter.id}")
            if places.setdefault(parent, place) != place:
                raise PedigreeError(f"{parent} is recorded as a sire and as a dam")


def _loop(collection: Collection, left: list[str]) -> list[str]:
    """Animals of one loop of ancestry."""
    inside = set(left)
    path: list[str] = [left[0]]
    while True:
        step = next(parent for parent in collection.parents(path[-1]) if parent in inside)
        if step in path:
            return path[path.index(step) :]
        path.append(step)
