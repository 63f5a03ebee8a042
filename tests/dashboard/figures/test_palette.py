"""Colours are told apart by eyes, by paper and by those who see fewer of them."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from dashboard.figures.palette import DARK, LIGHT, blend, contrast, luminance

BOTH = pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
WORDS = ("ink", "soft", "forecast", "loss", "flood", "welfare", "unknown", "other")


def test_contrast_of_the_ends_as_wcag_2_2_defines_it():
    # WCAG 2.2, definition of contrast ratio: black on white is 21 to 1, a colour on itself 1 to 1.
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21, abs=1e-9)
    assert contrast("#767676", "#767676") == 1


def test_luminance_of_the_primaries_is_their_weight():
    # WCAG 2.2, definition of relative luminance: 0.2126 R + 0.7152 G + 0.0722 B.
    assert luminance("#FF0000") == pytest.approx(0.2126, abs=1e-9)
    assert luminance("#00FF00") == pytest.approx(0.7152, abs=1e-9)
    assert luminance("#0000FF") == pytest.approx(0.0722, abs=1e-9)


@BOTH
@pytest.mark.parametrize("meaning", WORDS)
def test_every_text_colour_reads_on_page_and_panel(palette, meaning):
    # WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1 for text.
    assert contrast(palette[meaning], palette.bg) >= 4.5
    assert contrast(palette[meaning], palette.panel) >= 4.5


@BOTH
@pytest.mark.parametrize("meaning", ["loss", "flood", "welfare"])
def test_a_mark_reads_on_its_own_ground(palette, meaning):
    assert contrast(palette[meaning], palette[f"{meaning}_ground"]) >= 4.5


@BOTH
def test_ink_reads_on_the_ground_of_can_t_say_and_forecast_on_its_pale_band(palette):
    assert contrast(palette.ink, palette.unknown_ground) >= 4.5
    assert contrast(palette.forecast, palette.band95) >= 4.5


@BOTH
@pytest.mark.parametrize("meaning", ["axis", "mid", "button"])
def test_lines_bars_and_borders_are_seen(palette, meaning):
    # WCAG 2.2, success criterion 1.4.11: at least 3 to 1 for parts needed to understand a picture.
    assert contrast(palette[meaning], palette.bg) >= 3


@BOTH
def test_the_primary_button_carries_white_words(palette):
    assert contrast("#FFFFFF", palette.button) >= 4.5


@BOTH
def test_the_narrow_band_is_told_from_the_wide_one(palette):
    assert contrast(palette.band80, palette.band95) >= 1.3
    assert contrast(palette.forecast, palette.band80) >= 3 or contrast(palette.forecast, palette.bg) >= 7


def test_a_palette_reads_as_a_mapping_and_can_t_be_changed():
    assert set(LIGHT) == set(DARK)
    assert dict(LIGHT)["ink"] == LIGHT.ink
    assert len(LIGHT) == len(list(LIGHT))
    with pytest.raises(KeyError):
        LIGHT["name"]
    with pytest.raises(FrozenInstanceError):
        LIGHT.ink = "#000000"


def test_blend_goes_from_one_colour_to_the_other():
    assert blend("#000000", "#FFFFFF", 0) == "#000000"
    assert blend("#000000", "#FFFFFF", 1) == "#FFFFFF"
    assert blend("#000000", "#0A1400", 0.5) == "#050A00"
