"""Which genes of an animal can't be seen because another of its genes hides them?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from genetics.genes.loci import Pair, PairLook

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue


def is_hidden_by(look: PairLook, other: PairLook) -> bool:
    """Whether a look of one locus can't be seen under a look of another.

    What hides all can't be hidden itself. A look that acts on the pattern alone is hidden by what
    hides the pattern, one that acts on the colour alone by what hides the colour; where it is not
    known what a look acts on, only what hides all hides it.
    """
    if not look.appearance or look.hides == "all":
        return False
    return other.hides == "all" or (other.hides != "" and other.hides == look.acts_on)


def hidden_loci(pairs: Mapping[str, Pair], catalogue: Catalogue) -> tuple[str, ...]:
    """Loci whose look can't be seen in an animal, in the catalogue's order.

    Parameters
    ----------
    pairs
        Allele pair by id of the locus; loci left out are wild type.
    catalogue
        The genes.

    Raises
    ------
    UnknownGene
        If the catalogue has no such locus.
    """
    looks = {locus_id: catalogue.locus(locus_id).look(pair) for locus_id, pair in pairs.items()}
    hidden = [
        locus_id
        for locus_id, look in looks.items()
        if any(is_hidden_by(look, other) for name, other in looks.items() if name != locus_id)
    ]
    return tuple(sorted(hidden, key=catalogue.locus_order.__getitem__))


def sight(pairs: Mapping[str, Pair], catalogue: Catalogue) -> tuple[str, ...]:
    """Name what the eye sees of an animal: what nothing hides, in the catalogue's order, each once.

    Two animals with the same sight can't be told apart.

    Parameters
    ----------
    pairs
        Allele pair by id of the locus; loci left out are wild type.
    catalogue
        The genes.
    """
    hidden = set(hidden_loci(pairs, catalogue))
    order = catalogue.locus_order
    shown = [
        catalogue.locus(locus_id).look(pairs[locus_id]).appearance
        for locus_id in sorted(pairs, key=order.__getitem__)
        if locus_id not in hidden
    ]
    return tuple(dict.fromkeys(name for name in shown if name))
