"""Where a value comes from: every value taken from outside carries one of these."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SourceKind = Literal["paper", "custom", "memory", "own", "given"]


@dataclass(frozen=True)
class Source:
    """Origin of one value.

    Attributes
    ----------
    kind
        "paper": a published text; "custom": common practice of the trade, no source; "memory":
        put down from memory and not checked against a text; "own": the breeder put it down;
        "given": whoever posed a cross in code said so.
    text
        The citation, or what the mark says in words.
    doi
        Digital object identifier where it is known, else empty.
    """

    kind: SourceKind
    text: str
    doi: str = ""


CUSTOM = Source("custom", "common practice, no source")
MEMORY = Source("memory", "from memory")
UNPROVEN = Source("custom", "keepers' reports, unproven")
OWN = Source("own", "the breeder's own")
GIVEN = Source("given", "as it was given")

MARKS = {"custom": CUSTOM, "memory": MEMORY, "unproven": UNPROVEN, "own": OWN, "given": GIVEN}
"""Sources that are no paper, by the word that stands for them in tables."""
