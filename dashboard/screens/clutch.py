"""Clutch: what was laid and hatched, what is each hatchling, and what was it sold for?"""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.clutches import ClutchRowLine, WaitingLine, clutches_table, waiting_table
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, lead
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.clutches import ClutchesAnswer, ClutchLine, clutches_answer
from dashboard.screens import one_clutch
from dashboard.screens.saving import refused, undo_line
from dashboard.warning_words import harm_mark
from dashboard.words import num, number_word, own_sum, plural

_READING = "A name leads to the clutch: its dates, its eggs and every hatchling."
_WAITING = "Once she has laid, enter the clutch; until then the days they were together can be kept here."


def page() -> None:
    """Show the clutches of a season, or one of them."""
    clutch, pairing = session.asked_for("clutch"), session.asked_for("pairing")
    if clutch is not None or pairing is not None:
        one_clutch.show(clutch, pairing)
        return
    book = session.current_book()
    said = session.asked_for("season")
    season = int(said) if said is not None and said.isdigit() else None
    answer = session.computed(
        "clutches", lambda: clutches_answer(book, season, catalogue=catalogue_of(book)), parts=season
    )
    st.title(_title(answer), anchor=False)
    draw(lead(esc(_lead(answer))), "lead")
    undo_line()
    refused("undo")
    if not answer.seasons:
        if st.button("Enter a pairing", type="primary"):
            session.go("animals")
        return
    _choose_season(answer)
    target = None
    if answer.laid:
        html = clutches_table(
            _laid_title(answer), _READING, rows=[_line(one) for one in answer.laid], currency=answer.currency
        )
        target = draw(html, "clutches")
    if answer.waiting:
        html = waiting_table(_waiting_title(answer), _WAITING, rows=[_wait(one) for one in answer.waiting])
        target = draw(html, "waiting") or target
    if target is not None:
        session.go(target)


def _title(answer: ClutchesAnswer) -> str:
    if not answer.seasons:
        return "No clutches yet: they begin with a pairing"
    laid = len(answer.laid)
    if not laid:
        return f"No clutch of {answer.season} yet"
    title = f"{number_word(laid, start=True)} {plural(laid, 'clutch', 'clutches')} of {answer.season}"
    if not answer.hatched:
        return f"{title}: nothing has hatched yet"
    sold = answer.sold
    ending = (
        f"{num(sold.count)} sold for {own_sum(sold.amount)} {answer.currency}" if sold.count else "none sold"
    )
    return f"{title}: {num(answer.hatched)} hatched, {ending}"


def _lead(answer: ClutchesAnswer) -> str:
    if not answer.seasons:
        return "Enter two animals you may pair and the season in which the eggs come; then its clutch here."
    parts = []
    sold = answer.sold
    if sold.unpriced:
        parts.append(
            f"{num(sold.unpriced)} of those sold {plural(sold.unpriced, 'has', 'have')} no price yet."
        )
    if sold.without_rate:
        verb = plural(sold.without_rate, "is", "are")
        parts.append(f"{num(sold.without_rate)} sold in other money {verb} left out for want of a rate.")
    waiting = len(answer.waiting)
    if waiting:
        words = plural(waiting, "pairing has", "pairings have")
        parts.append(f"{number_word(waiting, start=True)} {words} no clutch entered.")
    return " ".join(parts) or f"Every pairing of {answer.season} has its clutch here."


def _choose_season(answer: ClutchesAnswer) -> None:
    if len(answer.seasons) < 2:
        return
    chosen = st.selectbox(
        "Season",
        answer.seasons,
        answer.seasons.index(answer.season),
        key=f"season-{answer.season}",
        width=160,
    )
    if chosen != answer.season:
        session.go(f"clutch?season={chosen}")


def _laid_title(answer: ClutchesAnswer) -> str:
    eggs = sum(line.eggs or 0 for line in answer.laid)
    good = sum(line.clutch.fertile or 0 for line in answer.laid if line.clutch is not None)
    if not eggs:
        return f"What was laid in {answer.season}"
    return f"{num(good)} of {num(eggs)} eggs were good, {num(answer.hatched)} hatched"


def _waiting_title(answer: ClutchesAnswer) -> str:
    waiting = len(answer.waiting)
    words = plural(waiting, "pairing", "pairings")
    return f"{number_word(waiting, start=True)} {words} of {answer.season} without a clutch"


def _line(line: ClutchLine) -> ClutchRowLine:
    clutch = line.clutch
    assert clutch is not None  # noqa: S101 - only lines with a clutch are asked for
    laid = "laying day not said" if clutch.laid_on is None else f"laid {clutch.laid_on.isoformat()}"
    hatched = "" if clutch.hatched_on is None else f"hatched {clutch.hatched_on.isoformat()}"
    bad = clutch.infertile
    return ClutchRowLine(
        name=line.name,
        link=f"clutch?clutch={clutch.id}",
        under=f"{line.sire.text} × {line.dam.text}",
        dates=(laid, hatched),
        eggs=(
            "not counted" if clutch.fertile is None else f"{num(clutch.fertile)} good",
            "" if bad is None else f"{num(bad)} not",
        ),
        hatched=("not yet" if line.hatched is None else num(line.hatched), _entered(line)),
        sold=_sold(line),
        marks=(harm_mark(line.harms),) if line.harms else (),
    )


def _entered(line: ClutchLine) -> str:
    missing = (line.hatched or 0) - len(line.young)
    return f"{num(missing)} not entered" if missing > 0 else ""


def _sold(line: ClutchLine) -> tuple[str, str]:
    if not line.young:
        return "", ""
    if not line.sold.count:
        return "none", ""
    return own_sum(line.sold.amount), f"{num(line.sold.count)} of {num(len(line.young))}"


def _wait(line: ClutchLine) -> WaitingLine:
    pairing = line.pairing
    days = ((pairing.introduced_on, "put together"), (pairing.locked_on, "locked"))
    said = ", ".join(f"{words} {on.isoformat()}" for on, words in days if on is not None)
    plan = "in the plan" if pairing.planned else "left out of the plan"
    return WaitingLine(
        name=line.name,
        under=f"{line.sire.text} × {line.dam.text}",
        dates=said or plan,
        link=f"clutch?pairing={pairing.id}",
        words="Enter its clutch",
        marks=(harm_mark(line.harms),) if line.harms else (),
    )
