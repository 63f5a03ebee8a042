"""Animals: which are with you, what is missing, and which are to be paired?"""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, lead, link
from dashboard.jobs.animals import AnimalsAnswer, animals_answer, sex_numbers
from dashboard.jobs.catalogue import catalogue_of
from dashboard.screens import (
    animal_entry,
    animal_paste,
    first_steps,
    herd_list,
    missing_list,
    one_animal,
    pairing_list,
)
from dashboard.screens.focus import turn_to
from dashboard.screens.saving import refused, undo_line
from dashboard.words import listed, number_word, plural, sex_counts

FEW = 2  # up to so many animals the guide to the first answer stands in place of the list


def page() -> None:
    """Show all animals, or the one that the address names."""
    book = session.current_book()
    season = session.choice("animals_season", None)
    answer = session.computed(
        "animals", lambda: animals_answer(book, season, catalogue=catalogue_of(book)), parts=season
    )
    wanted = session.asked_for("id")
    if wanted is None:
        _all(answer)
        return
    found = next((row for row in answer.rows if str(row.animal.id) == wanted), None)
    if found is None:
        one_animal.missing(wanted)
    else:
        one_animal.show(found, answer)


def _all(answer: AnimalsAnswer) -> None:
    one_animal.forget_seen()
    if len(answer.rows) <= FEW and first_steps.show():
        return
    st.title(_title(answer), anchor=False)
    _follow(draw(lead(_lead(answer)), "lead"))
    undo_line()
    refused("undo")
    missing = missing_list.find()
    missing_list.show(missing)
    animal_entry.add(answer)
    animal_paste.offer()
    if answer.rows:
        herd_list.show(answer, missing.animals)
        with st.container(key="plan"):
            pairing_list.show(answer)
        turn_to("plan", session.choice("plan_turn", 1) if session.asked_for("to") == "plan" else 0)


def _follow(target: str | None) -> None:
    if target:
        session.go(target)


def _title(answer: AnimalsAnswer) -> str:
    grown, young = len(answer.of("breeders")), len(answer.of("young"))
    if not answer.rows:
        return "No animals yet: write the first one as on its label"
    if not grown and not young:
        if len(answer.rows) == 1:
            return "The one animal of this book is no longer with you"
        return "No animal of this book is with you"
    of_clutches = f"{number_word(young)} young of your own clutches"
    if not grown:
        return f"You keep {of_clutches}"
    counts = zip(answer.sexes(), ("male", "female", "unsexed one"), strict=True)
    kinds = listed([f"{number_word(n)} {plural(n, word)}" for n, word in counts if n])
    if grown == 1:
        return f"You keep one animal, {kinds}" + (f", and {of_clutches}" if young else "")
    tail = f"; and {of_clutches}" if young else ""
    return f"You keep {number_word(grown)} animals: {kinds}{tail}"


def _lead(answer: AnimalsAnswer) -> str:
    if not answer.rows:
        words = "Two animals you may pair and a few prices are enough for a first estimate."
        return f"{words} {link('Or bring in a file you have', 'book')}."
    parts = [f"{pairing_list.plan_sentence(answer)}."]
    young = answer.of("young")
    if young:
        parts.append(f"Of the young there are {sex_counts(*sex_numbers(row.animal for row in young))}.")
    gone = [f"{number_word(n)} {word}" for word in ("sold", "died") if (n := answer.status_count(word))]
    if gone:
        parts.append(f"Gone: {listed(gone)}; the records stay.")
    return esc(" ".join(parts))
