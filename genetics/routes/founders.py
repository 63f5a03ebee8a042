"""Which animals a route may start from: those held, and those that could be bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal
from genetics.genes.loci import HealthNote
from genetics.genes.traits import Sex
from genetics.routes.target import Harms, worst_first


class BadFounders(ValueError):
    """Animals no route can start from."""


@dataclass(frozen=True)
class Founder:
    """One animal a route may start from.

    Attributes
    ----------
    name
        Its name, unique among the founders.
    animal
        What is known of its genes; its sex must be known.
    price
        Price if it had to be bought [money]; None for an animal that is held.
    ready_in
        Seasons to wait before it can be paired; 0: it can be paired for the next season.
    tested
        True if its genes at the target's loci are known for certain from a test when the route
        starts; in each simulated run its true genotype is then known to the breeder.
    """

    name: str
    animal: Animal
    price: float | None = None
    ready_in: int = 0
    tested: bool = False

    @property
    def male(self) -> bool:
        """Whether it is a male."""
        return self.animal.sex is Sex.MALE


def checked_founders(founders: Sequence[Founder]) -> tuple[Founder, ...]:
    """Founders that can be used together.

    Raises
    ------
    BadFounders
        If there are none, a name occurs twice, a sex is not known, or a price or a wait is negative.
    """
    if not founders:
        raise BadFounders("no animal to start from; allowed: one or more")
    names = [founder.name for founder in founders]
    for founder in founders:
        if names.count(founder.name) > 1:
            raise BadFounders(f"two animals are called '{founder.name}'; allowed: a name each")
        if founder.animal.sex is Sex.UNSEXED:
            raise BadFounders(f"'{founder.name}' is unsexed; allowed: male or female")
        if founder.ready_in != int(founder.ready_in) or founder.ready_in < 0:
            raise BadFounders(f"'{founder.name}' waits {founder.ready_in} seasons; allowed: 0 or more")
        if founder.price is not None and not founder.price >= 0.0:
            raise BadFounders(f"'{founder.name}' costs {founder.price}; allowed: 0 or more")
    return tuple(founders)


def founder_harms(founders: Sequence[Founder], catalogue: Catalogue) -> Harms:
    """Health notes of what founders have or may have, at every locus, worst first."""
    found: dict[tuple[str, str], tuple[HealthNote, str]] = {}
    for founder in founders:
        for factor in founder.animal.belief:
            for pairs, _ in factor.table:
                for locus_id, pair in zip(factor.loci, pairs, strict=True):
                    for note, name in catalogue.locus(locus_id).look(pair).notes:
                        found[(note.id, name)] = (note, name)
    return worst_first(found.values())


def with_test(founders: Sequence[Founder], name: str) -> tuple[Founder, ...]:
    """Return the founders with one of them tested.

    Raises
    ------
    BadFounders
        If none has that name.
    """
    if name not in {founder.name for founder in founders}:
        raise BadFounders(f"no animal is called '{name}'")
    return tuple(replace(each, tested=True) if each.name == name else each for each in founders)
