"""One trait's prices in depth: what was seen, the fit, the forecast with its bands, the supply beneath."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any, Final

import plotly.graph_objects as go
from plotly.subplots import make_subplots

from dashboard.figures.chart_frame import frame
from dashboard.figures.palette import Palette
from dashboard.figures.price_view import PriceView, SaleWindow, SeenPrice, SupplyView
from dashboard.figures.scales import Scale, labelled_ticks
from dashboard.words import day, month, price, rng

_YEAR: Final = 365.25  # [days]


def price_chart(view: PriceView, palette: Palette) -> go.Figure:
    """Draw the price panel and, where supply is known, the supply panel under it on the same time axis."""
    two = view.supply is not None
    figure = make_subplots(
        rows=2 if two else 1,
        cols=1,
        shared_xaxes=True,
        row_heights=[0.68, 0.32] if two else None,
        vertical_spacing=0.11,
    )
    start, end = _span(view)
    seen = tuple(p for p in view.seen if start <= p.on <= view.today)
    frame(figure, palette, height=520 if two else 380)
    _bands(figure, view, palette)
    _observations(figure, seen, palette, currency=view.currency)
    _lines(figure, view, palette, start=start)
    scale = _price_axis(figure, view, seen)
    if view.supply is not None:
        _supply(figure, view, view.supply, palette=palette, start=start)
    _time_axis(figure, palette, start=start, end=end)
    _today(figure, view, palette, two=two, span=(start, end))
    _label(figure, f"Price, {view.currency}", x=start, y=scale.high, color=palette.ink)
    if view.window is not None:
        _window(figure, view, view.window, palette=palette, span=(start, end), top=scale.high)
    return figure


def _span(view: PriceView) -> tuple[date, date]:
    """Choose the dates at both ends: what was seen or looked back on, and the end of the forecast."""
    noted = (
        [p.on for p in view.seen] + [on for on, _ in view.supply.counted]
        if view.supply
        else [p.on for p in view.seen]
    )
    first = min([*noted, view.today - timedelta(days=_YEAR)])
    if view.look_back is not None:
        first = max(first, view.today - timedelta(days=view.look_back * _YEAR))
    ends = [view.today + timedelta(days=30)]
    ends += [view.forecast.on[-1]] if view.forecast else []
    ends += [view.supply.on[-1]] if view.supply and view.supply.on else []
    margin = timedelta(days=max(7, round((max(ends) - first).days * (0.006 if len(noted) > 20 else 0.03))))
    return first - margin, max(ends) + margin


def _add(figure: go.Figure, x: Sequence[Any], y: Sequence[float], *, row: int = 1, **look: Any) -> None:
    look.setdefault("mode", "lines")
    if "hovertemplate" not in look:
        look["hoverinfo"] = "skip"
    figure.add_trace(go.Scatter(x=list(x), y=list(y), **look), row, 1)


def _bands(figure: go.Figure, view: PriceView, palette: Palette) -> None:
    band = view.forecast
    if band is None:
        return
    around = [*band.on, *reversed(band.on)]
    for name, low, high, fill in (
        ("19 in 20", band.low95, band.high95, palette.band95),
        ("8 in 10", band.low80, band.high80, palette.band80),
    ):
        closed = [*high, *reversed(low)]
        _add(
            figure, around, closed, fill="toself", fillcolor=fill, line={"width": 0, "color": fill}, name=name
        )
    for edge in (band.low80, band.high80):
        _add(figure, band.on, edge, line={"width": 1, "color": palette.forecast}, name="edge of 8 in 10")


def _observations(figure: go.Figure, seen: Sequence[SeenPrice], palette: Palette, *, currency: str) -> None:
    dash = {
        "symbol": "line-ew",
        "size": 8,
        "color": palette.soft,
        "line": {"width": 1.3, "color": palette.soft},
    }
    filled = {
        "symbol": "circle",
        "size": 8,
        "color": palette.ink,
        "line": {"width": 1.5, "color": palette.bg},
    }
    for kind, marker in (("asked", dash), ("sold", filled)):
        points = [p for p in seen if p.kind == kind]
        hover = [f"{kind} {price(p.price)} {currency}<br>{day(p.on)}" for p in points]
        _add(
            figure,
            [p.on for p in points],
            [p.price for p in points],
            mode="markers",
            marker=marker,
            name=kind,
            text=hover,
            hovertemplate="%{text}<extra></extra>",
        )


def _lines(figure: go.Figure, view: PriceView, palette: Palette, *, start: date) -> None:
    fitted = [(on, value) for on, value in view.fitted if on >= start]
    stroke = {"color": palette.forecast, "width": 2.5}
    _add(figure, [on for on, _ in fitted], [value for _, value in fitted], line=stroke, name="fitted")
    if view.forecast is not None:
        band = view.forecast
        hover = [
            f"forecast {price(m)} {view.currency}<br>8 in 10: {rng(lo, hi, show=price)}<br>{month(on)}"
            for on, m, lo, hi in zip(band.on, band.middle, band.low80, band.high80, strict=True)
        ]
        _add(
            figure,
            band.on,
            band.middle,
            line={**stroke, "dash": "dash"},
            name="forecast",
            text=hover,
            hovertemplate="%{text}<extra></extra>",
        )


def _price_axis(figure: go.Figure, view: PriceView, seen: Sequence[SeenPrice]) -> Scale:
    heights = [p.price for p in seen] + [value for _, value in view.fitted]
    if view.forecast is not None:
        narrow = max(view.forecast.high80)
        heights += [narrow, min(max(view.forecast.high95), 1.5 * narrow)]
    if view.window is not None:
        heights.append(view.window.price)
    scale = Scale.around(heights, ticks=4, margin=0.16)
    _amount_axis(figure, scale, row=1)
    return scale


def _amount_axis(figure: go.Figure, scale: Scale, *, row: int) -> None:
    ticks = labelled_ticks(scale, width=2000)
    figure.update_yaxes(
        range=[0, scale.high],
        tickvals=[value for value, _ in ticks],
        ticktext=[words for _, words in ticks],
        showgrid=True,
        row=row,
        col=1,
    )


def _supply(figure: go.Figure, view: PriceView, supply: SupplyView, *, palette: Palette, start: date) -> None:
    counted = [(on, n) for on, n in supply.counted if start <= on <= view.today]
    if counted:
        counted.append((view.today, counted[-1][1]))
    heights = [n for _, n in counted] + [*supply.middle, *supply.high, supply.limit or 0.0]
    scale = Scale.around(heights, ticks=3, margin=0.28)
    _amount_axis(figure, scale, row=2)
    if supply.on:
        upper, lower = _steps(supply.on, supply.high), _steps(supply.on, supply.low)
        around = [*upper, *reversed(lower)]
        pale = {"fill": "toself", "fillcolor": palette.flood, "opacity": 0.22, "line": {"width": 0}}
        _add(figure, [x for x, _ in around], [y for _, y in around], row=2, name="expected, 8 in 10", **pale)
    step = {"shape": "hv", "width": 2, "color": palette.ink}
    hover = "%{y:.0f} offered<extra></extra>"
    xs, ys = [on for on, _ in counted], [n for _, n in counted]
    _add(figure, xs, ys, row=2, line=step, name="offered", hovertemplate=hover)
    if supply.on:
        dashed = {"shape": "hv", "width": 2.5, "color": palette.flood, "dash": "dash"}
        hover = "%{y:.0f} expected<extra></extra>"
        _add(figure, supply.on, supply.middle, row=2, line=dashed, name="expected", hovertemplate=hover)
    _label(figure, supply.words, x=start, y=scale.high, color=palette.ink, row=2)
    if supply.limit is not None:
        dots = {"color": palette.loss, "width": 1.5, "dash": "dot"}
        figure.add_hline(y=supply.limit, line=dots, row=2, col=1)
        _label(
            figure, supply.limit_words, x=start, y=supply.limit, color=palette.loss, row=2, anchor="bottom"
        )


def _steps(on: Sequence[date], values: Sequence[float]) -> list[tuple[date, float]]:
    """Write a step line out corner by corner, so that two of them close to a band."""
    corners = [(on[0], values[0])]
    for index in range(1, len(on)):
        corners += [(on[index], values[index - 1]), (on[index], values[index])]
    return corners


def _time_axis(figure: go.Figure, palette: Palette, *, start: date, end: date) -> None:
    years = (end - start).days / _YEAR
    every = 12 if years <= 8 else 24 if years <= 16 else 60
    figure.update_xaxes(
        type="date",
        tickformat="%Y",
        dtick=f"M{every}",
        tick0="2000-01-01",
        range=[start.isoformat(), end.isoformat()],
        tickfont={"size": 13, "color": palette.soft},
    )


def _today(
    figure: go.Figure, view: PriceView, palette: Palette, *, two: bool, span: tuple[date, date]
) -> None:
    on = view.today.isoformat()
    line = {"color": palette.ink, "width": 1.5}
    figure.add_shape(type="line", x0=on, x1=on, y0=0, y1=1, yref="paper", line=line)
    where = {"y": 0.335, "yanchor": "middle"} if two else {"y": 1, "yanchor": "top"}
    late = (view.today - span[0]).days > 0.8 * (span[1] - span[0]).days
    look = {"showarrow": False, "font": {"size": 13, "color": palette.ink}}
    words, side = ("today ", "right") if late else (" today", "left")
    figure.add_annotation(text=words, x=on, yref="paper", xanchor=side, **where, **look)


def _window(
    figure: go.Figure,
    view: PriceView,
    window: SaleWindow,
    *,
    palette: Palette,
    span: tuple[date, date],
    top: float,
) -> None:
    middle = window.start + (window.end - window.start) / 2
    ends = {"x0": window.start.isoformat(), "x1": window.end.isoformat()}
    figure.add_vrect(**ends, line_width=0, fillcolor=palette.ink, opacity=0.07, row=1, col=1)
    dot = {"size": 12, "color": palette.forecast, "line": {"width": 2, "color": palette.bg}}
    hover = f"{window.words.replace('|', ' ')} {view.currency}<extra></extra>"
    _add(figure, [middle], [window.price], mode="markers", marker=dot, name="own young", hovertemplate=hover)
    edge = max((h for h in view.forecast.high95), default=0.0) if view.forecast else window.price
    share = (middle - span[0]).days / max((span[1] - span[0]).days, 1)
    anchor = "left" if share < 0.3 else "right" if share > 0.8 else "center"
    height = min(max(edge, window.price) + 0.03 * top, 0.84 * top)
    _label(
        figure,
        window.words.replace("|", "<br>"),
        x=middle,
        y=height,
        color=palette.ink,
        anchor="bottom",
        align=anchor,
    )


def _label(
    figure: go.Figure,
    text: str,
    *,
    x: date,
    y: float,
    color: str,
    row: int = 1,
    anchor: str = "top",
    align: str = "left",
) -> None:
    figure.add_annotation(
        text=text,
        x=x.isoformat(),
        y=y,
        xshift=8 if align == "left" else 0,
        showarrow=False,
        xanchor=align,
        yanchor=anchor,
        font={"size": 13, "color": color},
        row=row,
        col=1,
    )
