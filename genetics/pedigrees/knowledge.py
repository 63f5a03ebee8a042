"""What is known of every animal of a collection, exactly, from looks, parents, young and tests.

The chance of each allele pair of each animal, given everything that was recorded of all animals:
Bayes' theorem over the whole pedigree, loops included. Eggs that nobody recorded say nothing.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from genetics.clutches.sex_linkage import checked_recombination
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Pairs, make_animal
from genetics.genes.loci import Pair
from genetics.pedigrees.answers import Answer, Kept, answer, loci_together
from genetics.pedigrees.beliefs import as_fractions, independent_blocks, marginal
from genetics.pedigrees.conflicts import Conflict, claim_conflicts, settle
from genetics.pedigrees.edits import edit_between
from genetics.pedigrees.elimination import TooTangled
from genetics.pedigrees.evidence import Evidence
from genetics.pedigrees.founders import Priors
from genetics.pedigrees.known import MOST_STATES, KnownAnimal, KnownPair, PairFactor, Tangled
from genetics.pedigrees.network import Key, genes_key
from genetics.pedigrees.pedigree import Collection, PedigreeError
from genetics.pedigrees.statements import HOW_OFTEN, Kind
from genetics.pedigrees.states import NORMAL

Chance = Fraction | float | int
Settled = tuple[Answer, tuple[Conflict, ...]]


@dataclass(frozen=True, eq=False)
class Knowledge:
    """Everything that follows from the records of a collection.

    Attributes
    ----------
    evidence, priors
        The records by locus, and what founders may have that nobody named.
    answers
        What is known, one answer for each set of loci that were looked at together.
    conflicts
        Records that contradict each other; the other families' answers are not touched by them.
    tangled
        Loci at which no exact answer was possible.
    kept, settled, asked
        Answers, settled conflicts and the question, kept for the next question.
    """

    evidence: Evidence
    priors: Priors
    answers: tuple[Answer, ...]
    conflicts: tuple[Conflict, ...]
    tangled: tuple[Tangled, ...]
    kept: Kept = field(repr=False)
    settled: Mapping[Hashable, Settled] = field(repr=False)
    asked: tuple[object, ...] = field(repr=False)

    @property
    def collection(self) -> Collection:
        """The animals and clutches."""
        return self.evidence.collection

    @property
    def catalogue(self) -> Catalogue:
        """The genes."""
        return self.evidence.catalogue

    @cached_property
    def _answer_of(self) -> Mapping[str, Answer]:
        return {locus: answer for answer in self.answers for locus in answer.loci}

    def answer_at(self, locus: str) -> Answer | None:
        """Answer a locus belongs to; None if nothing is said of it."""
        return self._answer_of.get(locus)

    def chances(self, animal: str, locus: str) -> dict[Pair, float]:
        """Exact chance of each allele pair of an animal at a locus; sums to 1.

        Raises
        ------
        PedigreeError
            If the animal is not in the collection.
        TooTangled
            If no exact answer was possible at the locus.
        """
        if animal not in self.collection.order:
            raise PedigreeError(f"{animal} is not in the collection")
        for part in self.tangled:
            if locus in part.loci:
                raise TooTangled(part.entries)
        found = self._answer_of.get(locus)
        chances = {} if found is None else found.chances(genes_key(animal, locus))
        return chances or {NORMAL: 1.0}  # type: ignore[return-value]

    def joint(self, animals: Sequence[str], locus: str) -> dict[tuple[Pair, ...], float]:
        """Exact joint chance of the allele pairs of several animals at a locus, in the order asked."""
        table: dict[tuple[Hashable, ...], float] = {(): 1.0}
        keys = [genes_key(animal, locus) for animal in animals]
        places: dict[int, int] = {}
        for block in self._joint_tables(keys):
            states = {place: index for index, place in enumerate(block[0])}
            table = {
                (*before, *after): weight * chance
                for before, weight in table.items()
                for after, chance in block[1].items()
            }
            start = len(places)
            places |= {place: start + index for place, index in states.items()}
        order = [places[place] for place in range(len(keys))]
        return {tuple(states[i] for i in order): chance for states, chance in table.items()}  # type: ignore[misc]

    def _joint_tables(
        self, keys: Sequence[Key]
    ) -> list[tuple[tuple[int, ...], dict[tuple[Hashable, ...], float]]]:
        """Joint chances of some variables in independent blocks, each with the places of its variables."""
        together: dict[Hashable, list[int]] = {}
        for place, key in enumerate(keys):
            found = self._answer_of.get(key[2])
            number = None if found is None else found.part_number(key)
            group: Hashable = ("alone", place) if number is None else (id(found), number)
            together.setdefault(group, []).append(place)
        blocks = []
        for places in together.values():
            blocks.extend(self._blocks([keys[place] for place in places], places))
        return blocks

    def _blocks(
        self, keys: Sequence[Key], places: Sequence[int]
    ) -> list[tuple[tuple[int, ...], dict[tuple[Hashable, ...], float]]]:
        """Joint chances of variables of one part, split where they are independent."""
        if len(keys) == 1:
            alone = self.chances(keys[0][1], keys[0][2])
            return [((places[0],), {(state,): chance for state, chance in alone.items()})]
        size = 1
        for key in keys:
            size *= len(self.chances(key[1], key[2]))
        if size > MOST_STATES:
            raise TooTangled(float(size))
        table = self._answer_of[keys[0][2]].joint(keys)
        return [
            (tuple(places[index] for index in block), marginal(table, block))
            for block in independent_blocks(table, len(keys))
        ]

    def sires(self, litter: str) -> dict[str, float]:
        """Chance of each possible sire of a clutch, given the young; of an egg under its animal's name."""
        record = self.collection.litter_by_id.get(litter)
        kind = "sire of egg" if record is None else "sire of clutch"
        for found in self.answers:
            chances = found.chances((kind, litter, ""))
            if chances:
                return {str(name): chance for name, chance in chances.items()}
        name = litter if record is not None else str(self.collection.by_id[litter].litter)
        return {str(sire.id): float(sire.chance) for sire in self.collection.sires[name]}

    def animal(self, name: str) -> KnownAnimal:
        """What is known of one animal.

        Raises
        ------
        PedigreeError
            If it is not in the collection.
        TooTangled
            If too many of its loci depend on each other.
        """
        record = self.collection.by_id.get(name)
        if record is None:
            raise PedigreeError(f"{name} is not in the collection")
        unanswered = tuple(locus for part in self.tangled for locus in part.loci)
        chances = {key[2]: self.chances(name, key[2]) for key in self._open_keys(name)}
        return KnownAnimal(
            id=name,
            animal=self._belief(name, unanswered),
            chances={locus: table for locus, table in chances.items() if set(table) != {NORMAL}},
            conflicts=tuple(conflict for conflict in self.conflicts if name in conflict.animals),
            unanswered=unanswered,
        )

    def _open_keys(self, name: str) -> list[Key]:
        """Variables of the loci at which an animal may be anything but wild type."""
        keys = ((genes_key(name, locus), found) for locus, found in self._answer_of.items())
        return [key for key, found in keys if key in found.network.states]

    def _belief(self, name: str, unanswered: tuple[str, ...]) -> Animal:
        """Belief of an animal over all loci."""
        keys = self._open_keys(name)
        factors: list[tuple[tuple[str, ...], dict[Pairs, Fraction]]] = [
            (tuple(keys[place][2] for place in places), as_fractions(table))  # type: ignore[arg-type]
            for places, table in self._joint_tables(keys)
        ]
        claim = self.evidence.claim_of(name)
        told = claim.belief if claim is not None else ()
        factors.extend((f.loci, dict(f.table)) for f in told if set(f.loci) & set(unanswered))
        return make_animal(self.collection.sexes[name], factors)

    def pair(self, sire: str, dam: str) -> KnownPair:
        """What is known of a male and a female together.

        Parameters
        ----------
        sire, dam
            Names of two animals of the collection.

        Raises
        ------
        PedigreeError
            If one is not in the collection.
        TooTangled
            If too many loci of theirs depend on each other.
        """
        first, second = self.animal(sire).animal, self.animal(dam).animal
        keys = [key for name in (sire, dam) for key in self._open_keys(name)]
        factors = [
            _pair_factor([keys[place] for place in places], table, sire)
            for places, table in self._joint_tables(keys)
            if len({keys[place][1] for place in places}) == 2
        ]
        return KnownPair(first, second, tuple(factors))


