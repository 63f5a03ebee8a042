"""Chances by listing every possible herd, with exact fractions; written without the package under test.

An animal is a pair of alleles (a male at a sex-linked locus: on the X, on the Y). Every animal in turn
gets every pair, and what was seen and tested is multiplied in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

Pair = tuple[str, str]
HALF = Fraction(1, 2)


@dataclass
class Beast:
    """One animal: a founder with a prior, or young of possible sires and a dam."""

    name: str
    sex: str = "female"
    prior: Mapping[Pair, Fraction] | None = None
    dam: str = ""
    sires: Mapping[str, Fraction] = field(default_factory=dict)
    choice: str = ""
    likelihood: Callable[[Pair], Fraction] = lambda pair: Fraction(1)


def young_of(
    sire: Pair, dam: Pair, *, r: Fraction | None, alive: Callable[[Pair], Fraction]
) -> dict[tuple[str, Pair], Fraction]:
    """Hatched young of two certain parents by sex and pair; unordered pairs are sorted."""
    found: dict[tuple[str, Pair], Fraction] = {}
    for sex in ("male", "female"):
        own, other = (sire[1], sire[0]) if sex == "male" else (sire[0], sire[1])
        from_sire = [(own, HALF), (other, HALF)] if r is None else [(own, 1 - r), (other, r)]
        for paternal, first in from_sire:
            for maternal in dam:
                if r is not None and sex == "male":
                    pair = (maternal, paternal)
                else:
                    pair = tuple(sorted((maternal, paternal)))
                weight = HALF * first * HALF * alive(pair)
                found[(sex, pair)] = found.get((sex, pair), Fraction(0)) + weight
    total = sum(found.values(), Fraction(0))
    return {kind: weight / total for kind, weight in found.items() if weight} if total else {}


def herds(
    beasts: list[Beast],
    *,
    r: Fraction | None = None,
    alive: Callable[[Pair], Fraction] = lambda pair: Fraction(1),
) -> Iterator[tuple[dict[str, Pair], dict[str, str], Fraction]]:
    """Every possible herd with the males chosen and its weight; parents stand before their young."""

    def grow(place: int, pairs: dict[str, Pair], males: dict[str, str], weight: Fraction):
        if not weight:
            return
        if place == len(beasts):
            yield pairs, males, weight
            return
        beast = beasts[place]
        if beast.prior is not None:
            for pair, chance in beast.prior.items():
                more = weight * chance * beast.likelihood(pair)
                yield from grow(place + 1, {**pairs, beast.name: pair}, males, more)
            return
        known = males.get(beast.choice)
        options = beast.sires.items() if known is None else [(known, Fraction(1))]
        for male, share in options:
            for (sex, pair), chance in young_of(pairs[male], pairs[beast.dam], r=r, alive=alive).items():
                if beast.sex in (sex, "unsexed"):
                    shown = tuple(sorted(pair)) if beast.sex == "unsexed" else pair
                    more = weight * share * chance * beast.likelihood(shown)
                    chosen = {**males, beast.choice: male}
                    yield from grow(place + 1, {**pairs, beast.name: shown}, chosen, more)

    yield from grow(0, {}, {}, Fraction(1))


def posteriors(beasts: list[Beast], **how) -> dict[str, dict[Pair, Fraction]]:
    """Chance of every pair of every animal; empty if no herd is possible."""
    found: dict[str, dict[Pair, Fraction]] = {beast.name: {} for beast in beasts}
    total = Fraction(0)
    for pairs, _, weight in herds(beasts, **how):
        total += weight
        for name, pair in pairs.items():
            found[name][pair] = found[name].get(pair, Fraction(0)) + weight
    if not total:
        return {}
    return {name: {pair: weight / total for pair, weight in table.items()} for name, table in found.items()}
