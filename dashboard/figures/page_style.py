"""The frame around every page: its few style rules and the icon drawn in the theme's colours."""

from __future__ import annotations

from typing import Final

from dashboard.figures.palette import Palette

# Only parts with documented keys or long-lived test names are styled; the page works without any of it.
PAGE_CSS: Final = """
[data-testid="stMainBlockContainer"] { max-width: 1072px; padding: 4.5rem 1.5rem 4rem; }
[data-testid="stMainBlockContainer"] h1 { letter-spacing: -0.01em; text-wrap: balance; max-width: 36em; }
[data-testid="stHeader"] > div { max-width: 1072px; margin: 0 auto; }
.st-key-demo {
  border-bottom: 1.5px dashed color-mix(in srgb, currentColor 45%, transparent);
  padding-bottom: .5rem;
}
@media (max-width: 640px) {
  [data-testid="stMainBlockContainer"] { padding-left: 1rem; padding-right: 1rem; }
}
@media print { header, .st-key-demo { display: none !important; } }
"""

# Two outcomes, one on either side of the upright line: drawn on a square of 64.
_ROWS: Final = (("M14 20H58", 38, 20), ("M6 44H42", 24, 44))


def logo(palette: Palette, *, ground: str = "") -> str:
    """Draw the icon as SVG: the break-even line with two rows across it.

    Parameters
    ----------
    palette
        Theme whose ink and forecast colours it takes.
    ground
        Colour of a square behind it; empty leaves it clear.
    """
    back = f'<rect width="64" height="64" rx="10" fill="{ground}"/>' if ground else ""
    rows = "".join(f'<path d="{path}"/><circle cx="{x}" cy="{y}" r="7"/>' for path, x, y in _ROWS)
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="64" height="64" viewBox="0 0 64 64">'
        f'{back}<g stroke-width="5" stroke="{palette.forecast}" fill="{palette.forecast}">{rows}</g>'
        f'<path d="M18 4V60" stroke="{palette.ink}" stroke-width="4"/></svg>'
    )
