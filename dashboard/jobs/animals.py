"""Which animals does the breeder have and what do they carry? The herd as read, with its pairings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from dashboard.jobs.animal_reading import AnimalHarm, Reading, plain_words, reading_of, with_name
from dashboard.jobs.valuation import Harm, hatch_looks
from dashboard.jobs.which_season import next_season
from dashboard.records import AnimalRecord, Book, PairingRecord
from dashboard.records.kinds import WEIGHTS, WeightRecord
from genetics import Catalogue, NotationError, PairingError, Sex

__all__ = [
    "GONE",
    "GROUPS",
    "AnimalHarm",
    "AnimalRow",
    "AnimalsAnswer",
    "Group",
    "PairingRow",
    "Reading",
    "animals_answer",
    "reading_of",
    "sex_numbers",
    "with_name",
]

GONE: Final = ("sold", "died")
"""States of animals that are no longer with the breeder."""

Group = Literal["breeders", "young", "gone"]
GROUPS: Final[tuple[Group, ...]] = ("breeders", "young", "gone")
_GROWN: Final = ("breeding", "resting")


@dataclass(frozen=True)
class AnimalRow:
    """One animal, how it was read, its newest weight, and how many of its young the book holds."""

    animal: AnimalRecord
    reading: Reading
    weight: WeightRecord | None = None
    young: int = 0

    @property
    def gone(self) -> bool:
        """Whether it was sold or has died."""
        return self.animal.status in GONE

    @property
    def group(self) -> Group:
        """Where it is listed: gone, young of a clutch of this book until it breeds, or a breeder."""
        if self.gone:
            return "gone"
        hatchling = self.animal.clutch_id is not None and self.animal.status not in _GROWN
        return "young" if hatchling else "breeders"

    @property
    def read_otherwise(self) -> bool:
        """Whether it is understood in other words than it was written, their order aside."""
        written = self.reading.written
        return bool(written) and plain_words(written) != plain_words(self.animal.text)


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

    @property
    def gone(self) -> tuple[AnimalRecord, ...]:
        """Those of the two that were sold or have died."""
        return tuple(animal for animal in (self.sire, self.dam) if animal.status in GONE)


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
    clutches
        Names of the clutches of the book by their numbers, newest season first.
    """

    rows: tuple[AnimalRow, ...]
    season: int
    seasons: tuple[int, ...]
    pairings: tuple[PairingRow, ...]
    today: date
    clutches: Mapping[int, str]

    @property
    def here(self) -> tuple[AnimalRow, ...]:
        """Animals that were neither sold nor have died."""
        return tuple(row for row in self.rows if not row.gone)

    @property
    def planned(self) -> int:
        """How many pairings stand in the plan of the season."""
        return sum(row.pairing.planned for row in self.pairings)

    @property
    def doubled(self) -> tuple[tuple[AnimalRecord, int], ...]:
        """Females that stand in the plan of the season more than once, and how often."""
        times = Counter(row.dam.id for row in self.pairings if row.pairing.planned)
        named = {row.dam.id: row.dam for row in self.pairings}
        return tuple((named[id_], count) for id_, count in times.items() if count > 1)

    def of(self, group: Group) -> tuple[AnimalRow, ...]:
        """Animals of one group, by name."""
        return tuple(row for row in self.rows if row.group == group)

    def sexes(self) -> tuple[int, int, int]:
        """Males, females and unsexed animals among those that are here and no young of a clutch."""
        return sex_numbers(row.animal for row in self.of("breeders"))

    def parents(self, sex: Sex) -> tuple[AnimalRecord, ...]:
        """Animals of one sex that may be a parent, those that are gone last."""
        return tuple(row.animal for row in self.rows if row.animal.sex is sex)

    @property
    def newest(self) -> AnimalRecord | None:
        """The animal that was entered last."""
        return max((row.animal for row in self.rows), key=lambda animal: animal.id, default=None)

    def status_count(self, status: str) -> int:
        """How many animals have this status."""
        return sum(row.animal.status == status for row in self.rows)

    def could_be(self, sex: Sex) -> tuple[AnimalRecord, ...]:
        """Animals of one sex that are here: breeders by name, then the young."""
        rows = (*self.of("breeders"), *self.of("young"))
        return tuple(row.animal for row in rows if row.animal.sex is sex)


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
    weights, young = newest_weights(book.rows(WEIGHTS)), _young(animals)
    rows = [
        AnimalRow(
            animal,
            reading_of(animal.text, animal.sex, catalogue),
            weight=weights.get(animal.id),
            young=young[animal.id],
        )
        for animal in animals
    ]
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
        clutches=_clutches(book),
    )


def _clutches(book: Book) -> dict[int, str]:
    herd = book.herd()
    names = {number: herd.clutch_name(number) for number in herd.clutches}
    seasons = {number: herd.pairings[clutch.pairing_id].season for number, clutch in herd.clutches.items()}
    return {number: names[number] for number in sorted(names, key=lambda n: (-seasons[n], names[n]))}


def newest_weights(weights: Sequence[WeightRecord]) -> Mapping[int, WeightRecord]:
    """Newest weight of each animal, by the animal's number."""
    return {weight.animal_id: weight for weight in sorted(weights, key=lambda weight: weight.on)}


def _young(animals: Sequence[AnimalRecord]) -> Counter[int]:
    """How many animals of the book each one is a parent of."""
    return Counter(
        parent for animal in animals for parent in (animal.sire_id, animal.dam_id) if parent is not None
    )


def _pairing_row(
    pairing: PairingRecord, sire: AnimalRecord, dam: AnimalRecord, catalogue: Catalogue
) -> PairingRow:
    try:
        _, harms = hatch_looks(sire, dam, catalogue=catalogue)
    except (NotationError, PairingError):
        harms = ()  # why it can't be read stands beside the animal
    return PairingRow(pairing, sire, dam, harms)
