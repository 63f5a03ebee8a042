"""Which sexes does a label say: the trade counts animals as males.females.unsexed, 1.0 is a male."""

from __future__ import annotations

import re
from dataclasses import dataclass

from genetics.genes.traits import Sex
from genetics.genes.vocabulary import ImpossibleAnimal, NotationError

_CODE = re.compile(r"(?<![\w.,/%])(\d+)\.(\d+)(?:\.(\d+))?(?![\w.,/%]|\s*(?:%|per ?cent))")
_COUNTED = re.compile(r"(?<![\w.])(\d+)\s*(males?|females?|unsexed)\b", re.IGNORECASE)
_WORDS = re.compile(r"(?<!\w)(pair|trio)(?:\s+of)?\b", re.IGNORECASE)
_PLACE = {"m": 0, "f": 1, "u": 2}
NAMED_GROUPS = {"pair": (1, 1, 0), "trio": (1, 2, 0)}
"""Groups that have a name (common practice, no source)."""


@dataclass(frozen=True)
class SexCode:
    """Counts that a text says, and where.

    Attributes
    ----------
    males, females, unsexed
        Whole counts.
    text, position
        As written, and where it starts, counted from 0.
    rest
        The text with the counts blanked out, so that places stay.
    """

    males: int
    females: int
    unsexed: int
    text: str
    position: int
    rest: str

    @property
    def total(self) -> int:
        """All animals together."""
        return self.males + self.females + self.unsexed


def find_sex_code(text: str, *, named: bool = False) -> SexCode | None:
    """Counts of a text as "1.2", "1.2.3" or "2 males 1 female"; None if it says none.

    Parameters
    ----------
    text
        For example "1.2 pastel" or "pastel (1.2)".
    named
        True if "pair" and "trio" count as well.

    Raises
    ------
    NotationError
        If counts are said twice.
    """
    found = list(_CODE.finditer(text))
    counted = list(_COUNTED.finditer(text))
    words = list(_WORDS.finditer(text)) if named else []
    if len(found) + len(words) + bool(counted) > 1:
        second = sorted((*found, *counted, *words), key=lambda match: match.start())[1]
        message = f"'{second.group()}' counts the animals a second time."
        raise NotationError(second.group(), second.start(), (), message)
    counts = [0, 0, 0]
    for match in found:
        counts = [int(part or 0) for part in match.groups()]
    for match in counted:
        counts[_PLACE[match.group(2)[0].lower()]] += int(match.group(1))
    for match in words:
        counts = list(NAMED_GROUPS[match.group(1).lower()])
    spans = [*found, *counted, *words]
    if not spans:
        return None
    rest = text
    for match in spans:
        rest = rest[: match.start()] + " " * len(match.group()) + rest[match.end() :]
    first = spans[0]
    return SexCode(counts[0], counts[1], counts[2], first.group(), first.start(), rest)


def take_sex_code(text: str, sex: Sex) -> tuple[Sex, str]:
    """Sex of one animal and its text with a sex code blanked out, so that places stay.

    Parameters
    ----------
    text
        Such as "1.0 pastel"; without a code it is handed back as it is.
    sex
        Sex known otherwise; unsexed gives way to the code.

    Raises
    ------
    NotationError
        If the code counts more or fewer animals than one.
    ImpossibleAnimal
        If the code contradicts the sex that is known.
    """
    code = find_sex_code(text)
    if code is None:
        return sex, text
    if code.total != 1:
        message = f"'{code.text}' counts {code.total} animals; allowed here is one: 1.0, 0.1 or 0.0.1."
        raise NotationError(code.text, code.position, ("1.0", "0.1", "0.0.1"), message)
    said = Sex.MALE if code.males else Sex.FEMALE if code.females else Sex.UNSEXED
    return agreed_sex(sex, said, code.text, code.position), code.rest


def agreed_sex(known: Sex, said: Sex, word: str, position: int) -> Sex:
    """Sex that what is known and what a word says amount to.

    Raises
    ------
    ImpossibleAnimal
        If they contradict each other.
    """
    if known is not Sex.UNSEXED and said not in {known, Sex.UNSEXED}:
        message = f"'{word}' says {said.value}, but the animal is entered as {known.value}."
        raise ImpossibleAnimal(word, position, (), message)
    return said if known is Sex.UNSEXED else known
