"""Slow second ways to the same answers, written without the packages under test."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import product


def gamete_list(pair: tuple[str, str]) -> list[str]:
    """Both gametes of an allele pair, each as likely."""
    return [pair[0], pair[1]]


def square(
    sire: Sequence[tuple[str, str]], dam: Sequence[tuple[str, str]]
) -> dict[tuple[tuple[str, str], ...], Fraction]:
    """The pencil square: all 2^L gametes of the sire against all 2^L of the dam, 4^L cells."""
    cells: dict[tuple[tuple[str, str], ...], Fraction] = {}
    each = Fraction(1, 4 ** len(sire))
    for from_sire in product(*map(gamete_list, sire)):
        for from_dam in product(*map(gamete_list, dam)):
            young = tuple(tuple(sorted(pair)) for pair in zip(from_sire, from_dam, strict=True))
            cells[young] = cells.get(young, Fraction(0)) + each
    return cells


def sex_linked_square(
    sire: tuple[str, str], dam: tuple[str, str], r: Fraction
) -> dict[tuple[str, tuple[str, str]], Fraction]:
    """Young of a sire (X allele, Y allele) by his four kinds of gamete; son = (X allele, Y allele)."""
    on_x, on_y = sire
    kinds = [
        ("female", on_x, (1 - r) / 2),
        ("female", on_y, r / 2),
        ("male", on_y, (1 - r) / 2),
        ("male", on_x, r / 2),
    ]
    cells: dict[tuple[str, tuple[str, str]], Fraction] = {}
    for sex, allele, chance in kinds:
        for mother in dam:
            pair = (mother, allele) if sex == "male" else tuple(sorted((mother, allele)))
            cells[(sex, pair)] = cells.get((sex, pair), Fraction(0)) + chance / 2
    return cells


def miss_all(shares: Sequence[float], weights: Sequence[float], hatchlings: int) -> float:
    """Chance that none of several hatchlings is wanted, counted parent by parent."""
    total = 0.0
    for share, weight in zip(shares, weights, strict=True):
        missed = 1.0
        for _ in range(hatchlings):
            missed *= 1.0 - share
        total += weight * missed
    return total
