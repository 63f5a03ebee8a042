"""How is the text of an animal read at the door of the records? By the catalogue, once for each text."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from dashboard.records.faults import NotStored
from genetics.genes.traits import Sex, Trait

if TYPE_CHECKING:
    from genetics import Catalogue

AnimalReader = Callable[[str, Sex], tuple[Trait, ...]]
"""Traits of an animal written as the trade writes it; raises `Unreadable`."""


class Unreadable(NotStored):
    """The text of an animal has a word that can't be read, or describes an impossible animal.

    Attributes
    ----------
    word
        The word that could not be read; empty for an impossible animal.
    """

    def __init__(self, reason: str, *, word: str = "", nearest: tuple[str, ...] = ()) -> None:
        super().__init__(reason, nearest=nearest)
        self.word = word


def catalogue_reader(catalogue: Catalogue | None = None) -> AnimalReader:
    """Reader on a catalogue of genes (the shipped one by default); remembers what it has read."""
    from genetics import NotationError, PairingError, load_catalogue, read_animal, traits_of

    genes = load_catalogue() if catalogue is None else catalogue
    known: dict[tuple[str, Sex], tuple[Trait, ...]] = {}

    def read(text: str, sex: Sex) -> tuple[Trait, ...]:
        key = (text, sex)
        if key not in known:
            try:
                known[key] = traits_of(read_animal(text, genes, sex=sex), genes)
            except (NotationError, PairingError) as fault:
                raise _unreadable(fault) from fault
        return known[key]

    return read


def _unreadable(fault: Exception) -> Unreadable:
    nearest = tuple(getattr(fault, "nearest", ()))
    word = str(getattr(fault, "word", ""))
    return Unreadable(str(fault), word=word, nearest=nearest)