def _pair_factor(keys: Sequence[Key], table: Mapping[tuple[Hashable, ...], float], sire: str) -> PairFactor:
    """Joint chances of some loci of a male and a female."""
    his = [place for place, key in enumerate(keys) if key[1] == sire]
    hers = [place for place in range(len(keys)) if place not in his]
    rows = []
    for states, chance in as_fractions(table).items():
        pairs: Pairs = states  # type: ignore[assignment]
        rows.append((tuple(pairs[i] for i in his), tuple(pairs[i] for i in hers), chance))
    return PairFactor(tuple(keys[i][2] for i in his), tuple(keys[i][2] for i in hers), tuple(rows))


def know(
    collection: Collection,
    catalogue: Catalogue,
    *,
    background: Chance | Mapping[str, Chance] = 0,
    recombination: Mapping[str, Fraction | float | str] | None = None,
    how_often: Mapping[Kind, float] = HOW_OFTEN,
    previous: Knowledge | None = None,
) -> Knowledge:
    """Work out what is known of every animal at every locus that anything is said of.

    Parameters
    ----------
    collection
        Animals and clutches with looks, claims and tests.
    catalogue
        The genes.
    background
        Chance that a founder has a gene that no claim names, for all genes or by gene [0 to below
        1]. With 0, a founder has an unnamed gene only where its relatives can't be explained without.
    recombination
        Recombination fraction in sires by sex-linked locus [0 to 1/2]; the catalogue's own default
        where it is not given.
    how_often
        Chance that one record is wrong, by the kind of statement; ranks explanations of conflicts.
    previous
        An earlier answer; what has not changed since is not worked out again.

    Raises
    ------
    PedigreeError
        If a background is not a chance below 1, or a record does not fit the catalogue.
    BadRecombination
        If a recombination fraction is not between 0 and 1/2.
    UnknownGene
        If a record names a locus or gene that the catalogue does not have.
    """
    given = {catalogue.locus(name).id: checked_recombination(r) for name, r in (recombination or {}).items()}
    evidence = Evidence(collection, catalogue, given)
    priors = _priors(background, catalogue)
    asked = (catalogue, given, priors, dict(how_often))
    memory = _Memory(previous if previous is not None and previous.asked == asked else None, evidence)
    answers: list[Answer] = []
    conflicts: list[Conflict] = []
    tangled: list[Tangled] = []
    for loci in loci_together(evidence):
        try:
            found, odd = memory.answer(loci, priors, how_often)
        except TooTangled as fault:
            tangled.append(Tangled(loci, fault.entries))
            continue
        answers.append(found)
        conflicts.extend(odd)
    return Knowledge(
        evidence, priors, tuple(answers), tuple(conflicts), tuple(tangled), memory.kept, memory.settled, asked
    )


