"""How our tables and charts get onto a Streamlit page; the one figure file that knows Streamlit."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final

import streamlit as st

from dashboard.figures.chart_frame import CHART_CONFIG
from dashboard.figures.palette import DARK, LIGHT, Palette

if TYPE_CHECKING:
    import plotly.graph_objects as go

_HERE: Final = Path(__file__).resolve().parent


def _asset(name: str) -> str:
    return (_HERE / name).read_text(encoding="utf-8")


# Registered once per process. The texts hold line breaks, else they would be taken for file names.
_LEDGER: Final = st.components.v2.component(
    "hatchmargin_ledger",
    html='<div class="root"></div>',
    css=_asset("ledger.css"),
    js=_asset("ledger.js"),
)
_SCHEME: Final = st.components.v2.component(
    "hatchmargin_scheme", html="<span></span>", js=_asset("scheme.js")
)


def _heard() -> None:
    """Take a trigger; the rerun it causes is all that is wanted."""


def draw(html: str, key: str, *, on_use: Callable[[], None] = _heard) -> str | None:
    """Show a figure's HTML and give the target of the link just used in it, or None.

    Parameters
    ----------
    html
        Made by the functions of this package, which escape every text; it is shown as it is.
    key
        Name of this place on the page; unique on the page and the same at every run.
    on_use
        Called when a link is used, before the page runs again; an edit made there shows at once.
    """
    result = _LEDGER(data={"html": html}, key=key, on_go_change=on_use)
    target = getattr(result, "go", None)
    return None if target is None else str(target)


def scheme_watch() -> None:
    """Run the page again when the system's light or dark setting changes."""
    _SCHEME(key="scheme_watch", on_scheme_change=_heard)


def palette_now() -> Palette:
    """Give the palette of the theme this browser shows; light until the browser has said."""
    return DARK if st.context.theme.type == "dark" else LIGHT


def show_chart(figure: go.Figure, key: str, alt: str) -> None:
    """Show a Plotly figure with its message as alternative text.

    The theme's name is part of the key: a switch between light and dark mounts a fresh chart.
    """
    st.plotly_chart(figure, key=f"{key}-{palette_now().name}", theme=None, config=dict(CHART_CONFIG), alt=alt)
