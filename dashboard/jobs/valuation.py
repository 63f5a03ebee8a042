"""What is this sire with this dam worth in this season? The one piece every money page builds on."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from dashboard.jobs.recent import Recent, number_of
from dashboard.records import AnimalRecord
from econ.assumptions import Assumptions
from econ.decisions.break_even import BreakEven
from econ.decisions.look_prices import NO_PRICE, LookPrices, market_prices
from econ.decisions.outcomes import Outcomes, Swings
from econ.decisions.pairing_budget import PairingBudget, pairing_budget
from econ.decisions.pairing_costs import LATE_MONTHS, pairing_costs
from econ.decisions.sale_timing import SaleTiming
from econ.money import from_minor
from econ.prices.market import Market
from genetics import Animal, Catalogue, HealthNote, LookTable, cross, harms_to_dam, read_animal

SEED = 2027  # one seed for every book: the same inputs give the same answer on every machine
DRAWS = 4000
MOST_LOOKS = 400  # looks priced one by one; beyond, the rest is priced as the cheapest and said so
HATCH_DAY = 15


class NoPrices(ValueError):
    """The book has no price at all, so nothing can be valued."""


@dataclass(frozen=True)
class Harm:
    """A known harm that a pairing can do to its dam or to its young.

    Attributes
    ----------
    note
        What the harm is, and its source.
    gene
        The gene or compound it belongs to.
    share
        Share it meets: of the fertile eggs for eggs that don't hatch, else of the hatchlings; for the
        dam the chance that she has the gene.
    to_dam
        Whether the dam herself is harmed and not the young.
    """

    note: HealthNote
    gene: str
    share: float
    to_dam: bool = False


@dataclass(frozen=True, eq=False)
class Couple:
    """A sire and a dam, and all that goes into their value.

    Attributes
    ----------
    sire, dam
        The two animals.
    season
        Year in which the eggs come.
    females
        Females the sire is paired with in the season.
    assumptions
        The breeder's figures, this pairing's own included.
    sire_known, dam_known
        What all records tell of their genes; None takes what is written of them.
    """

    sire: AnimalRecord
    dam: AnimalRecord
    season: int
    females: int
    assumptions: Assumptions
    sire_known: Animal | None = None
    dam_known: Animal | None = None

    def genes(self, catalogue: Catalogue) -> tuple[Animal, Animal]:
        """Genes of the sire and the dam, as known or as written; raises `NotationError`."""
        father = self.sire_known or read_animal(self.sire.text, catalogue, sex=self.sire.sex)
        return father, self.dam_known or read_animal(self.dam.text, catalogue, sex=self.dam.sex)


@dataclass(frozen=True, eq=False)
class Valued:
    """One couple's clutch as money.

    Attributes
    ----------
    couple
        Who, when, and with which figures.
    looks, harms
        Looks of the clutch, and known harms to its young.
    budget
        Enterprise budget.
    hatch
        Expected day of hatching.
    """

    couple: Couple
    looks: LookTable
    harms: tuple[Harm, ...]
    budget: PairingBudget
    hatch: date
    swings: Swings = field(repr=False)

    @property
    def name(self) -> str:
        """Name of the pairing: sire × dam."""
        return f"{self.couple.sire.name} × {self.couple.dam.name}"

    @property
    def genes(self) -> str:
        """What sire and dam show and carry."""
        return f"{self.couple.sire.text} × {self.couple.dam.text}"

    @cached_property
    def outcomes(self) -> Outcomes:
        """Drawn seasons of this pairing."""
        return self.budget.draw(self.name, swings=self.swings)

    @cached_property
    def points(self) -> BreakEven:
        """Where it breaks even."""
        return self.budget.break_even()

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Labels of looks that nothing is known of: they count as nothing."""
        lead, names = self.budget.prices.lead, self.budget.prices.leads
        rows = enumerate(self.looks.rows)
        return tuple(row.label for number, row in rows if names[lead[2 * number]] == NO_PRICE)


_clutches: Recent[tuple[LookTable, tuple[Harm, ...]]] = Recent(400)
_prices: Recent[LookPrices] = Recent(400)
_valued: Recent[Valued] = Recent(400)
_swings: Recent[Swings] = Recent(2)


