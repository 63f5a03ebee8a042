"""What Streamlit must know of our look and our caution, written as .streamlit/config.toml."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

from dashboard.figures.palette import DARK, LIGHT, Palette, blend

CONFIG_PATH: Final = Path(__file__).resolve().parent.parent / ".streamlit" / "config.toml"

_Value = str | int | bool | list[str] | list[int]

_SETTINGS: Final[dict[str, dict[str, _Value]]] = {
    "server": {
        "address": "127.0.0.1",
        "headless": True,
        "allowedHosts": ["127.0.0.1", "localhost"],
        "enableCORS": True,
        "enableXsrfProtection": True,
        "maxUploadSize": 20,
        "fileWatcherType": "none",
        "showEmailPrompt": False,
    },
    "browser": {"gatherUsageStats": False},
    "client": {"toolbarMode": "minimal", "showErrorDetails": "none", "showErrorLinks": False},
    "runner": {"magicEnabled": False},
    "theme": {
        "font": "sans-serif",
        "headingFont": "serif",
        "baseFontSize": 16,
        "headingFontSizes": ["1.875rem", "1.25rem", "1.0625rem", "1rem", "1rem", "1rem"],
        "headingFontWeights": [600] * 6,
        "metricValueFontSize": "1.75rem",
        "metricValueFontWeight": 600,
        "baseRadius": "3px",
        "buttonRadius": "3px",
        "linkUnderline": True,
        "showWidgetBorder": True,
        "showSidebarBorder": False,
    },
}


def theme_colours(palette: Palette) -> dict[str, _Value]:
    """Map our meanings onto Streamlit's theme options, so that badges, text and tables agree."""
    p = palette
    named = {
        "blue": (p.mid, p.forecast, p.band95),
        "red": (p.loss, p.loss, p.loss_ground),
        "orange": (p.flood, p.flood, p.flood_ground),
        "yellow": (p.flood, p.flood, p.flood_ground),
        "violet": (p.welfare, p.welfare, p.welfare_ground),
        "green": (p.band80, p.other, p.band95),
        "gray": (p.soft, p.soft, p.unknown_ground),
    }
    colours: dict[str, _Value] = {
        "primaryColor": p.button,
        "backgroundColor": p.bg,
        "secondaryBackgroundColor": p.panel,
        "textColor": p.ink,
        "borderColor": p.axis,
        "linkColor": p.forecast,
    }
    for colour, (plain, text, ground) in named.items():
        colours |= {f"{colour}Color": plain, f"{colour}TextColor": text, f"{colour}BackgroundColor": ground}
    return colours | {
        "dataframeBorderColor": p.line,
        "dataframeHeaderBackgroundColor": p.panel,
        "dataframeHeaderTextColor": p.soft,
        "chartCategoricalColors": [p.forecast, p.loss, p.other, p.welfare, p.flood, p.ink, p.soft, p.mid],
        "chartSequentialColors": [blend(p.band95, p.forecast, step / 9) for step in range(10)],
    }


def config_text() -> str:
    """Give the whole text of config.toml."""
    sections = _SETTINGS | {f"theme.{p.name}": theme_colours(p) for p in (LIGHT, DARK)}
    lines = ["# Written by dashboard/figures/theme.py from the palette: change it there and write it again."]
    for section, options in sections.items():
        lines += ["", f"[{section}]"]
        lines += [f"{option} = {json.dumps(value)}" for option, value in options.items()]
    return "\n".join(lines) + "\n"


def write_config(path: Path = CONFIG_PATH) -> Path:
    """Write config.toml beside the app and give back its path."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(config_text(), encoding="utf-8")
    return path


if __name__ == "__main__":
    write_config()
