"""What can a text say of an animal? The statements it is taken apart into, and the trade's small words."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from genetics.genes.loci import Mode
from genetics.genes.traits import Sex
from genetics.genes.vocabulary import Token

Kind = Literal["shows", "super", "two copies", "one of two", "het", "may show"]

HET = frozenset(("het", "hets", "heterozygous"))
POSSIBLE = frozenset(("pos", "poss", "possible", "possibly"))
POSSIBLE_HET = frozenset(("ph", "phet"))
COUNTS = {"double": 2, "triple": 3, "quadruple": 4, "quad": 4}
COUNTED_HETS = {"dh": 2, "th": 3}
PLAIN = frozenset(("and", "with", "for", "of"))
CROSSES = frozenset(("x", "×"))
NORMAL = frozenset(("normal", "wildtype", "classic"))
HOMOZYGOUS = frozenset(("homozygous", "homo"))
SEXES = {
    **dict.fromkeys(("male", "males", "♂"), Sex.MALE),
    **dict.fromkeys(("female", "females", "♀"), Sex.FEMALE),
    "unsexed": Sex.UNSEXED,
}
SIDES: dict[str, Literal["sire", "dam"]] = {"sire": "sire", "father": "sire", "dam": "dam", "mother": "dam"}
MAKERS: dict[str, Literal["sire", "dam"]] = {"male": "sire", "female": "dam"}
TWO_COPIES: dict[Mode, Kind] = {
    "recessive": "shows",
    "incomplete dominant": "super",
    "dominant": "two copies",
}
"""What a name for two copies states of its gene."""

POSSIBLE_ALONE = Fraction(1, 2)
"""Chance of a "possible het" without a number (common practice, no source: the lower usual one)."""


@dataclass(frozen=True)
class Statement:
    """One gene as the text states it.

    Attributes
    ----------
    gene
        Catalogue name.
    kind
        "shows"; "super" and "two copies" (homozygous) two copies; "one of two": one allele of a
        look of two alleles; "het"; "may show": a gene that shows in one copy and may be there.
    chance
        Chance that it is so.
    token
        Word it stands at.
    """

    gene: str
    kind: Kind
    chance: Fraction
    token: Token


@dataclass
class Phrases:
    """What a text states, before it is put together.

    Attributes
    ----------
    statements
        Genes as they are stated.
    makers
        Where a sex-linked gene comes from, with its chance.
    wilds
        Loci whose wild type is named, with the word.
    sexes
        Sexes that are said in words.
    normal
        The word for a normal animal, if there is one.
    notes
        What was assumed.
    """

    statements: list[Statement] = field(default_factory=list)
    makers: list[tuple[Literal["sire", "dam"], Fraction, Token]] = field(default_factory=list)
    wilds: list[tuple[str, Token]] = field(default_factory=list)
    sexes: list[tuple[Sex, Token]] = field(default_factory=list)
    normal: Token | None = None
    notes: list[str] = field(default_factory=list)
