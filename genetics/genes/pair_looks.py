"""What does every allele pair of a locus look like? By the modes of its genes, or as it is said outright."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import combinations_with_replacement

from genetics.genes.loci import (
    WILD,
    ActsOn,
    AlikeGroup,
    Compound,
    Gene,
    HealthNote,
    Hides,
    Mode,
    Pair,
    PairLook,
    StatedLook,
)
from genetics.genes.traits import Trait


def pairs_of(alleles: Iterable[str]) -> tuple[Pair, ...]:
    """All allele pairs of a locus, its mutants in their order and the wild type last."""
    return tuple(combinations_with_replacement((*alleles, WILD), 2))


def mode_of_looks(one_copy: str, two_copies: str) -> Mode:
    """Mode that the looks of one and of two copies beside a normal look ("") amount to."""
    if one_copy == "":
        return "recessive"
    return "dominant" if one_copy == two_copies else "incomplete dominant"


def pair_looks(
    genes: tuple[Gene, ...],
    compounds: tuple[Compound, ...],
    alike: tuple[AlikeGroup, ...],
    stated: tuple[StatedLook, ...] = (),
) -> dict[Pair, PairLook]:
    """Look of every allele pair of one locus, in the order mutants first, wild type last.

    Parameters
    ----------
    genes
        Mutant alleles of the locus.
    compounds
        Pairs of different mutants with a name or note of their own.
    alike
        Groups of looks that can't be told apart.
    stated
        Looks of pairs that are said outright.
    """
    by_name = {gene.name: gene for gene in genes}
    by_pair = {frozenset(compound.pair): compound for compound in compounds}
    plain = {
        pair: _plain_look(pair, by_name, by_pair.get(frozenset(pair)) if pair[0] != pair[1] else None)
        for pair in pairs_of(by_name)
    }
    looks = _with_stated(plain, stated) if stated else plain
    return {pair: _as_seen(look, alike) for pair, look in looks.items()}


def _plain_look(pair: Pair, genes: Mapping[str, Gene], compound: Compound | None) -> PairLook:
    """Look of one pair before look-alikes are considered."""
    first, second = (genes.get(name) for name in pair)
    notes = _notes(pair, genes, compound)
    shown: tuple[Trait, ...] = ()
    carried: tuple[Trait, ...] = ()
    label, doubled = "", ""
    hides: Hides = ""
    acts_on: ActsOn = "" if first is None else first.acts_on
    if first is None:
        pass
    elif second is None:
        shown, carried, label, hides = _one_copy(first)
    elif pair[0] == pair[1]:
        shown, label, hides, doubled = _two_copies(first)
    elif compound is not None and compound.name:
        label, shown, hides = compound.name, (Trait(compound.name, "visual"),), compound.hides
    else:
        shown, carried, label = _unnamed_compound(first, second)
        hides = compound.hides if compound is not None else ""
    if first is not None and second is not None and first.acts_on != second.acts_on:
        acts_on = ""
    return PairLook(label, label, shown, carried, doubled, hides, notes, _survival(notes), acts_on)


def _survival(notes: Iterable[tuple[HealthNote, str]]) -> Fraction:
    """Chance of not being lost, several losses taken as independent."""
    survival = Fraction(1)
    for note, _ in notes:
        survival *= 1 - note.lost_chance
    return survival


def _one_copy(gene: Gene) -> tuple[tuple[Trait, ...], tuple[Trait, ...], str, Hides]:
    """Shown, carried, label and hidden part of one copy beside the wild type."""
    if gene.mode == "recessive":
        return (), (Trait(gene.name, "het"),), "", ""
    hides: Hides = gene.hides if gene.mode == "dominant" else ""
    return (Trait(gene.name, "visual"),), (), gene.name, hides


def _two_copies(gene: Gene) -> tuple[tuple[Trait, ...], str, Hides, str]:
    """Shown, label, hidden part and doubled dominant of two copies."""
    if gene.mode == "incomplete dominant":
        return (Trait(gene.name, "super"),), f"super {gene.name}", gene.hides, ""
    doubled = gene.name if gene.mode == "dominant" else ""
    return (Trait(gene.name, "visual"),), gene.name, gene.hides, doubled


def _unnamed_compound(first: Gene, second: Gene) -> tuple[tuple[Trait, ...], tuple[Trait, ...], str]:
    """Two different mutants: both show, unless one alone is recessive, which is then carried."""
    recessive = [gene for gene in (first, second) if gene.mode == "recessive"]
    visible = [gene for gene in (first, second) if gene not in recessive]
    if len(recessive) == 1:
        return (Trait(visible[0].name, "visual"),), (Trait(recessive[0].name, "het"),), visible[0].name
    traits = (Trait(first.name, "visual"), Trait(second.name, "visual"))
    return traits, (), f"{first.name} {second.name}"


def _notes(
    pair: Pair, genes: Mapping[str, Gene], compound: Compound | None
) -> tuple[tuple[HealthNote, str], ...]:
    """Health notes that apply to a pair, with the name they belong to."""
    found: list[tuple[HealthNote, str]] = []
    for name in dict.fromkeys(pair):
        notes = genes[name].health if name in genes else ()
        met = {"any copy", "two copies"} if pair[0] == pair[1] else {"any copy"}
        met |= {"one copy"} if WILD in pair else set()
        found.extend((note, name) for note in notes if note.applies_to in met)
    if compound is not None:
        found.extend((note, compound.name or " ".join(compound.pair)) for note in compound.health)
    return tuple(found)


def _with_stated(plain: Mapping[Pair, PairLook], stated: tuple[StatedLook, ...]) -> dict[Pair, PairLook]:
    """Looks in which those said outright stand in place of what the modes give."""
    said = {look.pair: look for look in stated}
    seen = {pair: look.appearance for pair, look in plain.items()}
    seen |= {pair: look.look for pair, look in said.items() if look.look is not None}
    looks = dict(plain)
    for pair, given in said.items():
        changed = plain[pair] if given.look is None else _stated_look(pair, plain[pair], seen)
        notes = (*changed.notes, *((note, "/".join(pair)) for note in given.health))
        hides = changed.hides if given.hides is None else given.hides
        looks[pair] = replace(changed, hides=hides, notes=notes, survival=_survival(notes))
    return _labelled(looks, plain, {pair for pair, look in said.items() if look.look is not None})


def _stated_look(pair: Pair, plain: PairLook, seen: Mapping[Pair, str]) -> PairLook:
    """Look of a pair said outright, with what it carries unseen."""
    look = seen[pair]
    carried = [
        allele
        for allele, other in (pair, pair[::-1])
        if allele not in (WILD, other) and look == seen[other, other] != seen[allele, allele]
    ]
    doubled = ""
    if look == "":
        carried = [allele for allele in dict.fromkeys(pair) if allele != WILD]
    if pair[0] == pair[1] and look in ("", seen[pair[0], WILD]):
        doubled = pair[0]
    return replace(
        plain,
        label=look,
        appearance=look,
        shown=plain.shown if look == plain.label else (Trait(look, "visual"),) if look else (),
        carried=tuple(Trait(allele, "het") for allele in carried),
        doubled=doubled,
    )


def base_pairs(looks: Mapping[Pair, PairLook]) -> dict[str, tuple[Pair, ...]]:
    """Pairs that each sight stands for by itself: those that carry and double nothing beneath it."""
    found: dict[str, tuple[Pair, ...]] = {}
    for pair, look in looks.items():
        if look.appearance and not look.carried and not look.doubled:
            found[look.appearance] = (*found.get(look.appearance, ()), pair)
    return found


def _labelled(
    looks: Mapping[Pair, PairLook], plain: Mapping[Pair, PairLook], said: set[Pair]
) -> dict[Pair, PairLook]:
    """Looks with labels that tell their pairs: one sight of several pairs is labelled by its genes."""
    several = {sight for sight, pairs in base_pairs(looks).items() if len(pairs) > 1}
    labelled = dict(looks)
    for pair in said:
        look = looks[pair]
        if look.appearance in several:
            base = _base_of(pair, looks)
            label, shown = plain[base].label, plain[base].shown
            if WILD not in base and base[0] != base[1]:
                label, shown = " ".join(base), tuple(Trait(gene, "visual") for gene in base)
            labelled[pair] = replace(look, label=label, shown=shown)
    return labelled


def _base_of(pair: Pair, looks: Mapping[Pair, PairLook]) -> Pair:
    """Pair that looks the same and carries and doubles nothing: of the allele that is not carried."""
    look = looks[pair]
    if not look.carried and not look.doubled:
        return pair
    carried = {trait.gene for trait in look.carried}
    ruling = next(allele for allele in pair if allele not in carried)
    return (ruling, WILD) if looks[ruling, ruling].doubled else (ruling, ruling)


def _as_seen(look: PairLook, alike: tuple[AlikeGroup, ...]) -> PairLook:
    """Give a look the appearance and the hiding of its group of look-alikes."""
    for group in alike:
        if look.label and (look.label in group.looks or look.appearance in group.looks):
            appearance = group.name or " or ".join(group.looks)
            return replace(look, appearance=appearance, hides=group.hides or look.hides)
    return look
