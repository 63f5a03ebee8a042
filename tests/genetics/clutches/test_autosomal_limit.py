"""At r = 1/2 a sex-linked gene is inherited like an autosomal one (classical genetics)."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as some

from genetics import Sex, cross, load_catalogue, read_animal

CATALOGUE = load_catalogue()
SIRES = {"normal": 0, "banana (from sire)": 1, "banana (from dam)": 1, "banana": 1, "super banana": 2}
DAMS = {"normal": 0, "banana": 1, "super banana": 2}
PASTEL = ("normal", "pastel", "super pastel")  # autosomal, incomplete dominant like banana
BESIDE = ("", "het clown", "enchi", "66% het pied", "super enchi het clown")


def shares(sire: str, dam: str, gene: str) -> dict[tuple[str, str], Fraction]:
    """Share of each look and sex, the gene under test called X."""
    clutch = cross(
        read_animal(sire, CATALOGUE, sex=Sex.MALE),
        read_animal(dam, CATALOGUE, sex=Sex.FEMALE),
        CATALOGUE,
        recombination=Fraction(1, 2),
    )
    found: dict[tuple[str, str], Fraction] = {}
    for row in clutch.looks(limit=None).rows:
        traits = " ".join(sorted(str(trait).replace(gene, "X") for trait in row.traits))
        for sex, share in (("male", row.male), ("female", row.female)):
            found[(traits, sex)] = found.get((traits, sex), Fraction(0)) + share
    return found


def written(*parts: str) -> str:
    """Parts of an animal as one text; "normal" stands only where nothing else does."""
    return " ".join(part for part in parts if part not in {"", "normal"}) or "normal"


@given(
    sire=some.sampled_from(sorted(SIRES)),
    dam=some.sampled_from(sorted(DAMS)),
    with_sire=some.sampled_from(BESIDE),
    with_dam=some.sampled_from(BESIDE),
)
def test_half_recombination_is_autosomal_inheritance(sire, dam, with_sire, with_dam):
    linked = shares(written(with_sire, sire), written(with_dam, dam), "banana")
    twin = written(with_sire, PASTEL[SIRES[sire]]), written(with_dam, PASTEL[DAMS[dam]])
    plain = shares(*twin, "pastel")
    assert linked == plain
    assert sum(linked.values()) == 1
