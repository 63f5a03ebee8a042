"""Plain ledgers of records: animals, what is missing, refused rows, rows that can be acted on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.figures.marks import mark
from dashboard.figures.markup import (
    Column,
    action,
    cell,
    esc,
    heading,
    link,
    name_cell,
    row,
    strong,
    sub,
    table,
)


@dataclass(frozen=True)
class AnimalLine:
    """One animal: target and name, genes as written, "1.0" or "0.1", dates and status as words.

    `marks` are (kind, words) pairs; welfare stands above the name. `read` says how the genes were read
    where that needs saying. `weight`, `weighed` and `young` are the newest weight, its day, and how many
    young are known; empty where a list does not show them.
    """

    link: str
    name: str
    genes: str
    sexes: str
    hatched: str
    status: str
    note: str = ""
    marks: tuple[tuple[str, str], ...] = ()
    read: str = ""
    weight: str = ""
    weighed: str = ""
    young: str = ""


@dataclass(frozen=True)
class MissingLine:
    """One thing that is missing: what, what that does, which answers it changes, and where it is mended."""

    what: str
    so: str
    answers: str
    mend: str
    link: str


@dataclass(frozen=True)
class RefusedLine:
    """One refused row of a file: its line, what was written, why it was refused."""

    line: int
    written: str
    why: str


def animals_table(title: str, reading: str, *, rows: Sequence[AnimalLine]) -> str:
    """Write the animals of the book in the order given; weights only where one of them has one."""
    weights = any(r.weight for r in rows)
    columns = (
        Column("Animal", 24),
        Column("Genes, as written", 32 if weights else 34),
        Column("Sex", 7 if weights else 8),
        Column("Hatched", 12 if weights else 14),
        *((Column("Weight", 12),) if weights else ()),
        Column("Status", 13 if weights else 20),
    )
    return heading(title, reading, spaced=True) + table(
        title, columns, rows=[_animal_row(r, weights=weights) for r in rows]
    )


def _animal_row(r: AnimalLine, *, weights: bool) -> str:
    above = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in r.marks if kind == "welfare")
    below = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in r.marks if kind != "welfare")
    weight = f'<span class="one-line">{esc(r.weight)}</span>' + sub(r.weighed)
    share = 3 if weights else 2
    name = link(r.name, r.link, strong=True) if r.link else strong(r.name)
    cells = (
        name_cell(above + name + sub(r.note) + below),
        cell(esc(r.genes) + sub(r.read), label="Genes"),
        cell(esc(r.sexes), label="Sex", phone=share),
        cell(f'<span class="one-line">{esc(r.hatched)}</span>', label="Hatched", phone=share),
        *((cell(weight, label="Weight", phone=3),) if weights else ()),
        cell(esc(r.status) + sub(r.young), label="Status", phone=share),
    )
    return row(cells)


def missing_table(title: str, reading: str, *, rows: Sequence[MissingLine]) -> str:
    """Write what is missing, which answers it changes, and a link to where it is mended."""
    columns = (Column("What is missing", 62), Column("Changes", 19), Column("Mend it", 19))
    body = [
        row(
            (
                name_cell(f"{strong(r.what)} {sub(r.so)}"),
                cell(esc(r.answers), label="Changes", phone=3),
                cell(link(r.mend, r.link), label="Mend it", phone=3),
            )
        )
        for r in rows
    ]
    return heading(title, reading) + table(title, columns, rows=body)


def refusals_table(title: str, reading: str, *, rows: Sequence[RefusedLine]) -> str:
    """Write the refused rows of a file, with what was written and why it was refused."""
    columns = (Column("Line", 8), Column("What was written", 26), Column("Why it was refused", 66))
    body = [
        row(
            (
                name_cell(esc(r.line), phone=2, label="Line"),
                cell(strong(r.written), phone=4, label="What was written"),
                cell(esc(r.why)),
            )
        )
        for r in rows
    ]
    return heading(title, reading, spaced=True) + table(title, columns, rows=body)


def facts_table(name: str, rows: Sequence[tuple[str, str]], *, plain: bool = False) -> str:
    """Write a short list of (what, answer) pairs, such as where the book lies and when it was last copied.

    `plain` puts the weight on what it is about, for answers of a sentence or more.
    """
    wide = 18 if plain else 36
    columns = (Column("What", wide), Column("Answer", 100 - wide))
    first, second = (strong, esc) if plain else (esc, strong)
    body = [row((name_cell(first(what)), cell(second(answer)))) for what, answer in rows]
    return table(name, columns, rows=body, look="compact")


def facts_html(name: str, rows: Sequence[tuple[str, str]]) -> str:
    """Write a short list of pairs that are HTML already, made by the functions of `markup`."""
    columns = (Column("What", 30), Column("Answer", 70))
    return table(
        name, columns, rows=[row((name_cell(what), cell(answer))) for what, answer in rows], look="compact"
    )


@dataclass(frozen=True)
class ActionLine:
    """One row that can be acted on: what it is, what is known of it, and (words, target) pairs.

    `link` leads to a page of its own; empty for none. `pale` shows it as set aside. `marks` are (kind,
    words) pairs; welfare stands above the name.
    """

    name: str
    under: str
    state: str
    actions: tuple[tuple[str, str], ...] = ()
    link: str = ""
    pale: bool = False
    marks: tuple[tuple[str, str], ...] = ()


def action_table(
    title: str, reading: str, *, heads: tuple[str, str, str], rows: Sequence[ActionLine], figure: str = ""
) -> str:
    """Write rows with what can be done to each: planned pairings, changes, back-ups.

    `figure` is HTML of this package that stands between the title and the rows.
    """
    columns = (Column(heads[0], 46), Column(heads[1], 26), Column(heads[2], 28))
    head = heading(title, reading, spaced=True) + figure
    return head + table(title, columns, rows=[_action_row(r) for r in rows])


def _action_row(r: ActionLine) -> str:
    above = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in r.marks if kind == "welfare")
    below = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in r.marks if kind != "welfare")
    name = link(r.name, r.link, strong=True) if r.link else strong(r.name)
    deeds = " &nbsp; ".join(action(words, target) for words, target in r.actions)
    cells = (
        name_cell(above + name + sub(r.under) + below),
        cell(esc(r.state), phone=3),
        cell(deeds, phone=3),
    )
    return row(cells, "left-out" if r.pale else "")


def versions_table(name: str, *, rows: Sequence[tuple[str, str, str]]) -> str:
    """Write (what, yours, in the book now) rows, where two windows changed the same thing."""
    columns = (Column("What", 26), Column("Yours, not saved", 37), Column("In the book now", 37))
    body = [
        row(
            (
                name_cell(esc(what)),
                cell(strong(yours), label="Yours, not saved", phone=3),
                cell(strong(stored), label="In the book now", phone=3),
            )
        )
        for what, yours, stored in rows
    ]
    return table(name, columns, rows=body)
