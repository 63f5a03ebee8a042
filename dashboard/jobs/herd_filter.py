"""Which of the animals is the breeder looking for?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from dashboard.jobs.animals import GROUPS, AnimalRow, AnimalsAnswer, Group
from genetics import Sex

OfYoung = Literal["any", "with young", "without young"]
OF_YOUNG: Final[tuple[OfYoung, ...]] = ("any", "with young", "without young")


@dataclass(frozen=True)
class Wanted:
    """What is looked for; what is left as it is takes every animal.

    Attributes
    ----------
    group
        Breeders, young or gone; None for all.
    sex, status
        Sex, and status word.
    words
        Words that must all stand in its name, genes, origin, note or status.
    young
        Whether the book holds young of it.
    attention
        Numbers of animals that need attention; None if that is not asked.
    """

    group: Group | None = None
    sex: Sex | None = None
    status: str = ""
    words: str = ""
    young: OfYoung = "any"
    attention: frozenset[int] | None = None


def first_group(answer: AnimalsAnswer) -> Group:
    """Group that is listed at first: the first one that holds an animal."""
    return next((group for group in GROUPS if answer.of(group)), "breeders")


def wanted_rows(rows: Iterable[AnimalRow], wanted: Wanted) -> tuple[AnimalRow, ...]:
    """Rows that fit everything that is looked for, in their order."""
    words = wanted.words.casefold().split()
    return tuple(row for row in rows if _fits(row, wanted, words))


def _fits(row: AnimalRow, wanted: Wanted, words: Sequence[str]) -> bool:
    animal = row.animal
    return (
        wanted.group in (None, row.group)
        and wanted.sex in (None, animal.sex)
        and wanted.status in ("", animal.status)
        and (wanted.young == "any" or (wanted.young == "with young") == (row.young > 0))
        and (wanted.attention is None or animal.id in wanted.attention or bool(row.reading.fault))
        and _holds(row, words)
    )


def _holds(row: AnimalRow, words: Sequence[str]) -> bool:
    if not words:
        return True
    animal = row.animal
    parts = (animal.name, animal.text, row.reading.written, animal.status, animal.origin, animal.note)
    text = " ".join(parts).casefold()
    return all(word in text for word in words)
