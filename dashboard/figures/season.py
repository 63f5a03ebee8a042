"""Which pairings earn what this season, what is to decide, and what moved since last time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.figures import strips
from dashboard.figures.marks import mark, marked_note
from dashboard.figures.markup import (
    Column,
    cell,
    empty_cell,
    esc,
    heading,
    lead,
    link,
    name_cell,
    number_cell,
    row,
    strip_cell,
    strong,
    sub,
    table,
)
from dashboard.figures.scales import Scale
from dashboard.words import freq, loss_sentence, money, needs_words, number_word, plural, price, rng, total


@dataclass(frozen=True)
class MarginRow:
    """One pairing as a row of the season's ledger.

    Attributes
    ----------
    link
        Target of its name, such as "pairing?id=3".
    name, sub
        Sire × dam, and their genes.
    marks
        (kind, words) pairs; welfare stands above the name, the rest below.
    quantiles
        10, 25, 50, 75 and 90 % points of the margin [money].
    mean
        Expected margin [money].
    loss_chance
        Chance of a margin below 0 [0 to 1].
    price_each
        Forecast price of a hatchling, mean over the clutch [money]; None when nothing is known.
    price_needed
        Price of a hatchling at break-even [money]; None when there is none.
    left_out
        Whether the plan leaves it out.
    """

    link: str
    name: str
    sub: str
    marks: tuple[tuple[str, str], ...]
    quantiles: tuple[float, float, float, float, float]
    mean: float
    loss_chance: float
    price_each: float | None
    price_needed: float | None
    left_out: bool = False


@dataclass(frozen=True)
class SeasonTotal:
    """The season's result: expected amount, its 8 in 10 range [money], chance of loss [0 to 1]."""

    mean: float
    low: float
    high: float
    loss: float


@dataclass(frozen=True)
class SharedCosts:
    """Costs no single pairing causes: a label, what is in them, the amount taken off [money, 0 up]."""

    label: str
    sub: str
    amount: float


@dataclass(frozen=True)
class Decision:
    """One thing to decide: its kind ("flood", "welfare", "loss", "decide"), name, text and link."""

    kind: str
    name: str
    text: str
    link: str
    link_words: str


@dataclass(frozen=True)
class Moved:
    """One expectation that moved: name, reason, amount then and now [money], target of the name."""

    name: str
    why: str
    before: float
    now: float
    link: str = ""


def season_lead(values: Sequence[float], result: SeasonTotal, *, currency: str, unvalued: int = 0) -> str:
    """Write the season's range in words with its fifty dots.

    Parameters
    ----------
    values
        Equally likely season totals [money], as `quantile_dots.fifty` makes them.
    result
        Expected total, range and chance of loss.
    currency
        Code of the breeder's currency.
    unvalued
        Planned pairings that are not in these figures because they can't be valued [count].
    """
    without = ""
    if unvalued:
        without = f", without the {number_word(unvalued)} {plural(unvalued, 'pairing')} that can’t be valued"
    words = (
        f"In 8 of 10 seasons between {strong(total(result.low))} and {strong(total(result.high))}, "
        f"after feeding, housing and fixed costs{without}. {esc(loss_sentence(result.loss))}"
    )
    reading = f"Each dot is one of {len(values)} equally likely seasons; hollow is a loss. {currency}."
    return lead(words) + strips.dots50(values, currency=currency) + f'<p class="reading">{esc(reading)}</p>'


def decisions(title: str, items: Sequence[Decision]) -> str:
    """Write the few things to decide, worst first as given; texts are escaped here."""
    notes = "".join(
        marked_note(
            item.kind,
            item.name,
            text=item.text,
            link_html=link(item.link_words, item.link) if item.link_words else "",
        )
        for item in items
    )
    return heading(title) + notes


