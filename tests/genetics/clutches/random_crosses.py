"""Random small catalogues and pairings, and the slow way through them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from hypothesis import strategies as st

from genetics import WILD, Animal, Catalogue, Locus, Sex, catalogue_from, make_animal
from tests.oracles import SlowLocus, SlowPairs, slow_parents

MODES = ("recessive", "incomplete dominant", "dominant")
CHANCES = (Fraction(1, 2), Fraction(2, 3), Fraction(1, 3), Fraction(3, 7))
HARMS = ("wobble", "kinked spine or misshapen head", "females that can't lay safely", "not hatching")


@dataclass(frozen=True)
class Cross:
    """A pairing with its catalogue, and what its eggs can be, counted the slow way."""

    catalogue: Catalogue
    sire: Animal
    dam: Animal

    @property
    def loci(self) -> tuple[Locus, ...]:
        return self.catalogue.loci

    def slow_loci(self) -> list[SlowLocus]:
        return [
            SlowLocus(
                locus.alleles,
                locus.recombination,
                {pair: locus.look(pair).survival for pair in product(locus.alleles, repeat=2)},
            )
            for locus in self.loci
        ]

    def belief(self, animal: Animal) -> list[tuple[SlowPairs, Fraction]]:
        """Every genotype at all loci that an animal may have."""
        found = []
        for choice in product(*(factor.table for factor in animal.belief)):
            pairs = {locus.id: (WILD, WILD) for locus in self.loci}
            chance = Fraction(1)
            for factor, (entry, part) in zip(animal.belief, choice, strict=True):
                pairs.update(zip(factor.loci, entry, strict=True))
                chance *= part
            found.append((tuple(pairs[locus.id] for locus in self.loci), chance))
        return found

    def parents(self):
        return slow_parents(self.slow_loci(), self.belief(self.sire), self.belief(self.dam))

    def covered(self, pairs: SlowPairs) -> bool:
        return any(locus.look(p).hides == "all" for locus, p in zip(self.loci, pairs, strict=True))

    def shown(self, pairs: SlowPairs) -> set[str]:
        """What shows of a genotype: only what covers, if anything does."""
        covered = self.covered(pairs)
        looks = [locus.look(p) for locus, p in zip(self.loci, pairs, strict=True)]
        return {t.key for look in looks if not covered or look.hides == "all" for t in look.shown}

    def shares(self, wanted: Callable[[str, SlowPairs], bool]):
        """By parents: chance, male and female share of the hatchlings, share of eggs not lost."""
        rows = []
        for weight, eggs in self.parents():
            alive = sum(eggs.values(), Fraction(0))
            each = [
                sum((c for (s, p), c in eggs.items() if s == sex and wanted(s, p)), Fraction(0))
                for sex in ("male", "female")
            ]
            rows.append((weight, *(part / alive if alive else Fraction(0) for part in each), alive))
        return rows


def _gene(draw, name: str, *, alone: bool) -> dict:
    mode = draw(st.sampled_from(MODES))
    gene = {"name": name, "mode": mode, "source": "custom"}
    if alone and draw(st.integers(0, 3)) == 0:
        gene["hides"] = "all"
    if draw(st.integers(0, 2)) == 0:
        harm = draw(st.sampled_from(HARMS))
        note = {
            "id": f"{name} note",
            "applies_to": draw(st.sampled_from(("any copy", "two copies"))),
            "what": "Invented.",
            "harm": harm,
            "source": "custom",
        }
        if harm == "not hatching":
            note["lost_chance"] = draw(st.sampled_from(("1/4", "1/2", "1")))
            note["applies_to"] = "two copies"
        gene["health"] = [note]
    return gene


@st.composite
def catalogues(draw: st.DrawFn, *, most: int = 3) -> Catalogue:
    loci, names = [], iter("abcdefgh")
    linked = draw(st.integers(0, 3)) == 0
    for place in range(draw(st.integers(1, most))):
        alleles = draw(st.integers(1, 2))
        genes = [_gene(draw, next(names), alone=alleles == 1) for _ in range(alleles)]
        locus = {"source": "custom", "gene": genes, "name": f"locus {place}"}
        if linked and place == 0:
            locus |= {"sex_linked": True, "recombination": draw(st.sampled_from(("0", "1/10", "1/2")))}
        loci.append(locus)
    return catalogue_from({"locus": loci, "alike": []})


@st.composite
def animals_of(draw: st.DrawFn, catalogue: Catalogue, sex: Sex) -> Animal:
    factors = []
    for locus in catalogue.loci:
        pairs = list(locus.looks)
        if locus.sex_linked and sex is Sex.MALE:
            pairs = list(product(locus.alleles, repeat=2))
        first, second = draw(st.sampled_from(pairs)), draw(st.sampled_from(pairs))
        chance = draw(st.sampled_from(CHANCES)) if first != second else Fraction(1)
        table = {(first,): chance}
        if first != second:
            table[(second,)] = 1 - chance
        factors.append(((locus.id,), table))
    if len(factors) > 1 and draw(st.integers(0, 3)) == 0:
        (one, first), (other, second) = factors[:2]
        tied = dict(zip(zip(first, second, strict=False), first.values(), strict=False))
        tied = {(a[0], b[0]): c for (a, b), c in tied.items()}
        if sum(tied.values()) == 1:
            factors[:2] = [((*one, *other), tied)]
    return make_animal(sex, factors)


@st.composite
def crosses(draw: st.DrawFn, *, most: int = 3) -> Cross:
    catalogue = draw(catalogues(most=most))
    return Cross(catalogue, draw(animals_of(catalogue, Sex.MALE)), draw(animals_of(catalogue, Sex.FEMALE)))
