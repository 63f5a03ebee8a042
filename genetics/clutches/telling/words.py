"""How genotypes, gene tests and test mates are named."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from genetics.genes.catalogue import Catalogue
from genetics.genes.genotype import Animal, Pairs, make_animal, pair_for
from genetics.genes.loci import WILD, Locus
from genetics.genes.traits import Sex


def genotype_words(loci: Sequence[Locus], pairs: Pairs, genes: Sequence[str], *, sex: Sex) -> str:
    """Genotype in the trade's words: "het clown", "no clown", "banana from sire".

    Parameters
    ----------
    loci, pairs
        Loci and their allele pairs.
    genes
        Genes in question; those of a locus without any are named as missing.
    sex
        Sex of the animal; at a sex-linked locus a male's pair is (on the X, on the Y).
    """
    words = []
    for locus, pair in zip(loci, pairs, strict=True):
        look = locus.look(pair)
        names = [str(trait) for trait in (*look.shown, *look.carried)]
        if look.doubled:
            names = [f"two copies of {look.doubled}"]
        if locus.sex_linked and sex is Sex.MALE and WILD in pair and pair != (WILD, WILD):
            names.append("from dam" if pair[1] == WILD else "from sire")
        if pair == (WILD, WILD):
            here = [gene.name for gene in locus.genes if gene.name in genes]
            names = [f"no {' or '.join(here)}"]
        words.append(" ".join(names))
    return ", ".join(words)


def words_of_test(gene: str, sensitivity: Fraction, specificity: Fraction) -> str:
    """Gene test in words, with how often it is right where it can err."""
    if sensitivity == specificity == 1:
        return f"gene test of {gene} that never errs"
    right = f"{float(100 * sensitivity):g}% of carriers and {float(100 * specificity):g}% of the others"
    return f"gene test of {gene}, right for {right}"


def usual_mates(genes: Sequence[str], sex: Sex, catalogue: Catalogue) -> dict[str, Animal]:
    """Mates of the other sex that a breeder would try: two copies, one copy, and a normal animal.

    Two copies that do not hatch are left out.

    Parameters
    ----------
    genes
        Genes in question.
    sex
        Sex of the animal; the mate has the other, and is a male if it is unsexed.
    catalogue
        The genes.
    """
    other = Sex.FEMALE if sex is Sex.MALE else Sex.MALE
    mates = {"normal": make_animal(other, [])}
    for gene in genes:
        locus = catalogue.locus_of(gene)
        look = locus.look((gene, gene))
        if look.survival:
            name = f"two copies of {gene}" if look.doubled else str(look.shown[0])
            mates[name] = make_animal(other, [((locus.id,), {((gene, gene),): Fraction(1)})])
        single = pair_for(locus, gene, WILD, sex=other)
        name = f"het {gene}" if locus.look((gene, WILD)).carried else gene
        name = f"{gene} (one copy)" if name in mates or look.doubled else name
        mates[name] = make_animal(
            other, [((locus.id,), {(pair,): chance for pair, chance in single.items()})]
        )
    return mates
