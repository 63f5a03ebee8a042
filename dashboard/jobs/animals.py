"""Which animals does the breeder have and what do they carry? The herd as read, with its pairings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache

from dashboard.jobs.valuation import Harm, hatch_looks
from dashboard.jobs.which_season import next_season
from dashboard.records import AnimalRecord, Book, PairingRecord
from dashboard.records.spreadsheets.cells import read_day
from econ.money import from_minor, to_minor
from genetics import (
    Animal,
    Catalogue,
    HealthNote,
    NotationError,
    NotWritable,
    PairingError,
    Sex,
    read_animal,
    write_animal,
)

GONE = ("sold", "died")
"""States of animals that are no longer with the breeder."""


@dataclass(frozen=True)
class AnimalHarm:
    """A health note that concerns an animal.

    Attributes
    ----------
    gene
        Gene or compound it belongs to.
    note
        The note, with its source.
    itself
        True if the animal may have the harm itself; False if only young of it can.
    """

    gene: str
    note: HealthNote
    itself: bool


@dataclass(frozen=True)
class Reading:
    """How the text of an animal was read.

    Attributes
    ----------
    written
        What was understood, written back in the trade's words; empty for a normal animal.
    assumed
        What was assumed, in sentences.
    harms
        Health notes, those of the animal itself first.
    fault
        Why it can't be read, as a sentence; empty if it can.
    """

    written: str
    assumed: tuple[str, ...]
    harms: tuple[AnimalHarm, ...]
    fault: str = ""

    @property
    def words(self) -> str:
        """What was understood, "normal" for an animal without a known gene."""
        return self.written or "normal"


@dataclass(frozen=True)
class AnimalRow:
    """One animal, and how it was read."""

    animal: AnimalRecord
    reading: Reading

    @property
    def gone(self) -> bool:
        """Whether it was sold or has died."""
        return self.animal.status in GONE

    @property
    def read_otherwise(self) -> bool:
        """Whether it is understood in other words than it was written, their order aside."""
        return bool(self.reading.written) and _plain(self.reading.written) != _plain(self.animal.text)


@dataclass(frozen=True)
class PairingRow:
    """One pairing with its animals, and the known harms it can do; none where it can't be read."""

    pairing: PairingRecord
    sire: AnimalRecord
    dam: AnimalRecord
    harms: tuple[Harm, ...] = ()

    @property
    def name(self) -> str:
        """Name of the pairing: sire × dam."""
        return f"{self.sire.name} × {self.dam.name}"


@dataclass(frozen=True)
class AnimalsAnswer:
    """The herd and what is planned with it.

    Attributes
    ----------
    rows
        Those that are here first, each group by name.
    season, seasons
        Season whose pairings are given, and all that have pairings, newest first.
    pairings
        Pairings of the season, in the order they were entered.
    today
        Day the book counts as today.
    """

    rows: tuple[AnimalRow, ...]
    season: int
    seasons: tuple[int, ...]
    pairings: tuple[PairingRow, ...]
    today: date

    @property
    def here(self) -> tuple[AnimalRow, ...]:
        """Animals that were neither sold nor have died."""
        return tuple(row for row in self.rows if not row.gone)

    @property
    def planned(self) -> int:
        """How many pairings stand in the plan of the season."""
        return sum(row.pairing.planned for row in self.pairings)

    def sexes(self) -> tuple[int, int, int]:
        """Males, females and unsexed animals that are here."""
        return sex_numbers(row.animal for row in self.here)

    def status_count(self, status: str) -> int:
        """How many animals have this status."""
        return sum(row.animal.status == status for row in self.rows)

    def could_be(self, sex: Sex) -> tuple[AnimalRecord, ...]:
        """Animals of one sex that are here, by name."""
        return tuple(row.animal for row in self.here if row.animal.sex is sex)


def sex_numbers(animals: Iterable[AnimalRecord]) -> tuple[int, int, int]:
    """Males, females and unsexed ones among some animals."""
    found = Counter(animal.sex for animal in animals)
    return found[Sex.MALE], found[Sex.FEMALE], found[Sex.UNSEXED]


