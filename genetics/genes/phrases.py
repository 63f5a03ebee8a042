"""How a text is taken apart into statements about genes, word by word.

A het word reaches over all recessive genes that follow it directly: "het clown pied" is het clown
and het pied. It ends at a gene that shows in one copy, at "visual", "super" and at the next chance.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from genetics.genes.catalogue_files import squeeze
from genetics.genes.chances import read_chance
from genetics.genes.vocabulary import (
    Copies,
    NotationError,
    Token,
    impossible,
    match_name,
    tokens_of,
    unknown_word,
    vocabulary,
)

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue

Kind = Literal["shows", "super", "two copies", "one of two", "het"]
_HET = frozenset(("het", "hets", "heterozygous"))
_POSSIBLE = frozenset(("pos", "poss", "possible", "possibly"))
_COUNTS = {"double": 2, "triple": 3, "quadruple": 4}
_PLAIN = frozenset(("and", "with"))
_NORMAL = frozenset(("normal", "wildtype"))
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
        named compound; "het".
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
    """What a text states, before it is put together."""

    statements: list[Statement] = field(default_factory=list)
    makers: list[tuple[Literal["sire", "dam"], Fraction, Token]] = field(default_factory=list)
    normal: Token | None = None
    notes: list[str] = field(default_factory=list)


def phrases_of(text: str, catalogue: Catalogue) -> Phrases:
    """Statements of a text about an animal.

    Raises
    ------
    NotationError
        For a word that can't be read or stands where it has no meaning.
    """
    return _Reader(text, catalogue).read()


class _Reader:
    """Reads one text from left to right."""

    def __init__(self, text: str, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.words = vocabulary(catalogue)
        self.tokens = tokens_of(text)
        self.place = 0
        self.found = Phrases()

    def read(self) -> Phrases:
        """Read to the end."""
        if not any(token.kind == "word" for token in self.tokens):
            raise NotationError("", 0, (), "Nothing is written; a plain animal is written 'normal'.")
        while self.place < len(self.tokens):
            self._next()
        return self.found

    def _next(self) -> None:
        """Read the phrase that starts here."""
        token = self.tokens[self.place]
        if token.kind == "break" or token.plain in _PLAIN:
            self.place += 1
        elif token.kind == "chance" or token.plain in _POSSIBLE:
            self._chance()
        elif token.plain in _HET:
            self._hets(Fraction(1), None)
        elif token.plain in _COUNTS and self._ahead(1) in _HET:
            self.place += 1
            self._hets(Fraction(1), _COUNTS[token.plain])
        elif not self._maker(Fraction(1)):
            self._shown(token)

    def _ahead(self, steps: int) -> str:
        """Word some places ahead, in small letters; empty beyond the end."""
        place = self.place + steps
        return self.tokens[place].plain if place < len(self.tokens) else ""

    def _chance(self) -> None:
        """Read a chance and what it belongs to."""
        first = self.tokens[self.place]
        chance = self._number(first) if first.kind == "chance" else None
        if chance is not None:
            self.place += 1
        possible = self._ahead(0) in _POSSIBLE
        self.place += possible
        count = _COUNTS.get(self._ahead(0)) if self._ahead(1) in _HET else None
        self.place += count is not None
        if self._ahead(0) in _HET:
            start = len(self.found.statements)
            self._hets(POSSIBLE_ALONE if chance is None else chance, count)
            if chance is None:
                genes = ", ".join(statement.gene for statement in self.found.statements[start:])
                self.found.notes.append(f"possible het {genes} without a chance: counted as 50%")
        elif chance is not None and self._ahead(0) == "homozygous":
            self._homozygous(chance)
        elif chance is None or not self._maker(chance):
            message = f"'{first.text}' must be followed by het, as in '66% het pied' or 'possible het pied'."
            raise NotationError(first.text, first.position, (), message)

    def _number(self, token: Token) -> Fraction:
        """Chance a token says."""
        try:
            return read_chance(token.text)
        except ValueError:
            message = f"'{token.text}' is not a chance; allowed: above 0%, at most 100%."
            raise NotationError(token.text, token.position, (), message) from None

    def _hets(self, chance: Fraction, count: int | None) -> None:
        """Read a het word and the recessive genes it reaches over."""
        het = self.tokens[self.place]
        self.place += 1
        genes: list[tuple[str, Token]] = []
        while self.place < len(self.tokens):
            token = self.tokens[self.place]
            if token.kind == "break" or token.plain in _PLAIN:
                self.place += 1
                continue
            match = match_name(self.tokens, self.place, self.words)
            if match is None or not self._is_recessive(match[0]):
                if not genes:
                    self._refuse_het(het, match)
                break
            genes.append((match[0].name, token))
            self.place += match[1]
        if not genes:
            message = f"'{het.text}' (at character {het.position + 1}) must be followed by a gene."
            raise NotationError(het.text, het.position, (), message)
        if count is not None and len(genes) != count:
            message = f"'{het.text}' of {count} genes is written, but {len(genes)} follow it."
            raise NotationError(het.text, het.position, (), message)
        self.found.statements.extend(Statement(gene, "het", chance, token) for gene, token in genes)

    def _is_recessive(self, name: Copies) -> bool:
        """Whether a name is that of one recessive gene."""
        if len(name.genes) != 1 or name.genes[0][1] != 0:
            return False
        return self.catalogue.gene(name.genes[0][0]).mode == "recessive"

    def _refuse_het(self, het: Token, match: tuple[Copies, int] | None) -> None:
        """Say why the word after a het word can't be carried unseen."""
        if match is None:
            if self.tokens[self.place].kind == "word":
                raise unknown_word(self.tokens, self.place, self.catalogue)
            return
        token = self.tokens[self.place]
        name, genes = match[0].name, match[0].genes
        if len(genes) > 1:
            listed = " ".join(f"het {gene}" for gene, _ in genes)
            raise impossible(token, f"'{name}' is several genes, so nothing is het for it ({listed}?).")
        message = f"'{het.text} {name}' can't be: {genes[0][0]} shows in one copy; write '{genes[0][0]}'."
        raise impossible(token, message)

    def _maker(self, chance: Fraction) -> bool:
        """Read where a sex-linked gene comes from, if that is what stands here."""
        words = (self._ahead(0), self._ahead(1))
        side: Literal["sire", "dam"]
        if words in (("from", "sire"), ("male", "maker")):
            side = "sire"
        elif words in (("from", "dam"), ("female", "maker")):
            side = "dam"
        else:
            return False
        self.found.makers.append((side, chance, self.tokens[self.place]))
        self.place += 2
        return True

    def _shown(self, token: Token) -> None:
        """Read a gene that shows, or the word for a normal animal."""
        if token.plain in _NORMAL or (token.plain == "wild" and self._ahead(1) == "type"):
            self.found.normal = token
            self.place += 2 if token.plain == "wild" else 1
            return
        match = match_name(self.tokens, self.place, self.words)
        if match is not None:
            self._take(match, "shows")
        elif token.plain == "visual":
            self.place += 1
            self._take(self._gene_after(token), "shows")
        elif token.plain == "super":
            self.place += 1
            self._super(token)
        elif token.plain == "homozygous":
            self._homozygous(Fraction(1))
        else:
            self._refuse_group(token)
            raise unknown_word(self.tokens, self.place, self.catalogue)

    def _refuse_group(self, token: Token) -> None:
        """Refuse the name of a group of look-alikes, which does not say what the animal is."""
        groups = {squeeze(group.name): Copies(group.name, ()) for group in self.catalogue.alike if group.name}
        match = match_name(self.tokens, self.place, groups)
        if match is not None:
            looks = next(group.looks for group in self.catalogue.alike if group.name == match[0].name)
            message = f"'{match[0].name}' may be one of several; write which: {', '.join(looks)}."
            raise NotationError(match[0].name, token.position, looks, message)

    def _gene_after(self, token: Token) -> tuple[Copies, int]:
        """Name that must follow a word."""
        if self.place >= len(self.tokens) or self.tokens[self.place].kind != "word":
            message = f"'{token.text}' (at character {token.position + 1}) must be followed by a gene."
            raise NotationError(token.text, token.position, (), message)
        match = match_name(self.tokens, self.place, self.words)
        if match is None:
            raise unknown_word(self.tokens, self.place, self.catalogue)
        return match

    def _take(self, match: tuple[Copies, int], kind: Kind, chance: Fraction = Fraction(1)) -> None:
        """Note the genes of a name."""
        name, length = match
        token = self.tokens[self.place]
        compound = any(name.name == known.name for known in self.catalogue.compounds)
        for gene, copies in name.genes:
            stated: Kind = kind
            if copies == 2:
                stated = "two copies"
            elif compound:
                stated = "one of two"
            self.found.statements.append(Statement(gene, stated, chance, token))
        self.place += length

    def _super(self, word: Token) -> None:
        """Read the gene after "super", which must look different in two copies."""
        match = self._gene_after(word)
        name = match[0]
        mode = self.catalogue.gene(name.genes[0][0]).mode
        if len(name.genes) > 1 or name.genes[0][1] != 0:
            raise impossible(word, f"'super {name.name}' can't be: {name.name} is a look of its own.")
        if mode == "recessive":
            message = f"'super {name.name}' can't be: {name.name} is recessive; write '{name.name}'."
            raise impossible(word, message)
        if mode == "dominant":
            message = (
                f"'super {name.name}' can't be: two copies of {name.name} look like one; "
                f"write 'homozygous {name.name}' if it is known."
            )
            raise impossible(word, message)
        self._take(match, "super")

    def _homozygous(self, chance: Fraction) -> None:
        """Read the gene after "homozygous"."""
        word = self.tokens[self.place]
        self.place += 1
        match = self._gene_after(word)
        name = match[0]
        if len(name.genes) > 1 or name.genes[0][1] != 0:
            raise impossible(word, f"'homozygous {name.name}' can't be: {name.name} is a look of its own.")
        if chance < 1 and self.catalogue.gene(name.genes[0][0]).mode != "dominant":
            message = f"whether {name.name} has two copies can be seen, so it has no chance beside it."
            raise impossible(word, f"'{chance} homozygous {name.name}': {message}")
        self._take(match, "two copies", chance)
