"""How the catalogue's data files are read and checked."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations_with_replacement
from pathlib import Path
from types import MappingProxyType
from typing import Any, cast, get_args

from genetics.genes.loci import (
    WILD,
    AlikeGroup,
    AppliesTo,
    Compound,
    Gene,
    Harm,
    HealthNote,
    Hides,
    Locus,
    Mode,
    Pair,
    pair_looks,
)
from genetics.genes.sources import CUSTOM, MEMORY, Source

SOURCED = ("name", "locus", "mode", "sex_linked", "super_name", "hides", "look_alikes", "other_spellings")
"""Fields of a gene that carry a source each."""

DATA_FILES = (
    "papers.toml",
    "dominants.toml",
    "complexes.toml",
    "dominants_from_memory.toml",
    "recessives.toml",
    "combinations.toml",
)
"""Data files in the order in which the trade names the genes of one animal."""

UNPROVEN = Source("custom", "keepers' reports, unproven")


class CatalogueError(ValueError):
    """A fault in the catalogue's data: where, what was found, what is allowed."""

    def __init__(self, where: str, found: object, allowed: str) -> None:
        self.where = where
        self.found = found
        self.allowed = allowed
        super().__init__(f"catalogue, {where}: found {found!r}; allowed: {allowed}")


@dataclass(frozen=True)
class CatalogueRecords:
    """All records of the data files, checked."""

    loci: tuple[Locus, ...]
    compounds: tuple[Compound, ...]
    alike: tuple[AlikeGroup, ...]
    combinations: Mapping[str, tuple[tuple[str, int], ...]]


def catalogue_tables() -> dict[str, object]:
    """Tables of all data files that come with the program, lists put one after the other."""
    joined: dict[str, Any] = {"papers": {}, "locus": [], "alike": [], "combination": []}
    for file in DATA_FILES:
        path = Path(__file__).parent / "data" / file
        for name, part in tomllib.loads(path.read_text(encoding="utf-8")).items():
            if name not in joined:
                raise CatalogueError(path.name, name, ", ".join(joined))
            if isinstance(part, dict):
                joined[name].update(part)
            else:
                joined[name].extend(part)
    return joined


def read_tables(tables: Mapping[str, object]) -> CatalogueRecords:
    """Check tables and turn them into records.

    Raises
    ------
    CatalogueError
        If a value is missing, unknown, or contradicts another.
    """
    sources = _read_papers(cast("Mapping[str, Any]", tables.get("papers", {})))
    shared = tuple(
        _read_alike(row, sources, "look-alikes of several loci", row.get("looks", ()))
        for row in _rows(tables, "alike")
    )
    loci: list[Locus] = []
    compounds: list[Compound] = []
    alike: list[AlikeGroup] = list(shared)
    for row in _rows(tables, "locus"):
        locus, own_compounds, own_alike = _read_locus(row, sources, shared)
        loci.append(locus)
        compounds.extend(own_compounds)
        alike.extend(own_alike)
    named = {
        str(row["name"]): tuple((str(gene), int(copies)) for gene, copies in row["genes"].items())
        for row in _rows(tables, "combination")
    }
    _check_names(loci, compounds, named)
    return CatalogueRecords(tuple(loci), tuple(compounds), tuple(alike), MappingProxyType(named))


def _rows(tables: Mapping[str, Any], name: str) -> Sequence[dict[str, Any]]:
    return cast("Sequence[dict[str, Any]]", tables.get(name, ()))


def _read_papers(papers: Mapping[str, Mapping[str, str]]) -> dict[str, Source]:
    """Read sources by their short names; each paper says how far it was read."""
    sources = {"custom": CUSTOM, "memory": MEMORY, "unproven": UNPROVEN}
    for key, paper in papers.items():
        for field in ("text", "read"):
            if not paper.get(field):
                raise CatalogueError(f"paper {key}", paper, f"a text in '{field}'")
        sources[key] = Source("paper", f"{paper['text']} [{paper['read']}]", paper.get("doi", ""))
    return sources


def _source(row: Mapping[str, Any], sources: Mapping[str, Source], where: str) -> Source:
    name = row.get("source")
    if name not in sources:
        raise CatalogueError(f"{where}, source", name, ", ".join(sources))
    return sources[str(name)]


