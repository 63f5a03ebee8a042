"""Every chance against a list of all possible herds, in exact fractions, on random small pedigrees."""

from __future__ import annotations

import random
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics import Sex, make_animal
from genetics.pedigrees.knowledge import know
from genetics.pedigrees.pedigree import Collection, Litter, PedigreeAnimal, PossibleSire, Seen, TestResult
from tests.genetics.pedigrees.brute_force import Beast, herds, posteriors, young_of
from tests.genetics.pedigrees.herd import invented_catalogue

CATALOGUE = invented_catalogue()
LOCI = ["fawn", "ember", "ridge", "ferns", "flint", "ruby"]


class RandomHerd:
    """A herd drawn from the model, so that its records can be true, as records and as beasts."""

    def __init__(self, locus_id: str, seed: int, size: int) -> None:
        self.draw = random.Random(seed)
        self.locus = CATALOGUE.locus(locus_id)
        self.r = self.locus.recombination
        self.beasts: list[Beast] = []
        self.records: list[PedigreeAnimal] = []
        self.litters: list[Litter] = []
        self.truth: dict[str, tuple[str, str]] = {}
        self.sexes: dict[str, str] = {}
        for number in range(size):
            males = [name for name, sex in self.sexes.items() if sex == "male"]
            females = [name for name, sex in self.sexes.items() if sex == "female"]
            if number < 3 or not males or not females or self.draw.random() < 0.15:
                self._founder(f"a{number}")
            else:
                self._clutch(f"a{number}", males, females)

    def alive(self, pair):
        return self.locus.look(pair).survival

    def _pairs(self, sex):
        alleles = self.locus.alleles
        if self.r is not None and sex == "male":
            return [(one, two) for one in alleles for two in alleles]
        return sorted({tuple(sorted((one, two))) for one in alleles for two in alleles})

    def _founder(self, name):
        sex = ("male", "female", "female")[len(self.beasts) % 3]
        kinds = [pair for pair in self._pairs(sex) if self.alive(pair)]
        some = self.draw.sample(kinds, self.draw.randint(1, min(3, len(kinds))))
        parts = [self.draw.randint(1, 4) for _ in some]
        prior = {pair: F(part, sum(parts)) for pair, part in zip(some, parts, strict=True)}
        self.truth[name] = self.draw.choices(list(prior), [float(x) for x in prior.values()])[0]
        table = {(self._ours(pair, sex),): chance for pair, chance in prior.items()}
        claim = make_animal(Sex(sex), [((self.locus.id,), table)])
        self._keep(Beast(name, sex, prior), PedigreeAnimal(name, Sex(sex), None, claim))

    def _ours(self, pair, sex):
        return pair if self.r is not None and sex == "male" else self.locus.ordered(*pair)

    def _clutch(self, name, males, females):
        dam = self.draw.choice(females)
        possible = self.draw.sample(males, min(len(males), self.draw.choice((1, 1, 2))))
        young = {}
        for _ in range(20):
            sire = self.draw.choice(possible)
            young = young_of(self.truth[sire], self.truth[dam], r=self.r, alive=self.alive)
            if young:
                break
        if not young:
            self._founder(name)
            return
        per_egg = self.draw.random() < 0.5
        shares = {male: F(1, len(possible)) for male in possible}
        litter = Litter(f"l{name}", dam, tuple(PossibleSire(m, s) for m, s in shares.items()), per_egg)
        self.litters.append(litter)
        for egg in range(self.draw.choice((1, 1, 2))):
            own = f"{name}{'xy'[egg]}"
            sex, pair = self.draw.choices(list(young), [float(x) for x in young.values()])[0]
            if self.draw.random() < 0.2:
                sex, pair = "unsexed", tuple(sorted(pair))
            self.truth[own] = pair
            choice = own if per_egg else litter.id
            beast = Beast(own, sex, None, dam, shares, choice)
            self._keep(beast, PedigreeAnimal(own, Sex(sex), litter.id))

    def _keep(self, beast, record):
        look = self.locus.look(self._ours(self.truth[beast.name], beast.sex)).appearance
        seen, tests, likelihoods = None, (), []
        if self.draw.random() < 0.7:
            seen = Seen(((self.locus.id, look),) if look else ())
            likelihoods.append(lambda pair: F(int(self.locus.look(pair).appearance == look)))
        if self.draw.random() < 0.3:
            gene = self.draw.choice(self.locus.genes).name
            told = self.draw.random() < 0.5
            tests = (TestResult(gene, "carries" if told else "does not carry", F(9, 10), F(19, 20)),)
            likelihoods.append(
                lambda pair: (
                    (F(9, 10) if told else F(1, 10)) if gene in pair else (F(1, 20) if told else F(19, 20))
                )
            )
        beast.likelihood = _all_of(likelihoods)
        self.sexes[beast.name] = beast.sex
        self.beasts.append(beast)
        self.records.append(PedigreeAnimal(record.id, record.sex, record.litter, record.claim, seen, tests))

    @property
    def collection(self):
        return Collection(tuple(self.records), tuple(self.litters))


def _all_of(likelihoods):
    def likelihood(pair):
        chance = F(1)
        for part in likelihoods:
            chance *= part(pair)
        return chance

    return likelihood


@pytest.mark.parametrize("locus", LOCI)
@settings(max_examples=25, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10**6), size=st.integers(3, 6))
def test_every_animal_of_a_random_herd(locus, seed, size):
    herd = RandomHerd(locus, seed, size)
    told = know(herd.collection, CATALOGUE)
    expected = posteriors(herd.beasts, r=herd.r, alive=herd.alive)
    assert not told.conflicts
    for beast in herd.beasts:
        got = told.chances(beast.name, locus)
        want = {
            herd._ours(pair, beast.sex): chance for pair, chance in expected[beast.name].items() if chance
        }
        assert set(got) == set(want)
        for pair, chance in want.items():
            assert got[pair] == pytest.approx(float(chance), abs=1e-12)
        belief = dict(told.animal(beast.name).animal.belief[0].table) if len(want) > 1 else {}
        for (pair,), chance in belief.items():
            assert float(chance) == pytest.approx(float(want[pair]), abs=2e-9)


@pytest.mark.parametrize("locus", ["fawn", "flint", "ruby"])
@settings(max_examples=15, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10**6), size=st.integers(4, 6))
def test_the_joint_chance_of_any_two_animals_and_of_the_sires(locus, seed, size):
    herd = RandomHerd(locus, seed, size)
    told = know(herd.collection, CATALOGUE)
    one, two = herd.draw.sample(herd.beasts, 2)
    joint: dict[tuple, F] = {}
    males: dict[tuple[str, str], F] = {}
    total = F(0)
    for pairs, chosen, weight in herds(herd.beasts, r=herd.r, alive=herd.alive):
        key = tuple(herd._ours(pairs[b.name], b.sex) for b in (one, two))
        joint[key] = joint.get(key, F(0)) + weight
        total += weight
        for choice, male in chosen.items():
            males[(choice, male)] = males.get((choice, male), F(0)) + weight
    got = told.joint([one.name, two.name], locus)
    for key in set(got) | set(joint):
        assert got.get(key, 0.0) == pytest.approx(float(joint.get(key, F(0)) / total), abs=1e-12)
    for litter in herd.litters:
        for choice in herd.collection.young_of[litter.id] if litter.per_egg else (litter.id,):
            for male, chance in told.sires(choice).items():
                assert chance == pytest.approx(float(males.get((choice, male), F(0)) / total), abs=1e-12)
