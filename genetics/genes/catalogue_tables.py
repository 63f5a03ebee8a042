"""How do the tables of a catalogue become its records, checked against each other?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from types import MappingProxyType
from typing import get_args

from genetics.genes.catalogue_files import SEXES, Sexes
from genetics.genes.faults import CatalogueError
from genetics.genes.loci import AlikeGroup, CombinedHarm, Compound, Locus
from genetics.genes.locus_tables import labels_of, read_alike, read_locus
from genetics.genes.sources import Source
from genetics.genes.spellings import check_words
from genetics.genes.table_fields import (
    Row,
    Sources,
    read_choice,
    read_health,
    read_papers,
    read_source,
    rows_of,
)

Parts = tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class CatalogueRecords:
    """All records of the tables, checked."""

    species: str
    sexes: Sexes
    loci: tuple[Locus, ...]
    compounds: tuple[Compound, ...]
    alike: tuple[AlikeGroup, ...]
    combinations: Mapping[str, Parts]
    combination_sources: Mapping[str, Source]
    combined_harms: tuple[CombinedHarm, ...]


def read_tables(tables: Row) -> CatalogueRecords:
    """Check tables and turn them into records.

    Raises
    ------
    CatalogueError
        If a value is missing, unknown, or contradicts another.
    """
    sources = read_papers(tables.get("papers", {}), given=str(tables.get("source", "")))
    about = tables.get("species", {})
    sexes = read_choice(about.get("sexes", SEXES), get_args(Sexes), "species, sexes")
    shared = tuple(
        read_alike(row, sources, "look-alikes of several loci", row.get("looks", ()))
        for row in rows_of(tables, "alike")
    )
    read = [read_locus(row, sources, shared) for row in rows_of(tables, "locus")]
    loci = tuple(part.locus for part in read)
    compounds = tuple(compound for part in read for compound in part.compounds)
    named = {str(row["name"]): _parts(row["genes"]) for row in rows_of(tables, "combination")}
    by_name = {
        str(row["name"]): read_source(row, sources, f"combination {row['name']}")
        for row in rows_of(tables, "combination")
    }
    _check_loci(loci, shared, sexed=sexes == SEXES)
    check_words(loci, compounds, named)
    _check_combinations(tables)
    return CatalogueRecords(
        species=str(about.get("name", "")),
        sexes=SEXES if sexes == SEXES else "none",
        loci=loci,
        compounds=compounds,
        alike=(*shared, *(group for part in read for group in part.alike)),
        combinations=MappingProxyType(named),
        combination_sources=MappingProxyType(by_name),
        combined_harms=_combined_harms(tables, sources, loci),
    )


def _parts(genes: Mapping[str, object]) -> Parts:
    """Genes with their copies, in the order in which they are given."""
    return tuple((str(gene), copies if isinstance(copies, int) else 0) for gene, copies in genes.items())


def _check_loci(loci: tuple[Locus, ...], shared: tuple[AlikeGroup, ...], *, sexed: bool) -> None:
    """Refuse two loci of one id, sex linkage without sexes, and look-alikes nobody has."""
    ids = [locus.id for locus in loci]
    for locus in loci:
        if ids.count(locus.id) > 1:
            raise CatalogueError(f"locus {locus.id}", "two loci with this id", "each id once")
        if locus.sex_linked and not sexed:
            raise CatalogueError(f"locus {locus.id}, sex_linked", "true", "false: the species has no sexes")
    labels = {label for locus in loci for label in labels_of(locus)}
    for group in shared:
        for look in group.looks:
            if look not in labels:
                raise CatalogueError("look-alikes of several loci", look, "looks of the catalogue's genes")


def _check_combinations(tables: Row) -> None:
    """Refuse a combination name that is given twice."""
    names = [str(row["name"]) for row in rows_of(tables, "combination")]
    for name in names:
        if names.count(name) > 1:
            raise CatalogueError(f"combination {name}", "the name twice", "each name once")


def _combined_harms(tables: Row, sources: Sources, loci: tuple[Locus, ...]) -> tuple[CombinedHarm, ...]:
    """Harms of genes of several loci together; "any_two_of" stands for every pair of the genes it lists."""
    where_is = {gene.name: locus.id for locus in loci for gene in locus.genes}
    found = []
    for row in rows_of(tables, "combined_harm"):
        where = f"combined harm {row.get('id', '(without an id)')}"
        for parts in _harmful_parts(row, where):
            for gene, copies in parts:
                if gene not in where_is or copies not in (1, 2):
                    raise CatalogueError(where, (gene, copies), "known genes, 1 or 2 copies")
            if len({where_is[gene] for gene, _ in parts}) < max(2, len(parts)):
                raise CatalogueError(where, parts, "two or more genes, each of another locus")
            note = read_health(row, sources, where, applies_to="genes together")
            if note.lost_chance:
                allowed = "0: eggs are lost by one locus at a time; say the harm without a number"
                raise CatalogueError(f"{where}, lost_chance", str(note.lost_chance), allowed)
            found.append(CombinedHarm(parts, note))
    return tuple(found)


def _harmful_parts(row: Row, where: str) -> Iterator[Parts]:
    """Genes that do a harm together, once for each pair where any two of a list do it."""
    if ("genes" in row) == ("any_two_of" in row):
        raise CatalogueError(where, sorted(row), "either 'genes' or 'any_two_of'")
    if "genes" in row:
        yield _parts(row["genes"])
    else:
        yield from combinations(_parts(row["any_two_of"]), 2)
