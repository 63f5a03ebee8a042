"""Harm that laying can do to the dam herself (keepers' reports, unproven: no paper found)."""

from __future__ import annotations

from fractions import Fraction

from genetics import Sex, harms_to_dam, load_catalogue, read_animal

CATALOGUE = load_catalogue()


def harms(text: str):
    dam = read_animal(text, CATALOGUE, sex=Sex.FEMALE)
    return [(gene, note.harm, chance) for note, gene, chance in harms_to_dam(dam, CATALOGUE)]


def test_a_desert_female_is_named_as_the_one_at_risk():
    assert harms("desert") == [("desert", "females that can't lay safely", Fraction(1))]


def test_a_visual_caramel_albino_too_and_a_het_not():
    assert harms("caramel albino") == [("caramel albino", "females that can't lay safely", Fraction(1))]
    assert harms("het caramel albino") == []


def test_harm_to_the_young_is_not_laid_at_the_dams_door():
    assert harms("spider") == []
    assert harms("normal") == []
