"""Random definitions of a breeder's own, and animals of the catalogues they make."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import reject
from hypothesis import strategies as st

from genetics import WILD, Animal, Catalogue, Locus, Sex, make_animal
from genetics.genes.catalogue import load_catalogue
from genetics.genes.own_genes import OwnGeneFault, catalogue_with
from genetics.genes.pair_looks import pairs_of

NAMES = ("zubrik", "plimor", "tarvo vale", "quendle", "ossel-brin", "kelmur", "vontig", "hespar", "lurdane")
MODES = ("recessive", "incomplete dominant", "dominant")
HOSTS = ("albino complex", "yellow belly complex", "pinstripe", "clown complex", "pied")
CHANCES = (Fraction(1, 2), Fraction(2, 3), Fraction(1, 4), Fraction(3, 7))


@st.composite
def genes(draw: st.DrawFn, name: str) -> dict:
    """One gene, on its own locus or on a known one."""
    found = {"kind": "gene", "mode": draw(st.sampled_from(MODES))}
    place = draw(st.sampled_from(("own", "known", "sex-linked")))
    if place == "known":
        found["locus"] = draw(st.sampled_from(HOSTS))
    elif place == "sex-linked":
        found |= {"sex_linked": True, "recombination": draw(st.sampled_from(("0", "1/20", "0.5")))}
    if found["mode"] == "incomplete dominant" and draw(st.booleans()):
        found["super_name"] = f"{name} two"
    return found


@st.composite
def complexes(draw: st.DrawFn, name: str) -> dict:
    """A locus whose allele pairs look like anything, said outright."""
    alleles = [f"{name} {letter}" for letter in "abc"[: draw(st.integers(1, 3))]]
    pool = ("", f"{name} pale", f"{name} dark", f"{name} striped", *alleles[:1])
    pairs = [pair for pair in pairs_of(alleles) if pair != (WILD, WILD)]
    looks = {"/".join(pair): draw(st.sampled_from(pool)) for pair in pairs}
    return {"kind": "complex", "genes": {allele: {} for allele in alleles}, "looks": looks}


@st.composite
def own_definitions(draw: st.DrawFn) -> dict[str, dict]:
    """Up to four definitions; a combination of the genes among them on top."""
    names = draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=3, unique=True))
    own = {name: draw(st.one_of(genes(name), complexes(name))) for name in names}
    single = [name for name, part in own.items() if part["kind"] == "gene"]
    if single:
        own["mixed lot"] = {"kind": "combination", "genes": {"pastel": 1, single[0]: 2}}
    return own


def tables_of(locus: Locus, sex: Sex) -> st.SearchStrategy[dict]:
    """Beliefs over one locus: any certain pair, any gene alone with a chance."""
    phased = locus.sex_linked and sex is Sex.MALE
    pairs = [pair for pair in locus.looks if pair != (WILD, WILD) and not (phased and len({*pair, WILD}) > 2)]
    certain = st.sampled_from(pairs)
    if phased:
        certain = st.tuples(certain, st.booleans()).map(lambda part: part[0][:: -1 if part[1] else 1])
    options = [certain.map(lambda pair: {(pair,): Fraction(1)})]
    if not phased:
        alone = st.sampled_from([gene.name for gene in locus.genes])
        options.append(
            st.tuples(alone, st.sampled_from(CHANCES)).map(
                lambda part: {((part[0], WILD),): part[1], ((WILD, WILD),): 1 - part[1]}
            )
        )
    return st.one_of(options)


@st.composite
def own_animals(draw: st.DrawFn) -> tuple[dict, Catalogue, Animal]:
    """Definitions, the catalogue with them, and an animal that has some of them and of what ships."""
    base = load_catalogue()
    own = draw(own_definitions())
    try:
        catalogue = catalogue_with(base, own)
    except OwnGeneFault as fault:
        if "another name" not in str(fault):  # a gene's name for a look that the gene alone does not have
            raise
        reject()
    sex = draw(st.sampled_from(list(Sex)))
    fresh = [
        locus for locus in catalogue.loci if any(gene.sources["name"].kind == "own" for gene in locus.genes)
    ]
    picked = draw(st.lists(st.sampled_from(fresh), min_size=1, max_size=3, unique_by=lambda locus: locus.id))
    others = [locus for locus in catalogue.loci if locus not in fresh and not locus.sex_linked]
    picked += draw(st.lists(st.sampled_from(others), max_size=2, unique_by=lambda locus: locus.id))
    return own, catalogue, make_animal(sex, [((locus.id,), draw(tables_of(locus, sex))) for locus in picked])
