"""Animals, life histories and slow second ways for the tests of routes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

import numpy as np

from genetics import Catalogue, catalogue_from, load_catalogue, read_animal
from genetics.routes.biology import Biology
from genetics.routes.founders import Founder

# every female lays one egg a season, and it hatches and lives: a season is one throw of a coin
ONE_EGG = Biology(
    male_maturity=1,
    female_maturity=1,
    females_per_male=3,
    laying=1.0,
    eggs_mean=1.0,
    eggs_sd=0.0,
    fertile=1.0,
    hatching=1.0,
    survival=1.0,
    adult_deaths=0.0,
)

LASTING = Biology(adult_deaths=0.0)


def held(name: str, text: str, **more: object) -> Founder:
    """An animal as it is written."""
    return Founder(name, read_animal(text, load_catalogue()), **more)


def covered() -> Catalogue:
    """Catalogue of two invented recessives, one of which hides all."""
    genes = [{"name": "white", "mode": "recessive", "hides": "all", "source": "custom"}]
    other = [{"name": "spot", "mode": "recessive", "source": "custom"}]
    return catalogue_from({"locus": [{"source": "custom", "gene": part} for part in (genes, other)]})


def lethal() -> Catalogue:
    """Catalogue of one invented dominant gene, two copies of which do not hatch."""
    note = {
        "id": "gone",
        "applies_to": "two copies",
        "what": "Does not hatch.",
        "harm": "not hatching",
        "lost_chance": "1",
        "source": "custom",
    }
    gene = {"name": "dun", "mode": "dominant", "source": "custom", "health": [note]}
    return catalogue_from({"locus": [{"source": "custom", "gene": [gene]}]})


def binomial(number: int, chance: Fraction) -> dict[int, Fraction]:
    """Chance of each count, by adding one trial at a time."""
    counts = {0: Fraction(1)}
    for _ in range(number):
        grown: dict[int, Fraction] = {}
        for count, part in counts.items():
            grown[count] = grown.get(count, Fraction(0)) + part * (1 - chance)
            grown[count + 1] = grown.get(count + 1, Fraction(0)) + part * chance
        counts = grown
    return counts


def two_sexes_by_counting(
    eggs: Mapping[int, Fraction], male: Fraction, female: Fraction, needs: tuple[int, int], seasons: int
) -> list[Fraction]:
    """Chance that both sexes are full by each season, egg by egg, one dam that always lays."""
    state = {(0, 0): Fraction(1)}
    by = [Fraction(0)]
    for _ in range(seasons):
        after: dict[tuple[int, int], Fraction] = {}
        for number, chance in eggs.items():
            now = dict(state)
            for _ in range(number):
                grown: dict[tuple[int, int], Fraction] = {}
                for (sons, daughters), part in now.items():
                    for step, share in (((1, 0), male), ((0, 1), female), ((0, 0), 1 - male - female)):
                        end = (min(sons + step[0], needs[0]), min(daughters + step[1], needs[1]))
                        grown[end] = grown.get(end, Fraction(0)) + part * share
                now = grown
            for end, part in now.items():
                after[end] = after.get(end, Fraction(0)) + part * chance
        state = after
        by.append(state.get(needs, Fraction(0)))
    return by


def double_recessive_by_hand(
    biology: Biology, rng: np.random.Generator, *, females: int, runs: int, seasons: int
) -> np.ndarray:
    """First year of: visual A x visual B until a son and some daughters live; brother x sisters until aabb.

    Written egg by egg, without the package; 0 where it is not reached.
    """
    pmf = biology.eggs_pmf
    years = np.zeros(runs, dtype=int)

    def clutch() -> int:
        if rng.random() >= biology.laying:
            return 0
        eggs = rng.choice(pmf.size, p=pmf)
        return int((rng.random(eggs) < biology.fertile).sum())

    for run in range(runs):
        son_ready = daughters_ready = None
        daughters: list[int] = []
        for season in range(1, seasons + 1):
            if son_ready is None or daughters_ready is None:
                for _ in range(clutch()):
                    if rng.random() < biology.hatching:
                        male = rng.random() < biology.male_share
                        lives = rng.random() < biology.survival
                        if lives and male and son_ready is None:
                            son_ready = season + biology.male_maturity
                        if lives and not male and len(daughters) < females:
                            daughters.append(season + biology.female_maturity)
                            daughters_ready = max(daughters) if len(daughters) == females else None
                continue
            if season >= max(son_ready, daughters_ready):
                hits = 0
                for _ in range(females):
                    for _ in range(clutch()):
                        if rng.random() < biology.hatching:
                            genes = rng.integers(2, size=4)
                            hits += int(genes.sum() == 4)
                if hits:
                    years[run] = season
                    break
    return years


def bayes(prior: Mapping[str, Fraction], likelihood: Mapping[str, Sequence[Fraction]]) -> dict[str, Fraction]:
    """Posterior from a prior and the chance of each thing seen."""
    weights = dict(prior)
    for who, chances in likelihood.items():
        for chance in chances:
            weights[who] *= chance
    whole = sum(weights.values(), Fraction(0))
    return {who: weight / whole for who, weight in weights.items()}
