"""What a route is to lead to: genotypes at some loci, in which sexes and how many."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Factor
from genetics.genes.loci import HARMS, WILD, HealthNote, Locus, Pair
from genetics.genes.notation import read_animal
from genetics.genes.traits import Sex

Sexes = Literal["either", "male", "female", "pair"]
Harms = tuple[tuple[HealthNote, str], ...]


class BadTarget(ValueError):
    """A target that asks for nothing, for too much, or not clearly."""


@dataclass(frozen=True)
class Target:
    """Animals wanted at the end of a route.

    Attributes
    ----------
    words
        The target as it is written.
    accepted
        For each locus that counts, the allele pairs that are accepted; at a sex-linked locus a
        male's pair is (allele on the X, allele on the Y). Loci not named may be anything.
    sexes
        "either": any sex; "male", "female"; "pair": as many of each.
    count
        How many, of each sex for "pair".
    harms
        Health notes of the accepted genotypes, with the gene each belongs to, worst first.
    """

    words: str
    accepted: tuple[tuple[str, frozenset[Pair]], ...]
    sexes: Sexes
    count: int
    harms: Harms

    @property
    def needs(self) -> tuple[int, int, int]:
        """Males, females and animals of either sex wanted."""
        if self.sexes == "either":
            return 0, 0, self.count
        return (
            self.count if self.sexes in ("male", "pair") else 0,
            self.count if self.sexes in ("female", "pair") else 0,
            0,
        )


def worst_first(harms: Iterable[tuple[HealthNote, str]]) -> Harms:
    """Health notes with the gene each belongs to, the worst kind of harm first."""
    return tuple(sorted(harms, key=lambda item: (HARMS.index(item[0].harm), item[1], item[0].id)))


def target_of(
    accepted: Mapping[str, Iterable[Pair]],
    catalogue: Catalogue,
    *,
    words: str = "",
    sexes: Sexes = "either",
    count: int = 1,
) -> Target:
    """Target as allele pairs by locus.

    Parameters
    ----------
    accepted
        Allele pairs accepted, by id of the locus. At a sex-linked locus a pair stands for a male's
        (X, Y) in this order and for a female's two X in any order.
    catalogue
        The genes.
    words
        How to write it; made from the pairs if left out.
    sexes, count
        Which sexes, and how many (of each for "pair").

    Raises
    ------
    BadTarget
        If no locus is named, a pair has an unknown allele, all pairs of a locus are accepted, or the
        count is not a whole number from 1.
    UnknownGene
        If the catalogue has no such locus.
    """
    if sexes not in get_args(Sexes):
        raise BadTarget(f"sexes is '{sexes}'; allowed: {', '.join(get_args(Sexes))}")
    if count != int(count) or count < 1:
        raise BadTarget(f"{count} animals wanted; allowed: whole numbers from 1")
    if not accepted:
        raise BadTarget("the target names no gene; allowed: one gene or more")
    rows = []
    harms: dict[tuple[str, str], tuple[HealthNote, str]] = {}
    for locus_id in sorted(accepted, key=lambda name: catalogue.locus_order.get(name, -1)):
        locus = catalogue.locus(locus_id)
        pairs = frozenset(_checked(locus, pair) for pair in accepted[locus_id])
        if not pairs:
            raise BadTarget(f"no allele pair of {locus.name} is accepted; allowed: one or more")
        rows.append((locus_id, pairs))
        for pair in sorted(pairs):
            harms.update({(note.id, name): (note, name) for note, name in locus.look(pair).notes})
    text = words or ", ".join("/".join(min(pairs)) for _, pairs in rows)
    return Target(text, tuple(rows), sexes, int(count), worst_first(harms.values()))


def _checked(locus: Locus, pair: Pair) -> Pair:
    """Pair whose alleles the locus has, in the order in which it counts."""
    for allele in pair:
        if allele not in locus.alleles:
            raise BadTarget(f"{locus.name} has no allele '{allele}'; allowed: {', '.join(locus.alleles)}")
    return (pair[0], pair[1]) if locus.sex_linked else locus.ordered(*pair)


def read_target(
    text: str, catalogue: Catalogue, *, sexes: Sexes = "either", count: int = 1, exact: bool = False
) -> Target:
    """Target written as breeders write an animal: "clown pied", "super pastel het clown".

    Parameters
    ----------
    text
        The animal wanted; genes not named may be anything.
    catalogue
        The genes.
    sexes, count
        Which sexes, and how many (of each for "pair").
    exact
        False: every allele pair that shows and carries the same counts, so two copies of a dominant
        gene will do. True: only the allele pairs written.

    Raises
    ------
    NotationError
        For a word that can't be read.
    BadTarget
        If the text leaves open what is wanted ("66% het"), names no gene, or asks for a sex twice.
    """
    animal = read_animal(text, catalogue, sex=Sex.MALE if sexes == "male" else Sex.UNSEXED)
    if animal.sex is not Sex.UNSEXED and sexes != animal.sex.value:
        raise BadTarget(f"the text says {animal.sex.value}, the target asks for '{sexes}'")
    accepted: dict[str, set[Pair]] = {}
    for factor in animal.belief:
        locus, pairs = _clear(factor, catalogue, text)
        phased = animal.sex is Sex.MALE and locus.sex_linked and len(factor.table) == 1
        accepted[locus.id] = _meant(locus, next(iter(pairs)), phased=phased, exact=exact)
    return target_of(accepted, catalogue, words=" ".join(text.split()), sexes=sexes, count=count)


def _clear(factor: Factor, catalogue: Catalogue, text: str) -> tuple[Locus, set[Pair]]:
    """Locus and pairs of a factor that says one thing, chromosomes left open."""
    locus = catalogue.locus(factor.loci[0])
    pairs = {entry[0] for entry, _ in factor.table}
    if len(factor.loci) > 1 or len({locus.ordered(*pair) for pair in pairs}) > 1:
        raise BadTarget(f"'{text}' leaves open what is wanted at {locus.name}; write a gene that is certain")
    return locus, pairs


def _meant(locus: Locus, pair: Pair, *, phased: bool, exact: bool) -> set[Pair]:
    """Allele pairs a written pair stands for; chromosomes as written if they were."""
    look = locus.look(pair)
    same = {pair, (pair[1], pair[0])}
    if not exact:
        same = {
            (one, other)
            for one in locus.alleles
            for other in locus.alleles
            if (locus.look((one, other)).label, locus.look((one, other)).carried)
            == (look.label, look.carried)
        }
    if not locus.sex_linked:
        return {locus.ordered(*found) for found in same}
    if phased and WILD in pair:
        return {found for found in same if _wild(found) == _wild(pair)}
    return same


def _wild(pair: Pair) -> tuple[bool, bool]:
    """Which of two alleles are wild type."""
    return pair[0] == WILD, pair[1] == WILD
