"""What a fixed plan gives: step after step, each until its wanted young are there, exactly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from genetics.genes.catalogue import Catalogue
from genetics.routes.biology import Biology
from genetics.routes.first_year import FirstYear, first_year
from genetics.routes.founders import founder_harms
from genetics.routes.kinds import Sets, States, genotypes, goal_sets, kind_harms, kind_words, share_of
from genetics.routes.stocks import NotExact, Pairing, Stock, cases_of, joined
from genetics.routes.target import Harms, Target, worst_first
from genetics.routes.waiting import after, enough_by, steps

Floats = NDArray[np.float64]


class NoSuchYoung(ValueError):
    """A step that wants young its parents can't have, or that can't be told by eye."""


@dataclass(frozen=True)
class Keep:
    """Young a step holds back, or the target itself.

    Attributes
    ----------
    what
        In the trade's words.
    males, females, either
        How many.
    share
        Share of them among all fertile eggs, both sexes counted, averaged over the parents.
    """

    what: str
    males: int
    females: int
    either: int
    share: Fraction


@dataclass(frozen=True, eq=False)
class PlanStep:
    """One pairing of a plan.

    Attributes
    ----------
    number
        1 for the first.
    sire, dams
        Names of founders, or "young of step 1" with what they are.
    females
        Dams paired at a time.
    keeps
        What is held back; in the last step the target.
    start
        When the pairing can begin: chance of each number of seasons before it, index = seasons.
    done
        First season by whose end the target has hatched, or by which all young held back in this
        step can be paired the season after.
    """

    number: int
    sire: str
    dams: str
    females: int
    keeps: tuple[Keep, ...]
    start: Floats
    done: FirstYear


@dataclass(frozen=True, eq=False)
class Plan:
    """A serial plan: every step is repeated each season until its young are there.

    Attributes
    ----------
    steps
        In the order in which they can be done.
    first_year
        Distribution of the season in which the target has hatched.
    animals
        Animals kept on the way: founders used and young held back.
    founders
        Names of the founders used.
    bought
        Those of them that have to be bought.
    price
        What these cost together [money].
    harms
        Health notes of the target, of the founders used (at all their loci) and of every animal on
        the way, with the gene each belongs to, worst first.
    basis
        What the figures rest on.
    """

    steps: tuple[PlanStep, ...]
    first_year: FirstYear
    animals: int
    founders: tuple[str, ...]
    bought: tuple[str, ...]
    price: float
    harms: Harms
    basis: tuple[str, ...]


def paired(sire: Stock, dams: Stock, states: States, biology: Biology) -> Pairing:
    """Pair two stocks from the season on in which both can be.

    Raises
    ------
    NotExact
        If their waits depend on each other in a way that has no exact answer here.
    """
    if dams.count > biology.females_per_male:
        raise NotExact(f"{dams.count} females for one male; allowed: {biology.females_per_male}")
    return Pairing(sire, dams, joined(sire, dams, states, biology))


def goals_of(pairing: Pairing, states: States) -> tuple[Sets | None, Sets | None]:
    """Sons and daughters of a pairing that meet the target: genotypes at each locus, or None."""
    sire, dams = pairing.sire.kind, pairing.dams.kind
    sons = goal_sets(states, sire, dams, male=True)
    return sons, goal_sets(states, sire, dams, male=False)


def target_by(pairing: Pairing, target: Target, states: States, biology: Biology) -> Floats | None:
    """Chance of each season in which the target has first hatched from a pairing.

    Returns
    -------
    ndarray or None
        Index = seasons, 0 for the start; None if this pairing can't give the target.
    """
    sons, daughters = goals_of(pairing, states)
    males, females, either = target.needs
    needs_sons, needs_daughters = bool(males or either), bool(females or either)
    if (males and sons is None) or (females and daughters is None) or (sons is None and daughters is None):
        return None
    cases = cases_of(
        pairing.sire,
        pairing.dams,
        states,
        biology,
        sons=sons if needs_sons else None,
        daughters=daughters if needs_daughters else None,
        lives=1.0,
    )
    needs = (males, females)
    if either:
        needs = (either, 0)
        cases = tuple(
            type(case)(case.weight, tuple((male + female, 0.0) for male, female in case.dams))
            for case in cases
        )
    by = enough_by(cases, needs, biology, seasons=pairing.start.size - 1)
    return after(pairing.start, steps(by)) if by[-1] > 0.0 else None


def plan_of(
    last: Pairing, target: Target, states: States, catalogue: Catalogue, biology: Biology
) -> Plan | None:
    """Write out the plan that ends with a pairing; None if that pairing can't give the target."""
    pmf = target_by(last, target, states, biology)
    if pmf is None:
        return None
    seasons = pmf.size - 1
    line = last.sire.line | last.dams.line
    order = _in_order(last)
    numbers = {id(pairing): number for number, pairing in enumerate(order, 1)}
    written = []
    for pairing in order:
        kept = [stock for stock in line if stock.pairing is pairing]
        done = pmf if pairing is last else _all_ready(kept, last)
        keeps = [
            _keep(stock, pairing, states, catalogue, biology)
            for stock in sorted(kept, key=lambda s: not s.male)
        ]
        if pairing is last:
            keeps.append(_target_keep(last, target, states, biology))
        written.append(
            PlanStep(
                numbers[id(pairing)],
                _named(pairing.sire, numbers, states, catalogue),
                _named(pairing.dams, numbers, states, catalogue),
                pairing.dams.count,
                tuple(keeps),
                pairing.start,
                first_year(done[1:], seasons=seasons),
            )
        )
    sources = sorted({founder for stock in line for founder in stock.founders}, key=lambda f: f.name)
    bought = [founder for founder in sources if founder.price is not None]
    harms = {(note.id, name): (note, name) for note, name in target.harms}
    of_founders = founder_harms(sources, catalogue)
    for found in (of_founders, *(kind_harms(states, stock.kind) for stock in line)):
        harms.update({(note.id, name): (note, name) for note, name in found})
    return Plan(
        steps=tuple(written),
        first_year=first_year(pmf[1:], seasons=seasons),
        animals=len(sources) + sum(stock.count for stock in line if stock.pairing is not None),
        founders=tuple(founder.name for founder in sources),
        bought=tuple(founder.name for founder in bought),
        price=float(sum(founder.price or 0.0 for founder in bought)),
        harms=worst_first(harms.values()),
        basis=_basis(line, biology),
    )


