"""Large herds with loops, drawn from Mendel's rules: many seasons of a breeder who keeps the best young."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from fractions import Fraction

from genetics import WILD, Catalogue, Locus, Sex, make_animal
from genetics.pedigrees.pedigree import Collection, Litter, PedigreeAnimal, PossibleSire, Seen, TestResult
from genetics.pedigrees.states import alleles_of_look

Genes = dict[str, tuple[str, str]]


class BigHerd:
    """Founders with possible hets, then clutches whose parents are drawn from all earlier animals.

    Attributes
    ----------
    collection
        The records: every animal but a few is seen, some are tested.
    parents
        Sire and dam of each bred animal.
    """

    def __init__(
        self,
        catalogue: Catalogue,
        loci: Sequence[str],
        *,
        seed: int,
        animals: int,
        founders: int,
        clutch: int,
        share: float = 0.35,
    ) -> None:
        self.draw = random.Random(seed)
        self.share = share
        self.loci = [catalogue.locus(locus) for locus in loci]
        self.truth: dict[str, Genes] = {}
        self.sexes: dict[str, Sex] = {}
        self.parents: dict[str, tuple[str, str]] = {}
        records = [self._founder(number) for number in range(founders)]
        litters: list[Litter] = []
        while len(records) < animals:
            sire, dam = self._breeders(founders)
            litter = Litter(f"clutch {len(litters)}", dam, (PossibleSire(sire),))
            litters.append(litter)
            for _ in range(min(clutch, animals - len(records))):
                records.append(self._young(len(records), litter.id, sire, dam))
        self.collection = Collection(tuple(records), tuple(litters))

    def _breeders(self, founders: int) -> tuple[str, str]:
        """A male of the few that are used, and a female; closely related now and then."""
        names = list(self.sexes)
        males = [name for name in names if self.sexes[name] is Sex.MALE]
        females = [name for name in names if self.sexes[name] is Sex.FEMALE]
        return self.draw.choice(males[-6:]), self.draw.choice(females[-3 * founders :])

    def _founder(self, number: int) -> PedigreeAnimal:
        name, sex = f"f{number}", (Sex.MALE, Sex.FEMALE, Sex.FEMALE)[number % 3]
        factors, genes = [], {}
        for locus in self.loci:
            if self.draw.random() < self.share:
                table = self._belief(locus, sex)
                pairs, chances = list(table), [float(chance) for chance in table.values()]
                genes[locus.id] = self.draw.choices(pairs, chances)[0]
                factors.append(((locus.id,), {(pair,): chance for pair, chance in table.items()}))
        self.truth[name] = genes
        self.sexes[name] = sex
        return PedigreeAnimal(name, sex, None, make_animal(sex, factors), self._seen(name))

    def _belief(self, locus: Locus, sex: Sex) -> Mapping[tuple[str, str], Fraction]:
        gene = self.draw.choice(locus.genes)
        share = self.draw.choice((Fraction(1), Fraction(2, 3), Fraction(1, 2)))
        one = (WILD, gene.name) if locus.sex_linked and sex is Sex.MALE else (gene.name, WILD)
        if gene.mode != "recessive" or share == 1:
            return {one: Fraction(1)}
        return {one: share, (WILD, WILD): 1 - share}

    def _young(self, number: int, litter: str, sire: str, dam: str) -> PedigreeAnimal:
        name, sex = f"b{number}", self.draw.choice((Sex.MALE, Sex.FEMALE))
        genes: Genes = {}
        for locus in self.loci:
            his = self.truth[sire].get(locus.id, (WILD, WILD))
            hers = self.truth[dam].get(locus.id, (WILD, WILD))
            if locus.sex_linked:
                stays = self.draw.random() >= float(locus.recombination or 0)
                paternal = his[1 if (sex is Sex.MALE) == stays else 0]
                pair = (self.draw.choice(hers), paternal)
                genes[locus.id] = pair if sex is Sex.MALE else locus.ordered(*pair)
            else:
                genes[locus.id] = locus.ordered(self.draw.choice(his), self.draw.choice(hers))
                if not locus.look(genes[locus.id]).survival:
                    genes[locus.id] = locus.ordered(WILD, genes[locus.id][0])
        self.truth[name], self.sexes[name], self.parents[name] = genes, sex, (sire, dam)
        return PedigreeAnimal(name, sex, litter, None, self._seen(name), self._tests(name))

    def _seen(self, name: str) -> Seen | None:
        if self.draw.random() < 0.1:
            return None
        shows = []
        for locus in self.loci:
            look = locus.look(self.truth[name].get(locus.id, (WILD, WILD))).appearance
            if look and alleles_of_look(locus, look):
                shows.append((locus.id, look))
        return Seen(tuple(shows))

    def _tests(self, name: str) -> tuple[TestResult, ...]:
        if self.draw.random() > 0.05:
            return ()
        gene = self.draw.choice(self.draw.choice(self.loci).genes)
        has = any(gene.name in pair for pair in self.truth[name].values())
        right = self.draw.random() < 0.95
        said = "carries" if has == right else "does not carry"
        return (TestResult(gene.name, said, Fraction(95, 100), Fraction(95, 100)),)