def _choice(value: object, allowed: tuple[str, ...], where: str) -> str:
    if value not in allowed:
        raise CatalogueError(where, value, ", ".join(repr(word) for word in allowed))
    return str(value)


def _read_health(row: Mapping[str, Any], sources: Mapping[str, Source], where: str) -> HealthNote:
    place = f"{where}, health note"
    lost = Fraction(str(row.get("lost_chance", 0)))
    if not 0 <= lost <= 1:
        raise CatalogueError(f"{place}, lost_chance", str(lost), "0 to 1")
    for field in ("id", "what"):
        if not row.get(field):
            raise CatalogueError(f"{place}, {field}", row.get(field), "a text")
    return HealthNote(
        id=row["id"],
        applies_to=cast(
            "AppliesTo", _choice(row.get("applies_to"), get_args(AppliesTo), f"{place}, applies_to")
        ),
        what=row["what"],
        harm=cast("Harm", _choice(row.get("harm"), get_args(Harm), f"{place}, harm")),
        lost_chance=lost,
        source=_source(row, sources, place),
    )


def _read_locus(
    row: Mapping[str, Any], sources: Mapping[str, Source], shared: tuple[AlikeGroup, ...]
) -> tuple[Locus, list[Compound], list[AlikeGroup]]:
    """Read one locus with its genes, compounds and look-alikes."""
    rows = row.get("gene", ())
    if not rows:
        raise CatalogueError(f"locus {row.get('id', row.get('name'))}", rows, "at least one gene")
    locus_id = str(row.get("id") or rows[0].get("name"))
    where = f"locus {locus_id}"
    source = _source(row, sources, where)
    recombination = _recombination(row, where)
    alike = [
        _read_alike(part, sources, where, tuple(_alike_looks(part, row)))
        for part in cast("Sequence[dict[str, Any]]", row.get("alike", ()))
    ]
    groups = (*shared, *alike)
    genes = tuple(
        _read_gene(part, sources, groups, locus_id, str(row.get("name") or locus_id), source, recombination)
        for part in rows
    )
    compounds = [_read_compound(part, sources, where) for part in row.get("compound", ())]
    locus = Locus(
        id=locus_id,
        name=str(row.get("name") or locus_id),
        genes=genes,
        sex_linked=recombination is not None,
        recombination=recombination,
        looks=MappingProxyType(pair_looks(genes, tuple(compounds), groups)),
        source=source,
    )
    _check_locus(locus, compounds, alike)
    return locus, compounds, alike


def _recombination(row: Mapping[str, Any], where: str) -> Fraction | None:
    if not row.get("sex_linked", False):
        return None
    value = Fraction(str(row.get("recombination", -1)))
    if not 0 <= value <= Fraction(1, 2):
        raise CatalogueError(f"{where}, recombination", row.get("recombination"), "0 to 0.5")
    return value


def _read_gene(
    row: Mapping[str, Any],
    sources: Mapping[str, Source],
    alike: Sequence[AlikeGroup],
    locus_id: str,
    locus_name: str,
    locus_source: Source,
    recombination: Fraction | None,
) -> Gene:
    name = str(row.get("name", ""))
    where = f"gene {name or '(without a name)'}"
    if not name or name == WILD or name != name.lower().strip():
        raise CatalogueError(where, name, "a name in small letters")
    own = _source(row, sources, where)
    by_field = dict.fromkeys(SOURCED, own) | {"locus": locus_source, "sex_linked": locus_source}
    for field, key in row.get("sources", {}).items():
        _choice(field, SOURCED, f"{where}, sources")
        by_field[field] = _source({"source": key}, sources, f"{where}, {field}")
    hides = row.get("hides", "")
    for group in alike:
        if f"super {name}" in group.looks or name in group.looks:
            hides = hides or group.hides
            by_field["look_alikes"] = group.source
    return Gene(
        name=name,
        locus=locus_id,
        locus_name=locus_name,
        mode=cast("Mode", _choice(row.get("mode"), get_args(Mode), f"{where}, mode")),
        sex_linked=recombination is not None,
        super_name=row.get("super_name"),
        hides=cast("Hides", _choice(hides, get_args(Hides), f"{where}, hides")),
        look_alikes=_look_alikes_of(name, alike),
        other_spellings=tuple(row.get("spellings", ())),
        health=tuple(_read_health(part, sources, where) for part in row.get("health", ())),
        sources=MappingProxyType(by_field),
    )


