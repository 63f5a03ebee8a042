"""What a simulated route keeps and sells, season by season: expected numbers by look and sex."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from genetics.genes.loci import HealthNote
from genetics.genes.traits import Sex, Trait, whole_percent
from genetics.routes.hatching import Young
from genetics.routes.herd import Herd
from genetics.routes.tables import Bools, Floats, Ints, LocusTables, Tables
from genetics.routes.target import Harms, worst_first

Numbers = NDArray[np.float64]

LEVELS = (0.02, 0.6, 0.95)
"""Chances that part "carries nothing", a "33 to 50 %", a "66 to 80 %" possible het and a certain one."""

MOST_LABELS = 80_000
"""Most different labels that are counted."""


class TooManyLabels(ValueError):
    """A target with so many looks that they can't be counted apart."""


@dataclass(frozen=True, eq=False)
class Animals:
    """Animals of one label and sex over the seasons.

    Attributes
    ----------
    label
        What they show and carry at the target's loci, in the trade's words.
    sex
        Their sex.
    traits
        Traits with their chance, for the price.
    harms
        Health notes these looks have or may have, with the gene each belongs to, worst first.
    expected
        Expected number a run in season 1, 2, ..., runs that have ended counted as none [animals],
        shape (S,).
    """

    label: str
    sex: Sex
    traits: tuple[Trait, ...]
    harms: Harms
    expected: Numbers


@dataclass(frozen=True, eq=False)
class _LocusLabels:
    """Labels of one locus: looks, parted by how sure what they carry is.

    Attributes
    ----------
    tables
        The locus.
    coverable
        Whether another of the loci can cover it; then what it shows may lie beneath.
    """

    tables: LocusTables
    coverable: bool

    @cached_property
    def carried(self) -> tuple[Trait, ...]:
        """Traits that may be carried without showing."""
        locus = self.tables.states.locus
        found = (trait for pair in self.tables.states.pairs for trait in locus.look(pair).carried)
        return tuple(dict.fromkeys(found))

    @cached_property
    def traits(self) -> tuple[Trait, ...]:
        """Traits whose chance is counted: what is carried, then what may show beneath a cover."""
        locus = self.tables.states.locus
        found = (trait for pair in self.tables.states.pairs for trait in locus.look(pair).shown)
        beneath = tuple(dict.fromkeys(found)) if self.coverable else ()
        return (*self.carried, *beneath)

    @cached_property
    def has(self) -> Floats:
        """Whether a genotype has each of them, as 0 or 1, shape (T, G)."""
        states = self.tables.states
        looks = [states.locus.look(pair) for pair in states.pairs]
        rows = [[float(trait in (*look.shown, *look.carried)) for look in looks] for trait in self.traits]
        return np.array(rows, dtype=np.float32).reshape(len(self.traits), len(looks))

    @cached_property
    def first(self) -> Ints:
        """Number of the first label of each look, then of "can't be seen", and the end."""
        some = np.asarray(self.has[: len(self.carried)].sum(axis=0) > 0.0)
        parts = [
            len(LEVELS) + 1 if some[self.tables.states.look_of == look].any() else 1
            for look in range(self.tables.looks)
        ]
        return np.concatenate([[0], np.cumsum([*parts, 1] if self.coverable else parts)])

    @property
    def count(self) -> int:
        """Labels."""
        return int(self.first[-1])

    def number(self, look: Ints, chances: Floats) -> Ints:
        """Label of animals of a look that have the traits with these chances, shape (T, animals)."""
        level = np.digitize(chances[: len(self.carried)].sum(axis=0), LEVELS)
        width = np.diff(self.first)[look]
        return self.first[look] + np.where(width > 1, level, 0)

    def shown(self, number: int) -> tuple[str, tuple[Trait, ...], Harms]:
        """What a label shows, in words and as traits, and the harms it may have."""
        look = int(np.searchsorted(self.first, number, side="right")) - 1
        states = self.tables.states
        unseen = look == self.tables.looks
        which = range(len(states.pairs)) if unseen else np.flatnonzero(states.look_of == look)
        seen = [states.locus.look(states.pairs[int(n)]) for n in which]
        harms = tuple({(n.id, name): (n, name) for each in seen for n, name in each.notes}.values())
        return ("", (), harms) if unseen else (states.looks[look], seen[0].shown, harms)

    def beneath(self, number: int) -> tuple[bool, ...]:
        """Whether a label says the chance of each trait: what shows is said only where it is covered."""
        unseen = number >= self.first[self.tables.looks]
        return tuple(place < len(self.carried) or bool(unseen) for place in range(len(self.traits)))


