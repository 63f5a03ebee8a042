"""Chances of every animal at some loci, from the network of the records; answers kept by content."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from genetics.genes.traits import Sex
from genetics.pedigrees.elimination import Solution
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.founders import NOT_AT_ALL, Priors
from genetics.pedigrees.network import Key, Network, Part, build_network

Chances = dict[tuple[Hashable, ...], float]


@dataclass(eq=False)
class Kept:
    """Answers of parts, by what the parts say; those not asked for again are forgotten.

    Attributes
    ----------
    before
        Parts and answers of an earlier question.
    now
        Parts and answers of this question.
    """

    before: Mapping[Hashable, tuple[Part, Solution]] = field(default_factory=dict)
    now: dict[Hashable, tuple[Part, Solution]] = field(default_factory=dict)

    def solution(self, part: Part) -> Solution:
        """Answer of a part, reckoned only if it is new."""
        found = self.now.get(part.content) or self.before.get(part.content)
        if found is None:
            names = set(part.keys)
            earlier = self._earlier.get(part.keys[0][2], ())
            like = max(earlier, key=lambda other: len(names.intersection(other[0].keys)), default=None)
            found = (part, part.solution(like))
        self.now[part.content] = found
        return found[1]

    @cached_property
    def _earlier(self) -> Mapping[str, list[tuple[Part, Solution]]]:
        """Earlier parts and answers by locus."""
        found: dict[str, list[tuple[Part, Solution]]] = {}
        for part, solution in self.before.values():
            found.setdefault(part.keys[0][2], []).append((part, solution))
        return found


@dataclass(frozen=True, eq=False)
class Answer:
    """What is known at some loci that were looked at together.

    Attributes
    ----------
    loci
        Ids of the loci.
    evidence, priors
        The records it rests on, with what was set aside left out, and what founders may have.
    network, solutions
        The network, and the chances of each of its parts.
    """

    loci: tuple[str, ...]
    evidence: Evidence
    priors: Priors
    network: Network
    solutions: tuple[Solution, ...]

    @property
    def possible(self) -> bool:
        """Whether the records can all be true."""
        return not self.network.broken and all(solution.possible for solution in self.solutions)

    @property
    def log_evidence(self) -> float:
        """Natural log of the chance of all that was seen and tested; minus infinity if impossible."""
        if not self.possible:
            return -np.inf
        return self.network.log_constant + sum(solution.log_evidence for solution in self.solutions)

    @cached_property
    def involved(self) -> frozenset[str]:
        """Animals of the parts that can't be true, with their parents and young."""
        found = {name for names in self.network.broken for name in names}
        collection = self.evidence.collection
        for part, solution in zip(self.network.parts, self.solutions, strict=True):
            if not solution.possible:
                for name in {name for kind, name, _ in part.keys if kind == "genes"}:
                    found |= {name, *collection.parents(name), *collection.children[name]}
        return frozenset(found)

    @cached_property
    def _places(self) -> Mapping[Key, tuple[int, int]]:
        """Part of each open variable, and its place there."""
        return {
            key: (number, place)
            for number, part in enumerate(self.network.parts)
            for place, key in enumerate(part.keys)
        }

    def part_number(self, key: Key) -> int | None:
        """Part in which a variable is open; None if it is certain."""
        found = self._places.get(key)
        return None if found is None else found[0]

    def chances(self, key: Key) -> dict[Hashable, float]:
        """Chance of each state of a variable; empty for one that is not in the network."""
        found = self._places.get(key)
        if found is None:
            return dict.fromkeys(self.network.states.get(key, ()), 1.0)
        number, place = found
        values = self._cleaned(self.solutions[number].chances[place])
        states = self.network.parts[number].states[place]
        return {state: float(value) for state, value in zip(states, values, strict=True) if value > 0.0}

    def joint(self, keys: Sequence[Key]) -> Chances:
        """Joint chance of some variables of one part, states in the order asked."""
        part = self.network.parts[self._places[keys[0]][0]]
        table = self._cleaned(part.joint(keys))
        states = [self.network.states[key] for key in keys]
        return {
            tuple(own[index] for own, index in zip(states, where, strict=True)): float(table[where])
            for where in zip(*(axis.tolist() for axis in np.nonzero(table)), strict=True)
        }

    def _cleaned(self, values: np.ndarray) -> np.ndarray:
        """Chances without what the very small chance of opened founders alone gives."""
        if not self.priors.opened:
            return values
        kept = np.where(values < NOT_AT_ALL, 0.0, values)
        return np.asarray(kept / kept.sum())


def answer(evidence: Evidence, loci: tuple[str, ...], priors: Priors, kept: Kept) -> Answer:
    """Work out what is known at some loci.

    Raises
    ------
    TooTangled
        If the relations are too entangled for an exact answer.
    """
    network = build_network(evidence, loci, priors)
    return Answer(loci, evidence, priors, network, tuple(kept.solution(part) for part in network.parts))


def loci_together(evidence: Evidence) -> tuple[tuple[str, ...], ...]:
    """Loci that anything is said of, those put together that evidence can tie.

    Loci are tied by look-alikes of each other, by a claim about several of them, by a clutch that
    may have several sires, and sex-linked ones by young whose sex is not known.
    """
    loci = evidence.loci
    group_of = {locus: {locus} for locus in loci}
    for tie in _ties(evidence):
        together = [locus for locus in tie if locus in group_of]
        merged = set().union(*(group_of[locus] for locus in together))
        for locus in merged:
            group_of[locus] = merged
    order = {locus: place for place, locus in enumerate(loci)}
    distinct = {id(group): group for group in group_of.values()}
    groups = (tuple(sorted(group, key=order.__getitem__)) for group in distinct.values())
    return tuple(sorted(groups, key=lambda group: order[group[0]]))


def _ties(evidence: Evidence) -> list[Sequence[str]]:
    """Sets of loci that must be looked at together."""
    collection, catalogue = evidence.collection, evidence.catalogue
    ties: list[Sequence[str]] = [tuple(group) for group in set(evidence.tied_looks.values())]
    ties.extend(factor.loci for claims in evidence.claims.values() for factor in claims.values())
    if any(animal.litter and collection.sexes[animal.id] is Sex.UNSEXED for animal in collection.animals):
        ties.append(tuple(locus for locus in evidence.loci if catalogue.locus(locus).sex_linked))
    uncertain = [litter.id for litter in collection.litters if len(litter.sires) > 1]
    if uncertain:
        reach = {locus: _touched(evidence, locus) for locus in evidence.loci}
        for litter in uncertain:
            sires = {str(sire.id) for sire in collection.sires[litter]} | set(collection.young_of[litter])
            ties.append(tuple(locus for locus, names in reach.items() if names & sires))
    return ties


def _touched(evidence: Evidence, locus: str) -> set[str]:
    """Animals that something said of a locus may bear on, upwards and downwards."""
    collection = evidence.collection
    named = {*evidence.shows.get(locus, {}), *evidence.claims.get(locus, {}), *evidence.tests.get(locus, {})}
    return collection.descendants(collection.ancestors(named))
