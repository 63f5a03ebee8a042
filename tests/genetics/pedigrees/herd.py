"""Small invented catalogues and collections for the tests of pedigrees."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from genetics import Catalogue, Sex, catalogue_from, make_animal
from genetics.pedigrees.knowledge import Knowledge
from genetics.pedigrees.pedigree import Collection, Litter, PedigreeAnimal, PossibleSire, Seen, TestResult
from genetics.pedigrees.written import WrittenAnimal, collection_of

MALE, FEMALE = Sex.MALE, Sex.FEMALE


def lethal_pair(name: str) -> dict[str, object]:
    """A gene of which eggs with two copies don't hatch."""
    note = {"id": f"{name} lost", "applies_to": "two copies", "what": "Invented.", "harm": "not hatching"}
    return {
        "name": name,
        "mode": "dominant",
        "source": "custom",
        "health": [{**note, "lost_chance": 1, "source": "custom"}],
    }


def invented_catalogue() -> Catalogue:
    """Loci of each kind: recessive, dominant, complex, lethal, hiding, look-alike, sex-linked."""
    genes = [
        [{"name": "fawn", "mode": "recessive", "source": "custom"}],
        [{"name": "ember", "mode": "incomplete dominant", "source": "custom"}],
        [{"name": "ridge", "mode": "dominant", "source": "custom"}],
        [
            {"name": "moss", "mode": "recessive", "source": "custom"},
            {"name": "fern", "mode": "incomplete dominant", "source": "custom"},
        ],
        [lethal_pair("flint")],
        [{"name": "ghostly", "mode": "incomplete dominant", "hides": "all", "source": "custom"}],
        [{"name": "veil", "mode": "incomplete dominant", "hides": "pattern", "source": "custom"}],
        [{"name": "paler", "mode": "recessive", "source": "custom"}],
        [{"name": "wanner", "mode": "recessive", "source": "custom"}],
    ]
    loci: list[dict[str, object]] = [
        {"source": "custom", "gene": own, **({"id": "ferns"} if len(own) > 1 else {})} for own in genes
    ]
    for name, r in (("ruby", "1/20"), ("garnet", "1/5")):
        gene = {"name": name, "mode": "incomplete dominant", "source": "custom"}
        loci.append({"source": "custom", "sex_linked": True, "recombination": r, "gene": [gene]})
    return catalogue_from({"locus": loci, "alike": [{"looks": ["paler", "wanner"], "source": "custom"}]})


def looks(catalogue: Catalogue, *labels: str) -> Seen:
    """What is seen of an animal that shows some looks."""
    where = {
        look.label: (locus.id, look.appearance)
        for locus in catalogue.loci
        for look in locus.looks.values()
        if look.label
    }
    return Seen(tuple(sorted(where[label] for label in labels)))


def claims(sex: Sex, locus: str, **chances: Fraction):
    """Claim over the pairs of one locus, written "a_b" for the pair (a, b), "o" for the wild type."""
    table = {}
    for word, chance in chances.items():
        one, two = ("+" if part == "o" else part for part in word.split("_"))
        table[((one, two),)] = chance
    return make_animal(sex, [((locus,), table)])


def written(catalogue: Catalogue, rows: Iterable[str], litters: Iterable[Litter] = ()) -> Collection:
    """Collection from lines "name sex: text | sire x dam | clutch"."""
    made = []
    sexes = {"m": Sex.MALE, "f": Sex.FEMALE, "u": Sex.UNSEXED}
    for row in rows:
        head, _, rest = row.partition(":")
        name, sex = head.split()
        text, *more = (part.strip() for part in rest.split("|"))
        sire, dam = more[0].split(" x ") if more and more[0] else ("-", "-")
        clutch = more[1] if len(more) > 1 else None
        parents = [None if parent == "-" else parent for parent in (sire, dam)]
        made.append(WrittenAnimal(name, text, sexes[sex], parents[0], parents[1], clutch))
    return collection_of(made, catalogue, litters=tuple(litters))


def chance(knowledge: Knowledge, animal: str, gene: str, *, copies: int = 1) -> float:
    """Chance of at least so many copies."""
    return knowledge.animal(animal).carries(gene, copies=copies)


__all__ = [
    "FEMALE",
    "MALE",
    "Litter",
    "PedigreeAnimal",
    "PossibleSire",
    "TestResult",
    "chance",
    "claims",
    "invented_catalogue",
    "looks",
    "written",
]