class Tally:
    """Sums over runs; made for one simulation."""

    def __init__(self, tables: Tables, *, seasons: int) -> None:
        covered = {column for _, column, _ in tables.covering}
        self.loci = tuple(_LocusLabels(each, number in covered) for number, each in enumerate(tables.loci))
        self.size = int(np.prod([float(each.count) for each in self.loci]))
        if self.size > MOST_LABELS:
            raise TooManyLabels(f"{self.size} different labels at the target's loci; allowed: {MOST_LABELS}")
        shape = (seasons, 2 * self.size)
        traits = sum(len(each.traits) for each in self.loci)
        self.sold = _Sums(shape, traits)
        self.kept = _Sums(shape, traits)
        self.growing = _Sums(shape, traits)
        self.places = np.zeros(seasons)
        self.fullest = np.zeros(seasons, dtype=np.int64)
        self.going = np.zeros(seasons)
        self.let_go = np.zeros(seasons)
        self.lost = np.zeros(seasons)
        self.clutches = np.zeros(seasons)
        self.tests = np.zeros(seasons)

    def sell(self, young: Young, held: Bools, *, season: int) -> None:
        """Count the young that are not held back."""
        self.lost[season - 1] += young.lost.sum()
        self.clutches[season - 1] += young.clutches.sum()
        which = ~held
        looks = [
            each.tables.look_seen[seen[which]] for each, seen in zip(self.loci, young.sighting, strict=True)
        ]
        chances = [
            np.array([young.expected_at(number, mask)[which] for mask in each.has], dtype=np.float32)
            for number, each in enumerate(self.loci)
        ]
        sold = int(which.sum())
        chances = [
            part.reshape(len(each.traits), sold) for each, part in zip(self.loci, chances, strict=True)
        ]
        self._add(self.sold, looks, chances, young.male[which], season)

    def keep(self, herd: Herd, *, season: int) -> None:
        """Count the animals kept after a season."""
        used = herd.alive.sum(axis=1)
        self.places[season - 1] += used.sum()
        self.fullest[season - 1] = max(self.fullest[season - 1], int(used.max(initial=0)))
        self.going[season - 1] += used.size
        grown = herd.ready <= season + 1
        for sums, which in ((self.kept, herd.alive & grown), (self.growing, herd.alive & ~grown)):
            looks = [
                each.tables.states.look_of[genotype[which]]
                for each, genotype in zip(self.loci, herd.genotype, strict=True)
            ]
            chances = [
                each.has @ belief[which].T for each, belief in zip(self.loci, herd.belief, strict=True)
            ]
            self._add(sums, looks, chances, herd.male[which], season)

    def _add(
        self, sums: _Sums, looks: Sequence[Ints], chances: Sequence[Floats], male: Bools, season: int
    ) -> None:
        """Add animals to a season, by label and sex."""
        code = np.zeros(male.shape, dtype=np.int64)
        for each, look, chance in zip(self.loci, looks, chances, strict=True):
            code = code * each.count + each.number(look, chance)
        code = 2 * code + np.where(male, 0, 1)
        sums.numbers[season - 1] += np.bincount(code, minlength=2 * self.size)
        rows = [row for chance in chances for row in chance]
        for place, row in enumerate(rows):
            sums.chances[place] += np.bincount(code, weights=row, minlength=2 * self.size)

    def animals(self, sums: _Sums, *, runs: int) -> tuple[Animals, ...]:
        """Expected numbers by label and sex, the most frequent first."""
        totals = sums.numbers.sum(axis=0)
        found = []
        for code in np.flatnonzero(totals):
            chances = [float(row[code] / totals[code]) for row in sums.chances]
            label, traits, harms = self._words(int(code) // 2, chances)
            expected = sums.numbers[:, code] / runs
            expected.setflags(write=False)
            sex = Sex.FEMALE if code % 2 else Sex.MALE
            found.append(Animals(label, sex, traits, harms, expected))
        return tuple(sorted(found, key=lambda each: (-float(each.expected.sum()), each.label, each.sex)))

    def _words(self, code: int, chances: Sequence[float]) -> tuple[str, tuple[Trait, ...], Harms]:
        """Label, traits and harms of a code, with the mean chance of what is carried."""
        shown: list[str] = []
        carried: list[str] = []
        traits: list[Trait] = []
        harms: list[tuple[HealthNote, str]] = []
        numbers: list[int] = []
        for each in reversed(self.loci):
            code, number = divmod(code, each.count)
            numbers.append(number)
        left = list(chances)
        for each, number in zip(self.loci, reversed(numbers), strict=True):
            words, seen, notes = each.shown(number)
            harms.extend(notes)
            shown.extend([words] if words else [])
            traits.extend(seen)
            for trait, said in zip(each.traits, each.beneath(number), strict=True):
                chance = left.pop(0)
                if said and chance > LEVELS[0]:
                    sure = chance >= LEVELS[-1]
                    carried.append(trait.key if sure else f"{whole_percent(chance)}% {trait.key}")
                    traits.append(_with_chance(trait, 1.0 if sure else chance))
        return " ".join([*shown, *carried]) or "normal", tuple(traits), worst_first(harms)


def _with_chance(trait: Trait, chance: float) -> Trait:
    """Give a trait with a chance."""
    return Trait(trait.gene, trait.form, min(chance, 1.0))


class _Sums:
    """Numbers by season and label, and sums of the chances of what is carried by label."""

    def __init__(self, shape: tuple[int, int], traits: int) -> None:
        self.numbers = np.zeros(shape)
        self.chances = np.zeros((traits, shape[1]))
