"""Which hatchlings are meant: a pattern of what shows, what is carried, the sex, or one look."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

from genetics.clutches.look_alikes import hidden_places
from genetics.genes.catalogue import Catalogue, UnknownGene
from genetics.genes.loci import HARMS, Harm, Locus, Pair, PairLook
from genetics.genes.traits import Sex

ONLY_FEMALES: Harm = "females that can't lay safely"


class BadPattern(ValueError):
    """A pattern that contradicts itself or asks for what there is not."""


@dataclass(frozen=True)
class Pattern:
    """A kind of hatchling; every condition must hold, and one with no condition means all.

    A gene covered by one that hides all other genes does not show. A label stands for one row of
    the clutch's own table of looks.

    Attributes
    ----------
    shows, not_showing
        Looks that show, and that do not: "clown", "super pastel", "eight ball".
    carries, not_carrying
        Genes of which it has at least one copy, seen or not, and of which it has none.
    sex
        Male or female; None for both.
    label
        Label of a row of the table of looks; None for any.
    without
        Harms that none of its genes does.
    """

    shows: tuple[str, ...] = ()
    not_showing: tuple[str, ...] = ()
    carries: tuple[str, ...] = ()
    not_carrying: tuple[str, ...] = ()
    sex: Sex | None = None
    label: str | None = None
    without: tuple[Harm, ...] = ()

    def __post_init__(self) -> None:
        for name in ("shows", "not_showing", "carries", "not_carrying", "without"):
            if isinstance(getattr(self, name), str):
                raise BadPattern(f"{name} is the text '{getattr(self, name)}'; allowed: a tuple of names")
        for yes, no in ((self.shows, self.not_showing), (self.carries, self.not_carrying)):
            if both := set(yes) & set(no):
                raise BadPattern(f"{', '.join(sorted(both))} is both asked for and excluded")
        if self.sex is Sex.UNSEXED:
            raise BadPattern("the sex is unsexed; allowed: male, female, or None for both")
        if unknown := set(self.without) - set(HARMS):
            raise BadPattern(f"no such harm: {', '.join(sorted(unknown))}; allowed: {', '.join(HARMS)}")

    @property
    def conditions(self) -> int:
        """Number of conditions; a pattern with more of them is the longer one."""
        names = (*self.shows, *self.not_showing, *self.carries, *self.not_carrying, *self.without)
        return len(names) + (self.sex is not None) + (self.label is not None)

    def __str__(self) -> str:
        """Say the pattern in plain words."""
        words = [self.label or "", " ".join(self.shows)]
        words += [f"not {name}" for name in self.not_showing]
        words += [f"carrying {name}" for name in self.carries]
        words += [f"without {name}" for name in (*self.not_carrying, *self.without)]
        words.append("" if self.sex is None else self.sex.value)
        return ", ".join(word for word in words if word) or "any hatchling"


@dataclass(frozen=True)
class Conditions:
    """Conditions of one or more patterns together, by the locus they ask about.

    Attributes
    ----------
    shows, hides
        (locus, look) that must and must not show.
    carries, lacks
        (locus, gene, copies) of which there must be at least so many, and (locus, gene) of which none.
    without
        Harms that no locus may do.
    sex
        Sex asked for; None for both.
    never
        True if two patterns ask for different sexes, so that nothing meets both.
    """

    shows: frozenset[tuple[str, str]] = frozenset()
    hides: frozenset[tuple[str, str]] = frozenset()
    carries: frozenset[tuple[str, str, int]] = frozenset()
    lacks: frozenset[tuple[str, str]] = frozenset()
    without: frozenset[Harm] = frozenset()
    sex: Sex | None = None
    never: bool = False

    def joined(self, other: Conditions) -> Conditions:
        """Conditions of both."""
        return Conditions(
            self.shows | other.shows,
            self.hides | other.hides,
            self.carries | other.carries,
            self.lacks | other.lacks,
            self.without | other.without,
            self.sex or other.sex,
            self.never or other.never or bool(self.sex and other.sex and self.sex is not other.sex),
        )

    def touches(self, loci: Collection[str]) -> bool:
        """Whether anything is asked about one of some loci."""
        return bool(self.without) or not self._loci.isdisjoint(loci)

    @cached_property
    def _loci(self) -> frozenset[str]:
        """Loci that are asked about by name."""
        looks = (*self.shows, *self.hides, *self.lacks)
        return frozenset([locus for locus, _ in looks] + [locus for locus, _, _ in self.carries])

    def missing(self, loci: Collection[str]) -> bool:
        """Whether something must be there at a locus that is wild type in every hatchling."""
        return any(condition[0] not in loci for condition in (*self.shows, *self.carries))

    def met(self, loci: Iterable[Locus], pairs: Iterable[Pair], *, sex: Sex, covered: bool) -> bool:
        """Whether a genotype at some loci meets what is asked about them.

        Parameters
        ----------
        loci, pairs
            Loci and their allele pairs.
        sex
            Sex of the hatchling.
        covered
            True if a gene of the hatchling, here or elsewhere, hides all others.
        """
        here, given = tuple(loci), tuple(pairs)
        looks = [locus.look(pair) for locus, pair in zip(here, given, strict=True)]
        hidden = hidden_places(looks) if len(looks) > 1 else frozenset()
        for place, (locus, pair, look) in enumerate(zip(here, given, looks, strict=True)):
            unseen = place in hidden or (covered and look.hides != "all")
            seen = () if unseen else tuple(trait.key for trait in look.shown)
            if any(at == locus.id and name not in seen for at, name in self.shows):
                return False
            if any(at == locus.id and name in seen for at, name in self.hides):
                return False
            if any(at == locus.id and pair.count(name) < copies for at, name, copies in self.carries):
                return False
            if any(at == locus.id and name in pair for at, name in self.lacks):
                return False
            if self.without and _harms(look, sex) & self.without:
                return False
        return True


def _harms(look: PairLook, sex: Sex) -> set[Harm]:
    """Harms that an allele pair can do to an animal of one sex."""
    return {note.harm for note, _ in look.notes if note.harm != ONLY_FEMALES or sex is Sex.FEMALE}


@lru_cache(maxsize=4096)
def conditions_of(pattern: Pattern, catalogue: Catalogue) -> Conditions:
    """Find the loci a pattern asks about; its label is left to the clutch.

    Raises
    ------
    UnknownGene
        If the catalogue has no such look or gene; it carries the nearest names.
    """
    looks = _loci_of_looks(catalogue)
    return Conditions(
        shows=frozenset((_locus_of_look(name, looks), name) for name in pattern.shows),
        hides=frozenset((_locus_of_look(name, looks), name) for name in pattern.not_showing),
        carries=frozenset((catalogue.locus_of(name).id, name, 1) for name in pattern.carries),
        lacks=frozenset((catalogue.locus_of(name).id, name) for name in pattern.not_carrying),
        without=frozenset(pattern.without),
        sex=pattern.sex,
    )


@lru_cache(maxsize=64)
def _loci_of_looks(catalogue: Catalogue) -> Mapping[str, str]:
    """Locus of everything that can show, by its name."""
    return {
        trait.key: locus.id
        for locus in catalogue.loci
        for look in locus.looks.values()
        for trait in look.shown
    }


def _locus_of_look(name: str, looks: Mapping[str, str]) -> str:
    found = looks.get(name)
    if found is None:
        raise UnknownGene(name, tuple(difflib.get_close_matches(name, looks, 3)))
    return found
