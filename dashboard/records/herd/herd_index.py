"""Which animal, pairing or clutch does a name mean? Names are compared without regard to capitals."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, select

from dashboard.records import schema
from dashboard.records.text_fields import name_key
from genetics.genes.traits import Sex


@dataclass(frozen=True)
class KnownAnimal:
    """What other rows need to know of an animal."""

    id: int
    name: str
    sex: Sex
    hatched: date | None
    status: str


@dataclass(frozen=True)
class KnownPairing:
    """What other rows need to know of a pairing."""

    id: int
    season: int
    sire_id: int
    dam_id: int


@dataclass(frozen=True)
class KnownClutch:
    """What other rows need to know of a clutch."""

    id: int
    pairing_id: int
    number: int
    hatched_on: date | None


@dataclass(frozen=True)
class HerdIndex:
    """Animals, pairings and clutches of one moment, by number; names lead to them."""

    animals: Mapping[int, KnownAnimal]
    pairings: Mapping[int, KnownPairing]
    clutches: Mapping[int, KnownClutch]

    def animal_name(self, animal_id: int) -> str:
        """Name of an animal."""
        return self.animals[animal_id].name

    def pairing_name(self, pairing_id: int) -> str:
        """Name of a pairing in files: "2027 Basalt × Tansy"."""
        found = self.pairings[pairing_id]
        return f"{found.season} {self.animal_name(found.sire_id)} × {self.animal_name(found.dam_id)}"

    def clutch_name(self, clutch_id: int) -> str:
        """Name of a clutch in files: that of its pairing, with ", clutch 2" from the second on."""
        found = self.clutches[clutch_id]
        name = self.pairing_name(found.pairing_id)
        return name if found.number == 1 else f"{name}, clutch {found.number}"

    def animal_ids(self) -> dict[str, int]:
        """Numbers of animals by their name as it is compared."""
        return {name_key(animal.name): animal.id for animal in self.animals.values()}

    def pairing_ids(self) -> dict[str, int]:
        """Numbers of pairings by their name as it is compared."""
        return {place_key(self.pairing_name(number)): number for number in self.pairings}

    def clutch_ids(self) -> dict[str, int]:
        """Numbers of clutches by their name as it is compared."""
        return {place_key(self.clutch_name(number)): number for number in self.clutches}


def place_key(name: str) -> str:
    """Name of a pairing or clutch as it is compared; " x " may stand for the times sign."""
    return name_key(" ".join(name.split())).replace(" x ", " × ")


def herd_index(connection: Connection) -> HerdIndex:
    """Read all animals, pairings and clutches as this transaction sees them."""
    animals, pairings, clutches = schema.animals.c, schema.pairings.c, schema.clutches.c
    return HerdIndex(
        animals={
            row.id: KnownAnimal(row.id, row.name, Sex(row.sex), row.hatched, row.status)
            for row in connection.execute(
                select(animals.id, animals.name, animals.sex, animals.hatched, animals.status)
            )
        },
        pairings={
            row.id: KnownPairing(row.id, row.season, row.sire_id, row.dam_id)
            for row in connection.execute(
                select(pairings.id, pairings.season, pairings.sire_id, pairings.dam_id)
            )
        },
        clutches={
            row.id: KnownClutch(row.id, row.pairing_id, row.number, row.hatched_on)
            for row in connection.execute(
                select(clutches.id, clutches.pairing_id, clutches.number, clutches.hatched_on)
            )
        },
    )
