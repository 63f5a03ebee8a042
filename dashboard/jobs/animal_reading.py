"""How is an animal read as the breeder wrote it, and which known harms are tied to its genes?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from genetics import (
    Animal,
    Catalogue,
    HealthNote,
    NotationError,
    NotWritable,
    PairingError,
    Sex,
    read_animal,
    write_animal,
)


@dataclass(frozen=True)
class AnimalHarm:
    """A health note that concerns an animal.

    Attributes
    ----------
    gene
        Gene or compound it belongs to.
    note
        The note, with its source.
    itself
        True if the animal may have the harm itself; False if only young of it can.
    """

    gene: str
    note: HealthNote
    itself: bool


@dataclass(frozen=True)
class Reading:
    """How the text of an animal was read.

    Attributes
    ----------
    written
        What was understood, written back in the trade's words; empty for a normal animal.
    assumed
        What was assumed, in sentences.
    harms
        Health notes, those of the animal itself first.
    fault
        Why it can't be read, as a sentence; empty if it can.
    """

    written: str
    assumed: tuple[str, ...]
    harms: tuple[AnimalHarm, ...]
    fault: str = ""

    @property
    def words(self) -> str:
        """What was understood, "normal" for an animal without a known gene."""
        return self.written or "normal"


@lru_cache(maxsize=5_000)
def reading_of(text: str, sex: Sex, catalogue: Catalogue) -> Reading:
    """How a text is read with these genes; a text that can't be read gives a reading with a fault."""
    try:
        animal = read_animal(text, catalogue, sex=sex)
    except (NotationError, PairingError) as fault:
        return Reading("", (), (), str(fault))
    return Reading(_written(animal, catalogue), animal.notes, harms_of(animal, catalogue))


def _written(animal: Animal, catalogue: Catalogue) -> str:
    try:
        return write_animal(animal, catalogue)
    except NotWritable:
        return " ".join(str(trait) for trait in animal.traits(catalogue))


def harms_of(animal: Animal, catalogue: Catalogue) -> tuple[AnimalHarm, ...]:
    """Health notes of an animal's own look, and those its genes can bring to its young."""
    itself: dict[tuple[str, str], AnimalHarm] = {}
    young: dict[tuple[str, str], AnimalHarm] = {}
    for factor in animal.belief:
        for pairs, _ in factor.table:
            for locus_id, pair in zip(factor.loci, pairs, strict=True):
                for note, name in catalogue.locus(locus_id).look(pair).notes:
                    itself[(name, note.id)] = AnimalHarm(name, note, itself=True)
                for gene in catalogue.locus(locus_id).genes:
                    if gene.name in pair:
                        notes = {(gene.name, note.id): note for note in gene.health}
                        young |= {key: AnimalHarm(key[0], note, itself=False) for key, note in notes.items()}
    return (*itself.values(), *(harm for key, harm in young.items() if key not in itself))


def plain_words(text: str) -> list[str]:
    """Words of a text, sorted, so that another order reads the same."""
    return sorted(text.casefold().replace(",", " ").split())


def with_name(text: str, word: str, name: str) -> str:
    """Text with a name in place of the first word that could not be read; unchanged if it isn't there."""
    place = text.casefold().find(word.casefold()) if word else -1
    return text if place < 0 else text[:place] + name + text[place + len(word) :]
