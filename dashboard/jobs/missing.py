"""What is missing in the book, and which answer would change if it were there?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal
from urllib.parse import quote

from dashboard.jobs.animals import GONE, AnimalRow, AnimalsAnswer, PairingRow, animals_answer
from dashboard.jobs.currencies import animals_at_home, bought_at_home, home_prices, rates_of_book
from dashboard.jobs.season import value_pairings
from dashboard.records import AnimalRecord, Book
from dashboard.records.kinds import CLUTCHES, ClutchRecord
from genetics import Catalogue, Sex

Kind = Literal[
    "no price", "gone in plan", "unread in plan", "dam twice", "no plan", "no rate", "look without price",
    "clutch without young", "sold without price", "purchase without rate", "unread", "no purchase",
    "no hatching day", "no weight",
]  # fmt: skip
KINDS: Final[tuple[Kind, ...]] = (
    "no price",  # without one nothing has a value
    "gone in plan",  # from here on the total of the season is wrong
    "unread in plan",
    "dam twice",
    "no plan",
    "look without price",
    "no rate",
    "clutch without young",  # from here on what happened is not known
    "sold without price",
    "purchase without rate",  # from here on a usual figure stands in
    "no purchase",
    "unread",  # from here on no sum of the season changes
    "no hatching day",
    "no weight",
)
"""What can be missing, what changes most first."""

PLAN: Final = "animals?to=plan"
"""Target of the pairings of a season."""
_PRICES: Final = "book?table=prices"


@dataclass(frozen=True)
class Missing:
    """One thing that is missing.

    Attributes
    ----------
    kind
        What is missing.
    names
        Animals, clutches, looks or currencies it concerns; of an animal that is gone its name, its status
        and its planned pairings.
    place
        Target of the page where it is mended.
    animals
        Numbers of the animals it concerns, if it concerns animals.
    count
        How many rows it concerns, where that is more than the names.
    season
        Season it concerns, if it concerns one.
    """

    kind: Kind
    names: tuple[str, ...]
    place: str
    animals: frozenset[int] = frozenset()
    count: int = 0
    season: int | None = None


@dataclass(frozen=True)
class MissingAnswer:
    """All that is missing in a book.

    Attributes
    ----------
    items
        What changes most first.
    currency
        The book's money.
    """

    items: tuple[Missing, ...]
    currency: str

    @property
    def animals(self) -> frozenset[int]:
        """Numbers of all animals that something is missing of."""
        return frozenset(number for item in self.items for number in item.animals)

    def of(self, *kinds: Kind) -> MissingAnswer:
        """Those of some kinds, for a page that answers one question."""
        return replace(self, items=tuple(item for item in self.items if item.kind in kinds))


def missing_answer(book: Book, season: int | None = None, *, catalogue: Catalogue) -> MissingAnswer:
    """What is missing in a book for the answers about a season and about what happened.

    Parameters
    ----------
    book
        The records.
    season
        Year in which the eggs come; None takes the next one that has pairings.
    catalogue
        The genes.
    """
    herd = animals_answer(book, season, catalogue=catalogue)
    if not herd.rows and not book.price_versions():
        return MissingAnswer((), book.currency)
    found = [
        *_prices(book, herd, catalogue),
        *_plan(herd),
        *_past(book, herd),
        *_facts(book, herd),
    ]
    return MissingAnswer(tuple(sorted(found, key=lambda item: KINDS.index(item.kind))), book.currency)


def _rate(currency: str) -> str:
    """Target of the line where the exchange rate of a currency is entered."""
    return f"book?table=exchange%20rates&currency={currency}"


def _planned(herd: AnimalsAnswer) -> list[PairingRow]:
    return [row for row in herd.pairings if row.pairing.planned]


def _prices(book: Book, herd: AnimalsAnswer, catalogue: Catalogue) -> Iterator[Missing]:
    """No price at all; looks of planned pairings without one; prices without a rate."""
    rates = rates_of_book(book)
    seen = home_prices(book.price_observations(), rates)
    for code, count in seen.without_rate:
        yield Missing("no rate", (code,), _rate(code), count=count)
    if not seen.prices:
        if not seen.without_rate:
            yield Missing("no price", (), _PRICES)
        return
    planned = [row.pairing for row in _planned(herd)]
    values, _ = value_pairings(book, planned, animals_at_home(book), catalogue=catalogue)
    shares: dict[str, float] = {}
    for valued in values.values():
        for look in valued.looks.rows:
            if look.label in valued.unpriced:
                shares[look.label] = shares.get(look.label, 0.0) + float(look.per_hatchling)
    if shares:
        looks = sorted(shares, key=lambda label: (-shares[label], label))
        place = f"{_PRICES}&what={quote(looks[0])}"
        yield Missing("look without price", tuple(looks), place, count=len(looks), season=herd.season)


def _plan(herd: AnimalsAnswer) -> Iterator[Missing]:
    """No plan; a parent that is gone or can't be read; a female planned twice."""
    planned = _planned(herd)
    able = all(any(row.animal.sex is sex for row in herd.here) for sex in (Sex.MALE, Sex.FEMALE))
    if able and not planned:
        yield Missing("no plan", (), PLAN, season=herd.season)
    for animal in {animal.id: animal for pair in planned for animal in pair.gone}.values():
        pairs = [pair.name for pair in planned if animal.id in (pair.sire.id, pair.dam.id)]
        names, ids = (animal.name, animal.status, *pairs), frozenset({animal.id})
        yield Missing("gone in plan", names, PLAN, ids, count=len(pairs), season=herd.season)
    for dam, times in herd.doubled:
        ids = frozenset({dam.id})
        yield Missing("dam twice", (dam.name,), PLAN, ids, count=times, season=herd.season)
    used = {animal.id for pair in planned for animal in (pair.sire, pair.dam)}
    unread = [row for row in herd.here if row.reading.fault]
    yield from _of_animals("unread in plan", [r.animal for r in unread if r.animal.id in used], herd.season)
    yield from _of_animals("unread", [r.animal for r in unread if r.animal.id not in used])


