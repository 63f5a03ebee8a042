"""What would a change of the breeder's own genes do to what the book holds? Read with both catalogues."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from dashboard.jobs.animal_copies import copies_words
from dashboard.records import Book
from genetics import (
    WILD,
    Animal,
    Catalogue,
    Locus,
    NotationError,
    OwnGeneFault,
    PairingError,
    PairLook,
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
        What of it changes: its genes, its look, that of its young, its harms, how its genes are passed on.
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
    unreadable
        Whether some of it could no longer be read: storing such a change is refused.
    """

    animals: tuple[ReadOtherwise, ...]
    prices: int
    counts: int
    unreadable: bool = False

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
    prices = _sold_otherwise(((row.what, row.sex) for row in book.price_observations()), both)
    counts = _sold_otherwise(((row.what, Sex.UNSEXED) for row in book.supply_counts()), both)
    lost = any(row.after == CANT_READ for row in animals) or prices[1] or counts[1]
    return Effect(tuple(animals), prices[0], counts[0], lost)


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
        "what it shows": [_shown(look) for look in looks],
        "what its young may look like": [_seen(locus, {*pair, WILD}) for locus, pair in pairs],
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


def _shown(look: PairLook) -> tuple[object, ...]:
    return (look.label, look.appearance, look.hides, look.acts_on, look.survival)


def _seen(locus: Locus, alleles: set[str]) -> list[tuple[object, ...]]:
    """Looks of all pairs of some alleles."""
    return [_shown(look) for pair, look in locus.looks.items() if alleles.issuperset(pair)]


def _sold_otherwise(
    written: Iterable[tuple[str, Sex]], both: tuple[Catalogue, Catalogue]
) -> tuple[int, bool]:
    """How many of some prices or counts are of other genes as sold, and whether any can't be read then."""
    kept: dict[tuple[str, Sex], tuple[object, object]] = {}
    number, lost = 0, False
    for text, sex in written:
        if (text, sex) not in kept:
            kept[text, sex] = (_sold(text, sex, both[0]), _sold(text, sex, both[1]))
        now, then = kept[text, sex]
        number += now != then
        lost = lost or (now is not None and then is None)
    return number, lost


def _sold(text: str, sex: Sex, catalogue: Catalogue) -> object:
    """Genes of a text and what a buyer pays for; None if it can't be read."""
    animal = _read(text, sex, catalogue)
    return None if animal is None else (animal.belief, traits_of(animal, catalogue))
