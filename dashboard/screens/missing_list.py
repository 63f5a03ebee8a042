"""What is missing for which answer, in words: what changes most first, calm, each with its link."""

from __future__ import annotations

from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.plain import MissingLine, missing_table
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.missing import Missing, MissingAnswer, missing_answer
from dashboard.words import listed, number_word, plural

MOST = 5
_NAMED = 3
READING = "What changes an answer most stands first; each line leads to where it is mended."

# Kind -> what is missing, what that does, which answer it changes, words of the link.
_WORDS: Final = {
    "no price": (
        "No price at all",
        "Nothing can be valued without one.",
        "Season, Pairing",
        "Enter a price",
    ),
    "gone in plan": (
        "{gone} {went}",
        "{pairs} in the plan of {season} and {counts} in its total.",
        "Season",
        "Change the plan",
    ),
    "unread in plan": (
        "{names} can’t be read",
        "Pairings with {them} have no value.",
        "Season, Pairing",
        "Mend the words",
    ),
    "dam twice": (
        "{names} is planned {times}",
        "She lays a single clutch a season, but the total counts each.",
        "Season",
        "Change the plan",
    ),
    "no plan": (
        "No pairing planned for {season}",
        "The season shows only its costs.",
        "Season",
        "Plan a pairing",
    ),
    "look without price": (
        "No price for {names}",
        "Those young count as nothing.",
        "Season, Pairing",
        "Enter a price",
    ),
    "no rate": (
        "No exchange rate for {names}",
        "{count} in {names} {are} left out.",
        "Prices, Season",
        "Enter a rate",
    ),
    "clutch without young": (
        "No hatchlings entered for {names}",
        "{young} hatched; what they were and brought is not known.",
        "Clutch, own record",
        "Enter them",
    ),
    "sold without price": (
        "Sold, but not for how much: {names}",
        "What your own animals brought is the best price there is.",
        "Prices, own record",
        "Enter the sale",
    ),
    "purchase without rate": (
        "No exchange rate for what {names} cost",
        "The usual price of a breeder stands in.",
        "Pairing, Season",
        "Enter a rate",
    ),
    "no purchase": (
        "No purchase price of {names}",
        "The usual price of a breeder under Costs stands in.",
        "Pairing, Season",
        "Say it",
    ),
    "unread": (
        "{names} can’t be read",
        "No pairing with {them} could be valued.",
        "Pairing",
        "Mend the words",
    ),
    "no hatching day": (
        "No day of hatching for {names}",
        "The book can’t check whether {they} {are_they} old enough to breed.",
        "Season",
        "Say it",
    ),
    "no weight": (
        "No weight of {names}",
        "The book can’t show whether {they} {are_they} fit to lay; no sum changes.",
        "Animals",
        "Weigh",
    ),
}


def find(season: int | None = None) -> MissingAnswer:
    """Give what is missing in the open book for a season, the next one if none is said."""
    book = session.current_book()
    return session.computed(
        "missing", lambda: missing_answer(book, season, catalogue=catalogue_of(book)), parts=season
    )


def show(answer: MissingAnswer, *, key: str = "missing", most: int = MOST) -> None:
    """Show what is missing, a few lines at first; nothing where nothing is missing.

    Parameters
    ----------
    answer
        What `find` gave, or a part of it made by `MissingAnswer.of`.
    key
        Name of this place on the page.
    most
        Lines shown before the rest is asked for.
    """
    if not answer.items:
        return
    total = len(answer.items)
    shown = answer.items if session.choice(f"all-{key}", default=False) else answer.items[:most]
    html = missing_table(_title(total), READING, rows=[_line(item) for item in shown])
    target = draw(html, key)
    if target:
        session.choose("plan_turn", session.choice("plan_turn", 0) + 1)
        session.go(target)
    if total > len(shown):
        rest = total - len(shown)
        words = (
            f"Show {number_word(rest)} more {plural(rest, 'thing')} that {plural(rest, 'is', 'are')} missing"
        )
        if st.button(words, key=f"more-{key}", type="tertiary"):
            session.choose(f"all-{key}", value=True)
            st.rerun()


def _title(total: int) -> str:
    return f"{number_word(total, start=True)} {plural(total, 'thing')} missing for your answers"


def _line(item: Missing) -> MissingLine:
    what, so, answers, mend = _WORDS[item.kind]
    fields = _fields(item)
    return MissingLine(
        what=what.format(**fields),
        so=so.format(**fields),
        answers=answers,
        mend=mend,
        link=item.place,
    )


def _fields(item: Missing) -> dict[str, object]:
    several = len(item.names) > 1
    gone, status, *pairs = item.names if item.kind == "gone in plan" else ("", "")
    return {
        "names": _few(item.names),
        "pairs": f"{_few(tuple(pairs))} {plural(len(pairs), 'still stands', 'still stand')}",
        "counts": plural(len(pairs), "counts", "count"),
        "gone": gone,
        "went": "has died" if status == "died" else "was sold",
        "season": item.season,
        "times": "twice" if item.count == 2 else f"{number_word(item.count)} times",
        "count": f"{number_word(item.count, start=True)} {plural(item.count, 'price')}",
        "are": plural(item.count, "is", "are"),
        "young": f"{number_word(item.count, start=True)} young" if item.count > 1 else "One young animal",
        "them": "them" if several else "it",
        "they": "they" if several else "it",
        "are_they": "are" if several else "is",
    }


def _few(names: tuple[str, ...]) -> str:
    """Names for a sentence, cut after a few: "Tansy, Marl, Bramble and five more"."""
    if len(names) <= _NAMED + 1:
        return listed(names)
    return f"{', '.join(names[:_NAMED])} and {number_word(len(names) - _NAMED)} more"
