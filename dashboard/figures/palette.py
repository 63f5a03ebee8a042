"""Which colour carries which meaning, in light and in dark: the one source for theme, tables, charts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Final


@dataclass(frozen=True)
class Palette(Mapping[str, str]):
    """Colours of one theme, each "#RRGGBB", by meaning; also readable as a mapping without `name`.

    Attributes
    ----------
    name
        "light" or "dark".
    bg, panel, line, axis, ink, soft
        Page, inputs, row rules, axis lines and borders, text and the upright line, second lines.
    forecast, mid, band80, band95
        Forecast and gain, half of all outcomes, 8 in 10 band, 19 in 20 band.
    loss, loss_ground, flood, flood_ground, welfare, welfare_ground, unknown, unknown_ground
        Below break-even, more supply than sells, known harm, too little to say; each with its ground.
    other, button
        A second series; the primary button, which carries white text.
    """

    name: str
    bg: str
    panel: str
    line: str
    axis: str
    ink: str
    soft: str
    forecast: str
    mid: str
    band80: str
    band95: str
    loss: str
    loss_ground: str
    flood: str
    flood_ground: str
    welfare: str
    welfare_ground: str
    unknown: str
    unknown_ground: str
    other: str
    button: str

    def __getitem__(self, key: str) -> str:
        """Give a colour by its meaning."""
        if key == "name" or key not in self.__dataclass_fields__:
            raise KeyError(key)
        return str(getattr(self, key))

    def __iter__(self) -> Iterator[str]:
        """Walk over the meanings."""
        return (field.name for field in fields(self) if field.name != "name")

    def __len__(self) -> int:
        """Count the meanings."""
        return len(fields(self)) - 1


LIGHT: Final = Palette(
    name="light",
    bg="#FAF8F3",
    panel="#F1EEE5",
    line="#D8D3C6",
    axis="#8B8878",
    ink="#1E2A2F",
    soft="#56605F",
    forecast="#0E5A6B",
    mid="#4C8D99",
    band80="#9CC3C9",
    band95="#D3E4E5",
    loss="#A23A1E",
    loss_ground="#F6E2DA",
    flood="#855500",
    flood_ground="#F7E8C8",
    welfare="#77306D",
    welfare_ground="#F2E1EE",
    unknown="#5C625F",
    unknown_ground="#E9E6DD",
    other="#4B5A8C",
    button="#0E5A6B",
)

DARK: Final = Palette(
    name="dark",
    bg="#12181A",
    panel="#1B2326",
    line="#37434A",
    axis="#7F8B8D",
    ink="#EAE6DC",
    soft="#AEB7B5",
    forecast="#72C7D6",
    mid="#4A94A4",
    band80="#2F6672",
    band95="#20414A",
    loss="#F39A82",
    loss_ground="#3B221C",
    flood="#EBBE62",
    flood_ground="#372B12",
    welfare="#E0A6D6",
    welfare_ground="#36213A",
    unknown="#A7AFAD",
    unknown_ground="#262E31",
    other="#A9B6EA",
    button="#1D7A8C",
)


def luminance(colour: str) -> float:
    """Give the relative luminance of "#RRGGBB" [0 to 1], as WCAG 2.2 defines it."""
    channels = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    linear = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return sum(weight * c for weight, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(first: str, second: str) -> float:
    """Give the contrast ratio of two colours [1 to 21], as WCAG 2.2 defines it."""
    dim, bright = sorted((luminance(first), luminance(second)))
    return (bright + 0.05) / (dim + 0.05)


def blend(start: str, end: str, share: float) -> str:
    """Mix two colours, `share` [0 to 1] of the way from the first to the second."""
    pairs = ((int(start[i : i + 2], 16), int(end[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{round(a + (b - a) * share):02X}" for a, b in pairs)
