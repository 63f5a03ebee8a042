"""How is an animal read as breeders write it?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from genetics.genes.genotype import Animal, Pairs, make_animal, pair_for
from genetics.genes.loci import WILD, Locus, Pair
from genetics.genes.phrases import phrases_of
from genetics.genes.sex_code import agreed_sex, take_sex_code
from genetics.genes.statements import Phrases, Statement
from genetics.genes.traits import Sex
from genetics.genes.vocabulary import Token, impossible

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue

_Side = tuple[str, Fraction, Token]


def read_animal(text: str, catalogue: Catalogue, *, sex: Sex = Sex.UNSEXED) -> Animal:
    """Animal written in the trade's words, in any order.

    Parameters
    ----------
    text
        For example "pastel enchi het clown", "66% het pied", "banana (from sire)", "normal", with
        its sex if that is to be read: "1.0 pastel", "female pastel".
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
    for said, token in phrases.sexes:
        sex = agreed_sex(sex, said, token.text, token.position)
    by_locus: dict[str, list[Statement]] = {}
    for statement in phrases.statements:
        by_locus.setdefault(catalogue.gene(statement.gene).locus, []).append(statement)
    _check_normal(phrases, catalogue)
    makers = _makers_of(phrases, by_locus, catalogue, sex=sex)
    factors: list[tuple[tuple[str, ...], dict[Pairs, Fraction]]] = []
    for locus_id, statements in by_locus.items():
        locus = catalogue.locus(locus_id)
        alleles = _alleles(locus, statements, catalogue)
        table: dict[Pairs, Fraction] = {}
        for (one, other), chance in alleles.items():
            for pair, share in _phases(locus, one, other, makers.get(locus_id), sex=sex).items():
                table[(pair,)] = table.get((pair,), Fraction(0)) + chance * share
        factors.append(((locus_id,), table))
    notes = list(phrases.notes)
    if makers and sex is Sex.UNSEXED:
        notes.append("which chromosome bears the sex-linked gene counts once the sex is known")
    return make_animal(sex, factors, notes=tuple(notes))


def _check_normal(phrases: Phrases, catalogue: Catalogue) -> None:
    """Refuse "normal", or the name of a wild type, beside a gene that shows."""
    for statement in phrases.statements:
        if statement.kind == "het":
            continue
        if phrases.normal is not None:
            message = f"'{phrases.normal.text}' contradicts '{statement.gene}', which shows."
            raise impossible(phrases.normal, message)
        for locus_id, token in phrases.wilds:
            if catalogue.gene(statement.gene).locus == locus_id:
                raise impossible(token, f"'{token.text}' contradicts '{statement.gene}' (one locus).")


def _makers_of(
    phrases: Phrases,
    by_locus: Mapping[str, Sequence[Statement]],
    catalogue: Catalogue,
    *,
    sex: Sex,
) -> dict[str, _Side]:
    """Side each sex-linked locus has its gene from: said of the gene before it, else of the one after."""
    found: dict[str, _Side] = {}
    linked = sorted(
        (statement.token.position, locus_id)
        for locus_id, statements in by_locus.items()
        for statement in statements
        if catalogue.locus(locus_id).sex_linked
    )
    for side, chance, token in phrases.makers:
        before = [locus_id for position, locus_id in linked if position < token.position]
        if not linked:
            raise impossible(
                token, "Where a gene comes from is said of sex-linked genes only, and none is here."
            )
        locus_id = before[-1] if before else linked[0][1]
        if locus_id in found:
            raise impossible(token, "Where the sex-linked gene comes from is said twice.")
        if sex is Sex.FEMALE and token.plain == "male":
            raise impossible(token, "A female has no Y: she can't be a male maker.")
        if sex is Sex.FEMALE and token.plain == "female":
            raise impossible(token, "Only males are female makers; a female gives either X.")
        found[locus_id] = (side, chance, token)
    return found


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
    for statement in uncertain:
        if statement.kind == "het" and locus.look((statement.gene, WILD)).label:
            raise impossible(statement.token, _shows(statement.gene))
    if uncertain[0].kind == "two copies":
        if len(uncertain) > 1:
            raise impossible(uncertain[1].token, "Only one gene of a locus can have two copies.")
        gene, chance = uncertain[0].gene, uncertain[0].chance
        return {(gene, gene): chance, (gene, WILD): 1 - chance}
    rest = 1 - sum((statement.chance for statement in uncertain), Fraction(0))
    if rest < 0:
        genes = " and ".join(statement.gene for statement in uncertain)
        message = f"{genes} exclude each other (one locus), so their chances sum to 100% at most."
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
    doubled = [part for part in statements if _says_two(part, catalogue)]
    hets = [statement for statement in statements if statement.kind == "het"]
    if len(doubled) == 1 and len(statements) == 2 and doubled[0].kind != "two copies":
        other = next(part for part in statements if part is not doubled[0])
        together = (doubled[0].gene, other.gene)
        beneath = other.kind == "het" and _carries(locus, together, other.gene)
        beside = other.kind == doubled[0].kind == "shows" and not _carries(locus, together, doubled[0].gene)
        if beneath or beside:
            return together
    copies: list[str] = []
    for statement in statements:
        twice = statement.kind in ("super", "two copies") or doubled == [statement]
        copies.extend([statement.gene] * (2 if twice else 1))
    if len(copies) > 2:
        genes = ", ".join(dict.fromkeys(copies))
        message = f"{len(copies)} alleles at one locus ({locus.name}: {genes}); an animal has two."
        raise impossible(statements[-1].token, message)
    pair = (copies[0], copies[1]) if len(copies) == 2 else (copies[0], WILD)
    for het in reversed(hets):
        if not _carries(locus, pair, het.gene):
            if WILD in pair:
                raise impossible(het.token, _shows(het.gene))
            message = f"One copy each of {pair[0]} and {pair[1]} shows: write '{locus.look(pair).label}'."
            raise impossible(het.token, message)
    return pair


def _says_two(statement: Statement, catalogue: Catalogue) -> bool:
    """Whether a statement means two copies of its gene: a super, or a recessive that shows."""
    if statement.kind == "shows":
        return catalogue.gene(statement.gene).mode == "recessive"
    return statement.kind in ("super", "two copies")


def _carries(locus: Locus, pair: Pair, gene: str) -> bool:
    """Whether an allele pair carries a gene unseen."""
    return any(trait.gene == gene for trait in locus.look(pair).carried)


def _shows(gene: str) -> str:
    return f"'het {gene}' can't be: {gene} shows in one copy; write '{gene}'."