def _past(book: Book, herd: AnimalsAnswer) -> Iterator[Missing]:
    """Clutches whose young were not entered; animals sold nobody knows for how much."""
    entered = {row.animal.clutch_id for row in herd.rows}
    empty = [clutch for clutch in book.rows(CLUTCHES) if clutch.hatched and clutch.id not in entered]
    if empty:
        names = book.herd()
        yield Missing(
            "clutch without young",
            tuple(names.clutch_name(clutch.id) for clutch in empty),
            f"clutch?clutch={empty[0].id}",
            count=_hatched(empty),
        )
    sold = [row.animal for row in herd.rows if row.animal.status == "sold"]
    yield from _of_animals("sold without price", [animal for animal in sold if animal.sold_minor is None])


def _hatched(clutches: Iterable[ClutchRecord]) -> int:
    return sum(clutch.hatched or 0 for clutch in clutches)


def _facts(book: Book, herd: AnimalsAnswer) -> Iterator[Missing]:
    """Facts of the animals in the plan: what they cost, when they hatched, what they weigh."""
    rows = {row.animal.id: row for row in herd.rows}
    used: dict[int, AnimalRow] = {}
    for pair in _planned(herd):
        used |= {animal.id: rows[animal.id] for animal in (pair.sire, pair.dam) if animal.status not in GONE}
    animals = [row.animal for row in used.values()]
    rates, today = rates_of_book(book), book.today()
    without = [
        animal
        for animal in animals
        if animal.bought_minor is not None and bought_at_home(animal, rates, today=today).bought_minor is None
    ]
    place = _rate(str(without[0].bought_currency)) if without else ""
    yield from _of_animals("purchase without rate", without, place=place)
    # young of one's own clutches were never bought
    bought = [a for a in animals if a.bought_minor is None and a.clutch_id is None and not a.dam_id]
    yield from _of_animals("no purchase", bought)
    yield from _of_animals("no hatching day", [animal for animal in animals if animal.hatched is None])
    females = [row.animal for row in used.values() if row.weight is None and row.animal.sex is Sex.FEMALE]
    yield from _of_animals("no weight", females)


def _of_animals(
    kind: Kind, animals: Sequence[AnimalRecord], season: int | None = None, *, place: str = ""
) -> Iterator[Missing]:
    """One thing for all animals it is missing of; it leads to the first of them."""
    if animals:
        target = place or f"animals?id={animals[0].id}"
        names = tuple(animal.name for animal in animals)
        ids = frozenset(animal.id for animal in animals)
        yield Missing(kind, names, target, ids, count=len(animals), season=season)
