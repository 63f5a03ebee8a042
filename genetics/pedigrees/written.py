"""How a breeder's list of animals becomes a collection: what is written shows, or is claimed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Factor, make_animal
from genetics.genes.loci import Locus
from genetics.genes.notation import read_animal
from genetics.genes.traits import Sex
from genetics.pedigrees.founders import fewest_copies
from genetics.pedigrees.pedigree import (
    UNKNOWN_SIRE,
    Collection,
    Litter,
    PedigreeAnimal,
    PossibleSire,
    Seen,
    TestResult,
)
from genetics.pedigrees.states import NORMAL, all_pairs, alleles_of_look, phased, with_look


@dataclass(frozen=True)
class WrittenAnimal:
    """One animal as a breeder's book has it.

    Attributes
    ----------
    id
        Its name, unique in the book.
    text
        What it is, as written: "pastel 66% het clown".
    sex
        Its sex.
    sire, dam
        Names of its parents in the book; None if they are not in it.
    clutch
        Name of the clutch it hatched from; None if it is not recorded. Animals of one clutch share
        parents that are not in the book, too.
    tests
        Results of gene tests.
    was_seen
        False if nobody looked at it: then all that is written is a claim.
    """

    id: str
    text: str
    sex: Sex = Sex.UNSEXED
    sire: str | None = None
    dam: str | None = None
    clutch: str | None = None
    tests: tuple[TestResult, ...] = ()
    was_seen: bool = True


def seen_and_claim(animal: Animal, catalogue: Catalogue) -> tuple[Seen, Animal]:
    """Split what is written of an animal into what the eye sees and what is claimed.

    What shows is seen. What can't be seen is a claim: hets, which of several look-alikes it is, a
    second copy that does not show, where a sex-linked gene came from, and genes hidden by another.

    Parameters
    ----------
    animal
        The animal as it was read.
    catalogue
        The catalogue it was read with.
    """
    shows: list[tuple[str, str]] = []
    unclear: list[str] = []
    covering: set[str] = set()
    for factor in animal.belief:
        for place, locus_id in enumerate(factor.loci):
            looks = {catalogue.locus(locus_id).look(pairs[place]) for pairs, _ in factor.table}
            appearances = {look.appearance for look in looks}
            if len(appearances) > 1:
                unclear.append(locus_id)
            elif appearances != {""}:
                shows.append((locus_id, appearances.pop()))
                if any(look.hides == "all" for look in looks):
                    covering.add(locus_id)
    visible = [item for item in shows if not covering or item[0] in covering]
    plain = {locus for locus, _ in visible}
    claimed = [
        factor
        for factor in animal.belief
        if factor.loci[0] not in plain or not _says_only_the_look(animal.sex, factor, catalogue)
    ]
    claim = make_animal(animal.sex, [(factor.loci, dict(factor.table)) for factor in claimed])
    return Seen(tuple(sorted(visible)), tuple(sorted(unclear))), claim


def _says_only_the_look(sex: Sex, factor: Factor, catalogue: Catalogue) -> bool:
    """Whether a belief is what anybody would take from the look alone."""
    if len(factor.loci) > 1:
        return False
    locus: Locus = catalogue.locus(factor.loci[0])
    look = locus.look(factor.table[0][0][0]).appearance
    in_phase = phased(locus, sex)
    pairs = with_look(locus, all_pairs(locus, alleles_of_look(locus, look), in_phase), frozenset({look}))
    usual = fewest_copies(pairs, in_phase=in_phase)
    told = {entry[0]: float(chance) for entry, chance in factor.table}
    return told == usual if look else set(told) == {NORMAL}


def collection_of(
    rows: Iterable[WrittenAnimal], catalogue: Catalogue, *, litters: Sequence[Litter] = ()
) -> Collection:
    """Make a collection from a breeder's list.

    Animals of the same clutch, or without a clutch of the same two recorded parents, share their
    parents. An animal with one recorded parent and no clutch has an unrecorded parent of its own.

    Parameters
    ----------
    rows
        The animals, in any order.
    catalogue
        The genes.
    litters
        Clutches with several possible sires, or of mixed paternity; rows name them as their clutch,
        and their own sire and dam are not asked.

    Raises
    ------
    NotationError
        If a text can't be read.
    PedigreeError
        If a parent is missing, an animal is its own ancestor, or a parent has the wrong sex.
    """
    given = {litter.id: litter for litter in litters}
    made: dict[tuple[str | None, str | None, str], Litter] = {}
    animals = []
    taken = set(given)
    for row in rows:
        litter_id = row.clutch if row.clutch in given else None
        if litter_id is None and (row.sire or row.dam or row.clutch):
            key = (row.sire, row.dam, _shared_name(row))
            if key not in made:
                made[key] = _litter(row, taken)
                taken.add(made[key].id)
            litter_id = made[key].id
        animals.append(_pedigree_animal(row, litter_id, catalogue))
    return Collection(tuple(animals), (*litters, *made.values()))


def _shared_name(row: WrittenAnimal) -> str:
    """What the animals of one clutch have in common besides their recorded parents."""
    if row.clutch:
        return f"clutch {row.clutch}"
    return "" if row.sire and row.dam else f"animal {row.id}"


def _litter(row: WrittenAnimal, taken: set[str]) -> Litter:
    """Clutch of an animal, with a name of its own."""
    parents = f"{row.sire or 'unknown'} x {row.dam or 'unknown'}"
    name = row.clutch or (parents if row.sire and row.dam else f"{parents} ({row.id})")
    while name in taken:
        name = f"{name} ({parents})"
    sires = (PossibleSire(row.sire),) if row.sire else UNKNOWN_SIRE
    return Litter(name, row.dam, sires)


def _pedigree_animal(row: WrittenAnimal, litter: str | None, catalogue: Catalogue) -> PedigreeAnimal:
    """One animal with what was seen and what is claimed."""
    animal = read_animal(row.text, catalogue, sex=row.sex)
    if not row.was_seen:
        return PedigreeAnimal(row.id, animal.sex, litter, animal, None, row.tests)
    seen, claim = seen_and_claim(animal, catalogue)
    return PedigreeAnimal(row.id, animal.sex, litter, claim, seen, row.tests)
