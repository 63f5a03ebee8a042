"""How is an animal written? Examples, and any text, as the program's own reader understands them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from dashboard.jobs.animal_copies import copies_words
from genetics import (
    Animal,
    Catalogue,
    Group,
    NotationError,
    NotWritable,
    PairingError,
    Sex,
    read_animal,
    read_group,
    write_animal,
    write_group,
)

EXAMPLES: Final[Mapping[tuple[str, Sex], str]] = {
    ("pastel enchi het clown", Sex.UNSEXED): "Genes in any order; het before what is carried unseen.",
    ("66% het pied", Sex.UNSEXED): "A chance stands before het.",
    ("pos het clown", Sex.UNSEXED): "A possible het without a number.",
    ("double het clown pied", Sex.UNSEXED): "Het for both of the two that follow.",
    ("super pastel", Sex.UNSEXED): "Two copies of a gene that looks different then.",
    ("visual clown", Sex.UNSEXED): "A recessive that shows; the gene’s name alone says the same.",
    ("coral glow", Sex.UNSEXED): "Other spellings are read as well.",
    ("bumblebee", Sex.UNSEXED): "One word for several genes.",
    ("mojave lesser", Sex.UNSEXED): "Two genes of one complex: one copy of each.",
    ("banana", Sex.MALE): "A sex-linked gene in a male: which side it came from matters for his young.",
    ("banana (from sire)", Sex.MALE): "The same with its side said; “male maker” says it too.",
    ("1.2 pastel", Sex.UNSEXED): "Several at once: males.females, then what each of them is.",
    ("normal", Sex.UNSEXED): "An animal without a gene of the list.",
}
"""Texts a breeder may write, the sex they are read for, and why each is shown."""


@dataclass(frozen=True)
class TextRead:
    """How one text was read.

    Attributes
    ----------
    text
        As it was written.
    written
        What was understood, in the trade's words; empty where it can't be read.
    copies
        What that means, copy by copy.
    assumed
        What was assumed, in sentences.
    fault
        Why it can't be read; empty if it can.
    word, nearest
        The word at fault, and the names nearest to it.
    """

    text: str
    written: str
    copies: tuple[str, ...]
    assumed: tuple[str, ...] = ()
    fault: str = ""
    word: str = ""
    nearest: tuple[str, ...] = ()


def text_read(text: str, catalogue: Catalogue, *, sex: Sex = Sex.UNSEXED) -> TextRead:
    """How a text is read: one animal of a sex, or several of one kind with their counts.

    Parameters
    ----------
    text
        Anything; what can't be read gives a result with a fault.
    catalogue
        The genes.
    sex
        Sex of the animal where the text says none.
    """
    try:
        group = read_group(text, catalogue)
        animal = group.animals[0] if group.total > 1 else read_animal(text, catalogue, sex=sex)
        written = _group_written(group, catalogue) if group.total > 1 else _written(animal, catalogue)
    except (NotationError, PairingError) as fault:
        word, nearest = getattr(fault, "word", ""), tuple(getattr(fault, "nearest", ()))
        return TextRead(text, "", (), fault=str(fault), word=word, nearest=nearest)
    return TextRead(text, written or "normal", copies_words(animal, catalogue), animal.notes)


def _written(animal: Animal, catalogue: Catalogue) -> str:
    try:
        return write_animal(animal, catalogue)
    except NotWritable:
        return " ".join(str(trait) for trait in animal.traits(catalogue))


def _group_written(group: Group, catalogue: Catalogue) -> str:
    try:
        return write_group(group, catalogue)
    except NotWritable:
        return ", ".join(f"{animal.sex.value}: {_written(animal, catalogue)}" for animal in group.animals)
