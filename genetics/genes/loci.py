"""What every allele pair of a locus looks like: genes, complexes, health notes and their looks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations_with_replacement
from typing import Literal

from genetics.genes.sources import Source
from genetics.genes.traits import Trait

Mode = Literal["recessive", "incomplete dominant", "dominant"]
Hides = Literal["", "pattern", "colour", "all"]
AppliesTo = Literal["any copy", "two copies", "compound"]
Harm = Literal["not hatching", "kinked spine or misshapen head", "wobble", "females that can't lay safely"]
Pair = tuple[str, str]

WILD = "+"
"""Name of the wild-type allele of every locus."""

HARMS: tuple[Harm, ...] = (
    "not hatching",
    "kinked spine or misshapen head",
    "wobble",
    "females that can't lay safely",
)
"""All harms, worst first."""


@dataclass(frozen=True)
class HealthNote:
    """A harm that a gene is known or said to do.

    Attributes
    ----------
    id
        Short name, unique in the catalogue.
    applies_to
        Which animals: "any copy", "two copies", or "compound" (a pair of two different alleles).
    what
        Plain sentence for the breeder.
    harm
        Kind of harm.
    lost_chance
        Chance that a fertile egg of this kind does not hatch; 0 unless eggs are lost.
    source
        Where it comes from.
    """

    id: str
    applies_to: AppliesTo
    what: str
    harm: Harm
    lost_chance: Fraction
    source: Source


@dataclass(frozen=True)
class Gene:
    """One mutant allele as the trade names it.

    Attributes
    ----------
    name, locus, locus_name
        Catalogue name; id and plain name of its locus (the trade says complex).
    mode
        "recessive": only two copies show; "incomplete dominant": one copy and two copies (super)
        look different; "dominant": one and two copies look alike.
    sex_linked
        True if the locus lies on the X and the Y.
    super_name
        The trade's own name for two copies, if it has one.
    hides
        What two copies (one copy of a dominant gene) hide of other genes.
    look_alikes
        Looks that can't be told from this one by eye.
    other_spellings
        Other words for it that are read as well.
    health
        Notes on harm.
    sources
        Where each of the fields above comes from, by its name.
    """

    name: str
    locus: str
    locus_name: str
    mode: Mode
    sex_linked: bool
    super_name: str | None
    hides: Hides
    look_alikes: tuple[str, ...]
    other_spellings: tuple[str, ...]
    health: tuple[HealthNote, ...]
    sources: Mapping[str, Source] = field(hash=False)


@dataclass(frozen=True)
class Compound:
    """A pair of two different mutant alleles of one locus that has a name or a note of its own."""

    pair: Pair
    name: str
    hides: Hides
    health: tuple[HealthNote, ...]
    source: Source


@dataclass(frozen=True)
class AlikeGroup:
    """Looks that can't be told apart by eye.

    Attributes
    ----------
    name
        What the trade calls the whole group, else empty.
    looks
        Labels of the looks ("lesser", "super lesser", "lesser butter"), possibly of several loci.
    hides
        What every look of the group hides of other genes.
    source
        Where it comes from.
    """

    name: str
    looks: tuple[str, ...]
    hides: Hides
    source: Source


@dataclass(frozen=True)
class PairLook:
    """What one allele pair shows and carries.

    Attributes
    ----------
    label
        What it shows in the trade's words; empty for a normal look.
    appearance
        Name of what the eye sees; pairs with the same one can't be told apart.
    shown, carried
        Traits that show, and recessives that are carried and do not show.
    doubled
        Dominant gene of which it has two copies without looking different, else empty.
    hides
        What it hides of other genes.
    notes
        Health notes that apply, each with the name of the gene or compound.
    survival
        Chance that a fertile egg of this kind is not lost to its genes.
    """

    label: str
    appearance: str
    shown: tuple[Trait, ...]
    carried: tuple[Trait, ...]
    doubled: str
    hides: Hides
    notes: tuple[tuple[HealthNote, str], ...]
    survival: Fraction


@dataclass(frozen=True, eq=False)
class Locus:
    """One place on a chromosome with the alleles the trade knows there.

    Attributes
    ----------
    id, name
        Short and plain name.
    genes
        Mutant alleles; the wild type "+" comes on top.
    sex_linked
        True if it lies on the X and the Y.
    recombination
        Recombination fraction in sires between the locus and the sex-determining region [0 to
        1/2]; no published value, so it is an input. None for an autosomal locus.
    looks
        What each allele pair looks like; pairs as `ordered` gives them.
    source
        Where the locus (which alleles belong to it, its linkage) comes from.
    """

    id: str
    name: str
    genes: tuple[Gene, ...]
    sex_linked: bool
    recombination: Fraction | None
    looks: Mapping[Pair, PairLook]
    source: Source

    @property
    def alleles(self) -> tuple[str, ...]:
        """Names of all alleles, the wild type last."""
        return (*(gene.name for gene in self.genes), WILD)

    def ordered(self, one: str, other: str) -> Pair:
        """Allele pair in the locus's own order, wild type last."""
        rank = self.alleles.index
        return (one, other) if rank(one) <= rank(other) else (other, one)

    def look(self, pair: Pair) -> PairLook:
        """Look of an allele pair, whatever its order."""
        found = self.looks.get(pair)
        return self.looks[self.ordered(*pair)] if found is None else found


def pair_looks(
    genes: tuple[Gene, ...], compounds: tuple[Compound, ...], alike: tuple[AlikeGroup, ...]
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
    """
    by_name = {gene.name: gene for gene in genes}
    by_pair = {frozenset(compound.pair): compound for compound in compounds}
    looks = {}
    for pair in combinations_with_replacement((*by_name, WILD), 2):
        plain = _plain_look(pair, by_name, by_pair.get(frozenset(pair)) if pair[0] != pair[1] else None)
        looks[pair] = _as_seen(plain, alike)
    return looks


def _plain_look(pair: Pair, genes: Mapping[str, Gene], compound: Compound | None) -> PairLook:
    """Look of one pair before look-alikes are considered."""
    first, second = (genes.get(name) for name in pair)
    notes = _notes(pair, genes, compound)
    survival = Fraction(1)
    for note, _ in notes:
        survival *= 1 - note.lost_chance
    shown: tuple[Trait, ...] = ()
    carried: tuple[Trait, ...] = ()
    label, doubled = "", ""
    hides: Hides = ""
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
    return PairLook(label, label, shown, carried, doubled, hides, notes, survival)


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
        met = ("any copy", "two copies") if pair[0] == pair[1] else ("any copy",)
        found.extend((note, name) for note in notes if note.applies_to in met)
    if compound is not None:
        found.extend((note, compound.name or " ".join(compound.pair)) for note in compound.health)
    return tuple(found)


def _as_seen(look: PairLook, alike: tuple[AlikeGroup, ...]) -> PairLook:
    """Give a look the appearance and the hiding of its group of look-alikes."""
    for group in alike:
        if look.label and look.label in group.looks:
            appearance = group.name or " or ".join(group.looks)
            return PairLook(
                look.label,
                appearance,
                look.shown,
                look.carried,
                look.doubled,
                group.hides or look.hides,
                look.notes,
                look.survival,
            )
    return look
