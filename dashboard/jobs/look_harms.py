"""Which looks of a clutch are tied to a known harm themselves?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from types import MappingProxyType

from genetics import Catalogue, HealthNote, Trait

Shown = frozenset[str]


def look_notes(traits: Iterable[Trait], catalogue: Catalogue) -> tuple[HealthNote, ...]:
    """Health notes of young that show these traits for certain, in the catalogue's order.

    A note counts where every allele pair with that look has it: what one copy and two copies of a
    dominant gene do differently is not read off the look. Kinds whose eggs never hatch are left out.

    Parameters
    ----------
    traits
        What the look shows and carries; a trait that is only possible is left aside.
    catalogue
        The genes.
    """
    sure = {trait.key for trait in traits if trait.chance >= 1.0}
    found: dict[str, HealthNote] = {}
    for shown, notes in _notes_of_looks(catalogue).items():
        if shown <= sure:
            found |= {note.id: note for note in notes}
    return tuple(found.values())


@lru_cache(maxsize=4)
def _notes_of_looks(catalogue: Catalogue) -> Mapping[Shown, tuple[HealthNote, ...]]:
    """Notes that all allele pairs with the same shown traits share, by those traits."""
    met: dict[Shown, list[tuple[HealthNote, ...]]] = {}
    for locus in catalogue.loci:
        for look in locus.looks.values():
            if look.shown and look.survival > 0:
                shown = frozenset(trait.key for trait in look.shown)
                met.setdefault(shown, []).append(tuple(note for note, _ in look.notes))
    shared = {
        shown: tuple(note for note in lists[0] if all(note in notes for notes in lists))
        for shown, lists in met.items()
    }
    return MappingProxyType({shown: notes for shown, notes in shared.items() if notes})
