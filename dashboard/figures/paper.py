"""The same figures on paper: one light HTML page that needs neither the program nor a network."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from dashboard.figures.markup import esc
from dashboard.figures.palette import LIGHT, Palette

_CSS: Final = Path(__file__).resolve().parent / "ledger.css"
_PAGE: Final = """
body { margin: 0 auto; max-width: 1000px; padding: 24px; background: #FFFFFF; }
h1 { font: 600 28px/1.25 Georgia, serif; margin: 0 0 4px; color: var(--st-text-color); }
.root { margin-bottom: 24px; }
@page { margin: 14mm; }
@media print { body { padding: 0; } }
"""


def paper_page(title: str, parts: Sequence[str], *, note: str = "") -> str:
    """Put figures on a page to print or keep.

    Parameters
    ----------
    title
        Heading of the page, also its name in the browser; escaped here.
    parts
        HTML made by the functions of this package.
    note
        A line under the heading: date, book, cautions; escaped here.

    Returns
    -------
    str
        A whole HTML document in the light theme.
    """
    line = f'<p class="reading">{esc(note)}</p>' if note else ""
    body = "".join(f'<div class="root">{part}</div>' for part in parts)
    style = _theme_variables(LIGHT) + _CSS.read_text(encoding="utf-8") + _PAGE
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{esc(title)}</title><style>{style}</style></head>"
        f'<body><main><h1>{esc(title)}</h1><div class="root">{line}</div>{body}</main></body></html>'
    )


def _theme_variables(palette: Palette) -> str:
    """Stand in for the variables that the page around gives on screen."""
    p = palette
    values = {
        "text-color": p.ink,
        "background-color": "#FFFFFF",
        "dataframe-border-color": p.line,
        "border-color": p.axis,
        "gray-text-color": p.soft,
        "blue-text-color": p.forecast,
        "blue-color": p.mid,
        "green-color": p.band80,
        "blue-background-color": p.band95,
        "red-text-color": p.loss,
        "red-background-color": p.loss_ground,
        "orange-text-color": p.flood,
        "orange-background-color": p.flood_ground,
        "violet-text-color": p.welfare,
        "violet-background-color": p.welfare_ground,
        "gray-background-color": p.unknown_ground,
        "font": '"Source Sans 3", "Source Sans Pro", "Segoe UI", Arial, sans-serif',
        "heading-font": "Georgia, serif",
    }
    return ":root {" + "".join(f" --st-{name}: {value};" for name, value in values.items()) + " }\n"
