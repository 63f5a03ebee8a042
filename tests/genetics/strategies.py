"""Random animals of the whole catalogue that the trade has words for."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from genetics import WILD, Animal, Catalogue, Locus, Sex, load_catalogue, make_animal

CHANCES = (Fraction(1, 2), Fraction(2, 3), Fraction(1, 3), Fraction(1, 4), Fraction(4, 7), Fraction(66, 100))


def tables_of(locus: Locus, sex: Sex) -> st.SearchStrategy[dict]:
    """Beliefs over one locus that can be written."""
    names = [gene.name for gene in locus.genes]
    pairs = [pair for pair in locus.looks if pair != (WILD, WILD)]
    phased = locus.sex_linked and sex is Sex.MALE
    certain = st.sampled_from(pairs).map(lambda pair: {(pair,): Fraction(1)})
    options = []
    if phased:
        single = [(name, WILD) for name in names] + [(WILD, name) for name in names]
        options.append(st.sampled_from(single).map(lambda pair: {(pair,): Fraction(1)}))
        options.append(
            st.tuples(st.sampled_from(names), st.sampled_from(CHANCES)).map(
                lambda part: {((part[0], WILD),): part[1], ((WILD, part[0]),): 1 - part[1]}
            )
        )
        options.append(st.sampled_from(names).map(lambda name: {((name, name),): Fraction(1)}))
        return st.one_of(options)
    options.append(certain)
    recessive = [gene.name for gene in locus.genes if gene.mode == "recessive"]
    if recessive:
        options.append(
            st.tuples(st.sampled_from(recessive), st.sampled_from(CHANCES)).map(
                lambda part: {((part[0], WILD),): part[1], ((WILD, WILD),): 1 - part[1]}
            )
        )
    dominant = [gene.name for gene in locus.genes if gene.mode == "dominant"]
    if dominant:
        options.append(
            st.tuples(st.sampled_from(dominant), st.sampled_from(CHANCES)).map(
                lambda part: {((part[0], part[0]),): part[1], ((part[0], WILD),): 1 - part[1]}
            )
        )
    return st.one_of(options)


@st.composite
def animals(
    draw: st.DrawFn, *, sex: Sex | None = None, most: int = 6, autosomal: bool = False
) -> tuple[Catalogue, Animal]:
    """Catalogue and an animal with up to some loci that are not wild type."""
    catalogue = load_catalogue()
    chosen = draw(st.sampled_from(list(Sex))) if sex is None else sex
    loci = [locus for locus in catalogue.loci if not (autosomal and locus.sex_linked)]
    picked = draw(st.lists(st.sampled_from(loci), max_size=most, unique_by=lambda locus: locus.id))
    factors = [((locus.id,), draw(tables_of(locus, chosen))) for locus in picked]
    return catalogue, make_animal(chosen, factors)
