"""How is a textbook cross posed as plain data? The short form of a catalogue, turned into whole tables.

    {
        "loci": {
            "coat": {
                "alleles": {"yellow": "dominant", "black": "recessive"},
                "looks": {"yellow/black": "sooty"},
                "hatch": {"yellow/yellow": 0},
            },
        },
    }

"loci" holds one entry a locus:

- "alleles": the mutant alleles, each with its mode ("recessive", "incomplete dominant", "dominant") or a
  mapping of "mode", "super_name", "spellings", "hides", "acts_on"; a bare list if "looks" says everything.
- "wild": what the wild type is called; without it it is written "+".
- "looks": what the eye sees of an allele pair, by "one/other"; equal names look alike, "" is a normal look.
  What is not said follows from the modes; without modes every pair must be said.
- "hatch": chance that a fertile egg of a pair hatches, where it is not 1.
- "hides": what a pair hides of other loci: "pattern", "colour" or "all".
- "sex_linked": True for a locus on the X and the Y, with "r", its recombination fraction in males [0 to 1/2].

Beside "loci": "alike" (lists of looks of any loci that can't be told apart), "combinations" (names with the
copies of each gene), "combined_harms" (rows with "genes", "harm" and "what"), "species", "sexes" ("none" for
plants) and "source" (one text for all of it).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from genetics.genes.catalogue_files import SEXES
from genetics.genes.faults import CatalogueError, or_nearest
from genetics.genes.loci import WILD
from genetics.genes.table_fields import read_share

TOP = ("loci", "alike", "combinations", "combined_harms", "species", "sexes", "source")
LOCUS = ("alleles", "wild", "looks", "hatch", "hides", "sex_linked", "r")
ALLELE = ("mode", "super_name", "spellings", "hides", "acts_on")


def plain_tables(short: Mapping[str, Any]) -> dict[str, Any]:
    """Whole tables of a catalogue in the short form.

    Raises
    ------
    CatalogueError
        If a key is unknown or a value has the wrong shape; says where and what is allowed.
    """
    _known_keys(short, TOP, "plain data")
    loci = _mapping(short["loci"], "loci")
    groups = [group if isinstance(group, Mapping) else {"looks": group} for group in short.get("alike", ())]
    combined = [
        {"id": f"combined harm {number}", "source": "given"} | dict(row)
        for number, row in enumerate(short.get("combined_harms", ()), start=1)
    ]
    return {
        "species": {"name": str(short.get("species", "")), "sexes": short.get("sexes", SEXES)},
        "source": str(short.get("source", "")),
        "locus": [_locus_row(str(name), _mapping(part, f"locus {name}")) for name, part in loci.items()],
        "alike": [{"source": "given"} | dict(group) for group in groups],
        "combination": [
            {"name": name, "genes": dict(genes), "source": "given"}
            for name, genes in short.get("combinations", {}).items()
        ],
        "combined_harm": combined,
    }


def _mapping(value: object, where: str) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise CatalogueError(where, value, "a mapping of names to what they are")
    return value


def _known_keys(part: Mapping[str, Any], allowed: tuple[str, ...], where: str) -> None:
    for key in part:
        if key not in allowed:
            raise CatalogueError(where, key, f"{', '.join(allowed)}.{or_nearest(str(key), allowed)}")


def _locus_row(name: str, part: Mapping[str, Any]) -> dict[str, Any]:
    """Table of one locus."""
    where = f"locus {name}"
    _known_keys(part, LOCUS, where)
    alleles = part.get("alleles", ())
    given = alleles if isinstance(alleles, Mapping) else dict.fromkeys(alleles)
    row: dict[str, Any] = {
        "id": name,
        "name": name,
        "source": "given",
        "wild_name": str(part.get("wild", "")),
        "gene": [_gene_row(str(allele), about) for allele, about in given.items()],
        "look": pair_rows(part, given, where=where),
    }
    if part.get("sex_linked", False):
        row |= {"sex_linked": True, "recombination": part.get("r")}
    return row


def _gene_row(name: str, about: object) -> dict[str, Any]:
    """Table of one allele."""
    row: dict[str, Any] = {"name": name, "source": "given"}
    if isinstance(about, Mapping):
        _known_keys(about, ALLELE, f"allele {name}")
        return row | dict(about)
    return row if about is None else row | {"mode": about}


def pair_rows(
    part: Mapping[str, Any], alleles: Iterable[str], *, where: str, source: str = "given"
) -> list[dict[str, Any]]:
    """Rows of the looks, losses and hiding of allele pairs that are written "one/other".

    Parameters
    ----------
    part
        Its keys "looks", "hatch", "hides" and "wild" are read.
    alleles
        Mutant alleles of the locus.
    where
        What it belongs to.
    source
        Short name of the source of all of it.

    Raises
    ------
    CatalogueError
        If a pair is not two alleles of the locus.
    """
    wild = str(part.get("wild", ""))
    known = (*alleles, WILD)
    rows: dict[frozenset[str], dict[str, Any]] = {}
    for field in ("looks", "hatch", "hides"):
        for text, value in _mapping(part.get(field, {}), f"{where}, {field}").items():
            pair = read_pair(str(text), known, wild, where=f"{where}, {field}")
            row = rows.setdefault(frozenset(pair), {"pair": list(pair), "source": source})
            if field in row or (field == "looks" and "look" in row):
                raise CatalogueError(f"{where}, {field}", text, "each allele pair once")
            if field == "hatch":
                row["hatch"] = value
                row["health"] = _loss(value, where, str(text), source)
            else:
                row["look" if field == "looks" else field] = value
    for row in rows.values():
        row.pop("hatch", None)
    return list(rows.values())


def _loss(hatch: object, where: str, pair: str, source: str) -> list[dict[str, Any]]:
    """Health note of a pair whose eggs do not all hatch."""
    lost = 1 - read_share(hatch, Fraction(1), f"{where}, hatch of {pair}")
    what = "Eggs of this pair do not hatch." if lost == 1 else "Some eggs of this pair do not hatch."
    note = {"id": f"{where} {pair}", "what": what, "harm": "not hatching", "lost_chance": str(lost)}
    return [note | {"source": source}] if lost else []


def read_pair(text: str, alleles: Iterable[str], wild: str = "", *, where: str) -> tuple[str, str]:
    """Allele pair written "one/other"; the wild type is "+" or has its own name.

    Raises
    ------
    CatalogueError
        If it is not two alleles of the locus.
    """
    known = tuple(alleles)
    parts = tuple(part.strip() for part in text.split("/"))
    pair = tuple(WILD if part == wild and wild else part for part in parts)
    unknown = [part for part in pair if part not in known]
    if len(pair) != 2 or unknown:
        allowed = f"two of {', '.join(known)} with a slash between.{or_nearest(''.join(unknown[:1]), known)}"
        raise CatalogueError(where, text, allowed)
    return pair[0], pair[1]
