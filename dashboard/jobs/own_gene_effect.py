"""What would a change of the breeder's own genes do to what the book holds? Read with both catalogues."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from dashboard.jobs.animal_copies import copies_words
from dashboard.records import Book
from genetics import (
    Animal,
    Catalogue,
    NotationError,
    OwnGeneFault,
    PairingError,
    Sex,
    catalogue_with,
    harms_of_animal,
    load_catalogue,
    read_animal,
    traits_of,
)

CANT_READ = "can’t be read"


@dataclass(frozen=True)
class ReadOtherwise:
    """One animal or price that a change makes read otherwise.

    Attributes
    ----------
    name
        The animal's name, or what a price is of.
    before, after
        What it has, copy by copy, now and then.
    changed
        What of it changes: its genes, what it shows, its harms, how its genes are passed on.
    """

    name: str
    before: str
    after: str
    changed: tuple[str, ...]


@dataclass(frozen=True)
class Effect:
    """What a change does to the book.

    Attributes
    ----------
    animals
        Animals that are read otherwise.
    prices, counts
        Number of prices and of counts of offers that are read otherwise.
    """

    animals: tuple[ReadOtherwise, ...]
    prices: int
    counts: int

    @property
    def any(self) -> bool:
        """Whether anything of the book is read otherwise."""
        return bool(self.animals or self.prices or self.counts)


def effect_of(book: Book, name: str, definition: Mapping[str, Any] | None) -> Effect:
    """What of a book is read otherwise once a definition is stored, or taken out with None.

    A definition that can't join the catalogue has no effect here; storing it is refused with the reason.

    Parameters
    ----------
    book
        The book.
    name, definition
        The definition as `Book.set_own_gene` takes it.
    """
    genes = book.catalogue()
    gone = {name, *(other for other, _ in genes.left_out)}
    after = {key: part for key, part in book.own_genes().items() if key not in gone}
    after |= {} if definition is None else {name: dict(definition)}
    try:
        both = (genes.catalogue, catalogue_with(load_catalogue(), after))
    except OwnGeneFault:
        return Effect((), 0, 0)
    kept: dict[tuple[str, Sex], ReadOtherwise | None] = {}
    animals = []
    for animal in book.animals():
        key = (animal.text, animal.sex)
        if key not in kept:
            kept[key] = _otherwise(*key, both)
        found = kept[key]
        if found is not None:
            animals.append(ReadOtherwise(animal.name, found.before, found.after, found.changed))
    prices = ((row.what, row.sex) for row in book.price_observations())
    counts = ((row.what, Sex.UNSEXED) for row in book.supply_counts())
    return Effect(tuple(animals), _sold_otherwise(prices, both), _sold_otherwise(counts, both))


def _otherwise(text: str, sex: Sex, both: tuple[Catalogue, Catalogue]) -> ReadOtherwise | None:
    """How a text is read now and then; None if that is the same."""
    first, second = (_read(text, sex, catalogue) for catalogue in both)
    if first is None and second is None:
        return None
    words = [CANT_READ if animal is None else ", ".join(copies_words(animal, catalogue))
             for animal, catalogue in zip((first, second), both, strict=True)]  # fmt: skip
    if first is None or second is None:
        return ReadOtherwise(text, words[0], words[1], ("its genes",))
    now, then = _facts(first, both[0]), _facts(second, both[1])
    changed = tuple(what for what, facts in now.items() if facts != then[what])
    return ReadOtherwise(text, words[0], words[1], changed) if changed else None


def _read(text: str, sex: Sex, catalogue: Catalogue) -> Animal | None:
    try:
        return read_animal(text, catalogue, sex=sex)
    except (NotationError, PairingError):
        return None


def _facts(animal: Animal, catalogue: Catalogue) -> dict[str, object]:
    """What matters of an animal, by what it is called."""
    pairs = [
        (catalogue.locus(locus_id), pair)
        for factor in animal.belief
        for entry, _ in factor.table
        for locus_id, pair in zip(factor.loci, entry, strict=True)
    ]
    looks = [locus.look(pair) for locus, pair in pairs]
    return {
        "its genes": (animal.belief, traits_of(animal, catalogue)),
        "what it shows": [(look.label, look.appearance, look.hides, look.acts_on) for look in looks],
        "its harms": [
            *((note, name) for note, name, _ in harms_of_animal(animal, catalogue)),
            *(
                note
                for locus, pair in pairs
                for gene in locus.genes
                if gene.name in pair
                for note in gene.health
            ),
        ],
        "how its genes are passed on": [(locus.sex_linked, locus.recombination) for locus, _ in pairs],
    }


def _sold_otherwise(written: Iterable[tuple[str, Sex]], both: tuple[Catalogue, Catalogue]) -> int:
    """How many of some prices or counts are of other genes as sold."""
    kept: dict[tuple[str, Sex], bool] = {}
    number = 0
    for text, sex in written:
        if (text, sex) not in kept:
            kept[text, sex] = _traits(text, sex, both[0]) != _traits(text, sex, both[1])
        number += kept[text, sex]
    return number


def _traits(text: str, sex: Sex, catalogue: Catalogue) -> object:
    animal = _read(text, sex, catalogue)
    return None if animal is None else (animal.belief, traits_of(animal, catalogue))