def animals_answer(book: Book, season: int | None = None, *, catalogue: Catalogue) -> AnimalsAnswer:
    """All animals of a book as they were read, and the pairings of one season.

    Parameters
    ----------
    book
        The records.
    season
        Year in which the eggs come; None takes the next one that has pairings.
    catalogue
        The genes.
    """
    animals = book.animals()
    rows = [AnimalRow(animal, reading_of(animal.text, animal.sex, catalogue)) for animal in animals]
    by_id = {animal.id: animal for animal in animals}
    pairings = book.pairings()
    seasons = tuple(sorted({pairing.season for pairing in pairings}, reverse=True))
    chosen = season if season is not None else next_season(seasons, today=book.today())
    return AnimalsAnswer(
        rows=tuple(sorted(rows, key=lambda row: (row.gone, row.animal.name.casefold()))),
        season=chosen,
        seasons=seasons,
        pairings=tuple(
            _pairing_row(pairing, by_id[pairing.sire_id], by_id[pairing.dam_id], catalogue)
            for pairing in pairings
            if pairing.season == chosen
        ),
        today=book.today(),
    )


def _pairing_row(
    pairing: PairingRecord, sire: AnimalRecord, dam: AnimalRecord, catalogue: Catalogue
) -> PairingRow:
    try:
        _, harms = hatch_looks(sire, dam, catalogue=catalogue)
    except (NotationError, PairingError):
        harms = ()  # why it can't be read stands beside the animal
    return PairingRow(pairing, sire, dam, harms)


@lru_cache(maxsize=5_000)
def reading_of(text: str, sex: Sex, catalogue: Catalogue) -> Reading:
    """How a text is read with these genes; a text that can't be read gives a reading with a fault."""
    try:
        animal = read_animal(text, catalogue, sex=sex)
    except (NotationError, PairingError) as fault:
        return Reading("", (), (), str(fault))
    return Reading(_written(animal, catalogue), animal.notes, harms_of(animal, catalogue))


def _written(animal: Animal, catalogue: Catalogue) -> str:
    try:
        return write_animal(animal, catalogue)
    except NotWritable:
        return " ".join(str(trait) for trait in animal.traits(catalogue))


def harms_of(animal: Animal, catalogue: Catalogue) -> tuple[AnimalHarm, ...]:
    """Health notes of an animal's own look, and those its genes can bring to its young."""
    itself: dict[tuple[str, str], AnimalHarm] = {}
    young: dict[tuple[str, str], AnimalHarm] = {}
    for factor in animal.belief:
        for pairs, _ in factor.table:
            for locus_id, pair in zip(factor.loci, pairs, strict=True):
                for note, name in catalogue.locus(locus_id).look(pair).notes:
                    itself[(name, note.id)] = AnimalHarm(name, note, itself=True)
                for gene in catalogue.locus(locus_id).genes:
                    if gene.name in pair:
                        notes = {(gene.name, note.id): note for note in gene.health}
                        young |= {key: AnimalHarm(key[0], note, itself=False) for key, note in notes.items()}
    return (*itself.values(), *(harm for key, harm in young.items() if key not in itself))


def _plain(text: str) -> list[str]:
    return sorted(text.casefold().replace(",", " ").split())


def with_name(text: str, word: str, name: str) -> str:
    """Text with a name in place of the first word that could not be read; unchanged if it isn't there."""
    place = text.casefold().find(word.casefold()) if word else -1
    return text if place < 0 else text[:place] + name + text[place + len(word) :]


def day_of(text: str) -> date | None:
    """Day as it was typed, such as 2024-05-30; None for an empty text.

    Raises
    ------
    CellRefused
        If it is no date, or one that can be read in two ways; the text says why.
    """
    return read_day(text, "") if text.strip() else None


def paid_minor(amount: float | None, currency: str) -> int | None:
    """Price paid in smallest units of the currency; raises `BadAmount` for too many decimals."""
    return None if amount is None else to_minor(Decimal(repr(amount)), currency)


def paid_amount(minor: int | None, currency: str) -> float | None:
    """Price paid in whole units of the currency; None where none is known."""
    return None if minor is None else from_minor(minor, currency)
