"""Which records contradict each other, and what would most probably explain it.

Impossible evidence is never divided by: a smallest set of animals whose records can't all be true is
named, and each single statement that would make them possible is listed with the chance of all the
rest once it is set aside. How often each kind of record is wrong beforehand is an assumption
(`HOW_OFTEN`) that a caller may replace.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from genetics.genes.loci import Pair
from genetics.pedigrees.answers import Answer, Kept, answer
from genetics.pedigrees.elimination import TooTangled
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.founders import NOT_AT_ALL, Priors
from genetics.pedigrees.statements import (
    HOW_OFTEN,
    Kind,
    Statement,
    family,
    is_open,
    possible_statements,
    restricted,
    silenced,
    without,
)
from genetics.pedigrees.states import NORMAL

ConflictKind = Literal["impossible", "unnamed gene", "claim"]


@dataclass(frozen=True)
class Explanation:
    """One way in which contradicting records could be explained.

    Attributes
    ----------
    statement
        What would be wrong.
    log_evidence
        Natural log of the chance of everything else that was seen and tested of the family at the
        loci.
    share
        Chance of this explanation among those listed, how often each kind of record is wrong
        counted in; sums to 1.
    """

    statement: Statement
    log_evidence: float
    share: float


@dataclass(frozen=True)
class Conflict:
    """Records that can't all be true.

    Attributes
    ----------
    kind
        "impossible": something recorded must be wrong. "unnamed gene": all can be true only if a
        founder has a gene that nobody named. "claim": what an animal is said to carry can't come
        from its recorded parents.
    loci
        Where.
    animals
        A smallest set of animals whose records contradict each other, sorted.
    explanations
        Likeliest first; empty if no single statement explains it.
    set_aside
        What the answers at these loci leave out: the likeliest explanation, or all that is said of
        the animals if there is none; empty if nothing had to be left out.
    """

    kind: ConflictKind
    loci: tuple[str, ...]
    animals: tuple[str, ...]
    explanations: tuple[Explanation, ...]
    set_aside: tuple[Statement, ...]

    @property
    def words(self) -> str:
        """Plain sentence."""
        where, whom = ", ".join(self.loci), ", ".join(self.animals)
        if self.kind == "claim":
            return f"What {self.animals[0]} is said to carry at {where} can't come from its recorded parents."
        if self.kind == "unnamed gene":
            return f"The records of {whom} at {where} need a gene that nobody named."
        return f"The records of {whom} at {where} can't all be true."


def settle(
    evidence: Evidence,
    loci: tuple[str, ...],
    priors: Priors,
    kept: Kept,
    *,
    how_often: Mapping[Kind, float] = HOW_OFTEN,
) -> tuple[Answer, tuple[Conflict, ...]]:
    """Answer at some loci, with the contradictions that had to be settled first.

    Raises
    ------
    TooTangled
        If the relations are too entangled for an exact answer.
    """
    plain = answer(evidence, loci, priors, kept)
    if plain.possible:
        return plain, ()
    opened = _opened(evidence, plain, priors)
    found = answer(evidence, loci, opened, kept)
    if found.possible:
        return found, _unnamed(found, priors, how_often)
    sets = contradicting_sets(evidence, loci, opened)
    conflicts, settled = [], evidence
    for names in sets:
        others = [other for other in sets if other != names]
        conflict = _described(evidence, loci, names, "impossible", others=others, how_often=how_often)
        for statement in conflict.set_aside:
            settled = without(settled, statement, loci)
        conflicts.append(conflict)
    found = answer(settled, loci, _opened(settled, plain, priors), kept)
    if not found.possible:
        settled = silenced(evidence, {name for names in sets for name in names}, loci)
        found = answer(settled, loci, _opened(settled, plain, priors), kept)
        conflicts = [replace(conflict, set_aside=_all_said(conflict.animals)) for conflict in conflicts]
    return found, (*conflicts, *_unnamed(found, priors, how_often))


def _unnamed(found: Answer, priors: Priors, how_often: Mapping[Kind, float]) -> tuple[Conflict, ...]:
    """Sets of animals whose records need a gene that nobody named of a recorded founder."""
    if not _named_carriers(found, found.evidence, found.loci):
        return ()
    sets = contradicting_sets(found.evidence, found.loci, priors)
    conflicts = []
    for names in sets:
        others = [other for other in sets if other != names]
        conflicts.append(
            _described(found.evidence, found.loci, names, "unnamed gene", others=others, how_often=how_often)
        )
    return tuple(conflicts)


def _all_said(names: Sequence[str]) -> tuple[Statement, ...]:
    """Everything that is said of some animals."""
    return tuple(Statement("wrong look", name) for name in names) + tuple(
        Statement("wrong claim", name) for name in names
    )


def _opened(evidence: Evidence, plain: Answer, priors: Priors) -> Priors:
    """Priors under which the founders above a contradiction may have unnamed genes."""
    collection = evidence.collection
    above = collection.ancestors(plain.involved & set(collection.order))
    founders = {n for n in above if not collection.parents(n) and _may_open(evidence, n, plain.loci)}
    return replace(priors, opened=frozenset(founders))


def _may_open(evidence: Evidence, name: str, loci: Sequence[str]) -> bool:
    """Whether a founder could have a gene nobody named."""
    return name in evidence.collection.outsiders or is_open(evidence, name, loci)


def _named_carriers(found: Answer, evidence: Evidence, loci: Sequence[str]) -> list[str]:
    """Recorded founders that may have a gene which neither a claim nor their look names."""
    carriers = []
    for name in sorted(found.priors.opened & set(evidence.collection.by_id)):
        for locus in loci:
            shown = name in evidence.shows.get(locus, {}) or name in evidence.claims.get(locus, {})
            chances = found.chances(("genes", name, locus))
            if not shown and sum(c for pair, c in chances.items() if pair != NORMAL) > NOT_AT_ALL:
                carriers.append(name)
    return carriers


def contradicting_sets(evidence: Evidence, loci: tuple[str, ...], priors: Priors) -> list[frozenset[str]]:
    """Smallest sets of animals whose records contradict each other; no animal is in two of them.

    Parameters
    ----------
    evidence
        The records.
    loci
        Where.
    priors
        What founders may have that nobody named; the founders of a set that are opened in it may
        have anything.
    """
    sets: list[frozenset[str]] = []
    silent: set[str] = set()
    while True:
        smallest = _smallest(evidence, loci, priors, silent)
        if not smallest:
            return sets
        sets.append(smallest)
        silent |= smallest


def _smallest(evidence: Evidence, loci: tuple[str, ...], priors: Priors, silent: set[str]) -> frozenset[str]:
    """A smallest contradicting set among the animals that are not silent; empty if there is none."""
    whole = _with_only(evidence, loci, priors, set(evidence.collection.by_id) - silent)
    if whole.possible:
        return frozenset()
    collection = evidence.collection
    above = collection.ancestors(whole.involved & set(collection.order))
    near = sorted(above & set(collection.by_id) - silent, key=collection.order.__getitem__, reverse=True)
    evidence = restricted(evidence, near)
    first = [name for name in near if any(name in names for names in whole.network.broken)]
    candidates = [*first, *(name for name in near if name not in first)]
    needed: list[str] = []
    while _with_only(evidence, loci, priors, set(needed)).possible:
        low, high = 1, len(candidates)
        while low < high:
            middle = (low + high) // 2
            if _with_only(evidence, loci, priors, {*needed, *candidates[:middle]}).possible:
                low = middle + 1
            else:
                high = middle
        needed.append(candidates[low - 1])
        candidates = candidates[: low - 1]
    return frozenset(needed)


def _with_only(evidence: Evidence, loci: tuple[str, ...], priors: Priors, names: set[str]) -> Answer:
    """Answer if only some animals are spoken of; the other founders may have anything."""
    collection = evidence.collection
    others = set(collection.by_id) - names
    heard = restricted(silenced(evidence, others, loci), names)
    founders = {name for name in others if not collection.parents(name)}
    opened = replace(priors, opened=priors.opened | founders | collection.outsiders, chance=0.01)
    return answer(heard, loci, opened, Kept())


def _described(
    evidence: Evidence,
    loci: tuple[str, ...],
    names: frozenset[str],
    kind: ConflictKind,
    *,
    others: Sequence[frozenset[str]],
    how_often: Mapping[Kind, float],
) -> Conflict:
    """One contradiction with its explanations, all other contradictions left out."""
    quiet = {name for other in others for name in other}
    heard = silenced(evidence, quiet, loci)
    options = possible_statements(heard, names, loci)
    found = explanations(heard, loci, options, names=names, opened=frozenset(quiet), how_often=how_often)
    if not found:  # the rest needs unnamed genes elsewhere too
        collection = heard.collection
        free = {name for name in collection.by_id if not collection.parents(name)} - names
        found = explanations(
            heard, loci, options, names=names, opened=frozenset(quiet | free), how_often=how_often
        )
    if kind != "impossible":
        aside: tuple[Statement, ...] = ()
    else:
        aside = (found[0].statement,) if found else _all_said(sorted(names))
    return Conflict(kind, loci, tuple(sorted(names)), found, aside)


def explanations(
    evidence: Evidence,
    loci: tuple[str, ...],
    statements: Sequence[Statement],
    *,
    names: frozenset[str],
    how_often: Mapping[Kind, float],
    opened: frozenset[str] = frozenset(),
) -> tuple[Explanation, ...]:
    """Statements that would make the records possible if they were wrong, likeliest first.

    A parent from outside, and a founder whose unnamed gene is asked for or of which nothing is left to
    go by, has the gene as often as the founders of the collection that it is known of.

    Parameters
    ----------
    evidence, loci
        The records, and where they contradict each other.
    statements
        What may be wrong.
    names
        Animals that contradict each other; heard are they, their parents, all young of either, and
        the ancestors of all these and of other possible sires.
    how_often
        Chance that one record is wrong, by the kind of statement.
    opened
        Founders that may have anything.
    """
    chance = _usual_chance(evidence, loci)
    concerned = [item.subject for item in statements if item.subject in evidence.collection.by_id]
    for item in statements:
        concerned.extend(evidence.collection.young_of.get(item.subject, ()))
        concerned.extend(filter(evidence.collection.by_id.__contains__, [item.other]))
    near = restricted(evidence, family(evidence, names) | evidence.collection.ancestors(concerned))
    found = []
    for statement in statements:
        changed = without(near, statement, loci)
        free = opened | changed.collection.outsiders
        if statement.kind == "unnamed gene":
            free |= {statement.subject}
        unsaid = statement.kind in ("wrong claim", "wrong look")
        if unsaid and not changed.collection.parents(statement.subject):
            free |= {statement.subject}
        try:
            log_evidence = answer(changed, loci, Priors(opened=free, chance=chance), Kept()).log_evidence
        except TooTangled:
            continue
        if log_evidence > -math.inf:
            found.append((statement, log_evidence))
    return _ranked(found, how_often)


def _ranked(
    found: Sequence[tuple[Statement, float]], how_often: Mapping[Kind, float]
) -> tuple[Explanation, ...]:
    """Explanations with their shares, likeliest first."""
    if not found:
        return ()
    scores = {statement: log + math.log(how_often[statement.kind]) for statement, log in found}
    best = max(scores.values())
    total = sum(math.exp(score - best) for score in scores.values())
    made = [Explanation(said, log, math.exp(scores[said] - best) / total) for said, log in found]
    return tuple(sorted(made, key=lambda item: (-round(item.share, 12), item.statement)))


def _usual_chance(evidence: Evidence, loci: Sequence[str]) -> float:
    """Chance of a mutant allele on one chromosome of a founder, counted over the founders."""
    collection = evidence.collection
    founders = [animal.id for animal in collection.animals if animal.litter is None]
    carriers = {
        name
        for locus in loci
        for name in (*evidence.claims.get(locus, {}), *evidence.shows.get(locus, {}))
        if name in founders
    }
    alleles = sum(len(evidence.alleles(evidence.catalogue.locus(locus))) - 1 for locus in loci)
    return (len(carriers) + 1) / (2 * (len(founders) + 2) * max(alleles, 1))


def claim_conflicts(found: Answer, *, how_often: Mapping[Kind, float] = HOW_OFTEN) -> tuple[Conflict, ...]:
    """Claims of animals with recorded parents that their relatives rule out."""
    conflicts = []
    for locus in found.loci:
        for name, factor in found.evidence.repeated_claims.get(locus, {}).items():
            place = factor.loci.index(locus)
            told = frozenset(pairs[place] for pairs, _ in factor.table)
            chances = found.chances(("genes", name, locus)) or {NORMAL: 1.0}
            if sum(chance for pair, chance in chances.items() if pair in told) <= NOT_AT_ALL:
                conflicts.append(_claim_conflict(found, name, locus, told, how_often))
    return tuple(conflicts)


def _claim_conflict(
    found: Answer, name: str, locus: str, told: frozenset[Pair], how_often: Mapping[Kind, float]
) -> Conflict:
    """One claim with what would explain it: the claim itself, or a parent."""
    insisted = replace(found.evidence, insisted={(name, locus): told})
    concerned = frozenset((name, *found.evidence.collection.parents(name)))
    options = [
        statement
        for statement in possible_statements(insisted, concerned, found.loci)
        if statement.kind not in ("wrong look", "wrong claim", "test in error")
    ]
    said = [Statement("wrong claim", name), *options]
    held = explanations(insisted, found.loci, said, names=frozenset((name,)), how_often=how_often)
    return Conflict("claim", (locus,), (name,), held, ())