def _basis(line: frozenset[Stock], biology: Biology) -> tuple[str, ...]:
    """Say what an exact plan rests on."""
    said = ["exact: chances of every season, convolved step by step", *biology.described()]
    said.append("breeders are taken to live and to be paired each season until their step is done")
    if any(stock.uncertain for stock in line):
        said.append(
            "animals whose genes are uncertain are counted by their chances, independent of each other"
        )
    return tuple(said)


def _in_order(last: Pairing) -> list[Pairing]:
    """Pairings of a plan, parents before young."""
    order: dict[int, Pairing] = {}

    def visit(pairing: Pairing) -> None:
        for stock in (pairing.sire, pairing.dams):
            if stock.pairing is not None:
                visit(stock.pairing)
        order.setdefault(id(pairing), pairing)

    visit(last)
    return list(order.values())


def _all_ready(kept: Sequence[Stock], last: Pairing) -> Floats:
    """When all young held back from a pairing can be paired: one stock, or a pair of siblings."""
    if len(kept) == 1:
        return kept[0].ready
    both = (each for each in (last, *last.sire.pairings, *last.dams.pairings) if each.sire in kept)
    return next(each.start for each in both if each.dams in kept)


def _named(stock: Stock, numbers: dict[int, int], states: States, catalogue: Catalogue) -> str:
    """Name of the animals in a pairing."""
    if stock.pairing is None:
        return ", ".join(founder.name for founder in stock.founders)
    what = kind_words(states, stock.kind, catalogue, male=stock.male)
    return f"{what}, young of step {numbers[id(stock.pairing)]}"


def _mean_share(pairing: Pairing, states: States, sets: Sets | None, *, male: bool) -> Fraction:
    """Share of wanted sons among the sons (or daughters), averaged over the parents."""
    if sets is None:
        return Fraction(0)
    total = Fraction(0)
    for father, first in genotypes(pairing.sire.kind):
        for mother, second in genotypes(pairing.dams.kind):
            total += first * second * share_of(states, father, mother, male=male, sets=sets)
    return total


def _keep(stock: Stock, parents: Pairing, states: States, catalogue: Catalogue, biology: Biology) -> Keep:
    """Young held back, with their share of all fertile eggs."""
    own = Fraction(str(biology.male_share)) if stock.male else 1 - Fraction(str(biology.male_share))
    share = own * _mean_share(parents, states, stock.sets, male=stock.male)
    what = kind_words(states, stock.kind, catalogue, male=stock.male)
    return Keep(what, stock.count if stock.male else 0, 0 if stock.male else stock.count, 0, share)


def _target_keep(last: Pairing, target: Target, states: States, biology: Biology) -> Keep:
    """Target of the last step, with its share of all fertile eggs."""
    sons, daughters = goals_of(last, states)
    sire_part = Fraction(str(biology.male_share))
    males, females, either = target.needs
    share = Fraction(0)
    if males or either:
        share += sire_part * _mean_share(last, states, sons, male=True)
    if females or either:
        share += (1 - sire_part) * _mean_share(last, states, daughters, male=False)
    return Keep(target.words, males, females, either, share)
