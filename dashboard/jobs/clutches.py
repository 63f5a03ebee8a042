"""Which clutches did a season bring, what hatched, and what was it sold for? And one clutch in full."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from dashboard.jobs.animals import Reading, reading_of
from dashboard.jobs.clutch_looks import LookChoice, look_choices
from dashboard.jobs.currencies import rates_of_book
from dashboard.jobs.valuation import Harm, hatch_looks
from dashboard.jobs.which_season import next_season
from dashboard.records import AnimalRecord, Book, NotStored, PairingRecord
from dashboard.records.kinds import CLUTCHES, FURTHER_SIRES, WEIGHTS, ClutchRecord, WeightRecord
from econ.exchange import NoRate, Rates
from econ.money import from_minor
from genetics import Catalogue, NotationError, PairingError


@dataclass(frozen=True)
class SoldSum:
    """How many young were sold, and for how much.

    Attributes
    ----------
    count
        Young that were sold.
    amount
        What they brought [the book's money]; 0 if no price is known.
    unpriced
        Those whose price was not entered.
    without_rate
        Those sold in a currency without an exchange rate; they are not in the amount.
    """

    count: int
    amount: float
    unpriced: int = 0
    without_rate: int = 0


@dataclass(frozen=True)
class ClutchLine:
    """One pairing of a season with one of its clutches, or without any so far.

    Attributes
    ----------
    pairing, sire, dam, further
        Who: the pairing, its animals, and names of further sires that were with her.
    clutch
        Dates and eggs; None if none was entered.
    young
        Hatchlings that were entered.
    sold
        Those that were sold.
    harms
        Known harms the pairing can do; none where it can't be read.
    """

    pairing: PairingRecord
    sire: AnimalRecord
    dam: AnimalRecord
    further: tuple[str, ...]
    clutch: ClutchRecord | None
    young: tuple[AnimalRecord, ...]
    sold: SoldSum
    harms: tuple[Harm, ...]

    @property
    def name(self) -> str:
        """Sire × dam, with "clutch 2" from the second one on."""
        name = f"{self.sire.name} × {self.dam.name}"
        number = 1 if self.clutch is None else self.clutch.number
        return name if number == 1 else f"{name}, clutch {number}"

    @property
    def hatched(self) -> int | None:
        """Young that hatched; those entered where the number was not said, None if neither is known."""
        if self.clutch is not None and self.clutch.hatched is not None:
            return self.clutch.hatched
        return len(self.young) or None

    @property
    def eggs(self) -> int | None:
        """Eggs, fertile or not; None if they were not counted."""
        if self.clutch is None or (self.clutch.fertile is None and self.clutch.infertile is None):
            return None
        return (self.clutch.fertile or 0) + (self.clutch.infertile or 0)


@dataclass(frozen=True)
class ClutchesAnswer:
    """The clutches of one season.

    Attributes
    ----------
    season, seasons
        Year of the eggs, and all years that have pairings, newest first.
    lines
        Pairings with a clutch first, by the day it was laid; then those without.
    sold
        Of all of them.
    currency
        ISO 4217 code of the book's money.
    """

    season: int
    seasons: tuple[int, ...]
    lines: tuple[ClutchLine, ...]
    sold: SoldSum
    currency: str

    @property
    def laid(self) -> tuple[ClutchLine, ...]:
        """Those with a clutch."""
        return tuple(line for line in self.lines if line.clutch is not None)

    @property
    def waiting(self) -> tuple[ClutchLine, ...]:
        """Pairings without a clutch."""
        return tuple(line for line in self.lines if line.clutch is None)

    @property
    def hatched(self) -> int:
        """Young that hatched, as far as it was said."""
        return sum(line.hatched or 0 for line in self.lines)


@dataclass(frozen=True)
class Hatchling:
    """One hatchling: its record, how its look was read, and its newest weight."""

    animal: AnimalRecord
    reading: Reading
    weight: WeightRecord | None


@dataclass(frozen=True)
class ClutchAnswer:
    """One clutch, or a pairing that has none yet.

    Attributes
    ----------
    line
        Pairing, dates, eggs.
    hatchlings
        In the order they were entered.
    looks, looks_left
        Looks the parents can have, likeliest first, and the number of those beyond.
    unread
        Why the looks are not known; empty if they are.
    currency, today
        The book's money, and the day it counts as today.
    """

    line: ClutchLine
    hatchlings: tuple[Hatchling, ...]
    looks: tuple[LookChoice, ...]
    looks_left: int
    unread: str
    currency: str
    today: date


def clutches_answer(book: Book, season: int | None = None, *, catalogue: Catalogue) -> ClutchesAnswer:
    """Clutches and pairings of one season.

    Parameters
    ----------
    book
        The records.
    season
        Year of the eggs; None takes the newest one up to this year, else the next one.
    catalogue
        The genes.
    """
    pairings = book.pairings()
    seasons = tuple(sorted({pairing.season for pairing in pairings}, reverse=True))
    chosen = _season(seasons, book.today()) if season is None else season
    lines = _lines(book, [p for p in pairings if p.season == chosen], catalogue)
    return ClutchesAnswer(
        season=chosen,
        seasons=seasons,
        lines=tuple(sorted(lines, key=_order)),
        sold=_together(line.sold for line in lines),
        currency=book.currency,
    )


def _season(seasons: Sequence[int], today: date) -> int:
    begun = [season for season in seasons if season <= today.year]
    return max(begun) if begun else next_season(seasons, today=today)


def _order(line: ClutchLine) -> tuple[bool, date, str]:
    laid = None if line.clutch is None else line.clutch.laid_on
    return line.clutch is None, laid or date.max, line.name


def _lines(book: Book, pairings: Sequence[PairingRecord], catalogue: Catalogue) -> list[ClutchLine]:
    animals = {animal.id: animal for animal in book.animals()}
    rates, today = rates_of_book(book), book.today()
    young: dict[int, list[AnimalRecord]] = defaultdict(list)
    for animal in animals.values():
        if animal.clutch_id is not None:
            young[animal.clutch_id].append(animal)
    further: dict[int, list[AnimalRecord]] = defaultdict(list)
    for row in book.rows(FURTHER_SIRES):
        further[row.pairing_id].append(animals[row.sire_id])
    clutches: dict[int, list[ClutchRecord]] = defaultdict(list)
    for clutch in book.rows(CLUTCHES):
        clutches[clutch.pairing_id].append(clutch)
    found = []
    for pairing in pairings:
        sire, dam = animals[pairing.sire_id], animals[pairing.dam_id]
        others = further[pairing.id]
        own_clutches: list[ClutchRecord | None] = [*sorted(clutches[pairing.id], key=lambda c: c.number)]
        for one in own_clutches or [None]:
            own = tuple(young[one.id]) if one is not None else ()
            found.append(
                ClutchLine(
                    pairing=pairing,
                    sire=sire,
                    dam=dam,
                    further=tuple(other.name for other in others),
                    clutch=one,
                    young=own,
                    sold=sold_sum(own, rates, today=today),
                    harms=_harms([sire, *others], dam, catalogue),
                )
            )
    return found


def _harms(sires: Sequence[AnimalRecord], dam: AnimalRecord, catalogue: Catalogue) -> tuple[Harm, ...]:
    """Harms of a clutch by any of its possible sires; those of one that can't be read are left out."""
    met: dict[tuple[str, str, bool], Harm] = {}
    for sire in sires:
        try:
            _, harms = hatch_looks(sire, dam, catalogue=catalogue)
        except (NotationError, PairingError):
            continue  # why it can't be read stands where the looks would be
        for harm in harms:
            met.setdefault((harm.gene, harm.note.id, harm.to_dam), harm)
    return tuple(met.values())


def sold_sum(animals: Iterable[AnimalRecord], rates: Rates, *, today: date) -> SoldSum:
    """Number and sum of those that were sold, each at the exchange rate of its day of sale."""
    count = minor = unpriced = without = 0
    for animal in animals:
        if animal.status != "sold":
            continue
        count += 1
        if animal.sold_minor is None:
            unpriced += 1
            continue
        try:
            code = animal.sold_currency or rates.home
            minor += rates.to_home(animal.sold_minor, code, animal.sold_on or today)
        except NoRate:
            without += 1
    return SoldSum(count, from_minor(minor, rates.home), unpriced, without)


def _together(sums: Iterable[SoldSum]) -> SoldSum:
    kept = list(sums)
    return SoldSum(
        sum(one.count for one in kept),
        sum(one.amount for one in kept),
        sum(one.unpriced for one in kept),
        sum(one.without_rate for one in kept),
    )


def clutch_answer(book: Book, clutch_id: int, *, catalogue: Catalogue) -> ClutchAnswer:
    """One clutch; raises `NotStored` if the book has none of this number."""
    pairing = book.pairing(book.row(CLUTCHES, clutch_id).pairing_id)
    for line in _lines(book, [pairing], catalogue):
        if line.clutch is not None and line.clutch.id == clutch_id:
            return _answer(book, line, catalogue)
    raise NotStored("This clutch is not in the book.")


def pairing_answer(book: Book, pairing_id: int, *, catalogue: Catalogue) -> ClutchAnswer:
    """Pairing as one that has no clutch yet; raises `NotStored` if the book has none of this number."""
    line = _lines(book, [book.pairing(pairing_id)], catalogue)[0]
    bare = ClutchLine(line.pairing, line.sire, line.dam, line.further, None, (), SoldSum(0, 0.0), line.harms)
    return _answer(book, bare, catalogue)


def _answer(book: Book, line: ClutchLine, catalogue: Catalogue) -> ClutchAnswer:
    newest: dict[int, WeightRecord] = {}
    ids = {animal.id for animal in line.young}
    for weight in sorted(book.rows(WEIGHTS), key=lambda row: row.on):
        if weight.animal_id in ids:
            newest[weight.animal_id] = weight
    hatchlings = tuple(
        Hatchling(animal, reading_of(animal.text, animal.sex, catalogue), newest.get(animal.id))
        for animal in line.young
    )
    others = {row.sire_id for row in book.rows(FURTHER_SIRES) if row.pairing_id == line.pairing.id}
    sires = [line.sire, *(book.animal(sire_id) for sire_id in sorted(others))]
    readings = [hatchling.reading for hatchling in hatchlings]
    looks, left, unread = look_choices(sires, line.dam, readings, catalogue=catalogue)
    return ClutchAnswer(line, hatchlings, looks, left, unread, book.currency, book.today())
