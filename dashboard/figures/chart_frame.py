"""What all Plotly charts share: ground, type, axes, no toys, and a page of their own to keep."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any, Final

import plotly.graph_objects as go

from dashboard.figures.palette import Palette

FONT: Final = '"Source Sans", sans-serif'
CHART_CONFIG: Final = MappingProxyType({"displayModeBar": False, "responsive": True})


def frame(figure: go.Figure, palette: Palette, *, height: int) -> go.Figure:
    """Give a figure our ground, type and axes; nothing zooms or drags, so that a finger scrolls the page.

    Parameters
    ----------
    figure
        Changed in place and given back, as Plotly's own calls do.
    palette
        Theme to draw in.
    height
        Height of the chart [px].
    """
    axis: dict[str, Any] = {
        "showgrid": False,
        "gridcolor": palette.line,
        "zeroline": False,
        "showline": True,
        "linecolor": palette.axis,
        "tickcolor": palette.axis,
        "ticks": "outside",
        "ticklen": 4,
        "tickfont": {"size": 13, "color": palette.soft},
        "fixedrange": True,
        "automargin": True,
        "title": None,
    }
    figure.update_layout(
        height=height,
        paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)",
        font={"family": FONT, "size": 13.5, "color": palette.ink},
        margin={"l": 8, "r": 8, "t": 8, "b": 8},
        showlegend=False,
        hovermode="closest",
        hoverlabel={
            "bgcolor": palette.panel,
            "bordercolor": palette.axis,
            "font": {"family": FONT, "size": 14, "color": palette.ink},
        },
        dragmode=False,
    )
    figure.update_xaxes(**axis)
    figure.update_yaxes(**axis)
    return figure


def kept_html(figure: go.Figure, palette: Palette, *, title: str, source: str) -> str:
    """Give a chart as a page that works without a network: solid paper, title and source line added.

    Parameters
    ----------
    figure
        A figure of this package; it is copied, not changed.
    palette
        The light palette is meant for paper.
    title, source
        What the chart says, and what it rests on.
    """
    kept = go.Figure(figure)
    kept.update_layout(
        paper_bgcolor=palette.bg,
        plot_bgcolor=palette.bg,
        title={
            "text": _plain(title),
            "font": {"size": 20, "family": "Georgia, serif"},
            "x": 0,
            "xref": "paper",
        },
        margin={"l": 40, "r": 24, "t": 64, "b": 64},
        height=(kept.layout.height or 400) + 120,
    )
    kept.add_annotation(
        text=_plain(source),
        x=0,
        y=0,
        xref="paper",
        yref="paper",
        yshift=-56,
        showarrow=False,
        xanchor="left",
        font={"size": 13, "color": palette.soft},
    )
    return str(kept.to_html(include_plotlyjs=True, full_html=True, config=dict(CHART_CONFIG)))


def _plain(text: str) -> str:
    """Take the meaning out of the few tags Plotly reads in texts."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
