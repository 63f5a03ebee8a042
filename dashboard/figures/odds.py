"""How long until a wanted hatchling: its chance by season with the rule of thumb marked, and points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import plotly.graph_objects as go

from dashboard.figures.chart_frame import frame
from dashboard.figures.markup import Column, heading, name_cell, number_cell, row, strong, sub, table
from dashboard.figures.palette import Palette
from dashboard.words import num, of_hundred, plural
from genetics import ByYear

POINTS: Final = (0.5, 0.8, 0.9, 0.95)
POINT_WORDS: Final = ("half", "8 in 10", "9 in 10", "19 in 20")
_LATE: Final = 0.62  # beyond this share of the chart's width, words lean to the left
_MANY: Final = 16  # from so many seasons on, not every one carries its number


@dataclass(frozen=True)
class WaitLine:
    """One way of counting: its name, a second line, and the number for each point as words."""

    name: str
    under: str
    numbers: tuple[str, ...]


def wait_chart(chart: ByYear, palette: Palette, *, height: int = 300) -> go.Figure:
    """Draw the chance that it has hatched by the end of each season, with the rule of thumb on the curve.

    Parameters
    ----------
    chart
        Chance by season, and the rule of thumb.
    palette
        Theme to draw in.
    height
        Height of the chart [px].
    """
    figure = go.Figure()
    frame(figure, palette, height=height)
    seasons, chances = [0, *chart.years], [0.0, *(100.0 * chance for chance in chart.chances)]
    stroke = {"color": palette.forecast, "width": 2.5}
    figure.add_trace(
        go.Scatter(x=seasons, y=chances, mode="lines", line=stroke, name="chance", hoverinfo="skip")
    )
    figure.add_trace(
        go.Scatter(
            x=list(chart.years),
            y=chances[1:],
            mode="markers",
            marker={"size": 9, "color": palette.forecast},
            name="by the end of a season",
            text=[f"after {num(year)}: {of_hundred(chance)} of 100" for year, chance in _steps(chart)],
            hovertemplate="%{text}<extra></extra>",
        )
    )
    _axes(figure, chart.years[-1])
    _rule(figure, chart, palette)
    return figure


def _steps(chart: ByYear) -> list[tuple[int, float]]:
    return list(zip(chart.years, chart.chances, strict=True))


def _axes(figure: go.Figure, last: int) -> None:
    every = 1 if last < _MANY else 5
    ticks = [season for season in range(1, last + 1) if season == 1 or season % every == 0]
    figure.update_xaxes(
        range=[0, last + 0.4], tickvals=ticks, ticktext=[num(tick) for tick in ticks], tickangle=0
    )
    levels = [0, 20, 40, 60, 80, 100]
    figure.update_yaxes(
        range=[0, 104], tickvals=levels, ticktext=[num(level) for level in levels], showgrid=True
    )


def _rule(figure: go.Figure, chart: ByYear, palette: Palette) -> None:
    """Mark the season the rule of thumb names: an upright dotted line and a hollow dot on the curve."""
    last = chart.years[-1]
    if chart.rule_year is None or chart.chance_at_rule_year is None:
        return
    on_chart, at = chart.rule_year <= last, min(chart.rule_year, last)
    if on_chart:
        height = 100.0 * chart.chance_at_rule_year
        line = {"color": palette.ink, "width": 1.5, "dash": "dot"}
        figure.add_shape(type="line", x0=at, x1=at, y0=0, y1=height, line=line, layer="below")
        ring = {"size": 13, "color": palette.bg, "line": {"width": 2.5, "color": palette.ink}}
        words = f"rule of thumb: {of_hundred(chart.chance_at_rule_year)} of 100"
        figure.add_trace(
            go.Scatter(
                x=[at],
                y=[height],
                mode="markers",
                marker=ring,
                name="rule of thumb",
                text=[words],
                hovertemplate="%{text}<extra></extra>",
            )
        )
    to_left = at > _LATE * last or not on_chart
    figure.add_annotation(
        text=rule_words(chart).replace("|", "<br>"),
        x=at,
        y=4,
        xshift=-8 if to_left else 8,
        xanchor="right" if to_left else "left",
        yanchor="bottom",
        align="right" if to_left else "left",
        showarrow=False,
        font={"size": 13, "color": palette.ink},
    )


def rule_words(chart: ByYear) -> str:
    """Say where the rule of thumb lies, for the chart; "|" breaks the line."""
    if chart.rule_year is None or chart.chance_at_rule_year is None:
        return ""
    seasons = f"{num(chart.rule_year)} {plural(chart.rule_year, 'season')}"
    if chart.rule_year > chart.years[-1]:
        return f"rule of thumb:|{seasons},|beyond this chart"
    return f"rule of thumb:|{seasons},|{of_hundred(chart.chance_at_rule_year)} of 100"


def wait_alt(title: str, chart: ByYear) -> str:
    """Say the message of the chart for those who don't see it."""
    last = chart.years[-1]
    marks = sorted({1, max(1, last // 2), last})
    said = ", ".join(f"{of_hundred(chart.chances[season - 1])} after {num(season)}" for season in marks)
    rule = rule_words(chart).replace("|", " ")
    return f"{title}. Of 100 such pairings so many have it by the end of a season: {said}. {rule}".strip()


def wait_table(title: str, reading: str, *, rows: Sequence[WaitLine]) -> str:
    """Write how many hatchlings, eggs, clutches and seasons give each chance."""
    columns = (
        Column("Counted in", 40),
        *(Column(f"Enough in|{words}", 15, "number") for words in POINT_WORDS),
    )
    return heading(title, reading, spaced=True) + table(title, columns, rows=[_wait_row(r) for r in rows])


def _wait_row(line: WaitLine) -> str:
    numbers = (
        number_cell(number, label=words, phone=3)
        for words, number in zip(POINT_WORDS, line.numbers, strict=True)
    )
    return row((name_cell(strong(line.name) + sub(line.under)), *numbers))
