"""Which sex does a label say: the trade counts animals as males.females.unsexed, 1.0 is a male."""

from __future__ import annotations

import re

from genetics.genes.traits import Sex
from genetics.genes.vocabulary import ImpossibleAnimal, NotationError

_CODE = re.compile(r"\s*(\d+)\.(\d+)(?:\.(\d+))?(?=\s|$)")
_SEXES = {(1, 0, 0): Sex.MALE, (0, 1, 0): Sex.FEMALE, (0, 0, 1): Sex.UNSEXED}


def take_sex_code(text: str, sex: Sex) -> tuple[Sex, str]:
    """Sex of an animal and its text with a leading sex code blanked out, so that places stay.

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
    found = _CODE.match(text)
    if found is None:
        return sex, text
    code, start = found.group().strip(), len(found.group()) - len(found.group().lstrip())
    counts = tuple(int(part or 0) for part in found.groups())
    said = _SEXES.get((counts[0], counts[1], counts[2]))
    if said is None:
        message = f"'{code}' counts {sum(counts)} animals; allowed here is one: 1.0, 0.1 or 0.0.1."
        raise NotationError(code, start, ("1.0", "0.1", "0.0.1"), message)
    if sex is not Sex.UNSEXED and said not in {sex, Sex.UNSEXED}:
        message = f"'{code}' says {said.value}, but the animal is entered as {sex.value}."
        raise ImpossibleAnimal(code, start, (), message)
    blank = " " * found.end() + text[found.end() :]
    return (said if sex is Sex.UNSEXED else sex), blank
