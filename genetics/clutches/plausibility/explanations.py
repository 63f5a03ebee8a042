"""Which assumption the young speak against: other parents, maker type, recombination, losses, sexes.

Every alternative is compared with what is recorded by how likely it makes the counts. Where it leaves a
value open (recombination, share of males), the Bayes factor averages over all values alike, so that an
alternative gains nothing from merely being able to bend.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from math import inf, log
from typing import Literal

from genetics.clutches.clutch import Clutch
from genetics.clutches.plausibility.alternatives import (
    Setting,
    kinds_under,
    other_losses,
    other_parents,
    setting_of,
)
from genetics.clutches.plausibility.counts import (
    EVERYTHING,
    Hatched,
    Observed,
    cells_of,
    check_apart,
    log_likelihood,
    observed,
)
from genetics.clutches.plausibility.recombination import Estimate, estimate, estimate_males, ratio
from genetics.clutches.queries.ask import as_pattern, ask_for, finder
from genetics.clutches.queries.pattern import Pattern, conditions_of
from genetics.clutches.queries.states import Ask
from genetics.clutches.telling.words import genotype_words
from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.traits import Sex

What = Literal["genotype", "maker type", "recombination", "losses", "sex ratio"]
HALF = Fraction(1, 2)


@dataclass(frozen=True)
class Explanation:
    """One assumption changed, and how much better or worse what hatched then fits.

    Attributes
    ----------
    what
        Which assumption is changed.
    change
        What holds instead, in words.
    sentence
        The comparison as a plain sentence.
    bayes_factor
        How many times as likely the counts are as under what is recorded; infinite if they can't be
        under the latter.
    likelihood_ratio
        The same at the best value where one is left open; else the same number.
    estimate
        That value with its interval; None if nothing is left open.
    """

    what: What
    change: str
    sentence: str
    bayes_factor: float
    likelihood_ratio: float
    estimate: Estimate | None = None


def explanations(clutch: Clutch, hatched: Sequence[Hatched]) -> tuple[Explanation, ...]:
    """Compare what is recorded with every single change of it, best first.

    Parameters
    ----------
    clutch
        The clutch of a pair as recorded, not looked at through some genes only.
    hatched
        Counts by kind, of one clutch or of all clutches of the pair added up.

    Raises
    ------
    BadCounts
        If nothing hatched, a count is below 0, or kinds overlap.
    UnknownGene, BadPattern, TooManyParents
        As in `Clutch.kind`.
    """
    seen = observed(hatched)
    check_apart(clutch, hatched)
    patterns = [as_pattern(row.kind) for row in hatched]
    asks = [ask_for(one, clutch.catalogue, finder(clutch.units)) for one in (*patterns, EVERYTHING)]
    fit = partial(_fit, clutch=clutch, asks=asks, seen=seen)
    recorded = fit(setting_of(clutch))
    found = [
        *_parents(clutch, patterns, fit, recorded),
        *_recombinations(clutch, fit, recorded),
        *_losses(clutch, fit, recorded),
        *_sexes(seen),
    ]
    return tuple(sorted(found, key=lambda item: (-item.bayes_factor, -item.likelihood_ratio, item.change)))


Fit = Callable[[Setting], float]


def _fit(setting: Setting, *, clutch: Clutch, asks: Sequence[Ask], seen: Observed) -> float:
    """Logarithm of the chance of the counts under a setting; -inf if they can't be."""
    kinds = kinds_under(setting, clutch, asks)
    if not any(kinds[0].alive):
        return -inf
    return log_likelihood(cells_of(kinds), seen)


def _compared(value: float, recorded: float) -> float:
    """Ratio of two chances from their logarithms."""
    if value == -inf:
        return 0.0
    return inf if recorded == -inf else ratio(value - recorded)


def _sentence(change: str, times: float) -> str:
    """Comparison in plain words."""
    if times == inf:
        return f"What hatched can't be as recorded; it could be if {change}."
    if times == 0.0:
        return f"What hatched could not be if {change}."
    if times >= 1.0:
        return f"What hatched would be {_number(times)} times as likely if {change}."
    return f"What hatched would be only 1/{_number(1.0 / times)} as likely if {change}."


def _number(times: float) -> str:
    """Ratio to two digits."""
    return f"{times:.1f}" if times < 9.95 else f"{float(f'{times:.2g}'):,.0f}"


