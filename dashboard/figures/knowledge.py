"""How does what is known of an animal's genes look? A ledger: the gene, the chance, why, what would tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.figures.markup import Column, cell, esc, heading, name_cell, row, strong, sub, table


@dataclass(frozen=True)
class KnownLine:
    """One gene of an animal, every field as words.

    Attributes
    ----------
    gene, state
        Its name, and how sure it is.
    before
        What its parents or what is said of it give by themselves.
    reasons
        What moved the chance, the weightiest first.
    steps
        What would tell more, the most telling first.
    """

    gene: str
    state: str
    before: str
    reasons: tuple[str, ...]
    steps: tuple[str, ...]


def knowledge_table(title: str, reading: str, *, rows: Sequence[KnownLine]) -> str:
    """Write what is known of an animal's genes."""
    columns = (
        Column("Gene", 18),
        Column("What is known", 20),
        Column("Why", 30),
        Column("What would tell more", 32),
    )
    return heading(title, reading, spaced=True) + table(title, columns, rows=[_row(r) for r in rows])


def _row(r: KnownLine) -> str:
    cells = (
        name_cell(strong(r.gene)),
        cell(f'<span class="one-line">{esc(r.state)}</span>' + sub(r.before), label="What is known"),
        cell(_lines(r.reasons) or esc("what is said of it, or its parents"), label="Why"),
        cell(_lines(r.steps) or esc("nothing is open"), label="What would tell more"),
    )
    return row(cells)


def _lines(words: Sequence[str]) -> str:
    return "".join(f"<div>{esc(line)}</div>" for line in words)
