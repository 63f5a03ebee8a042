"""How an animal is read as breeders write it, and written back the same way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from genetics.genes.chances import chance_text
from genetics.genes.genotype import Animal, Factor, Pairs, make_animal, pair_for
from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.phrases import Phrases, Statement, phrases_of
from genetics.genes.sex_code import take_sex_code
from genetics.genes.traits import Sex
from genetics.genes.vocabulary import ImpossibleAnimal, NotationError, Token, impossible

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue

__all__ = ["ImpossibleAnimal", "NotWritable", "NotationError", "read_animal", "write_animal"]

_Side = tuple[str, Fraction, Token]


class NotWritable(ValueError):
    """A belief the trade has no words for, such as two hets that depend on each other."""


def read_animal(text: str, catalogue: Catalogue, *, sex: Sex = Sex.UNSEXED) -> Animal:
    """Animal written in the trade's words, in any order.

    Parameters
    ----------
    text
        For example "pastel enchi het clown", "66% het pied", "banana (from sire)", "normal", with a
        sex in front if it is to be read: "1.0 pastel".
    catalogue
        Genes that are known.
    sex
        Sex of the animal. A male that shows a sex-linked gene of unknown origin has it on either
        chromosome with chance 1/2.

    Raises
    ------
    NotationError
        For a word that can't be read; carries the word, its place and the nearest names.
    ImpossibleAnimal
        If no animal can be like that: three alleles at one locus, an allele on the Y of a female,
        a "super" of a recessive, a het of a gene that shows, two statements that contradict.
    """
    sex, text = take_sex_code(text, sex)
    phrases = phrases_of(text, catalogue)
    by_locus: dict[str, list[Statement]] = {}
    for statement in phrases.statements:
        by_locus.setdefault(catalogue.gene(statement.gene).locus, []).append(statement)
    _check_normal(phrases)
    maker = _maker_of(phrases, by_locus, catalogue, sex=sex)
    factors: list[tuple[tuple[str, ...], dict[Pairs, Fraction]]] = []
    for locus_id, statements in by_locus.items():
        locus = catalogue.locus(locus_id)
        alleles = _alleles(locus, statements, catalogue)
        table: dict[Pairs, Fraction] = {}
        for (one, other), chance in alleles.items():
            for pair, share in _phases(locus, one, other, maker, sex=sex).items():
                table[(pair,)] = table.get((pair,), Fraction(0)) + chance * share
        factors.append(((locus_id,), table))
    notes = list(phrases.notes)
    if maker is not None and sex is Sex.UNSEXED:
        notes.append("which chromosome bears the sex-linked gene counts once the sex is known")
    return make_animal(sex, factors, notes=tuple(notes))


def _check_normal(phrases: Phrases) -> None:
    """Refuse "normal" beside a gene that shows."""
    if phrases.normal is None:
        return
    for statement in phrases.statements:
        if statement.kind != "het":
            message = f"'{phrases.normal.text}' contradicts '{statement.gene}', which shows."
            raise impossible(phrases.normal, message)


def _maker_of(
    phrases: Phrases,
    by_locus: Mapping[str, Sequence[Statement]],
    catalogue: Catalogue,
    *,
    sex: Sex,
) -> _Side | None:
    """Side the sex-linked gene comes from, checked against the animal."""
    if not phrases.makers:
        return None
    side, chance, token = phrases.makers[0]
    if len(phrases.makers) > 1:
        raise impossible(phrases.makers[1][2], "Where the sex-linked gene comes from is said twice.")
    if not any(catalogue.locus(locus_id).sex_linked for locus_id in by_locus):
        raise impossible(token, "Only a sex-linked gene such as banana comes from the sire or the dam.")
    if sex is Sex.FEMALE and token.plain == "male":
        raise impossible(token, "A female has no Y: she can't be a male maker.")
    if sex is Sex.FEMALE and token.plain == "female":
        raise impossible(token, "Only males are female makers; a female gives either X.")
    return side, chance, token


def _phases(locus: Locus, one: str, other: str, maker: _Side | None, *, sex: Sex) -> dict[Pair, Fraction]:
    """Which chromosome bears which allele."""
    if not locus.sex_linked or maker is None:
        return pair_for(locus, one, other, sex=sex)
    side, chance, token = maker
    if one == other and one != WILD:
        raise impossible(token, f"It has two copies of {one}, so one is from the sire and one from the dam.")
    if WILD not in (one, other):
        raise impossible(token, "With two alleles it is not said which of them is meant.")
    if sex is not Sex.MALE:
        return pair_for(locus, one, other, sex=sex)
    allele = other if one == WILD else one
    if allele == WILD:
        return {(WILD, WILD): Fraction(1)}
    from_sire = chance if side == "sire" else 1 - chance
    phases = {(WILD, allele): from_sire, (allele, WILD): 1 - from_sire}
    return {pair: share for pair, share in phases.items() if share}


def _alleles(locus: Locus, statements: Sequence[Statement], catalogue: Catalogue) -> dict[Pair, Fraction]:
    """Chance of each allele pair of one locus, phase left aside."""
    _check_said_once(statements)
    uncertain = [statement for statement in statements if statement.chance < 1]
    if not uncertain:
        return {locus.ordered(*_certain_pair(locus, statements, catalogue)): Fraction(1)}
    if len(uncertain) < len(statements):
        message = f"'{uncertain[0].gene}' and another gene of the {locus.name} contradict each other."
        raise impossible(uncertain[0].token, message)
    if uncertain[0].kind == "two copies":
        if len(uncertain) > 1:
            raise impossible(uncertain[1].token, "Only one gene of a locus can have two copies.")
        gene, chance = uncertain[0].gene, uncertain[0].chance
        return {(gene, gene): chance, (gene, WILD): 1 - chance}
    rest = 1 - sum((statement.chance for statement in uncertain), Fraction(0))
    if rest < 0:
        genes = " and ".join(statement.gene for statement in uncertain)
        message = f"het {genes} exclude each other (one locus), so their chances sum to 100% at most."
        raise impossible(uncertain[-1].token, message)
    table = {(statement.gene, WILD): statement.chance for statement in uncertain}
    return table | ({(WILD, WILD): rest} if rest else {})


def _check_said_once(statements: Sequence[Statement]) -> None:
    """Refuse a gene that is stated twice."""
    seen: dict[str, Statement] = {}
    for statement in statements:
        before = seen.get(statement.gene)
        if before is not None:
            how = f"'{statement.gene}' is said twice"
            if before.kind == statement.kind == "shows":
                message = f"{how}; two copies are written 'super {statement.gene}'."
            else:
                message = f"{how}, as {before.kind} and as {statement.kind}, which contradict each other."
            raise impossible(statement.token, message)
        seen[statement.gene] = statement


def _certain_pair(locus: Locus, statements: Sequence[Statement], catalogue: Catalogue) -> Pair:
    """Allele pair that certain statements about one locus add up to."""
    visual = [
        statement
        for statement in statements
        if statement.kind == "shows" and catalogue.gene(statement.gene).mode == "recessive"
    ]
    copies: list[str] = []
    for statement in statements:
        double = statement.kind in ("super", "two copies") or visual == [statement]
        copies.extend([statement.gene] * (2 if double else 1))
    if len(copies) > 2:
        genes = ", ".join(dict.fromkeys(copies))
        message = f"{len(copies)} alleles at one locus ({locus.name}: {genes}); an animal has two."
        raise impossible(statements[-1].token, message)
    hets = [statement for statement in statements if statement.kind == "het"]
    if len(hets) == 2:
        label = locus.look((copies[0], copies[1])).label
        message = f"One copy each of {copies[0]} and {copies[1]} shows: write '{label}'."
        raise impossible(hets[1].token, message)
    return (copies[0], copies[1]) if len(copies) == 2 else (copies[0], WILD)


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
    text = " ".join(parts)
    return text if _reads_back(text, animal, catalogue) else ", ".join(parts)


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
    if open_phase and from_sire != (1 - table.get((WILD, WILD), Fraction(0))) / 2:
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
    """Words for possible hets, and for a dominant gene that may have two copies."""
    single = sum(WILD in pair and pair != (WILD, WILD) for pair in table)
    if entries != len(table) + single * (phases - 1):
        raise NotWritable(f"which chromosome bears which allele of {locus.name} has no words")
    doubled = [pair for pair in table if locus.look(pair).doubled]
    if len(doubled) == 1 and set(table) == {doubled[0], (doubled[0][0], WILD)}:
        gene = doubled[0][0]
        return [f"{chance_text(table[doubled[0]])} homozygous {gene}"], []
    hets = []
    for pair, chance in table.items():
        look = locus.look(pair)
        if pair == (WILD, WILD):
            continue
        if look.label or pair[1] != WILD:
            raise NotWritable(f"what is known of the {locus.name} has no words in the trade")
        hets.append(f"{chance_text(chance)} het {pair[0]}")
    return [], hets