class _Memory:
    """What an earlier question left behind for this one."""

    def __init__(self, previous: Knowledge | None, evidence: Evidence) -> None:
        self.evidence = evidence
        self.kept = Kept({} if previous is None else previous.kept.now)
        self.before = {} if previous is None else previous.settled
        self.settled: dict[Hashable, Settled] = {}
        self.edit = None if previous is None else edit_between(previous.evidence, evidence)
        self.standing = {} if previous is None else {found.loci: found for found in previous.answers}

    def answer(self, loci: tuple[str, ...], priors: Priors, how_often: Mapping[Kind, float]) -> Settled:
        """Answer at some loci with its conflicts, new only as far as something changed."""
        standing = self._standing(loci, priors)
        plain = answer(self.evidence, loci, priors, self.kept) if standing is None else standing
        if plain.possible:
            return plain, claim_conflicts(plain, how_often=how_often)
        content = _content(plain, priors)
        if content not in self.before:
            found, odd = settle(self.evidence, loci, priors, self.kept, how_often=how_often)
            self.settled[content] = (found, (*odd, *claim_conflicts(found, how_often=how_often)))
        else:
            self.settled[content] = self.before[content]
        return self.settled[content]

    def _standing(self, loci: tuple[str, ...], priors: Priors) -> Answer | None:
        """Earlier answer at some loci if nothing touches it; None else."""
        found = self.standing.get(loci)
        if found is None or self.edit is None or found.priors != priors or priors.anywhere:
            return None
        if found.evidence is not self.edit.before or self.edit.touches(found.network, loci):
            return None
        for part, solution in zip(found.network.parts, found.solutions, strict=True):
            self.kept.now[part.content] = (part, solution)
        return replace(found, evidence=self.evidence)


def _content(plain: Answer, priors: Priors) -> Hashable:
    """What a contradiction rests on, so that it is not searched again while nothing changes."""
    records = tuple(
        (name, record.litter, record.seen, record.claim, record.tests)
        for name, record in plain.evidence.collection.by_id.items()
    )
    return (plain.loci, records, plain.evidence.collection.litters, tuple(priors.background.items()))


def _priors(background: Chance | Mapping[str, Chance], catalogue: Catalogue) -> Priors:
    """Background as it was given, checked."""
    by_gene = background if isinstance(background, Mapping) else {}
    otherwise = 0 if isinstance(background, Mapping) else background
    for name in by_gene:
        catalogue.gene(name)
    for name, chance in (("every gene", otherwise), *by_gene.items()):
        if not 0 <= chance < 1:
            raise PedigreeError(f"the background of {name} is {chance}; allowed: 0 or more, below 1")
    return Priors({name: float(chance) for name, chance in by_gene.items()}, float(otherwise))
