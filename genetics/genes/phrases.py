"""How a text is taken apart into statements about genes, word by word.

A het word reaches over all genes that can be carried unseen and follow it directly: "het clown pied"
is het clown and het pied. It ends at a gene that shows in one copy, at "visual", "super" and at the
next chance.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from genetics.genes.chances import read_chance
from genetics.genes.spellings import squeeze
from genetics.genes.statements import (
    COUNTED_HETS,
    COUNTS,
    CROSSES,
    HET,
    HOMOZYGOUS,
    MAKERS,
    NORMAL,
    PLAIN,
    POSSIBLE,
    POSSIBLE_ALONE,
    POSSIBLE_HET,
    SEXES,
    SIDES,
    TWO_COPIES,
    Kind,
    Phrases,
    Statement,
)
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

Match = tuple[Copies, int]


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
        if token.kind == "break" or token.plain in PLAIN:
            self.place += 1
        elif token.kind == "chance" or token.plain in POSSIBLE or token.plain in POSSIBLE_HET:
            self._chance()
        elif self._het_count() is not None:
            self._hets(Fraction(1))
        elif not self._maker(Fraction(1)) and not self._sex(token):
            self._shown(token)

    def _ahead(self, steps: int) -> str:
        """Word some places ahead, in small letters; empty beyond the end."""
        place = self.place + steps
        return self.tokens[place].plain if place < len(self.tokens) else ""

    def _match(self) -> Match | None:
        """Longest name that starts here."""
        return match_name(self.tokens, self.place, self.words)

    def _het_count(self) -> tuple[int, int] | None:
        """Words that say het here, and how many genes they announce (0 = any); None if none do."""
        if self._ahead(0) in HET:
            return 1, 0
        if self._ahead(0) in COUNTED_HETS:
            return 1, COUNTED_HETS[self._ahead(0)]
        if self._ahead(0) in COUNTS and self._ahead(1) in HET:
            return 2, COUNTS[self._ahead(0)]
        return None

    def _chance(self) -> None:
        """Read a chance and what it belongs to."""
        first = self.tokens[self.place]
        chance = self._number(first) if first.kind == "chance" else None
        self.place += chance is not None
        possible = self._ahead(0) in POSSIBLE
        self.place += possible
        if self._het_count() is not None or self._ahead(0) in POSSIBLE_HET:
            start = len(self.found.statements)
            said = possible or self._ahead(0) in POSSIBLE_HET
            self._hets(POSSIBLE_ALONE if chance is None else chance)
            if said and chance is None:
                self._note_half("possible het", start)
        elif chance is not None and self._ahead(0) in HOMOZYGOUS:
            self._homozygous(chance)
        elif (chance is None or not self._maker(chance)) and not self._may_show(chance):
            message = f"'{first.text}' must be followed by het, as in '66% het pied' or 'possible het pied'."
            raise NotationError(first.text, first.position, (), message)

    def _note_half(self, what: str, start: int) -> None:
        """Note that a chance that was not said counts as a half."""
        genes = ", ".join(statement.gene for statement in self.found.statements[start:])
        self.found.notes.append(f"{what} {genes} without a chance: counted as 50%")

    def _may_show(self, chance: Fraction | None) -> bool:
        """Read a gene that shows in one copy and may be there: "possible yellow belly"."""
        match = self._match()
        if match is None or len(match[0].genes) != 1 or match[0].genes[0][1] != 0:
            return False
        if self.catalogue.gene(match[0].genes[0][0]).mode == "recessive":
            return False
        start = len(self.found.statements)
        self._take(match, "may show", POSSIBLE_ALONE if chance is None else chance)
        if chance is None:
            self._note_half("possible", start)
        return True

    def _number(self, token: Token) -> Fraction:
        """Chance a token says."""
        try:
            return read_chance(token.text)
        except ValueError:
            message = f"'{token.text}' is not a chance; allowed: above 0%, at most 100%."
            raise NotationError(token.text, token.position, (), message) from None

    def _hets(self, chance: Fraction) -> None:
        """Read a het word and the genes it reaches over."""
        words, count = self._het_count() or (1, 0)
        self.place += words
        het = self.tokens[self.place - 1]
        genes: list[tuple[str, Token]] = []
        while self.place < len(self.tokens):
            token = self.tokens[self.place]
            if token.kind == "break" or token.plain in PLAIN:
                self.place += 1
                continue
            match = self._match()
            if match is None or not self._can_be_carried(match[0]):
                if not genes:
                    self._refuse_het(het, match)
                break
            genes.append((match[0].name, token))
            self.place += match[1]
        if not genes:
            message = f"'{het.text}' (at character {het.position + 1}) must be followed by a gene."
            raise NotationError(het.text, het.position, (), message)
        if count and len(genes) != count:
            message = f"'{het.text}' of {count} genes is written, but {len(genes)} follow it."
            raise NotationError(het.text, het.position, (), message)
        self.found.statements.extend(Statement(gene, "het", chance, token) for gene, token in genes)

    def _can_be_carried(self, name: Copies) -> bool:
        """Whether a name is that of one gene that some allele pair carries unseen."""
        if len(name.genes) != 1 or name.genes[0][1] != 0:
            return False
        gene = name.genes[0][0]
        if self.catalogue.gene(gene).mode == "recessive":
            return True
        looks = self.catalogue.locus_of(gene).looks.values()
        return any(trait.gene == gene for look in looks for trait in look.carried)

    def _refuse_het(self, het: Token, match: Match | None) -> None:
        """Say why the word after a het word can't be carried unseen."""
        token = self.tokens[self.place]
        if match is None:
            if token.kind == "word" and token.plain not in POSSIBLE | HET:
                raise unknown_word(self.tokens, self.place, self.catalogue)
            return
        name, genes = match[0].name, match[0].genes
        if not genes:
            raise impossible(token, f"'{het.text} {name}' can't be: {name} is the wild type.")
        if len(genes) > 1:
            listed = " ".join(f"het {gene}" for gene, _ in genes)
            raise impossible(token, f"'{name}' is several genes, so nothing is het for it ({listed}?).")
        message = f"'{het.text} {name}' can't be: {genes[0][0]} shows in one copy; write '{genes[0][0]}'."
        raise impossible(token, message)

    def _maker(self, chance: Fraction) -> bool:
        """Read where a sex-linked gene comes from, if that is what stands here."""
        side: Literal["sire", "dam"] | None = None
        words = 2
        if self._ahead(0) == "from":
            words += self._ahead(1) in ("the", "its", "his", "her")
            side = SIDES.get(self._ahead(words - 1))
        elif self._ahead(1) == "maker":
            side = MAKERS.get(self._ahead(0))
        if side is None:
            return False
        self.found.makers.append((side, chance, self.tokens[self.place]))
        self.place += words
        return True

    def _sex(self, token: Token) -> bool:
        """Read a sex that is said in words, if that is what stands here."""
        if token.plain not in SEXES:
            return False
        self.found.sexes.append((SEXES[token.plain], token))
        self.place += 1
        return True

    def _shown(self, token: Token) -> None:
        """Read a gene that shows, or the word for a normal animal."""
        wild_type = token.plain == "wild" and self._ahead(1) == "type"
        match = self._match()
        if token.plain in NORMAL or wild_type:
            self.found.normal = token
            self.place += 2 if wild_type else 1
        elif match is not None:
            self._take(match, "shows")
            self._alternatives()
        elif token.plain in CROSSES:
            self.found.notes.append(f"'{token.text}' between two genes was read as 'and'")
            self.place += 1
        elif token.plain == "visual":
            self.place += 1
            self._take(self._gene_after(token), "shows")
        elif token.plain == "super":
            self.place += 1
            self._super(token)
        elif token.plain in HOMOZYGOUS:
            self._homozygous(Fraction(1))
        else:
            if token.plain == "or":
                raise impossible(token, "'or' stands between single genes of one complex that show.")
            self._refuse_group(token)
            raise unknown_word(self.tokens, self.place, self.catalogue)

    def _alternatives(self) -> None:
        """Read "or" between genes of one locus: each is as likely as the other."""
        first = len(self.found.statements) - 1
        while self._ahead(0) == "or":
            word = self.tokens[self.place]
            self.place += 1
            self._take(self._gene_after(word), "shows")
        options = self.found.statements[first:]
        if len(options) < 2:
            return
        loci = {self.catalogue.gene(option.gene).locus for option in options}
        modes = {self.catalogue.gene(option.gene).mode for option in options}
        if len(loci) > 1 or "recessive" in modes or {option.kind for option in options} != {"shows"}:
            genes = " or ".join(option.gene for option in options)
            message = f"'{genes}' has no one meaning; 'or' stands between single genes of one complex."
            raise impossible(options[1].token, message)
        share = Fraction(1, len(options))
        self.found.statements[first:] = [
            Statement(option.gene, "may show", share, option.token) for option in options
        ]
        self.found.notes.append(
            f"{' or '.join(option.gene for option in options)}: counted as equally likely"
        )

    def _refuse_group(self, token: Token) -> None:
        """Refuse the name of a group of look-alikes, which does not say what the animal is."""
        groups = {squeeze(group.name): Copies(group.name, ()) for group in self.catalogue.alike if group.name}
        match = match_name(self.tokens, self.place, groups)
        if match is not None:
            looks = next(group.looks for group in self.catalogue.alike if group.name == match[0].name)
            message = f"'{match[0].name}' may be one of several; write which: {', '.join(looks)}."
            raise NotationError(match[0].name, token.position, looks, message)

    def _gene_after(self, token: Token) -> Match:
        """Name that must follow a word."""
        if self.place >= len(self.tokens) or self.tokens[self.place].kind != "word":
            message = f"'{token.text}' (at character {token.position + 1}) must be followed by a gene."
            raise NotationError(token.text, token.position, (), message)
        match = self._match()
        if match is None:
            raise unknown_word(self.tokens, self.place, self.catalogue)
        return match

    def _take(self, match: Match, kind: Kind, chance: Fraction = Fraction(1)) -> None:
        """Note the genes of a name."""
        name, length = match
        token = self.tokens[self.place]
        if name.wild:
            self.found.wilds.append((name.wild, token))
        loci = [self.catalogue.gene(gene).locus for gene, _ in name.genes]
        for (gene, copies), locus in zip(name.genes, loci, strict=True):
            stated: Kind = kind
            if copies == 2:
                stated = TWO_COPIES[self.catalogue.gene(gene).mode]
            elif copies == 1 and loci.count(locus) > 1:
                stated = "one of two"
            elif copies == 1 and self.catalogue.gene(gene).mode == "recessive":
                stated = "het"
            self.found.statements.append(Statement(gene, stated, chance, token))
        self.place += length

    def _single(self, word: Token, match: Match) -> str:
        """Gene that a word like "super" is said of; refuses a name that is a look of its own."""
        name = match[0]
        if len(name.genes) != 1 or name.genes[0][1] != 0:
            message = f"'{word.plain} {name.name}' can't be: {name.name} is a look of its own."
            raise impossible(word, message)
        return name.genes[0][0]

    def _super(self, word: Token) -> None:
        """Read the gene after "super", which must look different in two copies."""
        match = self._gene_after(word)
        gene = self._single(word, match)
        mode = self.catalogue.gene(gene).mode
        if mode == "recessive":
            raise impossible(word, f"'super {gene}' can't be: {gene} is recessive; write '{gene}'.")
        if mode == "dominant":
            message = (
                f"'super {gene}' can't be: two copies of {gene} look like one; "
                f"write 'homozygous {gene}' if it is known."
            )
            raise impossible(word, message)
        self._take(match, "super")

    def _homozygous(self, chance: Fraction) -> None:
        """Read the gene after "homozygous"."""
        word = self.tokens[self.place]
        self.place += 1
        match = self._gene_after(word)
        gene = self._single(word, match)
        if chance < 1 and not self.catalogue.locus_of(gene).look((gene, gene)).doubled:
            message = f"whether {gene} has two copies can be seen, so it has no chance beside it."
            raise impossible(word, f"'{chance} homozygous {gene}': {message}")
        self._take(match, "two copies", chance)
