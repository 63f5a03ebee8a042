"""What may hatch, in the order of the money it brings, with its odds beneath."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.figures import strips
from dashboard.figures.marks import mark
from dashboard.figures.markup import (
    Column,
    action,
    empty_cell,
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
from dashboard.figures.scales import Scale
from dashboard.words import count, freq, money, num, plural, price, rng, sexes


@dataclass(frozen=True)
class LookLine:
    """One look, as it may be sold.

    Attributes
    ----------
    label, certainty
        Its name as the trade writes it, and how sure that is ("shows it", "het certain").
    brings
        Expected money from all young of this look [money]; None when it has no price.
    number, males, females
        Expected young, and their split [count].
    at_least_one
        Chance of at least one in the clutch [0 to 1].
    price, price_low, price_high
        Forecast price of one when sold, and its 8 in 10 range [money]; None when nothing is known.
    basis_words
        What the price rests on, in a few words.
    marks
        (kind, words) pairs; welfare stands above the name.
    """

    label: str
    certainty: str
    brings: float | None
    number: float
    males: float
    females: float
    at_least_one: float
    price: float | None
    price_low: float | None = None
    price_high: float | None = None
    basis_words: str = ""
    marks: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class OtherLooks:
    """All looks beyond the rows shown, together.

    Attributes
    ----------
    how_many
        Number of looks; None when they were not counted.
    brings, number
        Expected money [money] and expected young [count] of all of them.
    at_least_one
        Chance that at least one of them hatches [0 to 1].
    link
        Target that opens them; empty when they can't be opened.
    """

    how_many: int | None
    brings: float | None
    number: float
    at_least_one: float | None = None
    link: str = ""


def looks_table(
    title: str,
    reading: str,
    *,
    rows: Sequence[LookLine],
    currency: str,
    others: OtherLooks | None = None,
) -> str:
    """Write the looks in the order given, which is the order of money, the rest as one row.

    Parameters
    ----------
    title, reading
        What the table shows, and how to read it.
    rows
        Looks to show, at most about a dozen.
    currency
        Code of the breeder's currency.
    others
        What is beyond the rows; None when nothing is.
    """
    amounts = [r.brings or 0.0 for r in rows] + [(others.brings or 0.0) if others else 0.0]
    scale = Scale.around([*amounts, 1.22 * max(amounts, default=0.0)], margin=0)
    columns = (
        Column("Look, as you may sell it", 29),
        Column(f"Brings, {currency}", 27),
        Column("Expected|number", 10, "number"),
        Column("Sexes", 12, "number"),
        Column("At least|one", 10, "number"),
        Column("Price each,|8 in 10", 12, "number"),
    )
    body = [_look_row(r, scale, currency=currency) for r in rows]
    if others is not None:
        body.append(_others_row(others, scale, currency=currency))
    return heading(title, reading, spaced=True) + table(title, columns, rows=body, zero=scale.zero)


def _brings(scale: Scale, amount: float | None, *, currency: str) -> str:
    words = money(amount)
    label = f"brings {words} {currency}"
    end = amount or 0.0
    return strips.bar(scale, 0.0, end, css="", label=label, height=44, thick=14, words=words)


def _look_row(r: LookLine, scale: Scale, *, currency: str) -> str:
    above = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in r.marks if kind == "welfare")
    below = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in r.marks if kind != "welfare")
    basis = "; ".join(words for words in (r.certainty, r.basis_words) if words)
    known_range = r.price_low is not None and r.price_high is not None
    cells = (
        name_cell(above + strong(r.label) + sub(basis) + below),
        strip_cell(_brings(scale, r.brings, currency=currency)),
        number_cell(count(r.number), label="Expected"),
        number_cell(sexes(r.males, r.females), phone=0),
        number_cell(freq(r.at_least_one), label="At least one"),
        number_cell(
            price(r.price),
            under=rng(r.price_low, r.price_high, show=price) if known_range else "",
            label="Price each",
        ),
    )
    return row(cells)


def _others_row(others: OtherLooks, scale: Scale, *, currency: str) -> str:
    if others.how_many is None:
        words = "all others"
    else:
        words = f"{num(others.how_many)} {plural(others.how_many, 'other')}"
    name = action(words, others.link) if others.link else esc(words)
    some = others.at_least_one
    cells = (
        name_cell(name),
        strip_cell(_brings(scale, others.brings, currency=currency)),
        number_cell(count(others.number), label="Expected"),
        empty_cell(),
        empty_cell() if some is None else number_cell(freq(some), label="At least one"),
        empty_cell(),
    )
    return row(cells)