def _parents(clutch: Clutch, patterns: Sequence[Pattern], fit: Fit, recorded: float) -> Iterator[Explanation]:
    """Other genotypes of the parents that look the same."""
    asked, genes = _asked(patterns, clutch)
    loci = [locus for locus in clutch.catalogue.loci if locus.id in clutch.loci | asked]
    for locus, given, setting in other_parents(clutch, loci, asked=genes):
        times = _compared(fit(setting), recorded)
        maker = locus.sex_linked and set(given) == {Sex.MALE} and _turned(clutch, locus, given[Sex.MALE])
        change = " and ".join(
            f"the {'sire' if sex is Sex.MALE else 'dam'} were {_pair_words(locus, pair, sex)}"
            for sex, pair in given.items()
        )
        what: What = "maker type" if maker else "genotype"
        yield Explanation(what, change, _sentence(change, times), times, times)


def _asked(patterns: Sequence[Pattern], clutch: Clutch) -> tuple[set[str], set[str]]:
    """Loci and genes that patterns ask about by name; of a look those of its simplest allele pairs."""
    loci, genes = set(), set()
    for pattern in patterns:
        conditions = conditions_of(pattern, clutch.catalogue)
        for locus, gene, _ in conditions.carries:
            loci.add(locus)
            genes.add(gene)
        for locus, name in conditions.shows:
            looks = clutch.catalogue.locus(locus).looks
            mutants = [set(pair) - {WILD} for pair, look in looks.items() if name in map(str, look.shown)]
            loci.add(locus)
            genes |= min(mutants, key=len)
    return loci, genes


def _turned(clutch: Clutch, locus: Locus, pair: Pair) -> bool:
    """Whether a pair of the sire is one he may have, with its chromosomes known or exchanged."""
    return any(
        locus.id in factor.loci
        and any(sorted(entry[factor.loci.index(locus.id)]) == sorted(pair) for entry, _ in factor.table)
        for factor in clutch.sire.belief
    )


def _pair_words(locus: Locus, pair: Pair, sex: Sex) -> str:
    """Genotype at one locus in words."""
    return genotype_words([locus], (pair,), [gene.name for gene in locus.genes], sex=sex)


def _recombinations(clutch: Clutch, fit: Fit, recorded: float) -> Iterator[Explanation]:
    """Recombination fraction of each sex-linked locus, where the counts say anything about it."""
    base = setting_of(clutch)
    for locus in (locus for unit in clutch.units for locus in unit.loci if locus.sex_linked):
        ends = [fit(_with_r(base, locus, end)) for end in (Fraction(0), Fraction(1, 4), HALF)]
        if len({round(value, 9) for value in ends}) == 1:
            continue
        found = estimate(lambda r, at=locus: fit(_with_r(base, at, Fraction(r))), highest=0.5)  # type: ignore[misc]
        change = (
            f"the recombination fraction of {locus.name} were another "
            f"({found.value:.2g} fits best, {found.low:.2g} to {found.high:.2g})"
        )
        times = _compared(found.log_average, recorded)
        best = _compared(found.log_likelihood, recorded)
        yield Explanation("recombination", change, _sentence(change, times), times, best, found)


def _with_r(base: Setting, locus: Locus, value: Fraction) -> Setting:
    """Setting with another recombination fraction, rounded so that exact shares stay short."""
    changed: Mapping[str, Fraction] = {**base.recombination, locus.id: value.limit_denominator(10**9)}
    return replace(base, recombination=changed)


def _losses(clutch: Clutch, fit: Fit, recorded: float) -> Iterator[Explanation]:
    """Pairs of mutant alleles that do not hatch, or do, against what is recorded."""
    for pair, lost, setting in other_losses(clutch):
        times = _compared(fit(setting), recorded)
        name = f"two copies of {pair[0]}" if pair[0] == pair[1] else f"{pair[0]} with {pair[1]}"
        change = f"eggs with {name} did {'not ' if lost else ''}hatch"
        if abs(times - 1.0) > 1e-9:
            yield Explanation("losses", change, _sentence(change, times), times, times)


def _sexes(seen: Observed) -> Iterator[Explanation]:
    """Share of males other than one half, all kinds together."""
    males, females = (int(count) for count in seen.sexed.sum(axis=0))
    if males + females:
        found = estimate_males(males, females)
        even = (males + females) * log(0.5)
        change = (
            f"males and females were not equally frequent ({found.value:.0%} males fits best, "
            f"{found.low:.0%} to {found.high:.0%})"
        )
        times = ratio(found.log_average - even)
        best = ratio(found.log_likelihood - even)
        yield Explanation("sex ratio", change, _sentence(change, times), times, best, found)
