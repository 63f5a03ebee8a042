"""Ledgers of clutches: those of a season, the hatchlings of one, and the looks its parents can have."""

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
    number_cell,
    row,
    strong,
    sub,
    table,
)


@dataclass(frozen=True)
class ClutchRowLine:
    """One clutch of a season as words.

    Attributes
    ----------
    name, link
        Sire × dam, and the page it leads to.
    under
        What both are.
    dates
        "laid 2026-05-14, hatched 2026-07-12".
    eggs, hatched, sold
        Numbers as words, each with a second line.
    marks
        (kind, words) pairs; welfare stands above the name.
    pale
        A pairing without a clutch.
    """

    name: str
    link: str
    under: str
    dates: tuple[str, str]
    eggs: tuple[str, str]
    hatched: tuple[str, str]
    sold: tuple[str, str]
    marks: tuple[tuple[str, str], ...] = ()
    pale: bool = False


def clutches_table(title: str, reading: str, *, rows: Sequence[ClutchRowLine], currency: str) -> str:
    """Write the clutches of a season in the order given."""
    columns = (
        Column("Pairing", 34),
        Column("Dates", 24),
        Column("Eggs", 14, "number"),
        Column("Hatched", 14, "number"),
        Column(f"Sold, {currency}", 14, "number"),
    )
    return heading(title, reading) + table(title, columns, rows=[_clutch_row(line) for line in rows])


def _clutch_row(line: ClutchRowLine) -> str:
    cells = (
        name_cell(_above(line.marks) + link(line.name, line.link, strong=True) + sub(line.under)),
        cell(esc(line.dates[0]) + sub(line.dates[1])),
        number_cell(line.eggs[0], under=line.eggs[1], label="Eggs"),
        number_cell(line.hatched[0], under=line.hatched[1], label="Hatched", weight="strong"),
        number_cell(line.sold[0], under=line.sold[1], label="Sold", weight="strong"),
    )
    return row(cells, "left-out" if line.pale else "")


@dataclass(frozen=True)
class WaitingLine:
    """A pairing without a clutch: its name, what both are, its dates, and what can be done."""

    name: str
    under: str
    dates: str
    link: str
    words: str
    marks: tuple[tuple[str, str], ...] = ()


def waiting_table(title: str, reading: str, *, rows: Sequence[WaitingLine]) -> str:
    """Write pairings that have no clutch yet, each with the way to enter it."""
    columns = (Column("Pairing", 42), Column("So far", 32), Column("Change", 26))
    body = [
        row(
            (
                name_cell(_above(line.marks) + strong(line.name) + sub(line.under)),
                cell(esc(line.dates), phone=3),
                cell(link(line.words, line.link), phone=3),
            )
        )
        for line in rows
    ]
    return heading(title, reading, spaced=True) + table(title, columns, rows=body)


@dataclass(frozen=True)
class HatchlingLine:
    """One hatchling as words.

    Attributes
    ----------
    look, under
        Its look as seen; its name, sex and how it was read.
    sex
        "1.0", "0.1" or "0.0.1".
    weight, fed
        Newest weight, and feeding.
    status
        Where it stands, with money and place as a second line.
    actions
        (words, target) pairs: what is likely to be said next.
    marks
        (kind, words) pairs; welfare stands above the look, others below.
    gone
        Sold or dead: shown pale.
    """

    look: str
    under: str
    sex: str
    weight: tuple[str, str]
    fed: str
    status: tuple[str, str]
    actions: tuple[tuple[str, str], ...] = ()
    marks: tuple[tuple[str, str], ...] = ()
    gone: bool = False


def hatchlings_table(title: str, reading: str, *, rows: Sequence[HatchlingLine]) -> str:
    """Write the hatchlings of a clutch in the order they were entered."""
    columns = (
        Column("Hatchling", 29),
        Column("Sex", 8),
        Column("Weight", 12),
        Column("Feeds since", 13),
        Column("Status", 18),
        Column("What happened", 20),
    )
    return heading(title, reading) + table(title, columns, rows=[_hatchling_row(line) for line in rows])


def _hatchling_row(line: HatchlingLine) -> str:
    below = "".join(f"<div>{mark(kind, words)}</div>" for kind, words in line.marks if kind != "welfare")
    deeds = " &#160; ".join(action(words, target) for words, target in line.actions)
    cells = (
        name_cell(_above(line.marks) + strong(line.look) + sub(line.under) + below),
        cell(esc(line.sex), label="Sex", phone=2),
        cell(esc(line.weight[0]) + sub(line.weight[1]), label="Weight", phone=2),
        cell(f'<span class="one-line">{esc(line.fed)}</span>', label="Feeds since", phone=2),
        cell(esc(line.status[0]) + sub(line.status[1]), label="Status", phone=6),
        cell(deeds),
    )
    return row(cells, "left-out" if line.gone else "")


@dataclass(frozen=True)
class LookChoiceLine:
    """One look the parents can have: its chance, how many were entered, and what adds one of a sex."""

    label: str
    chance: str
    entered: str
    actions: tuple[tuple[str, str], ...]


def look_choices(title: str, reading: str, *, rows: Sequence[LookChoiceLine]) -> str:
    """Write looks that can be entered with one click a hatchling."""
    columns = (
        Column("Look", 40),
        Column("Chance", 22),
        Column("Entered", 14),
        Column("Enter one", 24),
    )
    body = [
        row(
            (
                name_cell(strong(line.label)),
                cell(esc(line.chance), label="Chance", phone=3),
                cell(esc(line.entered), label="Entered", phone=3),
                cell(" &#160; ".join(action(words, target) for words, target in line.actions)),
            )
        )
        for line in rows
    ]
    return heading(title, reading, spaced=True) + table(title, columns, rows=body)


def _above(marks: Sequence[tuple[str, str]]) -> str:
    return "".join(f"<div>{mark(kind, words)}</div>" for kind, words in marks if kind == "welfare")
