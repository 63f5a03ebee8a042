"""Costs: which figures does everything rest on, and what do they add up to."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.costs import FigureLine, SumLine, figure_row, sums_table
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading, lead
from dashboard.jobs.costs import CostsAnswer, Figure, change_figure, costs_answer
from dashboard.records import BookError, Conflict, NotStored
from dashboard.screens.saving import clash, clashed, clear, refuse, refused, saved, undo_line
from dashboard.source_words import source_text
from dashboard.words import (
    CANT_SAY,
    figure,
    input_size,
    input_unit,
    listed,
    money_digits,
    number_word,
    plural,
    price,
    step_of,
    unit_in,
)
from econ.assumptions import Assumption, assumption
from econ.costs import CostSheet

PLACE = "costs"
FIRST = "What matters most"
READING = (
    "Dot: the figure in use. Line: where 8 in 10 lie, then source. A changed figure saves itself; your own "
    "are in bold."
)
_HOUSING = (
    "A furnished enclosure costs more than a tub. The same 35 ball pythons basked, climbed, burrowed and "
    "bathed only in a furnished terrarium, and behaved abnormally almost only in a rack (Hollandt T, Baur M, "
    "Wöhr A-C (2021) Animal-appropriate housing of ball pythons (Python regius). PLOS ONE 16:e0247082). Say "
    "below which share of your places is furnished. Rules for enclosures differ by country: ask your own "
    "authority."
)
_MONEY = "An estimate from the figures below; no advice on investment or tax."
_LARGEST = 4
# Currencies whose unit is worth about one euro, within a factor of two (put down from memory): in any
# other one, the registry's sums are of the wrong size.
EURO_SIZED = frozenset({"EUR", "USD", "GBP", "CHF", "CAD", "AUD"})


def page() -> None:
    """Show the sums, then the figures, those that matter most first."""
    book = session.current_book()
    answer = session.computed("costs", lambda: costs_answer(book))
    st.title(_title(answer), anchor=False)
    draw(lead(esc(_lead(answer))), "lead")
    undo_line()
    refused("undo")
    if answer.fault:
        draw(note("none", esc(answer.fault)), "fault")
    strange = _of_euro_size(answer)
    if strange:
        draw(note("none", esc(strange)), "euro_size")
    draw(_sums(answer), "sums")
    _figures(answer)


def _title(answer: CostsAnswer) -> str:
    if answer.hatchling is None:
        return "A figure is missing, so what a hatchling costs can’t be said"
    return f"Keeping one hatchling six months costs about {price(answer.hatchling[0])} {answer.currency}"


def _lead(answer: CostsAnswer) -> str:
    if not answer.own:
        mine = f"None of the {answer.total} figures is your own yet; start with those that matter most."
    else:
        verb = plural(answer.own, "is", "are")
        mine = f"{number_word(answer.own, start=True)} of {answer.total} figures {verb} your own."
    return f"{mine} {_MONEY}"


def _of_euro_size(answer: CostsAnswer) -> str:
    """Say how many sums are still defaults of about euro size in a book of another currency, else nothing."""
    left = [
        shown
        for _, figures in answer.groups
        for shown in figures
        if shown.entry.is_money and not shown.own and shown.entry.value != 0
    ]
    if answer.currency in EURO_SIZED or not left:
        return ""
    one = "money figure is still a default"
    many = "money figures are still defaults"
    return (
        f"{number_word(len(left), start=True)} {plural(len(left), one, many)} made for a currency worth "
        "about one euro: enter your own."
    )


def _sums(answer: CostsAnswer) -> str:
    """Write what the figures add up to, each sum with its largest parts."""
    six, twelve = answer.hatchling or (None, None)
    lines = (
        SumLine("One hatchling, six months", "food, heat, bedding and its place", _sum(six)),
        SumLine("One hatchling, one year", "the same until it is a year old", _sum(twelve)),
        SumLine("One breeding female, one season", _parts(answer.female), _total(answer.female)),
        SumLine("One male, one year", _parts(answer.male), _total(answer.male)),
        SumLine("What no single pairing causes, one year", _parts(answer.shared), _total(answer.shared)),
    )
    reading = f"In {answer.currency}, before anything is sold; the largest parts first."
    return sums_table("What your figures add up to", reading, rows=lines)


def _sum(amount: float | None) -> str:
    return CANT_SAY if amount is None else price(amount)


def _total(sheet: CostSheet | None) -> str:
    return CANT_SAY if sheet is None else price(sheet.total)


def _parts(sheet: CostSheet | None) -> str:
    if sheet is None:
        return ""
    largest = sorted((line for line in sheet.lines if line.amount > 0), key=lambda line: -line.amount)
    said = [f"{line.name[:1].lower()}{line.name[1:]} {price(line.amount)}" for line in largest]
    more = ["smaller ones"] if len(said) > _LARGEST else []
    return listed([*said[:_LARGEST], *more])


def _figures(answer: CostsAnswer) -> None:
    """Show one group of figures, each with an input that saves itself."""
    names = [FIRST, *(name for name, _ in answer.groups)]
    group = st.selectbox("Figures to look at", names, key="cost_group", width=280) or FIRST
    figures = dict(answer.groups).get(group) or _first(answer)
    draw(heading(_group_title(group, len(figures)), READING), "group_head")
    if group == "Housing":
        draw(note("welfare", f"<p>{esc(_HOUSING)}</p>"), "housing")
    _settle_clash()
    refused(PLACE)
    for shown in figures:
        _row(shown, answer.currency)


def _first(answer: CostsAnswer) -> tuple[Figure, ...]:
    return tuple(shown for _, figures in answer.groups for shown in figures if shown.entry.first)


def _group_title(group: str, n: int) -> str:
    if group == FIRST:
        return f"These {number_word(n)} move a pairing’s margin most"
    return f"{group}: {number_word(n)} {plural(n, 'figure')}"


def _row(shown: Figure, currency: str) -> None:
    entry = shown.entry
    left, right = st.columns([5, 1], vertical_alignment="center", gap="small")
    with left:
        draw(
            figure_row(_line(shown, currency)),
            f"row-{entry.id}",
            on_use=lambda: _save(entry.id, None, shown.value),
        )
    with right:
        _number(shown, currency)


def _line(shown: Figure, currency: str) -> FigureLine:
    entry, value = shown.entry, shown.value
    return FigureLine(
        name=entry.name,
        help=entry.help,
        value=value,
        ends=(entry.low, entry.high),
        allowed=(entry.minimum, entry.maximum),
        unit=unit_in(entry.unit, currency),
        currency=currency,
        source=source_text(entry.source),
        default=entry.value,
        changed=shown.own,
    )


def _number(shown: Figure, currency: str) -> None:
    """Show the input of one figure.

    It stays the same one while this window saves what is typed in it, so that the focus stays too; a
    figure that changed in any other way is shown in a fresh one.
    """
    entry, now = shown.entry, shown.value
    round_, seen = session.choice(_held(entry.id), (0, now))
    if seen != now:
        round_, seen = round_ + 1, now
    session.choose(_held(entry.id), (round_, seen))
    size = input_size(entry.unit)
    step, _ = step_of(size * entry.low, size * entry.high, whole=entry.whole)
    digits = money_digits(now, unit_in(entry.unit, currency))
    if digits is not None:
        step = max(step, 10.0**-digits)
    start = None if now is None else round(size * now, 9)
    key = f"figure-{entry.id}-{round_}"
    st.number_input(
        f"{entry.name}, {input_unit(unit_in(entry.unit, currency))}",
        value=int(start) if entry.whole and start is not None else start,
        step=int(step) if entry.whole else step,
        format="%d" if entry.whole else "%g" if digits is None else f"%.{digits}f",
        key=key,
        label_visibility="collapsed",
        on_change=_typed,
        args=(entry.id, key),
    )


def _held(id_: str) -> str:
    return f"cost-{id_}"


def _typed(id_: str, key: str) -> None:
    """Save what was typed; an emptied input goes back to the figure in use."""
    value = session.typed(key)
    round_, seen = session.choice(_held(id_), (0, None))
    session.choose(_held(id_), (round_ + 1, seen))
    if value is None:
        return
    meant = float(value) / input_size(assumption(id_).unit)
    if _save(id_, meant, seen):
        session.choose(_held(id_), (round_, meant))


def _save(id_: str, value: float | None, seen: float | None) -> bool:
    """Store one figure in one step; a refusal or a clash stays on the page. Gives whether it was stored."""
    clear(PLACE)
    entry = assumption(id_)
    if value is not None and not entry.minimum <= value <= entry.maximum:
        refuse(PLACE, NotStored(_outside(entry, value)))
        return False
    try:
        change_figure(session.current_book(), id_, value, seen=seen)
    except Conflict as fault:
        clash(PLACE, fault, id=id_, value=value)
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        saved(f"{entry.name} is {figure(entry.value if value is None else value, _unit(entry))}.")
        return True
    return False


def _outside(entry: Assumption, value: float) -> str:
    unit = _unit(entry)
    ends = f"{figure(entry.minimum, unit)} to {figure(entry.maximum, unit)}"
    return f"“{entry.name}” can’t be {figure(value, unit)}; allowed: {ends}."


def _unit(entry: Assumption) -> str:
    return unit_in(entry.unit, session.current_book().currency)


def _settle_clash() -> None:
    """Show both figures where another window was faster, and do what the breeder chooses."""
    met = session.choice(f"clash-{PLACE}", None)
    if met is None:
        return
    unit = _unit(assumption(met.again["id"]))
    kept = clashed(PLACE, names={"value": "Figure"}, show=lambda _, value: _shown(value, unit))
    if kept is None:
        return
    answer, met = kept
    clear(PLACE)
    if answer == "mine":
        stored = met.fault.stored["value"]
        _save(met.again["id"], met.again["value"], None if stored is None else float(str(stored)))
    st.rerun()


def _shown(value: object, unit: str) -> str:
    """Print a figure as everywhere; none of the breeder's own is the default."""
    return figure(float(value), unit) if isinstance(value, int | float) else "the default"
