"""A ledger table as safe HTML that reads as a table on a desk, on a phone and aloud."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal["text", "strip", "number"]
Look = Literal["ledger", "compact", "bare"]

# Only a page of ours, with or without a query, becomes an address that a new tab can open.
_PAGE_ADDRESS: Final = re.compile(r"[a-z]+(\?[A-Za-z0-9_=&%.-]*)?")


def esc(text: object) -> str:
    """Escape a text for HTML, quotes too."""
    return html.escape(str(text), quote=True)


def link(words: str, target: str, *, strong: bool = False) -> str:
    """Write a link that tells the page its target, such as "pairing?id=3"; the words are escaped."""
    address = target if _PAGE_ADDRESS.fullmatch(target) else "#"
    body = f"<b>{esc(words)}</b>" if strong else esc(words)
    return f'<a href="{esc(address)}" data-go="{esc(target)}">{body}</a>'


def action(words: str, target: str) -> str:
    """Write a button that looks like a link, for something that happens on this page."""
    return f'<button type="button" class="link" data-go="{esc(target)}">{esc(words)}</button>'


def heading(title: str, reading: str = "", *, spaced: bool = False) -> str:
    """Write a figure's title and the small line that says how to read it."""
    extra = ' class="spaced"' if spaced else ""
    line = f'<p class="reading">{esc(reading)}</p>' if reading else ""
    return f"<h2{extra}>{esc(title)}</h2>{line}"


def lead(text: str) -> str:
    """Write a lead sentence; the text may hold `<b>` made by `strong`, so it must come escaped."""
    return f'<p class="lead">{text}</p>'


def strong(text: object) -> str:
    """Write an escaped text in bold."""
    return f"<b>{esc(text)}</b>"


def sub(text: str) -> str:
    """Write the grey second line of a cell; nothing for an empty text."""
    return f'<div class="sub">{esc(text)}</div>' if text else ""


@dataclass(frozen=True)
class Column:
    """Head of one column.

    Attributes
    ----------
    head
        Words of the head; "|" breaks the line.
    width
        Share of the table's width [%]; None lets the browser choose.
    kind
        "text", "strip" (an inline figure) or "number" (to the right).
    axis
        SVG axis that stands for the words in a strip column.
    unseen
        Whether the words are only read aloud.
    """

    head: str
    width: float | None = None
    kind: Kind = "text"
    axis: str = ""
    unseen: bool = False

    def html(self) -> str:
        """Write the head cell."""
        width = "" if self.width is None else f' style="width:{self.width:g}%"'
        words = esc(self.head).replace("|", "<br>")
        if self.axis or self.unseen:
            words = f'<span class="unseen">{words}</span>{self.axis}'
        css = "" if self.kind == "text" else f' class="{self.kind}"'
        return f'<th role="columnheader" scope="col"{css}{width}>{words}</th>'


def name_cell(inside: str, *, phone: int = 6, label: str = "") -> str:
    """Write the cell that names its row; `phone` is its share of six columns on a phone."""
    return f'<th role="rowheader" scope="row" class="six-{phone}">{_label(label)}{inside}</th>'


def cell(inside: str, *, phone: int = 6, label: str = "", to_right: bool = False) -> str:
    """Write a cell of text; `label` stands above it on a phone, where the heads are gone."""
    css = f"six-{phone}" + (" to-right" if to_right else "")
    return f'<td role="cell" class="{css}">{_label(label)}{inside}</td>'


def number_cell(
    value: str,
    *,
    under: str = "",
    label: str = "",
    phone: int = 2,
    weight: Literal["", "strong", "chief"] = "",
    to_right: bool = False,
) -> str:
    """Write a number to the right, with a grey second line; `phone` as in `name_cell`."""
    css = f"number six-{phone}" + (" to-right" if to_right else "")
    body = f'<span class="{f"one-line {weight}".strip()}">{esc(value)}</span>'
    return f'<td role="cell" class="{css}">{_label(label)}{body}{sub(under)}</td>'


def strip_cell(svg: str, *, line: bool = True, after: bool = False) -> str:
    """Write a cell with an inline figure; `line` lets the upright line run through it."""
    css = "strip" + ("" if line else " no-line") + (" after" if after else "")
    return f'<td role="cell" class="{css}">{svg}</td>'


def empty_cell() -> str:
    """Write a cell without content, gone on a phone."""
    return '<td role="cell" class="six-0"></td>'


def row(cells: Sequence[str], css: str = "") -> str:
    """Write a row of ready cells; css is one of "total", "sum", "left-out" or empty."""
    extra = f' class="{css}"' if css else ""
    return f'<tr role="row"{extra}>{"".join(cells)}</tr>'


def table(
    name: str,
    columns: Sequence[Column],
    *,
    rows: Sequence[str],
    zero: float | None = None,
    look: Look = "ledger",
) -> str:
    """Write a ledger table out of ready rows.

    Parameters
    ----------
    name
        What the table shows, read aloud; the visible title stands before the table.
    columns
        Heads in order. An axis among them is repeated once above the rows on a phone.
    rows
        Rows made by `row`.
    zero
        Where the upright line stands [% of a strip]; None for a table without one.
    look
        "ledger" with heads; "compact" without heads, rules between low rows; "bare" without any rule.
    """
    axis = next((column.axis for column in columns if column.axis), "")
    above = f'<div class="phone-axis" aria-hidden="true">{axis}</div>' if axis else ""
    style = "" if zero is None else f' style="--zero:{zero:.3f}%"'
    css = "ledger" + (" axis-above" if axis else "") + ("" if look == "ledger" else f" {look}")
    head = "".join(column.html() for column in columns)
    head = (
        f'<thead role="rowgroup"><tr role="row">{head}</tr></thead>' if look == "ledger" else _widths(columns)
    )
    return (
        f'{above}<table role="table" class="{css}" aria-label="{esc(name)}"{style}>{head}'
        f'<tbody role="rowgroup">{"".join(rows)}</tbody></table>'
    )


def _widths(columns: Sequence[Column]) -> str:
    sizes = ("" if c.width is None else f' style="width:{c.width:g}%"' for c in columns)
    return "<colgroup>" + "".join(f"<col{size}>" for size in sizes) + "</colgroup>"


def _label(words: str) -> str:
    return f'<span class="label">{esc(words)}</span>' if words else ""
