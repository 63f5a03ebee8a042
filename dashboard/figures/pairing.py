"""One pairing in depth: its outcomes, what it needs, its budget and what its margin hangs on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import plotly.graph_objects as go

from dashboard.figures import strips
from dashboard.figures.chart_frame import frame
from dashboard.figures.looks import LookLine, OtherLooks, looks_table
from dashboard.figures.markup import (
    Column,
    cell,
    esc,
    heading,
    name_cell,
    number_cell,
    row,
    strip_cell,
    strong,
    sub,
    table,
)
from dashboard.figures.palette import Palette
from dashboard.figures.quantile_dots import Dot, fifty, stack
from dashboard.figures.scales import Scale, labelled_ticks
from dashboard.words import BREAK_EVEN, THIN, money, needs_words, num, plural, price, rng

__all__ = [
    "AssumptionLine",
    "BudgetLine",
    "LookLine",
    "NeedFact",
    "OtherLooks",
    "assumption_row",
    "assumption_scale",
    "budget_table",
    "looks_table",
    "needs_strip",
    "outcome_alt",
    "outcome_dots",
    "outcome_title",
    "share_words",
]

_PARTS: Final = {
    1 / 4: "a quarter",
    1 / 3: "a third",
    1 / 2: "half",
    2 / 3: "two thirds",
    3 / 4: "three quarters",
    4 / 5: "four fifths",
}


@dataclass(frozen=True)
class BudgetLine:
    """One line of the enterprise budget.

    Attributes
    ----------
    name, sub
        What it is, and how it comes about.
    amount
        Income above 0, a cost below 0, the margin either way [money].
    kind
        "income", "cost" or "margin"; the margin comes last.
    """

    name: str
    sub: str
    amount: float
    kind: Literal["income", "cost", "margin"]


@dataclass(frozen=True)
class NeedFact:
    """One further way to break even: what is asked, the answer in bold, what follows it."""

    name: str
    answer: str
    after: str = ""


@dataclass(frozen=True)
class AssumptionLine:
    """One assumption and what the margin becomes when it alone moves.

    Attributes
    ----------
    name, low, high
        Its name, and its low and high figure as printed words, 8 in 10.
    margin_low, margin_high
        Margin at its low and at its high figure [money]; either may be the larger.
    """

    name: str
    low: str
    high: str
    margin_low: float
    margin_high: float


def outcome_dots(values: Sequence[float], currency: str, palette: Palette, *, height: int = 230) -> go.Figure:
    """Draw fifty equally likely margins as stacked dots, losses hollow, none astride break-even.

    Parameters
    ----------
    values
        Outcomes [money]; more than fifty are brought down to fifty.
    currency
        Code of the breeder's currency.
    palette
        Theme to draw in.
    height
        Height of the chart [px].

    Raises
    ------
    OutcomesError
        If there is nothing finite to show.
    """
    stacks = stack(fifty(values), bins=22)
    figure = go.Figure()
    gains = [dot for dot in stacks.dots if not dot.is_loss]
    losses = [dot for dot in stacks.dots if dot.is_loss]
    size = min(12.0, 300 / stacks.bins)
    figure.add_trace(_dots(gains, "kept", {"size": size, "color": palette.forecast}, currency=currency))
    ring = {"width": 2.5, "color": palette.loss}
    hollow = {"size": max(size - 2, 4), "color": palette.bg, "line": ring}
    figure.add_trace(_dots(losses, "lost", hollow, currency=currency))
    frame(figure, palette, height=height)
    scale = Scale.around([stacks.low, stacks.high], ticks=4, margin=0)
    ticks = labelled_ticks(scale, zero_name=BREAK_EVEN)
    figure.update_yaxes(visible=False, range=[-0.2, max(stacks.tallest, 9) + 1.2])
    figure.update_xaxes(
        range=[stacks.low, stacks.high],
        tickvals=[value for value, _ in ticks],
        ticktext=[words for _, words in ticks],
        tickangle=0,
    )
    figure.add_vline(x=0, line={"color": palette.ink, "width": 1.5})
    return figure


def _dots(dots: Sequence[Dot], name: str, marker: dict[str, object], *, currency: str) -> go.Scatter:
    words = [f"one outcome in 50: {money(dot.value)} {esc(currency)}" for dot in dots]
    return go.Scatter(
        x=[dot.at for dot in dots],
        y=[dot.height + 0.5 for dot in dots],
        text=words,
        name=name,
        mode="markers",
        marker=marker,
        hovertemplate="%{text}<extra></extra>",
    )


def outcome_title(values: Sequence[float]) -> str:
    """Say how many of the fifty outcomes end above break-even, as the figure's title."""
    kept = 50 - stack(fifty(values)).losses
    return f"{kept} of 50 equally likely outcomes {plural(kept, 'ends', 'end')} above break-even"


def outcome_alt(values: Sequence[float], currency: str) -> str:
    """Say the message of the outcome dots for those who don't see them."""
    points = fifty(values)
    ends = f"they run from {rng(points[0], points[-1])} {currency}, half of them above {money(points[25])}"
    return f"{outcome_title(values)}; {ends}."


