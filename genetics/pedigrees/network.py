"""The records of a collection at some loci as a network of variables and tables.

Variables are the allele pair of an animal at a locus, which of several males sired a clutch or an
egg, and the sex of unsexed young where several sex-linked loci hang on it. Animals that can only be
wild type at a locus, and pairs that what was seen rules out, are left out beforehand.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from genetics.genes.loci import Locus, Pair
from genetics.genes.traits import Sex
from genetics.pedigrees.elimination import Array, Solution, Term, joint, solve
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.founders import Priors, founder_prior
from genetics.pedigrees.pedigree import PossibleSire
from genetics.pedigrees.states import (
    ONLY_NORMAL,
    States,
    all_pairs,
    likelihood_of_test,
    passing,
    passing_by_sex,
    phased,
    states_of_young,
    with_look,
)

MOSTLY = 0.8
"""Share of its variables that a part must have in common with one whose order it takes over."""

NO_LARGER = 1.5
"""How much larger its tables may be then."""

Key = tuple[str, str, str]
"""Kind of variable ("genes", "sire of clutch", "sire of egg", "sex"), of whom, and locus or empty."""


def genes_key(animal: str, locus: str) -> Key:
    """Name of the variable for the allele pair of an animal at a locus."""
    return ("genes", animal, locus)


@dataclass(frozen=True, eq=False)
class Part:
    """Variables that hang together.

    Attributes
    ----------
    keys
        Names of the variables.
    states
        What each may be.
    terms
        The tables, by the variables' places.
    content
        Equal for parts that say the same, so that an answer can be kept.
    """

    keys: tuple[Key, ...]
    states: tuple[tuple[Hashable, ...], ...]
    terms: tuple[Term, ...]
    content: Hashable

    @property
    def sizes(self) -> tuple[int, ...]:
        """Number of states of each variable."""
        return tuple(len(states) for states in self.states)

    def solution(self, like: tuple[Part, Solution] | None = None) -> Solution:
        """Exact chances of all its variables.

        Parameters
        ----------
        like
            A similar part and its answer; its order of elimination is taken over if it does as well.
        """
        if like is None:
            return solve(self.sizes, self.terms)
        other, answer = like
        return solve(
            self.sizes, self.terms, order=self._order_like(other, answer), entries=NO_LARGER * answer.entries
        )

    def _order_like(self, other: Part, answer: Solution) -> tuple[int, ...] | None:
        """Order of a similar part, what is new in this one first; None if it is not similar."""
        place = {key: number for number, key in enumerate(self.keys)}
        known = [place[other.keys[n]] for n in answer.order if other.keys[n] in place]
        if len(known) < MOSTLY * len(place):
            return None
        return (*sorted(set(place.values()).difference(known)), *known)

    def joint(self, keys: Sequence[Key]) -> Array:
        """Exact joint chance of some of its variables, axes in the order asked."""
        return joint(self.sizes, self.terms, [self.keys.index(key) for key in keys])


@dataclass(frozen=True, eq=False)
class Network:
    """All that the records say at some loci.

    Attributes
    ----------
    parts
        Independent parts.
    states
        What each variable may be; one with a single state is certain and in no part.
    broken
        Animals of tables that are zero whatever the rest: the records contradict each other there.
    log_constant
        Natural log of the product of all tables without an open variable.
    """

    parts: tuple[Part, ...]
    states: dict[Key, tuple[Hashable, ...]]
    broken: tuple[frozenset[str], ...]
    log_constant: float


@dataclass(eq=False)
class _Builder:
    """Collects variables and tables; thrown away once the network is made."""

    evidence: Evidence
    loci: tuple[Locus, ...]
    priors: Priors
    states: dict[Key, tuple[Hashable, ...]] = field(default_factory=dict)
    tables: list[tuple[tuple[Key, ...], Array, Hashable]] = field(default_factory=list)
    broken: list[frozenset[str]] = field(default_factory=list)
    log_constant: float = 0.0

    def add(self, keys: tuple[Key, ...], values: Array, content: Hashable, whom: Iterable[str]) -> None:
        """Take a table; variables with a single state drop out of it."""
        if values.size > 1:
            kept = tuple(key for key, size in zip(keys, values.shape, strict=True) if size > 1)
            shaped = values if len(kept) == len(keys) else values.squeeze()
            self.tables.append((kept, shaped, content))
            return
        value = float(values.item())
        if value <= 0.0:
            self.broken.append(frozenset(whom))
        else:
            self.log_constant += math.log(value)

    def set_domain(self, key: Key, states: States) -> None:
        """Say what an animal may have; wild type only is what it has anyway."""
        if states != ONLY_NORMAL:
            self.states[key] = states

    def domain(self, animal: str, locus: Locus) -> States:
        """Pairs an animal may have; wild type only where nothing else is in reach."""
        found = self.states.get(genes_key(animal, locus.id))
        return ONLY_NORMAL if found is None else found  # type: ignore[return-value]


def build_network(evidence: Evidence, loci: Sequence[str], priors: Priors) -> Network:
    """Build the network of some loci.

    Parameters
    ----------
    evidence
        The records.
    loci
        Loci that must be looked at together, as `loci_together` gives them.
    priors
        What founders may have that nobody named.
    """
    builder = _Builder(evidence, tuple(evidence.catalogue.locus(locus) for locus in loci), priors)
    for locus in builder.loci:
        _add_locus(builder, locus)
    _add_joint_claims(builder)
    _add_tied_looks(builder)
    if sum(locus.sex_linked for locus in builder.loci) > 1:
        for key in [key for key in builder.states if key[0] == "sex"]:
            builder.add((key,), np.array([0.5, 0.5]), "sex", (key[1],))
    parts = _parts(builder.states, builder.tables)
    return Network(parts, builder.states, tuple(builder.broken), builder.log_constant)


def _in_reach(evidence: Evidence, locus: Locus, priors: Priors, alleles: frozenset[str]) -> list[str]:
    """Animals that may have anything but the wild type, or are said to; parents first."""
    collection = evidence.collection
    tied = evidence.tied_looks.get(locus.id, (locus.id,))
    showing = {name for other in tied for name in evidence.shows.get(other, {})}
    sources = showing | set(evidence.claims.get(locus.id, {})) | set(evidence.tests.get(locus.id, {}))
    sources |= {animal for animal, where in evidence.insisted if where == locus.id}
    sources |= {name for name in priors.opened if name in collection.order}
    everywhere = any(priors.rate("", allele) for allele in alleles)
    named = set(collection.order) if everywhere else collection.descendants(sources)
    return sorted(named, key=collection.order.__getitem__)


def _add_locus(builder: _Builder, locus: Locus) -> None:
    """Variables and tables of one locus."""
    evidence = builder.evidence
    alleles = evidence.alleles(locus)
    claimed = evidence.claims.get(locus.id, {})
    tests = evidence.tests.get(locus.id, {})
    for name in _in_reach(evidence, locus, builder.priors, alleles):
        record = evidence.collection.by_id.get(name)
        if record is None or record.litter is None or name in claimed:
            _add_founder(builder, locus, name, alleles)
        else:
            _add_young(builder, locus, name, record.litter, alleles)
        for test in tests.get(name, ()):
            key = genes_key(name, locus.id)
            builder.add((key,), likelihood_of_test(test, builder.domain(name, locus)), test, (name,))


def _allowed(builder: _Builder, locus: Locus, name: str, states: Iterable[Pair]) -> States:
    """Those of some pairs that what was seen allows, sorted."""
    seen = builder.evidence.seen_at(name, locus.id)
    insisted = builder.evidence.insisted.get((name, locus.id))
    kept = tuple(sorted(states)) if seen is None else with_look(locus, sorted(states), seen)
    return kept if insisted is None else tuple(pair for pair in kept if pair in insisted)


def _add_founder(builder: _Builder, locus: Locus, name: str, alleles: frozenset[str]) -> None:
    """Variable of an animal whose parents are not asked, with its prior."""
    prior = founder_prior(builder.evidence, locus, name, builder.priors, alleles)
    key = genes_key(name, locus.id)
    states = _allowed(builder, locus, name, (pair for pair, chance in prior.items() if chance > 0.0))
    if not states:
        builder.set_domain(key, _all_that_fit(builder, locus, name, alleles))
        builder.broken.append(frozenset((name,)))
        return
    builder.set_domain(key, states)
    claim = builder.evidence.claims.get(locus.id, {}).get(name)
    if claim is None or len(claim.loci) == 1:
        values = np.array([prior[pair] for pair in states])
        builder.add((key,), values, ("prior", values.tobytes()), (name,))


def _all_that_fit(builder: _Builder, locus: Locus, name: str, alleles: frozenset[str]) -> States:
    """All pairs that what was seen allows, whatever the parents; all pairs if that leaves none."""
    every = all_pairs(locus, alleles, phased(locus, builder.evidence.collection.sexes[name]))
    kept = _allowed(builder, locus, name, every)
    if not kept:
        builder.broken.append(frozenset((name,)))
    return kept or every


def _add_young(builder: _Builder, locus: Locus, name: str, litter: str, alleles: frozenset[str]) -> None:
    """Variable of an animal with recorded parents, with what they pass on."""
    evidence = builder.evidence
    collection = evidence.collection
    dam = collection.dams[litter]
    mothers = builder.domain(dam, locus)
    sires = _distinct_sires(builder, locus, litter)
    seen = evidence.seen_at(name, locus.id)
    insisted = evidence.insisted.get((name, locus.id))
    only_normal = mothers is ONLY_NORMAL and builder.domain(str(sires[0].id), locus) is ONLY_NORMAL
    if only_normal and len(sires) == 1 and not insisted and (seen is None or "" in seen):
        return  # wild type for certain
    part, sex, key = evidence.part_of(locus), collection.sexes[name], genes_key(name, locus.id)
    inherited: list[Pair] = []
    for sire in sires:
        fathers = builder.domain(str(sire.id), locus)
        inherited.extend(states_of_young(locus, fathers, mothers, part, sex, seen))
    found = set(inherited) if insisted is None else insisted.intersection(inherited)
    states = tuple(sorted(found)) or _all_that_fit(builder, locus, name, alleles)
    builder.set_domain(key, states)
    several_linked = sex is Sex.UNSEXED and locus.sex_linked and _linked(builder) > 1
    selector = _selector(builder, litter, name) if len(sires) > 1 else None
    for place, sire in enumerate(sires):
        male = str(sire.id)
        fathers = builder.domain(male, locus)
        keys: tuple[Key, ...] = (genes_key(male, locus.id), genes_key(dam, locus.id), key)
        if several_linked:
            values = passing_by_sex(locus, fathers, mothers, states, part)
            keys = (*keys, ("sex", name, ""))
            builder.states[keys[-1]] = (Sex.MALE, Sex.FEMALE)
        else:
            values = passing(locus, fathers, mothers, states, part, sex)
        content: Hashable = ("young", keys, fathers, mothers, states, part, sex)
        if selector is not None:
            values = _only_if(values, place, len(sires))
            keys, content = (*keys, selector), (content, place)
        builder.add(keys, values, content, (name, male, dam))


def _linked(builder: _Builder) -> int:
    """Number of sex-linked loci that are looked at together."""
    return sum(locus.sex_linked for locus in builder.loci)


def _distinct_sires(builder: _Builder, locus: Locus, litter: str) -> tuple[PossibleSire, ...]:
    """Possible sires of a clutch; only one if all are wild type at the locus, so that it says nothing."""
    sires = builder.evidence.collection.sires[litter]
    if len(sires) > 1 and all(builder.domain(str(sire.id), locus) is ONLY_NORMAL for sire in sires):
        return sires[:1]
    return sires


def _selector(builder: _Builder, litter: str, name: str) -> Key:
    """Variable that says which male sired a clutch or an egg, with its prior."""
    record = builder.evidence.collection.litter_by_id[litter]
    key: Key = ("sire of egg", name, "") if record.per_egg else ("sire of clutch", litter, "")
    if key not in builder.states:
        sires = builder.evidence.collection.sires[litter]
        builder.states[key] = tuple(str(sire.id) for sire in sires)
        chances = np.array([float(sire.chance) for sire in sires])
        builder.add((key,), chances, ("sires", chances.tobytes()), (name,))
    return key


def _only_if(values: Array, place: int, count: int) -> Array:
    """Table that counts only if the selector stands at one place, and is 1 otherwise."""
    wide = np.ones((*values.shape, count))
    wide[..., place] = values
    return wide


def _add_joint_claims(builder: _Builder) -> None:
    """Claims about several loci together."""
    done: set[tuple[str, tuple[str, ...]]] = set()
    for locus in builder.loci:
        for name, factor in builder.evidence.claims.get(locus.id, {}).items():
            if len(factor.loci) == 1 or (name, factor.loci) in done:
                continue
            done.add((name, factor.loci))
            keys = tuple(genes_key(name, other) for other in factor.loci)
            domains = [builder.states.get(key, ONLY_NORMAL) for key in keys]
            places = [{pair: i for i, pair in enumerate(domain)} for domain in domains]
            values = np.zeros([len(place) for place in places])
            for pairs, chance in factor.table:
                if all(pair in place for pair, place in zip(pairs, places, strict=True)):
                    where = tuple(place[pair] for pair, place in zip(pairs, places, strict=True))
                    values[where] += float(chance)
            builder.add(keys, values, ("claim", values.tobytes()), (name,))


def _add_tied_looks(builder: _Builder) -> None:
    """Looks that several loci can make: what was seen must be made by one of them."""
    evidence = builder.evidence
    here = {locus.id: locus for locus in builder.loci}
    for group in set(evidence.tied_looks.values()):
        loci = [here[locus] for locus in sorted(group) if locus in here]
        for name in {animal for locus in group for animal in evidence.shows.get(locus, {})}:
            seen = evidence.seen_together(name, group)
            judged = [locus for locus in loci if evidence.seen_at(name, locus.id) is not None]
            if len(judged) < len(loci):
                continue
            keys = tuple(genes_key(name, locus.id) for locus in loci)
            domains = [builder.domain(name, locus) for locus in loci]
            values = np.zeros([len(domain) for domain in domains])
            for where in np.ndindex(*values.shape):
                pairs = [domain[index] for domain, index in zip(domains, where, strict=True)]
                looks = [locus.look(pair).appearance for locus, pair in zip(loci, pairs, strict=True)]
                values[where] = float(set(looks) - {""} == seen)
            builder.add(keys, values, ("look", tuple(sorted(seen)), tuple(domains)), (name,))


def _parts(
    states: dict[Key, tuple[Hashable, ...]], tables: Sequence[tuple[tuple[Key, ...], Array, Hashable]]
) -> tuple[Part, ...]:
    """Tables sorted into parts that share no variable."""
    leader: dict[Key, Key] = {}

    def find(key: Key) -> Key:
        while leader.setdefault(key, key) != key:
            leader[key] = leader[leader[key]]
            key = leader[key]
        return key

    for keys, _, _ in tables:
        first = find(keys[0])
        for other in keys[1:]:
            leader[find(other)] = first
    members: dict[Key, list[Key]] = {}
    for key in leader:
        members.setdefault(find(key), []).append(key)
    grouped: dict[Key, list[tuple[tuple[Key, ...], Array, Hashable]]] = {root: [] for root in members}
    for table in tables:
        grouped[find(table[0][0])].append(table)
    return tuple(_part(members[root], grouped[root], states) for root in members)


def _part(
    keys: Sequence[Key],
    tables: Sequence[tuple[tuple[Key, ...], Array, Hashable]],
    states: dict[Key, tuple[Hashable, ...]],
) -> Part:
    """One part, its variables numbered."""
    number = {key: place for place, key in enumerate(keys)}
    terms = tuple(Term(tuple(number[key] for key in scope), values) for scope, values, _ in tables)
    own = tuple(states[key] for key in keys)
    content = (tuple(keys), own, tuple((scope, what) for scope, _, what in tables))
    return Part(tuple(keys), own, terms, content)
