"""How do sources and refusals of the libraries read on screen? The one place where each becomes a line."""

from __future__ import annotations

import re
from collections.abc import Iterable

from genetics.genes.sources import Source

OWN_WORDS = "your own"
"""How a value reads that the breeder put down; what is "given" in code says so itself."""
_PLACE = re.compile(r"'([^']+)' \(at character \d+\)")
_SEEN = re.compile(r"\s*\[seen[:;]?\s*([^\]]*)\]")


def source_text(source: Source) -> str:
    """Write a source; what it is known from stands in brackets, as in "(abstract only)"."""
    if source.kind == "own":
        return OWN_WORDS
    found = _SEEN.search(source.text)
    text = _SEEN.sub("", source.text)
    if found is not None and found[1]:
        text += f" ({re.sub(r'^abstract', 'abstract only', found[1])})"
    return f"{text}, doi:{source.doi}" if source.doi else text


def grouped_sources(sources: Iterable[tuple[str, Source]]) -> tuple[tuple[str, str], ...]:
    """Give (what it supports, source) pairs in which a source stands once for all it supports.

    A single source for everything needs no word for what it supports.
    """
    kept: dict[str, list[str]] = {}
    for what, source in sources:
        names = kept.setdefault(source_text(source), [])
        if what not in names:
            names.append(what)
    if len(kept) == 1:
        return (("", next(iter(kept))),)
    return tuple((", ".join(names), text) for text, names in kept.items())


def plain_refusal(reason: str) -> str:
    """Write a refusal without the place of the word at fault, which the quoted word shows as well."""
    return _PLACE.sub(r"“\1”", reason)
