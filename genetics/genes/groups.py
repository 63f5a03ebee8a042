"""How is a group of like animals read and written: counts as males.females.unsexed, then the animal?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from genetics.genes.genotype import Animal
from genetics.genes.reading import read_animal
from genetics.genes.sex_code import find_sex_code
from genetics.genes.traits import Sex
from genetics.genes.vocabulary import NotationError
from genetics.genes.writing import NotWritable, write_animal

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue


@dataclass(frozen=True)
class Group:
    """Animals that are written alike.

    Attributes
    ----------
    males, females, unsexed
        Whole counts.
    animals
        What one animal of each sex that is in the group is, in this order of the sexes.
    """

    males: int
    females: int
    unsexed: int
    animals: tuple[Animal, ...]

    @property
    def total(self) -> int:
        """All animals together."""
        return self.males + self.females + self.unsexed

    def animal(self, sex: Sex) -> Animal:
        """What an animal of one sex in the group is.

        Raises
        ------
        LookupError
            If the group has none of that sex.
        """
        for animal in self.animals:
            if animal.sex is sex:
                return animal
        raise LookupError(f"the group has no {sex.value} animal")


def read_group(text: str, catalogue: Catalogue) -> Group:
    """Group such as "1.2.3 pastel het clown", "pastel (0.2)", "2 males 1 female pied" or "trio of pied".

    Parameters
    ----------
    text
        Counts and an animal as `read_animal` reads it; without counts it is one animal.
    catalogue
        Genes that are known.

    Raises
    ------
    NotationError
        For a word that can't be read, counts that are said twice or that count nothing.
    ImpossibleAnimal
        If no animal of one of the sexes can be like that.
    """
    code = find_sex_code(text, named=True)
    if code is None:
        animal = read_animal(text, catalogue)
        one = {sex: int(sex is animal.sex) for sex in Sex}
        return Group(one[Sex.MALE], one[Sex.FEMALE], one[Sex.UNSEXED], (animal,))
    if code.total == 0:
        message = f"'{code.text}' counts no animals; allowed: at least one."
        raise NotationError(code.text, code.position, ("1.0", "0.1", "0.0.1"), message)
    counts = {Sex.MALE: code.males, Sex.FEMALE: code.females, Sex.UNSEXED: code.unsexed}
    rest = code.rest if code.rest.strip() else "normal"
    animals = tuple(read_animal(rest, catalogue, sex=sex) for sex, count in counts.items() if count)
    return Group(code.males, code.females, code.unsexed, animals)


def write_group(group: Group, catalogue: Catalogue) -> str:
    """Group as the trade writes it; `read_group` gives the same group back.

    Raises
    ------
    NotWritable
        If the animals of its sexes differ, or the trade has no words for them.
    """
    code = f"{group.males}.{group.females}" + (f".{group.unsexed}" if group.unsexed else "")
    for animal in group.animals:
        text = f"{code} {write_animal(animal, catalogue)}"
        if _reads_back(text, group, catalogue):
            return text
    raise NotWritable("the animals of this group differ by sex, so they have no words in common")


def _reads_back(text: str, group: Group, catalogue: Catalogue) -> bool:
    try:
        return read_group(text, catalogue) == group
    except NotationError:
        return False