def value_couple(couple: Couple, market: Market, *, catalogue: Catalogue, currency: str) -> Valued:
    """Value one couple.

    Raises
    ------
    NotationError
        If an animal can't be read.
    PairingError
        If the two can't breed.
    MissingCost
        If a figure that is needed was emptied.
    NoPrices
        If the book has no price yet.
    """
    if market.model is None:
        raise NoPrices("There is no price in this book yet, so nothing can be valued.")
    key = (
        couple.sire,
        couple.dam,
        couple.sire_known,
        couple.dam_known,
        couple.season,
        couple.females,
        couple.assumptions.fingerprint,
        number_of(market),
        number_of(catalogue),
        currency,
    )
    return _valued.get(key, lambda: _value(couple, market, catalogue, currency))


def _value(couple: Couple, market: Market, catalogue: Catalogue, currency: str) -> Valued:
    looks, harms = hatch_known(*couple.genes(catalogue), catalogue=catalogue)
    budget, hatch = _budget(couple, looks, market, catalogue, currency)
    swings = _swings.get((SEED, DRAWS), lambda: Swings(seed=SEED, draws=DRAWS))
    return Valued(couple=couple, looks=looks, harms=harms, budget=budget, hatch=hatch, swings=swings)


def _budget(
    couple: Couple, looks: LookTable, market: Market, catalogue: Catalogue, currency: str
) -> tuple[PairingBudget, date]:
    """Budget of a couple, and the day its eggs are expected to hatch."""
    hatch = date(couple.season, int(couple.assumptions["clutch.hatch_month"]), HATCH_DAY)
    costs = pairing_costs(
        couple.assumptions,
        dam_purchase=_paid(couple.dam, currency),
        sire_purchase=_paid(couple.sire, currency),
        females=float(couple.females) if couple.females else None,
    )
    prices = _look_prices(couple, looks, market, catalogue, hatch=hatch, timing=costs.timing)
    level = couple.assumptions["price.level"]
    return pairing_budget(looks, prices.at_level(level), couple.assumptions, costs=costs), hatch


def _look_prices(
    couple: Couple, looks: LookTable, market: Market, catalogue: Catalogue, *, hatch: date, timing: SaleTiming
) -> LookPrices:
    """Market prices of the looks; kept, since most figures of the breeder's don't move them."""
    key = (couple.genes(catalogue), hatch, timing.first, timing.last, number_of(market), number_of(catalogue))
    return _prices.get(
        key, lambda: market_prices(looks, market, hatch=hatch, timing=timing, months=LATE_MONTHS)
    )


def hatch_looks(
    sire: AnimalRecord, dam: AnimalRecord, *, catalogue: Catalogue
) -> tuple[LookTable, tuple[Harm, ...]]:
    """List the looks of the clutch of two animals as they are written, and known harms.

    Raises
    ------
    NotationError, PairingError
        If one can't be read, or the two can't breed.
    """
    father = read_animal(sire.text, catalogue, sex=sire.sex)
    return hatch_known(father, read_animal(dam.text, catalogue, sex=dam.sex), catalogue=catalogue)


def hatch_known(
    father: Animal, mother: Animal, *, catalogue: Catalogue
) -> tuple[LookTable, tuple[Harm, ...]]:
    """List the looks of the clutch of two animals, and known harms to the dam and to the young.

    Raises
    ------
    PairingError
        If the two can't breed.
    """

    def make() -> tuple[LookTable, tuple[Harm, ...]]:
        clutch = cross(father, mother, catalogue)
        own = harms_to_dam(mother, catalogue)
        harms = [Harm(note, gene, float(share), to_dam=True) for note, gene, share in own]
        harms += [Harm(note, gene, float(share)) for note, gene, share in clutch.welfare]
        return clutch.looks(limit=MOST_LOOKS), tuple(harms)

    return _clutches.get((father, mother, number_of(catalogue)), make)


def expected_margin_of(couple: Couple, market: Market, *, catalogue: Catalogue, currency: str) -> float:
    """Exact expected margin of a couple [money]; quick, as nothing is drawn."""
    looks, _ = hatch_known(*couple.genes(catalogue), catalogue=catalogue)
    return _budget(couple, looks, market, catalogue, currency)[0].margin


def _paid(animal: AnimalRecord, currency: str) -> float | None:
    return None if animal.bought_minor is None else from_minor(animal.bought_minor, currency)
