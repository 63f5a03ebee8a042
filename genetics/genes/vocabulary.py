"""Which words the trade uses for genes, and where they stand in a text."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from genetics.genes.loci import WILD, Pair
from genetics.genes.spellings import LONGEST_NAME, squeeze, stated_names

if TYPE_CHECKING:
    from genetics.genes.catalogue import Catalogue

_TOKEN = re.compile(
    r"(?P<chance>\d+\s*/\s*\d+|\d+(?:[.,]\d+)?\s*(?:%|per ?cent\b)|[½⅓⅔¼¾]|\d{2,3}(?=\s*(?:het|pos|ph\b)))"
    r"|(?P<break>[,;])"
    r"|(?P<word>[^\W_]+(?:['’][^\W_]+)*|\S)",
    re.IGNORECASE,
)
_SEPARATORS = frozenset(",;:&+/-()[]{}_.|\"'*•–—=")


class NotationError(ValueError):
    """A text that can't be read as an animal.

    Attributes
    ----------
    word
        The word at fault, as written.
    position
        Where it starts in the text, counted from 0.
    nearest
        Nearest names of the catalogue, best first.
    message
        Plain sentence for the breeder.
    """

    def __init__(self, word: str, position: int, nearest: tuple[str, ...], message: str) -> None:
        self.word = word
        self.position = position
        self.nearest = nearest
        self.message = message
        super().__init__(message)


class ImpossibleAnimal(NotationError):
    """Every word is known, but no animal can be like that."""


@dataclass(frozen=True)
class Token:
    """One word of a text.

    Attributes
    ----------
    text
        As written.
    position
        Where it starts, counted from 0.
    kind
        "word", "chance", or "break" (a comma, which no name of several words spans).
    """

    text: str
    position: int
    kind: str

    @property
    def plain(self) -> str:
        """In small letters."""
        return self.text.lower()


@dataclass(frozen=True)
class Copies:
    """What a name stands for: genes with the number of copies it says (0 = as the gene shows).

    Attributes
    ----------
    name
        The catalogue's name.
    genes
        Pairs of gene name and copies; 0 means "as many as it takes to show".
    wild
        Id of the locus whose wild type it names, else empty.
    """

    name: str
    genes: tuple[tuple[str, int], ...]
    wild: str = ""


def tokens_of(text: str) -> tuple[Token, ...]:
    """Words of a text, in order; brackets, hyphens and the like only separate."""
    found = []
    for match in _TOKEN.finditer(text):
        kind = str(match.lastgroup)
        if kind != "word" or match.group() not in _SEPARATORS:
            found.append(Token(match.group(), match.start(), kind))
    return tuple(found)


@lru_cache(maxsize=32)
def vocabulary(catalogue: Catalogue) -> Mapping[str, Copies]:
    """All names that can be read, by their spelling without spaces."""
    words: dict[str, Copies] = {}
    for gene in catalogue.genes:
        shows = Copies(gene.name, ((gene.name, 0),))
        for spelling in (gene.name, *gene.other_spellings):
            words[squeeze(spelling)] = shows
        if gene.super_name:
            words[squeeze(gene.super_name)] = Copies(gene.super_name, ((gene.name, 2),))
    for compound in catalogue.compounds:
        if compound.name:
            parts = tuple((gene, 1) for gene in compound.pair)
            words[squeeze(compound.name)] = Copies(compound.name, parts)
    for name, parts in catalogue.combinations.items():
        words[squeeze(name)] = Copies(name, parts)
    for locus in catalogue.loci:
        for name, pair in stated_names(locus).items():
            words[squeeze(name)] = Copies(name, _copies_of(pair))
        if locus.wild_name:
            words[squeeze(locus.wild_name)] = Copies(locus.wild_name, (), wild=locus.id)
    return words


def _copies_of(pair: Pair) -> tuple[tuple[str, int], ...]:
    """What a named allele pair says of its genes."""
    if pair[0] == pair[1]:
        return ((pair[0], 2),)
    return ((pair[0], 0),) if pair[1] == WILD else ((pair[0], 1), (pair[1], 1))


def match_name(tokens: Sequence[Token], start: int, words: Mapping[str, Copies]) -> tuple[Copies, int] | None:
    """Longest name that starts at a word, and the number of words it takes; None if there is none."""
    spelled = ""
    best = None
    for length in range(1, LONGEST_NAME + 1):
        place = start + length - 1
        if place >= len(tokens) or tokens[place].kind != "word":
            break
        spelled += squeeze(tokens[place].text)
        if spelled in words:
            best = (words[spelled], length)
    return best


def unknown_word(tokens: Sequence[Token], place: int, catalogue: Catalogue) -> NotationError:
    """Error for a word nobody knows, with the nearest names of the catalogue."""
    token = tokens[place]
    nearest = nearest_names(tokens, place, catalogue)
    hint = f" The nearest names are: {', '.join(nearest)}." if nearest else ""
    message = f"'{token.text}' (at character {token.position + 1}) is not a gene the catalogue knows.{hint}"
    return NotationError(token.text, token.position, nearest, message)


def nearest_names(tokens: Sequence[Token], place: int, catalogue: Catalogue) -> tuple[str, ...]:
    """Up to three names nearest to a word, or to it and the next word together."""
    words = vocabulary(catalogue)
    candidates = [squeeze(tokens[place].text)]
    if place + 1 < len(tokens) and tokens[place + 1].kind == "word":
        candidates.append(candidates[0] + squeeze(tokens[place + 1].text))
    scored: dict[str, float] = {}
    for candidate in candidates:
        for spelling in difflib.get_close_matches(candidate, words, n=5, cutoff=0.6):
            score = difflib.SequenceMatcher(None, candidate, spelling).ratio()
            name = words[spelling].name
            scored[name] = max(score, scored.get(name, 0.0))
    return tuple(sorted(scored, key=lambda name: (-scored[name], name))[:3])


def impossible(token: Token, message: str) -> ImpossibleAnimal:
    """Error for a known word that can't be, where it stands."""
    return ImpossibleAnimal(token.text, token.position, (), message)
