"""How many copies of which genes does an animal have, as it was understood? In plain words."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from genetics import WILD, Animal, Catalogue, Locus, Sex

NOTHING = "no gene of the list"
Pair = tuple[str, str]


def copies_words(animal: Animal, catalogue: Catalogue) -> tuple[str, ...]:
    """What an animal has at each locus: "two copies of clown", "one copy of pied, 66 in 100".

    Parameters
    ----------
    animal
        The animal as it was read.
    catalogue
        Genes it was read with.
    """
    said = tuple(words for locus, pairs in _by_locus(animal, catalogue)
                 for words in _at(locus, pairs, sex=animal.sex))  # fmt: skip
    return said or (NOTHING,)


def _by_locus(animal: Animal, catalogue: Catalogue) -> Iterator[tuple[Locus, dict[Pair, Fraction]]]:
    """Each locus of an animal, with the chance of each allele pair."""
    for factor in animal.belief:
        for place, locus_id in enumerate(factor.loci):
            pairs: dict[Pair, Fraction] = {}
            for entry, chance in factor.table:
                pairs[entry[place]] = pairs.get(entry[place], Fraction(0)) + chance
            yield catalogue.locus(locus_id), pairs


def _at(locus: Locus, pairs: dict[Pair, Fraction], *, sex: Sex) -> Iterator[str]:
    """What an animal has at one locus; the pair without any gene is left out."""
    by_words: dict[str, Fraction] = {}
    sides: dict[str, list[str]] = {}
    for pair, chance in pairs.items():
        words = _pair_words(locus.ordered(*pair))
        if words:
            by_words[words] = by_words.get(words, Fraction(0)) + chance
            if locus.sex_linked and sex is Sex.MALE and WILD in pair:
                sides.setdefault(words, []).append("sire" if pair[0] == WILD else "dam")
    for words, chance in by_words.items():
        side = f", from its {' or its '.join(sorted(sides[words], reverse=True))}" if words in sides else ""
        yield words + side + ("" if chance == 1 else f", {_in_hundred(chance)}")


def _in_hundred(chance: Fraction) -> str:
    if chance < Fraction(1, 100):
        return "under 1 in 100"
    return f"{min(99, int(100 * chance + Fraction(1, 2)))} in 100"


def _pair_words(pair: Pair) -> str:
    one, other = pair
    if one == WILD:
        return ""
    if other == WILD:
        return f"one copy of {one}"
    return f"two copies of {one}" if one == other else f"one copy each of {one} and {other}"