def _look_alikes_of(name: str, alike: Sequence[AlikeGroup]) -> tuple[str, ...]:
    found = [look for group in alike if name in group.looks for look in group.looks if look != name]
    return tuple(dict.fromkeys(found))


def _read_compound(row: Mapping[str, Any], sources: Mapping[str, Source], where: str) -> Compound:
    pair = tuple(row.get("pair", ()))
    if len(pair) != 2 or pair[0] == pair[1]:
        raise CatalogueError(f"{where}, compound", pair, "two different genes of the locus")
    return Compound(
        pair=cast("Pair", pair),
        name=str(row.get("name", "")),
        hides=cast("Hides", _choice(row.get("hides", ""), get_args(Hides), f"{where}, compound, hides")),
        health=tuple(_read_health(part, sources, where) for part in row.get("health", ())),
        source=_source(row, sources, f"{where}, compound {' '.join(pair)}"),
    )


def _alike_looks(row: Mapping[str, Any], locus: Mapping[str, Any]) -> Iterator[str]:
    """Labels of a group's looks; "pairs_of" stands for all pairs of the genes it lists."""
    yield from row.get("looks", ())
    names = {frozenset(part["pair"]): part.get("name") for part in locus.get("compound", ())}
    order = [part.get("name") for part in locus["gene"]]
    listed = sorted(row.get("pairs_of", ()), key=lambda name: order.index(name) if name in order else -1)
    for one, other in combinations_with_replacement(listed, 2):
        yield f"super {one}" if one == other else names.get(frozenset((one, other))) or f"{one} {other}"


def _read_alike(
    row: Mapping[str, Any], sources: Mapping[str, Source], where: str, looks: Sequence[str]
) -> AlikeGroup:
    if len(looks) < 2:
        raise CatalogueError(f"{where}, look-alikes", looks, "two or more looks")
    hides = _choice(row.get("hides", ""), get_args(Hides), f"{where}, look-alikes, hides")
    source = _source(row, sources, f"{where}, look-alikes")
    return AlikeGroup(str(row.get("name", "")), tuple(looks), cast("Hides", hides), source)


def _check_locus(locus: Locus, compounds: Sequence[Compound], alike: Sequence[AlikeGroup]) -> None:
    """Refuse compounds and look-alikes that name what the locus does not have."""
    names = {gene.name for gene in locus.genes}
    if len(names) < len(locus.genes):
        raise CatalogueError(f"locus {locus.id}", sorted(g.name for g in locus.genes), "each gene once")
    for compound in compounds:
        if not names.issuperset(compound.pair):
            raise CatalogueError(f"locus {locus.id}, compound", compound.pair, ", ".join(sorted(names)))
    labels = {look.label for look in locus.looks.values()}
    for group in alike:
        for look in group.looks:
            if look not in labels:
                raise CatalogueError(f"locus {locus.id}, look-alikes", look, ", ".join(sorted(labels - {""})))


def _check_names(
    loci: Sequence[Locus],
    compounds: Sequence[Compound],
    combinations: Mapping[str, tuple[tuple[str, int], ...]],
) -> None:
    """Refuse a word that would mean two things, and combinations of unknown genes."""
    genes = [gene for locus in loci for gene in locus.genes]
    meanings: dict[str, str] = {}
    claims = [(word, gene.name) for gene in genes for word in (gene.name, *gene.other_spellings)]
    claims += [(gene.super_name, f"super {gene.name}") for gene in genes if gene.super_name]
    claims += [(compound.name, " ".join(compound.pair)) for compound in compounds if compound.name]
    claims += [(name, "combination") for name in combinations]
    for word, meaning in claims:
        squeezed = squeeze(word)
        if squeezed in meanings:
            raise CatalogueError(f"name {word}", meanings[squeezed], f"one meaning; it also means {meaning}")
        meanings[squeezed] = meaning
    known = {gene.name for gene in genes}
    for name, parts in combinations.items():
        for gene_name, copies in parts:
            if gene_name not in known or copies not in (1, 2):
                raise CatalogueError(f"combination {name}", (gene_name, copies), "known genes, 1 or 2 copies")


def squeeze(words: str) -> str:
    """Spelling without spaces, hyphens and capitals, by which names are compared."""
    return "".join(letter for letter in words.lower() if letter.isalnum())
