"""What does a plan of the breeder's own give, step by step?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from genetics.genes.catalogue import Catalogue
from genetics.genes.notation import read_animal
from genetics.genes.traits import Sex
from genetics.routes.biology import Biology
from genetics.routes.founders import BadFounders, Founder, checked_founders
from genetics.routes.kinds import States, YoungKind, kind_of, kind_words, young_kinds
from genetics.routes.serial import NoSuchYoung, Plan, paired, plan_of
from genetics.routes.states import Recombination, states_of
from genetics.routes.stocks import Pairing, Stock, founder_stock, held_back
from genetics.routes.target import Target


@dataclass(frozen=True)
class PlannedStep:
    """One step of a plan of the breeder's own.

    Attributes
    ----------
    sire
        Name of a founder, or the number of the step whose young male is used.
    dams
        Names of founders of one kind, or the number of the step whose young females are used.
    keep_male
        Young male to hold back, in the trade's words at the target's loci; empty for none.
    keep_females
        Young females to hold back; empty for none.
    females
        How many of them.
    """

    sire: str | int
    dams: tuple[str, ...] | int
    keep_male: str = ""
    keep_females: str = ""
    females: int = 1


def fixed_plan(
    planned: Sequence[PlannedStep],
    target: Target,
    founders: Sequence[Founder],
    catalogue: Catalogue,
    *,
    biology: Biology,
    seasons: int = 25,
    recombination: Recombination | None = None,
) -> Plan:
    """Give the exact distribution of the first year of a plan whose last step is to give the target.

    Parameters
    ----------
    planned
        The steps in order; the last one holds nothing back.
    target, founders, catalogue, biology
        What is wanted, the animals, the genes, the life history.
    seasons
        Seasons looked at.
    recombination
        Recombination fraction by sex-linked locus, where it is not the catalogue's own.

    Raises
    ------
    BadFounders
        If a step names an animal that is not there, or of the wrong sex.
    NoSuchYoung
        If a step wants young its parents can't have or that can't be told by eye, uses young no step
        holds back, or the last step can't give the target.
    NotExact
        If the waits of two branches depend on each other; such a plan can only be simulated.
    """
    held = checked_founders(founders)
    states = states_of(target, [each.animal for each in held], catalogue, recombination=recombination)
    males: dict[str | int, Stock] = {}
    females: dict[str | int, Stock] = {}
    last: Pairing | None = None
    known = {each.name: each for each in held}
    for number, step in enumerate(planned, 1):
        sire = _stock(step.sire, males, known, states, male=True, seasons=seasons)
        dams = _stock(step.dams, females, known, states, male=False, seasons=seasons)
        last = paired(sire, dams, states, biology)
        for words, male, stocks in ((step.keep_male, True, males), (step.keep_females, False, females)):
            if words:
                young = _young(words, last, states, catalogue, number, male=male)
                count = 1 if male else step.females
                stocks[number] = held_back(
                    last, young.kind, young.sets, states, biology, male=male, count=count
                )
    plan = None if last is None else plan_of(last, target, states, catalogue, biology)
    if plan is None:
        raise NoSuchYoung(f"the last step can't give {target.words}")
    return plan


def _stock(
    who: str | int | tuple[str, ...],
    stocks: dict[str | int, Stock],
    known: dict[str, Founder],
    states: States,
    *,
    male: bool,
    seasons: int,
) -> Stock:
    """Animals a step uses; founders are made into a stock when they are first used."""
    sex = "male" if male else "female"
    if isinstance(who, int):
        if who not in stocks:
            raise NoSuchYoung(f"step {who} holds back no {sex}")
        return stocks[who]
    names = (who,) if isinstance(who, str) else who
    key = ", ".join(names)
    if key not in stocks:
        missing = [name for name in names if name not in known]
        if missing or not names:
            raise BadFounders(f"no animal is called '{', '.join(missing)}'; there are: {', '.join(known)}")
        group = tuple(known[name] for name in names)
        if any(each.male is not male for each in group):
            raise BadFounders(f"'{key}' is to be a {sex} and is not")
        kinds = {kind_of(each.animal, states) for each in group}
        if len(kinds) > 1:
            raise BadFounders(f"the dams {key} differ in their genes; allowed: one kind a step")
        stocks[key] = founder_stock(group, kinds.pop(), seasons=seasons)
    return stocks[key]


def _young(
    words: str, pairing: Pairing, states: States, catalogue: Catalogue, number: int, *, male: bool
) -> YoungKind:
    """Kind of young that the words mean, among those the pairing can have."""
    kinds = young_kinds(states, pairing.sire.kind, pairing.dams.kind, male=male)
    written = {kind_words(states, each.kind, catalogue, male=male): each for each in kinds}
    if words in written:
        return written[words]
    meant = kind_of(read_animal(words, catalogue, sex=Sex.MALE if male else Sex.FEMALE), states)
    for each in kinds:
        if each.kind == meant:
            return each
    raise NoSuchYoung(
        f"step {number} has no young that can be told to be '{words}'; allowed: {', '.join(sorted(written))}"
    )
