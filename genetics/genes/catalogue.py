"""Which genes are there? The catalogue of a species, from its data files or from plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from types import MappingProxyType
from typing import Any

from genetics.genes.catalogue_files import BALL_PYTHON, SEXES, Sexes, species_tables
from genetics.genes.catalogue_tables import read_tables
from genetics.genes.faults import nearest_words
from genetics.genes.loci import AlikeGroup, CombinedHarm, Compound, Gene, Locus
from genetics.genes.locus_tables import labels_of
from genetics.genes.plain_loci import plain_tables
from genetics.genes.sources import Source


class UnknownGene(LookupError):
    """A name that is not in the catalogue; carries the nearest names."""

    def __init__(self, name: str, nearest: tuple[str, ...]) -> None:
        self.name = name
        self.nearest = nearest
        hint = f"; the nearest are: {', '.join(nearest)}" if nearest else ""
        super().__init__(f"the catalogue has no gene '{name}'{hint}")


@dataclass(frozen=True, eq=False, repr=False)
class Catalogue:
    """All genes, their loci, compounds and the trade's names for combinations.

    Attributes
    ----------
    loci
        Loci in the order in which the trade names them: genes that show in one copy first.
    compounds
        Pairs of different alleles that have a name of their own.
    alike
        Groups of looks that can't be told apart by eye.
    combinations
        The trade's one-word names for combinations of genes at several loci; each stands for
        (gene, copies) pairs.
    combination_sources
        Where each of these names comes from.
    combined_harms
        Harms of genes of several loci together.
    species, sexes
        Name of the species, and how its sexes come about.
    tables
        The plain tables it was built from, which are read again when a breeder's own genes join.
    """

    loci: tuple[Locus, ...]
    compounds: tuple[Compound, ...]
    alike: tuple[AlikeGroup, ...]
    combinations: Mapping[str, tuple[tuple[str, int], ...]]
    combination_sources: Mapping[str, Source] = field(default_factory=dict)
    combined_harms: tuple[CombinedHarm, ...] = ()
    species: str = ""
    sexes: Sexes = SEXES
    tables: Mapping[str, Any] = field(default_factory=dict)

    def __repr__(self) -> str:
        return f"Catalogue({self.species or 'posed'}: {len(self.genes)} genes at {len(self.loci)} loci)"

    @cached_property
    def genes(self) -> tuple[Gene, ...]:
        """All genes, locus by locus."""
        return tuple(gene for locus in self.loci for gene in locus.genes)

    @cached_property
    def _genes_by_name(self) -> dict[str, Gene]:
        return {gene.name: gene for gene in self.genes}

    @cached_property
    def _loci_by_id(self) -> dict[str, Locus]:
        return {locus.id: locus for locus in self.loci}

    @cached_property
    def locus_order(self) -> Mapping[str, int]:
        """Position of each locus by its id."""
        return {locus.id: position for position, locus in enumerate(self.loci)}

    @cached_property
    def shared_looks(self) -> tuple[frozenset[str], ...]:
        """Sets of loci that have look-alikes of each other."""
        where = {label: locus.id for locus in self.loci for label in labels_of(locus)}
        groups = (frozenset(where[look] for look in group.looks if look in where) for group in self.alike)
        return tuple(group for group in groups if len(group) > 1)

    def gene(self, name: str) -> Gene:
        """Gene of that catalogue name.

        Raises
        ------
        UnknownGene
            If there is none; it carries the nearest names.
        """
        found = self._genes_by_name.get(name)
        if found is None:
            raise UnknownGene(name, nearest_words(name, self._genes_by_name))
        return found

    def locus(self, locus_id: str) -> Locus:
        """Locus of that id.

        Raises
        ------
        UnknownGene
            If there is none.
        """
        found = self._loci_by_id.get(locus_id)
        if found is None:
            raise UnknownGene(locus_id, nearest_words(locus_id, self._loci_by_id))
        return found

    def locus_of(self, gene: str) -> Locus:
        """Locus on which a gene lies."""
        return self.locus(self.gene(gene).locus)


def catalogue_from(tables: Mapping[str, Any]) -> Catalogue:
    """Build a catalogue from plain data: the short form of a textbook cross, or whole tables.

    Parameters
    ----------
    tables
        Either the short form with a key "loci", which `plain_loci` describes, or tables as the
        data files hold them, each value with its source.

    Raises
    ------
    CatalogueError
        If a value is missing, unknown, or contradicts another; says where and what is allowed.
    """
    whole = plain_tables(tables) if "loci" in tables else dict(tables)
    records = read_tables(whole)
    order = sorted(records.loci, key=lambda locus: all(gene.mode == "recessive" for gene in locus.genes))
    return Catalogue(
        loci=tuple(order),
        compounds=records.compounds,
        alike=records.alike,
        combinations=records.combinations,
        combination_sources=records.combination_sources,
        combined_harms=records.combined_harms,
        species=records.species,
        sexes=records.sexes,
        tables=MappingProxyType(whole),
    )


def load_catalogue(species: str = BALL_PYTHON) -> Catalogue:
    """Catalogue of a species that comes with the program; read once.

    Parameters
    ----------
    species
        One of `species()`.

    Raises
    ------
    UnknownSpecies
        If it has no data file.
    """
    return _loaded(species)


@lru_cache(maxsize=8)
def _loaded(name: str) -> Catalogue:
    return catalogue_from(species_tables(name))
