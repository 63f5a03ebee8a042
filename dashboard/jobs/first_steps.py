"""What is still to be entered before an empty book gives its first answer?"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from dashboard.jobs.valuation import hatch_looks
from dashboard.jobs.which_season import next_season
from dashboard.records import AnimalRecord, Book
from genetics import Catalogue, LookRow, LookTable, NotationError, PairingError, Sex

Step = Literal["animals", "price", "pairing"]
STEPS: Final[tuple[Step, ...]] = ("animals", "price", "pairing")


@dataclass(frozen=True)
class FirstSteps:
    """How far a book is on the way to its first answer.

    Attributes
    ----------
    males, females
        Animals that are here, in the order they were entered.
    prices, pairings
        How many prices and pairings the book holds.
    look
        A look of the first couple's young to price first: it shows one gene, the one that most of them
        have in some form, so that the price says something of most of them; empty without a couple.
    season
        Year of the eggs to come.
    currency, today
        The book's money, and the day it counts as today.
    can_change_money
        Whether no sum is counted in the book's money yet.
    """

    males: tuple[AnimalRecord, ...]
    females: tuple[AnimalRecord, ...]
    prices: int
    pairings: int
    look: str
    season: int
    currency: str
    today: date
    can_change_money: bool

    def is_done(self, step: Step) -> bool:
        """Whether the book holds what a step asks for."""
        if step == "animals":
            return bool(self.males and self.females)
        return bool(self.prices if step == "price" else self.pairings)

    @property
    def empty(self) -> bool:
        """Whether the book holds nothing of it yet."""
        return not (self.males or self.females or self.prices or self.pairings)

    @property
    def done(self) -> bool:
        """Whether the first answer is there."""
        return all(self.is_done(step) for step in STEPS)


def first_steps(book: Book, *, catalogue: Catalogue) -> FirstSteps:
    """How far a book is on the way to its first answer, read from what it holds."""
    here = [animal for animal in book.animals() if animal.status not in {"sold", "died"}]
    males = tuple(animal for animal in here if animal.sex is Sex.MALE)
    females = tuple(animal for animal in here if animal.sex is Sex.FEMALE)
    pairings, prices = book.pairings(), len(book.price_versions())
    return FirstSteps(
        males=males,
        females=females,
        prices=prices,
        pairings=len(pairings),
        look=_look(males[0], females[0], catalogue) if males and females else "",
        season=next_season([pairing.season for pairing in pairings], today=book.today()),
        currency=book.currency,
        today=book.today(),
        can_change_money=not prices and book.can_change_currency,
    )


def _look(sire: AnimalRecord, dam: AnimalRecord, catalogue: Catalogue) -> str:
    """Label of the plainest look of a gene that most of the young have; empty if none can be told."""
    try:
        looks, _ = hatch_looks(sire, dam, catalogue=catalogue)
    except (NotationError, PairingError):
        return ""
    return _plainest(looks)


def _plainest(looks: LookTable) -> str:
    having: dict[str, float] = {}
    for row in looks.rows:
        for gene in {trait.gene for trait in row.traits}:
            having[gene] = having.get(gene, 0.0) + float(row.per_hatchling)

    def order(row: LookRow) -> tuple[bool, int, float, float, str]:
        shown = [trait for trait in row.traits if trait.form != "het"]
        reach = max((having[trait.gene] for trait in shown), default=0.0)
        return not shown, len(row.traits), -reach, -float(row.per_hatchling), row.label

    return min(looks.rows, key=order).label if looks.rows else ""
