"""Which gene test or which mate tells apart what one animal may be, and how many hatchlings it takes.

Young of one look can still differ in their genes. A gene test answers about one gene and can err. A
mate answers through the looks of the young: each is one draw, and what its look rules out or makes
less likely is exact. Sexes of the young are taken as known where a sex-linked gene is asked about.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from genetics.clutches.cases import cases_of, joint_table
from genetics.clutches.clutch import checked_fractions
from genetics.clutches.look_alikes import appearance
from genetics.clutches.telling.draws import MOST_OUTCOMES, Draws, draws_of
from genetics.clutches.telling.words import genotype_words, usual_mates, words_of_test
from genetics.clutches.units import fractions_at
from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Factor, Pairs, Table
from genetics.genes.loci import WILD, Locus
from genetics.genes.traits import Sex

CHANCES = (Fraction(4, 5), Fraction(9, 10), Fraction(19, 20))
MOST_YOUNG = 40
"""Hatchlings up to which being sure is looked for."""


class BadTest(ValueError):
    """A gene test with a chance that is none, or a question with a level that is none."""


@dataclass(frozen=True)
class GeneTest:
    """A test that says whether an animal has a gene.

    Attributes
    ----------
    gene
        Catalogue name of the gene.
    sensitivity, specificity
        Chance that an animal with, and without, the gene is told so [above 0, to 1].
    counts
        True if it tells one copy from two; an erring test then gives each wrong count alike.
    """

    gene: str
    sensitivity: Fraction = Fraction(1)
    specificity: Fraction = Fraction(1)
    counts: bool = False

    def __post_init__(self) -> None:
        for name, chance in (("sensitivity", self.sensitivity), ("specificity", self.specificity)):
            if not 0 < chance <= 1:
                raise BadTest(f"{name} of the {self.gene} test is {chance}; allowed: above 0, at most 1")


@dataclass(frozen=True)
class Possibility:
    """One thing an animal may be at some loci.

    Attributes
    ----------
    words
        In the trade's words: "het clown", "no clown", "banana from sire".
    pairs
        Its allele pairs.
    chance
        Chance that it is this.
    """

    words: str
    pairs: Pairs
    chance: Fraction


@dataclass(frozen=True, eq=False)
class Way:
    """One way to tell what an animal is.

    Attributes
    ----------
    kind, name
        "test" and the test in words, or "mate" and the mate.
    bits
        Expected fall of the uncertainty by one test, or by one clutch of the asked size [bits].
    draws
        Tests or hatchlings, to be asked for any number of them.
    certain, sure
        For each possibility, if it is the true one: tests or hatchlings needed for each of the asked
        chances that all else is ruled out, and that its own chance reaches the asked level. None if
        that is never so, or not within `MOST_YOUNG`.
    """

    kind: Literal["test", "mate"]
    name: str
    bits: float
    draws: Draws
    certain: tuple[tuple[int | None, ...], ...]
    sure: tuple[tuple[int | None, ...], ...]


@dataclass(frozen=True, eq=False)
class Apart:
    """What an animal may be at some loci, and the ways to find out, best first.

    Attributes
    ----------
    loci
        Ids of the loci.
    possibilities
        What it may be, likeliest first.
    ways
        Tests and mates that tell anything, by expected information.
    """

    loci: tuple[str, ...]
    possibilities: tuple[Possibility, ...]
    ways: tuple[Way, ...]


def telling_apart(
    animal: Animal,
    catalogue: Catalogue,
    *,
    tests: Sequence[GeneTest] | None = None,
    mates: Mapping[str, Animal] | None = None,
    hatchlings: int = 6,
    level: Fraction | float = Fraction(19, 20),
    chances: Sequence[Fraction] = CHANCES,
    recombination: Mapping[str, Fraction | float | str] | Fraction | float | str | None = None,
) -> tuple[Apart, ...]:
    """Ways to tell what an animal is, for each part of its genes that is uncertain.

    Parameters
    ----------
    animal
        The animal; a hatchling of some look is `clutch.hatchling(table, row, sex=...)`.
    catalogue
        The genes.
    tests
        Gene tests that can be bought; left out, one that never errs for each gene in question.
    mates
        Animals it can be paired with, by name; left out, for each gene in question an animal with two
        copies, one with one copy and a normal one.
    hatchlings
        Size of the clutch by which mates are ranked.
    level
        Chance from which one is sure [above 1/2, to 1].
    chances
        Chances of being sure that are asked for.
    recombination
        As in `cross`.

    Raises
    ------
    BadTest
        If the level or a chance is outside its range.
    BadRecombination
        If a recombination fraction is not between 0 and 1/2.
    """
    exact = Fraction(str(level)) if isinstance(level, float) else Fraction(level)
    if not Fraction(1, 2) < exact <= 1 or any(not 0 < chance < 1 for chance in chances):
        raise BadTest(f"level {level} and chances {list(map(float, chances))}; allowed: 1/2 to 1, and 0 to 1")
    if hatchlings < 1:
        raise BadTest(f"{hatchlings} hatchlings; allowed: 1 or more")
    asked = _Asked(hatchlings, exact, tuple(chances), checked_fractions(recombination, catalogue))
    found = []
    for factor in animal.belief:
        if len(factor.table) == 1:
            continue
        loci = tuple(catalogue.locus(locus) for locus in factor.loci)
        rows = tuple(sorted(factor.table, key=lambda row: (-row[1], row[0])))
        genes = list(dict.fromkeys(a for pairs, _ in rows for pair in pairs for a in pair if a != WILD))
        ways = [
            _by_test(rows, test, asked) for test in (_usual_tests(rows, genes) if tests is None else tests)
        ]
        partners = usual_mates(genes, animal.sex, catalogue) if mates is None else mates
        for name, mate in partners.items():
            draws = _mate_draws(rows, mate, loci, asked.recombination, catalogue, sire=animal.sex is Sex.MALE)
            ways.append(_way("mate", name, draws, hatchlings, asked))
        possible = tuple(
            Possibility(genotype_words(loci, pairs, genes, sex=animal.sex), pairs, chance)
            for pairs, chance in rows
        )
        telling = sorted((way for way in ways if way.bits > 1e-12), key=lambda way: (-way.bits, way.name))
        found.append(Apart(factor.loci, possible, tuple(telling)))
    return tuple(found)


@dataclass(frozen=True)
class _Asked:
    """What is asked of every way: size of a clutch, level of being sure, chances, recombination."""

    hatchlings: int
    level: Fraction
    chances: tuple[Fraction, ...]
    recombination: Mapping[str, Fraction]


def _usual_tests(rows: Table, genes: Sequence[str]) -> list[GeneTest]:
    """One test for each gene that never errs; it counts where one copy is to be told from two."""
    tests = []
    for gene in genes:
        copies = {max(pair.count(gene) for pair in pairs) for pairs, _ in rows}
        tests.append(GeneTest(gene, counts={1, 2} <= copies))
    return tests


def _by_test(rows: Table, test: GeneTest, asked: _Asked) -> Way:
    name = words_of_test(test.gene, test.sensitivity, test.specificity)
    return _way("test", name, _test_draws(rows, test), 1, asked)


def _way(kind: Literal["test", "mate"], name: str, draws: Draws, count: int, asked: _Asked) -> Way:
    """One way with the numbers it takes."""
    certain = tuple(
        _needed([float(draws.certain(thing, number)) for number in range(MOST_YOUNG + 1)], asked.chances)
        for thing in range(draws.things)
    )
    after: list[tuple[tuple[float, float], ...]] = []
    for number in range(MOST_YOUNG + 1):
        if draws.ways(number) > MOST_OUTCOMES:
            break  # as far as it can be counted; what is not reached by then is None
        after.append(draws.after(number, level=float(asked.level)))
        if all(chance >= max(asked.chances) - 1e-12 for chance, _ in after[-1]):
            break
    sure = tuple(_needed([row[thing][0] for row in after], asked.chances) for thing in range(draws.things))
    return Way(kind, name, draws.bits(count), draws, certain, sure)


def _needed(known: Sequence[float], chances: Sequence[Fraction]) -> tuple[int | None, ...]:
    """Fewest draws that give each chance; None if none of those counted does."""
    return tuple(
        next((number for number, found in enumerate(known) if found >= chance - 1e-12), None)
        for chance in map(float, chances)
    )


def _test_draws(rows: Table, test: GeneTest) -> Draws:
    """One answer of a gene test as a draw."""
    tables: list[dict[Hashable, Fraction]] = []
    for pairs, _ in rows:
        copies = max((pair.count(test.gene) for pair in pairs), default=0)
        right = test.sensitivity if copies else test.specificity
        if test.counts:
            table: dict[Hashable, Fraction] = dict.fromkeys(range(3), (1 - right) / 2)
            table[copies] = right
        else:
            table = {copies > 0: right, copies == 0: 1 - right}
        tables.append({key: chance for key, chance in table.items() if chance})
    return draws_of([chance for _, chance in rows], range(len(rows)), tables)


def _mate_draws(
    rows: Table,
    mate: Animal,
    loci: tuple[Locus, ...],
    given: Mapping[str, Fraction],
    catalogue: Catalogue,
    *,
    sire: bool,
) -> Draws:
    """One hatchling with a mate as a draw: its look at these loci, and its sex if a locus is sex-linked."""
    names = tuple(locus.id for locus in loci)
    alike = any(len(shared.intersection(names)) > 1 for shared in catalogue.shared_looks)
    fractions = fractions_at(loci, given)
    prior, groups, tables = [], [], []
    for group, (pairs, chance) in enumerate(rows):
        for other, part in _belief_at(mate, names):
            parents = (pairs, other) if sire else (other, pairs)
            first, second = (((one, Fraction(1)),) for one in parents)
            (case,) = cases_of(loci, first, second, fractions)
            table: dict[Hashable, Fraction] = {}
            for (sex, young), share in case.hatched.items():
                key = (sex, appearance(loci, young, joined=alike))
                table[key] = table.get(key, Fraction(0)) + share
            prior.append(chance * part)
            groups.append(group)
            tables.append(table)
    return draws_of(prior, groups, tables)


def _belief_at(animal: Animal, names: tuple[str, ...]) -> Table:
    """What an animal may be at some loci, its other loci summed out."""
    factors = []
    for factor in animal.belief:
        kept = [place for place, locus in enumerate(factor.loci) if locus in names]
        if kept:
            table: dict[Pairs, Fraction] = {}
            for pairs, chance in factor.table:
                key = tuple(pairs[place] for place in kept)
                table[key] = table.get(key, Fraction(0)) + chance
            factors.append(Factor(tuple(factor.loci[place] for place in kept), tuple(table.items())))
    return joint_table(factors, names)
