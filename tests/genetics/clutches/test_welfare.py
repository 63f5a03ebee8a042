"""Harms a pairing can produce."""

from __future__ import annotations

from fractions import Fraction

from tests.genetics.cases import pair


def harms(sire, dam):
    return [(note.harm, gene, share) for note, gene, share in pair(sire, dam).welfare]


def test_worst_first_with_shares_of_eggs_and_hatchlings():
    assert harms("spider black pastel", "spider cinnamon") == [
        ("not hatching", "spider", Fraction(1, 4)),
        ("kinked spine or misshapen head", "eight ball", Fraction(1, 4)),
        ("wobble", "spider", Fraction(2, 3)),
    ]


def test_only_daughters_of_desert_are_harmed():
    assert harms("desert", "normal") == [("females that can't lay safely", "desert", Fraction(1, 4))]


def test_no_harm_is_not_listed():
    assert harms("pastel het clown", "enchi") == []
    assert harms("black pastel", "normal") == []


def test_possible_parents_count_by_their_chance():
    assert harms("66% het caramel albino", "het caramel albino") == [
        ("kinked spine or misshapen head", "caramel albino", Fraction(1, 6)),
        ("females that can't lay safely", "caramel albino", Fraction(1, 12)),  # daughters only
    ]