def needs_strip(
    needed: float | None,
    mean: float,
    *,
    q10: float,
    q25: float,
    q75: float,
    q90: float,
    currency: str,
    title: str = "",
    reading: str = "",
    facts: Sequence[NeedFact] = (),
) -> str:
    """Draw the forecast price of a hatchling against the price it needs, on an axis from 0.

    Parameters
    ----------
    needed
        Price of a hatchling at break-even [money]; None when no price breaks even.
    mean, q10, q25, q75, q90
        Forecast: expected price and its 10, 25, 75 and 90 % points [money].
    currency
        Code of the breeder's currency.
    title, reading
        Words above; by default the title says both prices.
    facts
        Further ways to break even, beneath the strip.
    """
    scale = Scale.around([needed or 0.0, q90, mean, q10], ticks=5)
    need_words = needs_words(needed)
    pieces = strips.under_axis(scale, y=48)
    if needed is not None:
        pieces += _needed_line(scale, needed, words=need_words)
    pieces += strips.line(scale, q25, q75, y=32, css="half") + strips.line(scale, q10, q90, y=32, css="most")
    pieces += f'<circle cx="{scale(mean):.2f}%" cy="32" r="6.5" class="dot"/>'
    said = f"{need_words}, forecast {price(mean)}, 8 in 10 from {rng(q10, q90, show=price)} {currency}"
    head = heading(title or _needs_title(needed, mean), reading)
    return head + strips.picture(pieces, 74, label=said) + _facts(facts)


def _needs_title(needed: float | None, mean: float) -> str:
    if needed is None:
        return f"No price breaks even; forecast is {price(mean)}"
    return f"Needs {price(needed)} a hatchling; forecast is {price(mean)}"


def _needed_line(scale: Scale, needed: float, *, words: str) -> str:
    place = scale(needed)
    anchor, shift = ("start", 6) if place < 60 else ("end", -6)
    return (
        f'<line class="upright" x1="{place:.2f}%" x2="{place:.2f}%" y1="0" y2="52"/>'
        f'<svg x="{place:.2f}%" overflow="visible"><text class="zero-name" x="{shift}" y="12" '
        f'text-anchor="{anchor}">{esc(words)}</text></svg>'
    )


def _facts(facts: Sequence[NeedFact]) -> str:
    if not facts:
        return ""
    rows = []
    for fact in facts:
        answer = cell(f"{strong(fact.answer)} {esc(fact.after)}", phone=2, to_right=True)
        rows.append(row((name_cell(esc(fact.name), phone=4), answer)))
    columns = (Column("What must hold", 72), Column("Answer", 28, "number"))
    return table("Other ways to break even", columns, rows=rows, look="compact")


def budget_table(
    title: str,
    reading: str,
    *,
    lines: Sequence[BudgetLine],
    margin_low: float,
    margin_high: float,
    currency: str,
) -> str:
    """Write the budget as a table whose bars hang on each other, down to the margin.

    Parameters
    ----------
    title, reading
        What the table shows, and how to read it.
    lines
        Income first, then costs, the margin last.
    margin_low, margin_high
        8 in 10 range of the margin [money].
    currency
        Code of the breeder's currency.
    """
    hung, reached = [], 0.0
    for budget_line in lines:
        start = 0.0 if budget_line.kind == "margin" else reached
        reached = start + budget_line.amount
        hung.append((budget_line, start, reached))
    scale = Scale.around([end for _, start, stop in hung for end in (start, stop)])
    margin = rng(margin_low, margin_high)
    rows = [_budget_row(ln, a, end=b, scale=scale, margin=margin, currency=currency) for ln, a, b in hung]
    columns = (
        Column("Line", 36, unseen=True),
        Column("In order, one hung on the other", 46, "strip", unseen=True),
        Column(currency, 18, "number"),
    )
    return heading(title, reading, spaced=True) + table(title, columns, rows=rows, zero=scale.zero)


def _budget_row(
    budget_line: BudgetLine, start: float, *, end: float, scale: Scale, margin: str, currency: str
) -> str:
    is_margin = budget_line.kind == "margin"
    css = "loss" if is_margin and budget_line.amount < 0 else budget_line.kind
    label = f"{budget_line.name}: {money(budget_line.amount)} {currency}"
    drawn = strips.bar(
        scale, start, end, css=css, label=label, height=46 if is_margin else 38, thick=20 if is_margin else 18
    )
    exact = num(budget_line.amount, 1 if abs(budget_line.amount) < 1000 else 10)
    under = f"8 in 10: {margin}" if is_margin else ""
    cells = (
        name_cell(esc(budget_line.name) + sub(budget_line.sub), phone=4),
        strip_cell(drawn, after=True),
        number_cell(exact, under=under, phone=2, weight="chief" if is_margin else "", to_right=True),
    )
    return row(cells, "total" if is_margin else "")


def assumption_scale(lines: Sequence[AssumptionLine], now: float) -> Scale:
    """Give the one scale that all assumption rows of a page share."""
    return Scale.around([now, *(v for ln in lines for v in (ln.margin_low, ln.margin_high))])


def assumption_row(assumption: AssumptionLine, scale: Scale, *, now: float, currency: str) -> str:
    """Write one assumption with the swing of the margin; its input stands beside it on the page.

    Parameters
    ----------
    assumption
        The assumption and the margins at its ends.
    scale
        Shared by all rows, from `assumption_scale`.
    now
        Margin with the figures as they are [money].
    currency
        Code of the breeder's currency.
    """
    low, high = sorted((assumption.margin_low, assumption.margin_high))
    words = rng(low, high)
    label = f"{assumption.name} from {assumption.low} to {assumption.high}: margin from {words} {currency}"
    cells = (
        name_cell(strong(assumption.name) + sub(f"{assumption.low} to {assumption.high}"), phone=4),
        strip_cell(strips.swing(scale, low, high, now=now, label=label), after=True),
        number_cell(words, to_right=True),
    )
    columns = (Column("Assumption", 34), Column("Margin", 44), Column("Margin", 22))
    return table(assumption.name, columns, rows=[row(cells)], zero=scale.zero, look="bare")


def share_words(share: float) -> str:
    """Say a share for a title: "three quarters", "half", "a third"; otherwise in percent."""
    near = min(_PARTS, key=lambda part: abs(part - share))
    return _PARTS[near] if abs(near - share) < 0.025 else f"{num(100 * share)}{THIN}%"
