"""What is a gene, a locus, a look, a harm? The records the catalogue is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from genetics.genes.sources import Source
from genetics.genes.traits import Trait

Mode = Literal["recessive", "incomplete dominant", "dominant"]
Hides = Literal["", "pattern", "colour", "all"]
ActsOn = Literal["", "pattern", "colour", "both"]
AppliesTo = Literal["any copy", "one copy", "two copies", "compound", "genes together"]
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
        Which animals: "any copy"; "one copy" beside the wild type; "two copies"; "compound" (a pair
        of two different alleles); "genes together" (genes of several loci).
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
        Where each of the other fields comes from, by its name.
    acts_on
        What of the animal it changes: a gene that acts on the pattern alone can't be seen under one
        that hides the pattern. "both" and empty (not said) are hidden only by what hides all.
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
    acts_on: ActsOn = ""


@dataclass(frozen=True)
class Compound:
    """A pair of two different mutant alleles of one locus that has a name or a note of its own."""

    pair: Pair
    name: str
    hides: Hides
    health: tuple[HealthNote, ...]
    source: Source


@dataclass(frozen=True)
class StatedLook:
    """Look of one allele pair said outright, in place of what the modes of its genes would give.

    Attributes
    ----------
    pair
        Allele pair in the locus's own order.
    look
        Name of what the eye sees, empty for a normal look; pairs with the same one look alike.
        None leaves the look as the modes give it.
    hides
        What it hides of other genes; None as its genes say.
    health
        Health notes of this pair alone.
    source
        Where it comes from.
    """

    pair: Pair
    look: str | None
    hides: Hides | None
    health: tuple[HealthNote, ...]
    source: Source


@dataclass(frozen=True)
class CombinedHarm:
    """A harm of genes of several loci together.

    Attributes
    ----------
    genes
        Gene names, each with the least number of copies (1 or 2) that it takes.
    note
        The harm.
    """

    genes: tuple[tuple[str, int], ...]
    note: HealthNote

    @property
    def name(self) -> str:
        """The genes in words: "spider with two copies of sable"."""
        words = [gene if copies == 1 else f"two copies of {gene}" for gene, copies in self.genes]
        return " with ".join(words)


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
        Gene of which it has two copies without looking different from one, else empty.
    hides
        What it hides of other genes.
    notes
        Health notes that apply, each with the name of the gene or compound.
    survival
        Chance that a fertile egg of this kind is not lost to its genes.
    acts_on
        What of the animal it changes, where that is known.
    """

    label: str
    appearance: str
    shown: tuple[Trait, ...]
    carried: tuple[Trait, ...]
    doubled: str
    hides: Hides
    notes: tuple[tuple[HealthNote, str], ...]
    survival: Fraction
    acts_on: ActsOn = ""


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
    stated
        Looks of allele pairs said outright; they stand in `looks`.
    wild_name
        What the wild type is called where it has a name ("round" of seeds), else empty.
    recombination_source
        Where the recombination fraction comes from; None for an autosomal locus.
    """

    id: str
    name: str
    genes: tuple[Gene, ...]
    sex_linked: bool
    recombination: Fraction | None
    looks: Mapping[Pair, PairLook]
    source: Source
    stated: tuple[StatedLook, ...] = ()
    wild_name: str = ""
    recombination_source: Source | None = None

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
