"""Animals, pairings and small catalogues for the tests of genetics."""

from __future__ import annotations

from fractions import Fraction

from genetics import Catalogue, Clutch, LookTable, Sex, catalogue_from, cross, load_catalogue, read_animal


def pair(sire: str, dam: str, *, catalogue: Catalogue | None = None, r: object = None) -> Clutch:
    """Clutch of two animals as they are written."""
    genes = catalogue or load_catalogue()
    male = read_animal(sire, genes, sex=Sex.MALE)
    female = read_animal(dam, genes, sex=Sex.FEMALE)
    return cross(male, female, genes, recombination=r)


def by_label(table: LookTable) -> dict[str, Fraction]:
    """Share per hatchling by label."""
    return {row.label: row.per_hatchling for row in table.rows}


def invented(*genes: str, mode: str = "recessive", alike: tuple[str, ...] = ()) -> Catalogue:
    """Catalogue of invented genes, one locus each."""
    return catalogue_from(
        {
            "locus": [
                {"source": "custom", "gene": [{"name": name, "mode": mode, "source": "custom"}]}
                for name in genes
            ],
            "alike": [{"looks": list(alike), "source": "custom"}] if alike else [],
        }
    )


def sex_linked(name: str, *, mode: str = "incomplete dominant", r: str = "0.1") -> Catalogue:
    """Catalogue of one invented sex-linked gene."""
    gene = {"name": name, "mode": mode, "source": "custom"}
    return catalogue_from(
        {"locus": [{"source": "custom", "sex_linked": True, "recombination": r, "gene": [gene]}]}
    )
