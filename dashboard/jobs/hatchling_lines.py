"""What do lines of hatchlings say? One look a line, with its sex and how many hatched of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from dashboard.jobs.boxes import BoxFault
from dashboard.records import AnimalReader, Unreadable
from dashboard.records.herd.hatchlings import MOST_AT_ONCE, HatchlingDraft
from genetics import Sex

_SEXES: Final = {
    "m": Sex.MALE, "male": Sex.MALE, "♂": Sex.MALE,
    "f": Sex.FEMALE, "female": Sex.FEMALE, "♀": Sex.FEMALE,
    "u": Sex.UNSEXED, "unsexed": Sex.UNSEXED, "?": Sex.UNSEXED,
}  # fmt: skip
_COUNTS: Final = re.compile(r"(\d{1,2})\.(\d{1,2})(?:\.(\d{1,2}))?\s+(.+)")
_TIMES: Final = re.compile(r"(\d{1,2})\s*(?:[x×]\s+|[x×]?\s+)(.+)")
_ALIKE: Final = re.compile(r"(\d{1,2})\s+(?:more\s+)?like\s+(?:this|that)", re.IGNORECASE)


@dataclass(frozen=True)
class LineFault:
    """Why one line was refused: its number from 1, what was written, and why."""

    line: int
    written: str
    why: BoxFault


@dataclass(frozen=True)
class HatchlingLines:
    """Lines as they were read: the hatchlings, and the lines that were refused."""

    drafts: tuple[HatchlingDraft, ...]
    faults: tuple[LineFault, ...]


def read_lines(text: str, reader: AnimalReader) -> HatchlingLines:
    """Hatchlings of a text such as "pastel het clown f", "4 clown m", "2.1 enchi" or "3 like this".

    A line is a look with its sex at the end (m, f or nothing), with a number before it for several
    alike, or males.females.unsexed as the trade writes them. "3 like this" repeats the line above it
    three more times. Empty lines are left out.

    Parameters
    ----------
    text
        One or several lines.
    reader
        Reads looks with the book's genes.
    """
    drafts: list[HatchlingDraft] = []
    faults: list[LineFault] = []
    above: list[HatchlingDraft] = []
    for number, line in enumerate(text.splitlines(), start=1):
        written = " ".join(line.split()).strip(",;")
        if not written:
            continue
        try:
            above = _line(written, above, reader)
        except Unreadable as fault:
            faults.append(LineFault(number, written, BoxFault(fault.reason, fault.word, fault.nearest)))
        except ValueError as fault:
            faults.append(LineFault(number, written, BoxFault(str(fault))))
        else:
            drafts += above
    if len(drafts) > MOST_AT_ONCE:
        why = f"These are {len(drafts)} hatchlings; at most {MOST_AT_ONCE} can be entered at once."
        faults.append(LineFault(1, text.strip().splitlines()[0], BoxFault(why)))
    return HatchlingLines(tuple(drafts), tuple(faults))


def _line(written: str, above: list[HatchlingDraft], reader: AnimalReader) -> list[HatchlingDraft]:
    alike = _ALIKE.fullmatch(written)
    if alike:
        if not above:
            raise ValueError("There is no line above it to be like.")
        return [above[-1]] * int(alike[1])
    counted = _COUNTS.fullmatch(written)
    if counted:
        numbers = [int(part or 0) for part in counted.group(1, 2, 3)]
        sexes = [
            sex for sex, n in zip((Sex.MALE, Sex.FEMALE, Sex.UNSEXED), numbers, strict=True) for _ in range(n)
        ]
        look = counted[4]
    else:
        times = _TIMES.fullmatch(written)
        look, sex = _sex_of(times[2] if times else written)
        sexes = [sex] * (int(times[1]) if times else 1)
    if not sexes:
        raise ValueError("It says that none hatched. Leave the line out.")
    for sex in set(sexes):
        reader(look, sex)
    return [HatchlingDraft(look, sex) for sex in sexes]


def _sex_of(text: str) -> tuple[str, Sex]:
    """Look and sex of a text; without a sex at its end it is unsexed."""
    look, _, last = text.rpartition(" ")
    sex = _SEXES.get(last.casefold())
    return (text, Sex.UNSEXED) if sex is None or not look else (look.rstrip(" ,;:"), sex)
