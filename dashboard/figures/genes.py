"""Ledgers of genes: the list, the looks of one gene, harms of genes together, how texts are read."""

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
class GeneLine:
    """One gene of the catalogue, every field as words.

    Attributes
    ----------
    name, spellings
        Catalogue name, and other spellings that are read.
    mode
        How it is passed on: "recessive", "incomplete dominant, sex-linked".
    two_copies
        What two copies are called or do; empty when there is nothing to say.
    look_alikes
        Genes it may be mistaken for.
    health
        Known harms, each a sentence with its source; a mark stands above the name, they stand last.
    sources
        (what it supports, source) pairs for the last column.
    link
        Target of the name; empty for none.
    note
        What the breeder put down of it, such as "your own"; empty for nothing.
    """

    name: str
    spellings: str
    mode: str
    two_copies: str
    look_alikes: str
    health: tuple[str, ...]
    sources: tuple[tuple[str, str], ...]
    link: str = ""
    note: str = ""


@dataclass(frozen=True)
class PairLine:
    """One allele pair of a gene: its copies, its look with a second line, look-alikes, harm, source."""

    copies: str
    look: str
    under: str
    alike: str
    harm: str
    source: str


@dataclass(frozen=True)
class ReadLine:
    """One text as it was read: what was written and why it is shown, what was understood, what that means.

    `fault` stands in place of what was understood where the text can't be read.
    """

    text: str
    why: str
    read: str
    means: str
    fault: str = ""


def genes_table(title: str, reading: str, *, rows: Sequence[GeneLine]) -> str:
    """Write genes with their mode and harms in words; the source of each value stands last."""
    columns = (
        Column("Gene", 31),
        Column("How it is passed on", 20),
        Column("May be mistaken for", 15),
        Column("Source", 34),
    )
    return heading(title, reading) + table(title, columns, rows=[_gene_row(r) for r in rows])


def _gene_row(r: GeneLine) -> str:
    marked = f"<div>{mark('welfare')}</div>" if r.health else ""
    harms = "".join(f"<div>{esc(words)}</div>" for words in r.health)
    name = link(r.name, r.link, strong=True) if r.link else strong(r.name)
    also = f"also written {r.spellings}" if r.spellings else ""
    sources = "".join(
        f'<div class="sub">{esc(what)}: {esc(source)}</div>'
        if what
        else f'<div class="sub">{esc(source)}</div>'
        for what, source in r.sources
    )
    cells = (
        name_cell(marked + name + sub(r.note) + sub(also)),
        cell(esc(r.mode) + sub(r.two_copies), label="How it is passed on"),
        cell(esc(r.look_alikes or "nothing known"), label="May be mistaken for"),
        cell(harms + sources, label="Source"),
    )
    return row(cells)


def pairs_table(title: str, reading: str, *, rows: Sequence[PairLine]) -> str:
    """Write what every allele pair with a gene looks like; a mark stands above a pair that does harm."""
    columns = (
        Column("It has", 22),
        Column("It looks", 28),
        Column("Can’t be told by eye from", 26),
        Column("Source", 24),
    )
    return heading(title, reading) + table(title, columns, rows=[_pair_row(r) for r in rows])


def _pair_row(r: PairLine) -> str:
    marked = f"<div>{mark('welfare', f': {r.harm}')}</div>" if r.harm else ""
    cells = (
        name_cell(marked + strong(r.copies)),
        cell(esc(r.look) + sub(r.under), label="It looks"),
        cell(esc(r.alike or "nothing known"), label="Can’t be told by eye from"),
        cell(sub(r.source), label="Source"),
    )
    return row(cells)


def sayings_table(
    title: str, reading: str, *, heads: tuple[str, str, str], rows: Sequence[tuple[str, str, str]]
) -> str:
    """Write (what, what is known of it, who says so) rows, such as the values of one gene."""
    columns = (Column(heads[0], 22), Column(heads[1], 44), Column(heads[2], 34))
    body = [
        row((name_cell(strong(what)), cell(esc(known), label=heads[1]), cell(sub(source), label=heads[2])))
        for what, known, source in rows
    ]
    return heading(title, reading, spaced=True) + table(title, columns, rows=body)


def changes_table(title: str, *, rows: Sequence[tuple[str, str, str]]) -> str:
    """Write (what, how it is read now, how it would be read) rows."""
    columns = (Column("What", 24), Column("As it is read now", 38), Column("As it would be read", 38))
    body = [
        row(
            (
                name_cell(strong(what)),
                cell(esc(now), label="As it is read now"),
                cell(esc(then), label="As it would be read"),
            )
        )
        for what, now, then in rows
    ]
    return table(title, columns, rows=body)


def readings_table(title: str, reading: str, *, rows: Sequence[ReadLine]) -> str:
    """Write texts with how they were read, what that means, and why each is shown."""
    columns = (Column("Written", 40), Column("Read as", 28), Column("Which means", 32))
    body = [
        row(
            (
                name_cell(strong(r.text) + sub(r.why)),
                cell(esc(r.fault or r.read), label="Read as"),
                cell(esc(r.means), label="Which means"),
            )
        )
        for r in rows
    ]
    return heading(title, reading) + table(title, columns, rows=body)


def choices(names: Sequence[str]) -> str:
    """Write names to choose from, for a sentence: each a button with "use:" before its name."""
    return " or ".join(action(name, f"use:{name}") for name in names)
