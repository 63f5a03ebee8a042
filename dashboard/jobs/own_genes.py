"""What did the breeder add to the catalogue, or say otherwise? Each entry in a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from dashboard.records import Book

KINDS: Mapping[str, str] = {
    "gene": "a gene that is not in the list",
    "correction": "something else about a gene of the list",
    "combination": "one word for several genes",
    "complex": "several genes at one place, a complex",
    "harm": "a harm of genes together",
}
"""What a definition of the breeder's own may be, in plain words."""


@dataclass(frozen=True)
class OwnGeneRow:
    """One definition of the breeder's own.

    Attributes
    ----------
    name, kind
        Its name, and a key of `KINDS`.
    says
        What it says, in a sentence.
    version
        Version to give back when it is changed.
    fault
        Why it is left out, if it no longer fits what ships.
    """

    name: str
    kind: str
    says: str
    version: int
    fault: str = ""


def entry_of(gene: str, rows: tuple[OwnGeneRow, ...], own: Mapping[str, Mapping[str, Any]]) -> str:
    """Name of the breeder's own entry that says what a gene is: the gene, its complex or its correction."""
    for row in rows:
        within = row.kind == "complex" and gene in own[row.name].get("genes", {})
        if within or (row.name == gene and row.kind in ("gene", "correction")):
            return row.name
    return ""


def own_gene_rows(book: Book) -> tuple[OwnGeneRow, ...]:
    """All definitions of a book, in the order they were entered."""
    faults = dict(book.catalogue().left_out)
    versions = book.own_gene_versions()
    return tuple(
        OwnGeneRow(name, str(part["kind"]), said(part), versions[name], faults.get(name, ""))
        for name, part in book.own_genes().items()
        if name in versions
    )


def said(definition: Mapping[str, Any]) -> str:
    """What a definition says, in a sentence."""
    kind = definition["kind"]
    if kind == "combination":
        return f"stands for {_copies(definition['genes'])}"
    if kind == "harm":
        return f"{_copies(definition['genes'])} together: {definition['harm']}. {definition['what']}"
    if kind == "complex":
        genes = definition["genes"]
        parts = [f"holds {', '.join(f'{gene} ({_looks_or_mode(part)})' for gene, part in genes.items())}"]
    else:
        said_so = (_field_said(name, definition[name]) for name in _GENE_WORDS if name in definition)
        parts = [words for words in said_so if words]
    return "; ".join([*parts, *_pairs_said(definition), *_linked(definition)])


def _looks_or_mode(part: Mapping[str, Any]) -> str:
    return str(part.get("mode", "as its looks say"))


_GENE_WORDS: Mapping[str, tuple[str, str]] = {
    "mode": ("", ""),
    "locus": ("at the place of ", ""),
    "super_name": ("two copies are called ", "no name for two copies"),
    "hides": ("two copies hide ", "hides nothing"),
    "acts_on": ("changes ", "what it changes is not known"),
    "spellings": ("also written ", "not written otherwise"),
    "look_alikes": ("looks like ", "looks like no other"),
    "health": ("", "no harm known"),
}
"""Words before a field's value, and those for a field that was emptied."""
PARTS: Mapping[str, str] = {
    "": "nothing",
    "pattern": "the pattern",
    "colour": "the colour",
    "both": "pattern and colour",
    "all": "everything else",
}
"""Parts of an animal's look that a gene hides or changes, in plain words."""


def _field_said(name: str, value: Any) -> str:
    words = _GENE_WORDS[name]
    if not value:
        return words[1]
    if name == "health":
        return ", ".join(f"{note['harm']} ({note['applies_to']})" for note in value)
    if name in ("hides", "acts_on"):
        return words[0] + PARTS[value]
    return words[0] + (str(value) if isinstance(value, str) else ", ".join(value))


def _pairs_said(definition: Mapping[str, Any]) -> list[str]:
    looks = [f"{pair} looks {look or 'normal'}" for pair, look in definition.get("looks", {}).items()]
    lost = [f"of {pair} {percent_of(1 - Fraction(str(hatch))):g} % of the eggs are lost"
            for pair, hatch in definition.get("hatch", {}).items()]  # fmt: skip
    return looks + lost


def _linked(definition: Mapping[str, Any]) -> list[str]:
    if definition.get("sex_linked"):
        share = percent_of(definition.get("recombination"))
        return [f"sex-linked, {share:g} % recombination in males"]
    return ["not sex-linked"] if "sex_linked" in definition else []


def _copies(genes: Mapping[str, int]) -> str:
    return " + ".join(name if count == 1 else f"two copies of {name}" for name, count in genes.items())


def percent_of(share: object) -> float:
    """Give a share as percent; five where none is said, the start of a form's recombination."""
    return float(Fraction(str(share)) * 100) if share not in (None, "") else 5.0
