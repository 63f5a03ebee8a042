"""Which genes there are: the catalogue, loaded once from its data files."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

from genetics.genes.catalogue_files import catalogue_tables, read_tables
from genetics.genes.loci import AlikeGroup, Compound, Gene, Locus


class UnknownGene(LookupError):
    """A name that is not in the catalogue; carries the nearest names."""

    def __init__(self, name: str, nearest: tuple[str, ...]) -> None:
        self.name = name
        self.nearest = nearest
        hint = f"; the nearest are: {', '.join(nearest)}" if nearest else ""
        super().__init__(f"the catalogue has no gene '{name}'{hint}")


@dataclass(frozen=True, eq=False)
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
    """

    loci: tuple[Locus, ...]
    compounds: tuple[Compound, ...]
    alike: tuple[AlikeGroup, ...]
    combinations: Mapping[str, tuple[tuple[str, int], ...]]

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
        where = {look.label: locus.id for locus in self.loci for look in locus.looks.values() if look.label}
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
            raise UnknownGene(name, tuple(difflib.get_close_matches(name, self._genes_by_name, 3)))
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
            raise UnknownGene(locus_id, tuple(difflib.get_close_matches(locus_id, self._loci_by_id, 3)))
        return found

    def locus_of(self, gene: str) -> Locus:
        """Locus on which a gene lies."""
        return self.locus(self.gene(gene).locus)


def catalogue_from(tables: Mapping[str, object]) -> Catalogue:
    """Build a catalogue from tables as the data files hold them.

    Raises
    ------
    CatalogueError
        If a value is missing, unknown, or contradicts another; says where and what is allowed.
    """
    records = read_tables(tables)
    order = sorted(records.loci, key=lambda locus: all(gene.mode == "recessive" for gene in locus.genes))
    return Catalogue(tuple(order), records.compounds, records.alike, records.combinations)


@lru_cache(maxsize=1)
def load_catalogue() -> Catalogue:
    """Return the catalogue of the trade's genes that comes with the program; read once."""
    return catalogue_from(catalogue_tables())
