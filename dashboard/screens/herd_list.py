"""Which animals are listed: breeders, young or gone; found by what one looks for."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.plain import AnimalLine, animals_table
from dashboard.jobs.animals import GROUPS, AnimalRow, AnimalsAnswer, Group
from dashboard.jobs.herd_filter import OF_YOUNG, Wanted, first_group, wanted_rows
from dashboard.records import STATUSES
from dashboard.screens.animal_form import SEXES
from dashboard.warning_words import animal_marks
from dashboard.words import num, number_word, plural, sex_counts
from genetics import Sex

MOST_ROWS = 25
SEARCH_FROM = 13
READING = (
    "Genes as you wrote them; beneath, how they were read where that differs. A name leads to the animal."
)
_ALL = "all"
_ANY = "any"
_YOUNG_READING = "Young stay apart from the breeders until their status says that they breed. "


def show(answer: AnimalsAnswer, attention: frozenset[int]) -> None:
    """Show the animals one looks for.

    Parameters
    ----------
    answer
        The herd.
    attention
        Numbers of animals that something is missing of.
    """
    wanted = _wanted(answer, attention)
    rows = wanted_rows(answer.rows, wanted)
    if not rows:
        draw(note("none", "No animal fits what you look for."), "no_fit")
        return
    shown = rows if session.choice("all_animals", default=False) else rows[:MOST_ROWS]
    reading = (_YOUNG_READING if wanted.group == "young" else "") + READING
    weighed = any(row.weight is not None for row in rows)
    html = animals_table(_title(rows), reading, rows=[_line(row, weighed=weighed) for row in shown])
    target = draw(html, "animals")
    if target:
        session.go(target)
    if len(rows) > len(shown) and st.button(f"Show all {num(len(rows))} animals"):
        session.choose("all_animals", value=True)
        st.rerun()


def _wanted(answer: AnimalsAnswer, attention: frozenset[int]) -> Wanted:
    """What is looked for; only what can part this herd is asked."""
    group = _group(answer)
    in_group = wanted_rows(answer.rows, Wanted(group=group))
    if len(in_group) < SEARCH_FROM:
        return Wanted(group=group)
    places = st.columns([3, 1.2, 1.4, 1.6], gap="small")
    words = places[0].text_input("Name, gene or note", key="find_animal")
    sex = places[1].selectbox("Sex", (_ANY, *SEXES), key="find_sex")
    status = places[2].selectbox("Status", (_ANY, *STATUSES), key="find_status")
    young = places[3].selectbox("Young in the book", OF_YOUNG, key="find_young")
    only = bool(attention) and st.checkbox("Only those that something is missing of", key="find_attention")
    return Wanted(
        group=group,
        sex=None if sex == _ANY else Sex(sex),
        status="" if status == _ANY else status,
        words=words,
        young=young,
        attention=attention if only else None,
    )


def _group(answer: AnimalsAnswer) -> Group | None:
    """Group that is listed; asked only where there is more than one."""
    counts = {group: len(answer.of(group)) for group in GROUPS}
    there = [group for group in GROUPS if counts[group]]
    if len(there) < 2:
        return first_group(answer)
    named = {group: f"{group} ({num(counts[group])})" for group in there}
    options = [*named.values(), f"{_ALL} ({num(len(answer.rows))})"]
    chosen = st.radio("Which animals", options, horizontal=True, key="find_group")
    return next((group for group, words in named.items() if words == chosen), None)


def _title(rows: tuple[AnimalRow, ...]) -> str:
    unread = sum(bool(row.reading.fault) for row in rows)
    marked = sum(bool(row.reading.harms) for row in rows)
    title = f"{number_word(unread, start=True)} can’t be read" if unread else "Every animal was read"
    if marked:
        title += f"; {number_word(marked)} {plural(marked, 'carries', 'carry')} a gene with a health note"
    return title


def _line(row: AnimalRow, *, weighed: bool) -> AnimalLine:
    """Write one row; `weighed` says whether the list shows weights at all."""
    animal, reading, weight = row.animal, row.reading, row.weight
    read = f"can’t be read: {reading.fault}" if reading.fault else ""
    if row.read_otherwise:
        read = f"read as {reading.written}"
    return AnimalLine(
        link=f"animals?id={animal.id}",
        name=animal.name,
        genes=animal.text,
        sexes=sex_counts(
            int(animal.sex is Sex.MALE), int(animal.sex is Sex.FEMALE), int(animal.sex is Sex.UNSEXED)
        ),
        hatched="not known" if animal.hatched is None else animal.hatched.isoformat(),
        status=animal.status,
        note=animal.note,
        marks=animal_marks(reading.harms),
        read=read,
        weight=("not weighed" if weight is None else f"{num(weight.grams)} g") if weighed else "",
        weighed="" if weight is None else weight.on.isoformat(),
        young=f"{number_word(row.young)} young in the book" if row.young else "",
    )