def season_table(
    title: str,
    reading: str,
    *,
    rows: Sequence[MarginRow],
    plan_total: float,
    shared_costs: SharedCosts | None,
    total: SeasonTotal | None,
    currency: str,
) -> str:
    """Write the ledger of pairings with every step down to the season's result.

    Parameters
    ----------
    title, reading
        What the table shows, and how to read it.
    rows
        Pairings in the order to show.
    plan_total
        Sum of the expected margins in the plan [money].
    shared_costs
        Costs no single pairing causes; None when there are none.
    total
        The season's result; None leaves all sums out, where nothing in the plan can be valued.
    currency
        Code of the breeder's currency.
    """
    scale = Scale.around([v for r in rows for v in (*r.quantiles, r.mean)])
    columns = (
        Column("Pairing", 25),
        Column("Margin", 42, "strip", strips.axis(scale)),
        Column("Expected,|8 in 10", 13, "number"),
        Column("Chance|of loss", 9, "number"),
        Column("Forecast price|each, needed", 11, "number"),
    )
    body = [_margin_row(r, scale, currency=currency) for r in rows]
    if total is not None:
        body += _sums(rows, plan_total, shared_costs=shared_costs, result=total)
    return heading(title, reading) + table(title, columns, rows=body, zero=scale.zero)


def _margin_row(r: MarginRow, scale: Scale, *, currency: str) -> str:
    above = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in r.marks if kind == "welfare")
    below = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in r.marks if kind != "welfare")
    second = f"{r.sub}, left out" if r.left_out else r.sub
    cells = (
        name_cell(above + link(r.name, r.link, strong=True) + sub(second) + below),
        strip_cell(strips.interval(scale, r.quantiles, mean=r.mean, currency=currency, height=56)),
        number_cell(
            money(r.mean), under=rng(r.quantiles[0], r.quantiles[4]), label="Expected", weight="chief"
        ),
        number_cell(freq(r.loss_chance), label="Chance of loss"),
        number_cell(price(r.price_each), under=needs_words(r.price_needed), label="Price each"),
    )
    return row(cells, "left-out" if r.left_out else "")


def _sums(
    rows: Sequence[MarginRow], plan_total: float, *, shared_costs: SharedCosts | None, result: SeasonTotal
) -> list[str]:
    planned = sum(not r.left_out for r in rows)
    words = f"{number_word(planned, start=True)} {plural(planned, 'pairing')} in the plan"
    steps = [
        row(
            (name_cell(esc(words)), empty_cell(), number_cell(money(plan_total), label="Expected"), *_gap(2)),
            "sum",
        )
    ]
    if shared_costs is not None:
        name = name_cell(esc(shared_costs.label) + sub(shared_costs.sub))
        taken = number_cell(money(-shared_costs.amount), label="Taken off")
        steps.append(row((name, empty_cell(), taken, *_gap(2)), "sum"))
    reach = rng(result.low, result.high, show=total)
    season = (
        name_cell("Season"),
        empty_cell(),
        number_cell(money(result.mean), under=reach, label="Expected", weight="chief"),
        number_cell(freq(result.loss), label="Chance of loss"),
        empty_cell(),
    )
    return [*steps, row(season, "total")]


def _gap(cells: int) -> list[str]:
    return [empty_cell()] * cells


def moved_table(title: str, reading: str, *, rows: Sequence[Moved], currency: str) -> str:
    """Write which expectations moved since the last look, then and now, with the reason.

    Parameters
    ----------
    title, reading
        What the table shows, and how to read it.
    rows
        Moves in the order to show.
    currency
        Code of the breeder's currency.
    """
    scale = Scale.around([v for r in rows for v in (r.before, r.now)], ticks=4)
    columns = (
        Column("Pairing and reason", 36),
        Column("Expected", 38, "strip", strips.axis(scale)),
        Column("Then → now", 14, "number"),
        Column("Change", 12, "number"),
    )
    return heading(title, reading, spaced=True) + table(
        title, columns, rows=[_moved_row(r, scale, currency=currency) for r in rows], zero=scale.zero
    )


def _moved_row(r: Moved, scale: Scale, *, currency: str) -> str:
    name = link(r.name, r.link, strong=True) if r.link else strong(r.name)
    label = f"from {money(r.before)} to {money(r.now)} {currency}"
    then_now = f'<span class="one-line">{esc(money(r.before))} → {strong(money(r.now))}</span>'
    return row(
        (
            name_cell(name + sub(r.why), phone=4),
            strip_cell(strips.change(scale, r.before, r.now, label=label), after=True),
            cell(then_now, phone=0).replace('class="', 'class="number ', 1),
            number_cell(money(r.now - r.before, sign=True), weight="strong", to_right=True),
        )
    )
