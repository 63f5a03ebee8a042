"""Does any word mean two things? Names are compared without spaces, hyphens and capitals."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from genetics.genes.faults import CatalogueError
from genetics.genes.loci import Compound, Locus, Pair

RESERVED = frozenset(
    (
        *("het", "hets", "heterozygous", "pos", "poss", "possible", "possibly", "ph", "dh", "th"),
        *("double", "triple", "quadruple", "quad", "super", "visual", "homozygous", "homo", "normal", "wild"),
        *("wildtype", "from", "sire", "dam", "male", "female", "maker", "males", "females", "and", "with"),
        *("or", "for", "of", "x", "carrying", "carries", "classic", "unsexed", "group"),
    )
)
"""Words of the notation itself, which can't name a gene."""


LONGEST_NAME = 5
"""Most words of a name."""

_NAME = re.compile(r"[^\W_]+(?:[ '’-][^\W_]+)*")


def squeeze(words: str) -> str:
    """Spelling without spaces, hyphens and capitals, by which names are compared."""
    return "".join(letter for letter in words.lower() if letter.isalnum())


def is_name(word: str) -> bool:
    """Whether a text can be a name: a few words of letters and digits, parted by spaces or hyphens."""
    return _NAME.fullmatch(word) is not None and len(re.split(r"[ -]", word)) <= LONGEST_NAME


def stated_names(locus: Locus) -> dict[str, Pair]:
    """Names of looks that are said outright and stand for one allele pair each.

    The names of the genes themselves are left out: they stand for what their mode says.
    """
    said = {look.look for look in locus.stated if look.look} - {gene.name for gene in locus.genes}
    bare = {pair: look for pair, look in locus.looks.items() if not look.carried and not look.doubled}
    return {look.label: pair for pair, look in bare.items() if look.label in said}


def word_meanings(
    loci: Sequence[Locus], compounds: Sequence[Compound], combinations: Iterable[str]
) -> Iterator[tuple[str, str]]:
    """Every word that is read, with what it means."""
    for locus in loci:
        for gene in locus.genes:
            yield from ((word, gene.name) for word in (gene.name, *gene.other_spellings))
            if gene.super_name:
                yield gene.super_name, f"super {gene.name}"
        yield from ((name, "/".join(pair)) for name, pair in stated_names(locus).items())
        if locus.wild_name:
            yield locus.wild_name, f"the wild type of the {locus.name}"
    yield from ((compound.name, " ".join(compound.pair)) for compound in compounds if compound.name)
    yield from ((name, "a combination") for name in combinations)


def check_words(
    loci: Sequence[Locus],
    compounds: Sequence[Compound],
    combinations: Mapping[str, tuple[tuple[str, int], ...]],
) -> None:
    """Refuse a word that would mean two things, words of the notation, and combinations of unknown genes.

    Raises
    ------
    CatalogueError
        Names the word and both meanings, or the combination and its gene.
    """
    meanings: dict[str, str] = {}
    for word, meaning in word_meanings(loci, compounds, combinations):
        squeezed = squeeze(word)
        if squeezed in RESERVED or squeezed.isdigit():
            raise CatalogueError(f"name {word}", word, "a word that means nothing else in the notation")
        if not is_name(word):
            raise CatalogueError(f"name {word}", word, f"up to {LONGEST_NAME} words of letters and digits")
        if squeezed in meanings:
            raise CatalogueError(f"name {word}", meanings[squeezed], f"one meaning; it also means {meaning}")
        meanings[squeezed] = meaning
    known = {gene.name for locus in loci for gene in locus.genes}
    for name, parts in combinations.items():
        for gene_name, copies in parts:
            if gene_name not in known or copies not in (1, 2):
                raise CatalogueError(f"combination {name}", (gene_name, copies), "known genes, 1 or 2 copies")
