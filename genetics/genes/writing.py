"""How is an animal written in the trade's words, so that reading gives the same animal back?"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from genetics.genes.chances import chance_text
from genetics.genes.genotype import Animal, Factor
from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.reading import read_animal
from genetics.genes.traits import Sex
from genetics.genes.vocabulary import NotationError

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue


class NotWritable(ValueError):
    """A belief the trade has no words for, such as two hets that depend on each other."""


def write_animal(animal: Animal, catalogue: Catalogue) -> str:
    """Animal in the trade's words; `read_animal` with the same sex gives the same animal back.

    Parameters
    ----------
    animal
        The animal.
    catalogue
        The catalogue it was read with.

    Raises
    ------
    NotWritable
        If the trade has no words for the belief.
    """
    shown: list[str] = []
    hets: list[str] = []
    for factor in sorted(animal.belief, key=lambda factor: catalogue.locus_order[factor.loci[0]]):
        if len(factor.loci) > 1:
            raise NotWritable(f"what is known of {', '.join(factor.loci)} depends on each other")
        seen, carried = _write_locus(catalogue.locus(factor.loci[0]), factor, animal.sex)
        shown.extend(seen)
        hets.extend(carried)
    parts = [*shown, *hets]
    if not parts:
        return "normal"
    for text in (" ".join(parts), ", ".join(parts)):
        if _reads_back(text, animal, catalogue):
            return text
    raise NotWritable(f"'{' '.join(parts)}' would be read as another animal")


def _reads_back(text: str, animal: Animal, catalogue: Catalogue) -> bool:
    """Whether a text gives the animal; two names side by side can spell a third one."""
    try:
        return read_animal(text, catalogue, sex=animal.sex) == animal
    except NotationError:
        return False


def _write_locus(locus: Locus, factor: Factor, sex: Sex) -> tuple[list[str], list[str]]:
    """Words for what one locus shows, and for what it carries."""
    table: dict[Pair, Fraction] = {}
    from_sire = Fraction(0)
    for (pair,), chance in factor.table:
        ordered = locus.ordered(*pair)
        table[ordered] = table.get(ordered, Fraction(0)) + chance
        if pair[0] == WILD != pair[1]:
            from_sire += chance
    if len(table) == 1:
        pair = next(iter(table))
        seen, carried = _write_pair(locus, pair)
        half = WILD in pair and locus.sex_linked and sex is Sex.MALE
        _check_phase(locus, factor, has_wild=WILD in pair)
        maker = _maker_words(from_sire) if half else ""
        return [word + maker for word in seen], [word + maker for word in carried]
    open_phase = locus.sex_linked and sex is Sex.MALE
    single = sum((chance for pair, chance in table.items() if pair.count(WILD) == 1), Fraction(0))
    if open_phase and from_sire != single / 2:
        raise NotWritable(f"a possible het of the {locus.name} with a known chromosome has no words")
    return _write_belief(locus, table, phases=2 if open_phase else 1, entries=len(factor.table))


def _check_phase(locus: Locus, factor: Factor, *, has_wild: bool) -> None:
    """Refuse a compound of two sex-linked alleles whose phase is known."""
    if len({chance for _, chance in factor.table}) > 1 and not has_wild:
        raise NotWritable(f"which chromosome bears which allele of {locus.name} has no words")
    if (
        len(factor.table) == 1
        and not has_wild
        and factor.table[0][0][0] != locus.ordered(*factor.table[0][0][0])
    ):
        raise NotWritable(f"which chromosome bears which allele of {locus.name} has no words")


def _write_pair(locus: Locus, pair: Pair) -> tuple[list[str], list[str]]:
    """Words for a pair that is certain."""
    look = locus.look(pair)
    if look.doubled:
        return [f"homozygous {look.doubled}"], []
    return [look.label] if look.label else [], [trait.key for trait in look.carried]


def _maker_words(from_sire: Fraction) -> str:
    """Where a male's sex-linked gene comes from, with a space before it; empty if it is open."""
    if from_sire == Fraction(1, 2):
        return ""
    side, chance = ("sire", from_sire) if from_sire > Fraction(1, 2) else ("dam", 1 - from_sire)
    return f" (from {side})" if chance == 1 else f" ({chance_text(chance)} from {side})"


def _write_belief(
    locus: Locus, table: Mapping[Pair, Fraction], *, phases: int, entries: int
) -> tuple[list[str], list[str]]:
    """Words for possible hets, for genes that may show, and for a dominant that may have two copies."""
    single = sum(pair.count(WILD) == 1 for pair in table)
    if entries != len(table) + single * (phases - 1):
        raise NotWritable(f"which chromosome bears which allele of {locus.name} has no words")
    doubled = [pair for pair in table if locus.look(pair).doubled]
    if len(doubled) == 1 and set(table) == {doubled[0], (doubled[0][0], WILD)}:
        gene = doubled[0][0]
        return [f"{chance_text(table[doubled[0]])} homozygous {gene}"], []
    shown: list[str] = []
    hets: list[str] = []
    for pair, chance in table.items():
        look = locus.look(pair)
        if pair == (WILD, WILD):
            continue
        if pair[1] != WILD:
            raise NotWritable(f"what is known of the {locus.name} has no words in the trade")
        if look.label:
            shown.append(f"{chance_text(chance)} {look.label}")
        else:
            hets.append(f"{chance_text(chance)} het {pair[0]}")
    return shown, hets
