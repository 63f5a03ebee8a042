"""What would tell most about one animal: which test, or which mate, and how many young it takes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from genetics.genes.loci import Locus, Pair
from genetics.genes.traits import Sex
from genetics.pedigrees.knowledge import Knowledge
from genetics.pedigrees.pedigree import PedigreeError, TestResult
from genetics.pedigrees.states import hatched_young, likelihood_of_test

MOST_YOUNG = 500
"""Most young of a test mating that are counted."""

MOST_OUTCOMES = 200_000
"""Most outcomes of one clutch that are added up."""


class TooManyOutcomes(ValueError):
    """A clutch that can turn out in more ways than can be added up."""

    def __init__(self, outcomes: int) -> None:
        super().__init__(
            f"a clutch can turn out in {outcomes} ways; allowed: {MOST_OUTCOMES}; ask for fewer young"
        )


@dataclass(frozen=True)
class TestOffer:
    """A gene test that can be bought.

    Attributes
    ----------
    name
        Name of the test or panel.
    genes
        Genes it tells; a panel has several.
    fee
        What it costs, in the breeder's currency [money].
    sensitivity, specificity
        Chance that an animal with, and without, a gene is told so [above 0, to 1].
    """

    __test__ = False

    name: str
    genes: tuple[str, ...]
    fee: float
    sensitivity: Fraction = Fraction(1)
    specificity: Fraction = Fraction(1)


@dataclass(frozen=True)
class NextStep:
    """One thing that could be done, and what it is expected to tell.

    Attributes
    ----------
    kind, name
        "test" with the name of the test, or "mating" with the name of the mate.
    bits
        Expected fall of the uncertainty about the animal's allele pair [bits].
    uncertain
        Uncertainty now [bits].
    cost
        What it costs [money].
    young
        Young that are counted on in a mating; 0 for a test.
    show_within
        Young after which an animal that has the gene has shown it with 95 % chance; None if this
        mate never shows it, or not within `MOST_YOUNG`.
    clear_within
        Young without the gene showing after which it has the gene with 5 % chance at most; 0 if
        that is so already, None if never within `MOST_YOUNG`.
    """

    kind: Literal["test", "mating"]
    name: str
    bits: float
    uncertain: float
    cost: float
    young: int
    show_within: int | None
    clear_within: int | None

    @property
    def bits_per_cost(self) -> float:
        """Expected information for one unit of money [bits]; infinite for what costs nothing."""
        if self.cost > 0.0:
            return self.bits / self.cost
        return math.inf if self.bits > 0.0 else 0.0


def next_steps(
    knowledge: Knowledge,
    animal: str,
    gene: str,
    *,
    mates: Mapping[str, float] | None = None,
    tests: Sequence[TestOffer] = (),
    young: int = 6,
) -> tuple[NextStep, ...]:
    """Tests and matings that would tell whether an animal has a gene, the most telling first.

    Parameters
    ----------
    knowledge
        What is known.
    animal, gene
        Name of an animal and of a gene.
    mates
        Possible mates by name, with what a mating costs [money].
    tests
        Tests on offer; those that do not tell the gene are left out.
    young
        Hatchlings counted on from one mating, whose looks and (if sex-linked) sexes are seen.

    Raises
    ------
    PedigreeError
        If an animal is not in the collection, or a mate is of the same sex.
    UnknownGene
        If the catalogue does not have the gene.
    TooManyOutcomes
        If a clutch can turn out in too many ways.
    """
    locus = knowledge.catalogue.locus_of(gene)
    chances = knowledge.chances(animal, locus.id)
    uncertain = _bits(np.array(list(chances.values())))
    steps = [
        NextStep(
            "test", offer.name, _told_by_test(chances, locus, offer), uncertain, offer.fee, 0, None, None
        )
        for offer in tests
        if gene in offer.genes
    ]
    for mate, cost in (mates or {}).items():
        mating = _mating(knowledge, animal, mate, locus)
        bits = mating.information(young)
        show, clear = mating.young_needed(gene)
        steps.append(NextStep("mating", mate, bits, uncertain, cost, young, show, clear))
    return tuple(sorted(steps, key=lambda step: (-round(step.bits, 12), step.cost, step.name)))


def _bits(chances: NDArray[np.float64]) -> float:
    """Uncertainty of a table of chances [bits]."""
    positive = chances[chances > 0.0]
    return float(-(positive * np.log2(positive)).sum()) + 0.0


def _told_by_test(chances: Mapping[Pair, float], locus: Locus, offer: TestOffer) -> float:
    """Expected fall of the uncertainty by a test of all its genes at the locus [bits]."""
    pairs = tuple(chances)
    prior = np.array([chances[pair] for pair in pairs])
    here = {gene.name for gene in locus.genes}
    likelihood = np.ones((1, len(pairs)))
    for gene in (name for name in offer.genes if name in here):
        told = TestResult(gene, "carries", offer.sensitivity, offer.specificity)
        yes = likelihood_of_test(told, pairs)
        likelihood = (likelihood[:, None, :] * np.stack([yes, 1.0 - yes])[None]).reshape(-1, len(pairs))
    return _information(prior, likelihood)


def _information(prior: NDArray[np.float64], likelihood: NDArray[np.float64]) -> float:
    """Mutual information of a state and an outcome [bits]; likelihood has shape (outcomes, states)."""
    joint = likelihood * prior
    return max(0.0, _bits(prior) + _bits(joint.sum(axis=1)) - _bits(joint.ravel()))


@dataclass(frozen=True, eq=False)
class _Mating:
    """A pairing as far as one locus of one of the two animals goes.

    Attributes
    ----------
    pairs
        Allele pairs of the animal.
    own
        Place of the animal's pair, by case.
    weights
        Chance of each case (pair of the animal, pair of the mate).
    shares
        Share of each kind of hatchling that can be told apart, shape (cases, kinds).
    """

    pairs: tuple[Pair, ...]
    own: NDArray[np.int64]
    weights: NDArray[np.float64]
    shares: NDArray[np.float64]

    def information(self, young: int) -> float:
        """Expected fall of the uncertainty about the animal by some hatchlings [bits]."""
        kinds = self.shares.shape[1]
        outcomes = math.comb(young + kinds - 1, kinds - 1)
        if outcomes > MOST_OUTCOMES:
            raise TooManyOutcomes(outcomes)
        counts = np.array(list(_compositions(young, kinds)), dtype=np.float64)
        ways = np.array([_ways(row) for row in counts.astype(int).tolist()])
        chance = np.ones((len(counts), len(self.weights)))
        for kind in range(kinds):
            chance *= self.shares[:, kind] ** counts[:, [kind]]
        joint = ways[:, None] * chance * self.weights
        prior = np.array([self.weights[self.own == place].sum() for place in range(len(self.pairs))])
        by_pair = np.stack([joint[:, self.own == place].sum(axis=1) for place in range(len(prior))], axis=1)
        return max(0.0, _bits(prior) + _bits(by_pair.sum(axis=1)) - _bits(by_pair.ravel()))

    def young_needed(self, gene: str) -> tuple[int | None, int | None]:
        """Young until the gene has shown itself (95 %), and until its not showing clears the animal."""
        has = np.array([gene in self.pairs[place] for place in self.own])
        carriers, others = self.weights[has], self.weights[~has]
        if not carriers.size or not others.size:
            return (0, 0)
        plain = self.shares[~has].max(axis=0) > 0.0
        quiet = self.shares[:, plain].sum(axis=1)
        show = clear = None
        for count in range(MOST_YOUNG + 1):
            silent = float(carriers @ quiet[has] ** count)
            if show is None and silent <= 0.05 * carriers.sum():
                show = count
            if clear is None and silent <= 0.05 * (silent + float(others @ quiet[~has] ** count)):
                clear = count
            if show is not None and clear is not None:
                break
        return show, clear


def _compositions(total: int, kinds: int) -> Iterator[tuple[int, ...]]:
    """Every way in which some young can fall into kinds."""
    if kinds == 1:
        yield (total,)
        return
    for first in range(total + 1):
        for rest in _compositions(total - first, kinds - 1):
            yield (first, *rest)


def _ways(counts: Sequence[int]) -> float:
    """Number of orders in which the young of an outcome can hatch."""
    ways, left = 1, sum(counts)
    for count in counts:
        ways *= math.comb(left, count)
        left -= count
    return float(ways)


def _mating(knowledge: Knowledge, animal: str, mate: str, locus: Locus) -> _Mating:
    """Cases of a pairing with the kinds of young that can be told apart."""
    sexes = knowledge.collection.sexes
    joint = knowledge.joint([animal, mate], locus.id)
    if sexes[animal] is sexes[mate] and sexes[animal] is not Sex.UNSEXED:
        raise PedigreeError(f"{animal} and {mate} are both {sexes[animal].value}; a mating needs both sexes")
    if locus.sex_linked and Sex.UNSEXED in (sexes[animal], sexes[mate]):
        raise PedigreeError(f"{locus.name} is sex-linked: the sexes of {animal} and {mate} must be known")
    first = sexes[animal] is Sex.MALE or sexes[mate] is Sex.FEMALE
    part = knowledge.evidence.part_of(locus)
    pairs = tuple(sorted({own for own, _ in joint}))
    rows, own, weights = [], [], []
    for (mine, other), chance in joint.items():
        young = hatched_young(locus, *((mine, other) if first else (other, mine)), part)
        if young:
            kinds: dict[tuple[Sex | None, str], float] = {}
            for (sex, pair), share in young.items():
                kind = (sex, locus.look(pair).appearance)
                kinds[kind] = kinds.get(kind, 0.0) + share
            rows.append(kinds)
            own.append(pairs.index(mine))
            weights.append(chance)
    if not rows:
        raise PedigreeError(f"no egg of {animal} and {mate} can hatch, so a mating tells nothing")
    names = sorted({kind for kinds in rows for kind in kinds}, key=str)
    shares = np.array([[kinds.get(name, 0.0) for name in names] for kinds in rows])
    return _Mating(pairs, np.array(own), np.array(weights) / sum(weights), shares)
