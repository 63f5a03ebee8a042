"""How does an entry of the catalogue read as plain data that a breeder can change?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from genetics.genes.loci import Gene, HealthNote, Locus, StatedLook

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue


def definition_of(name: str, catalogue: Catalogue) -> dict[str, Any]:
    """Plain data of a gene, a complex or a combination, as a breeder's own definition holds it.

    A gene that ships is given as a "correction" with every field it may change, so that a form can be
    filled with it; only what differs counts as corrected. The breeder's own gene is given as a "gene".

    Parameters
    ----------
    name
        Name of a gene, id of a locus, or a combination's name; a gene goes before its locus.
    catalogue
        The genes.

    Raises
    ------
    UnknownGene
        If the catalogue has nothing of that name.
    """
    if any(gene.name == name for gene in catalogue.genes):
        return _gene(catalogue.gene(name), catalogue)
    if name in catalogue.combinations:
        return {"kind": "combination", "genes": dict(catalogue.combinations[name])}
    return _complex(catalogue.locus(name), catalogue)


def _gene(gene: Gene, catalogue: Catalogue) -> dict[str, Any]:
    """Plain data of a gene."""
    locus = catalogue.locus(gene.locus)
    own = gene.sources["name"].kind == "own"
    found = {"kind": "gene" if own else "correction"} | gene_fields(gene)
    found["look_alikes"] = list(gene.look_alikes)
    if not own or len(locus.genes) > 1:
        found["locus"] = locus.id
    if not own or (len(locus.genes) == 1 and locus.sex_linked):
        found |= _linkage(locus)
    return found | (_pair_fields(look for look in locus.stated if gene.name in look.pair) if own else {})


def gene_fields(gene: Gene) -> dict[str, Any]:
    """Fields that a gene has by itself, its locus left aside."""
    return {
        "mode": gene.mode,
        "super_name": gene.super_name,
        "spellings": list(gene.other_spellings),
        "hides": gene.hides,
        "acts_on": gene.acts_on,
        "health": [note_fields(note) for note in gene.health],
    }


def note_fields(note: HealthNote) -> dict[str, str]:
    """Fields of a health note that a breeder can change."""
    return {
        "harm": note.harm,
        "applies_to": note.applies_to,
        "what": note.what,
        "lost_chance": str(note.lost_chance),
    }


def _linkage(locus: Locus) -> dict[str, Any]:
    linked: dict[str, Any] = {"sex_linked": locus.sex_linked}
    return linked | ({} if locus.recombination is None else {"recombination": str(locus.recombination)})


def _pair_fields(stated: Iterable[StatedLook]) -> dict[str, Any]:
    """Looks, hatch chances and hiding of allele pairs that are said outright."""
    looks: dict[str, str] = {}
    hatch: dict[str, str] = {}
    hides: dict[str, str] = {}
    for look in stated:
        pair = "/".join(look.pair)
        if look.look is not None:
            looks[pair] = look.look
        if look.hides is not None:
            hides[pair] = look.hides
        for note in look.health:
            hatch[pair] = str(1 - note.lost_chance)
    parts: Mapping[str, dict[str, str]] = {"looks": looks, "hatch": hatch, "hides": hides}
    return {name: part for name, part in parts.items() if part}


def _complex(locus: Locus, catalogue: Catalogue) -> dict[str, Any]:
    """Plain data of a locus with all its genes."""
    genes = {gene.name: gene_fields(gene) for gene in locus.genes}
    pairs = _pair_fields(locus.stated)
    for compound in catalogue.compounds:
        if compound.name and set(compound.pair) <= genes.keys():
            pairs.setdefault("looks", {})["/".join(locus.ordered(*compound.pair))] = compound.name
    found: dict[str, Any] = {"kind": "complex", "genes": genes, **pairs}
    labels = {look.label for look in locus.looks.values()}
    alike = [list(group.looks) for group in catalogue.alike if labels.issuperset(group.looks)]
    if alike:
        found["look_alikes"] = alike
    if locus.wild_name:
        found["wild"] = locus.wild_name
    return found | (_linkage(locus) if locus.sex_linked else {})
