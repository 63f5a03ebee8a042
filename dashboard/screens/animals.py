"""Animals: which are with you, what do they carry, and which are to be paired."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, lead, link
from dashboard.figures.plain import AnimalLine, animals_table
from dashboard.jobs.animals import AnimalRow, AnimalsAnswer, animals_answer
from dashboard.jobs.catalogue import catalogue_of
from dashboard.screens import animal_form, one_animal, pairing_list
from dashboard.screens.saving import refused, undo_line
from dashboard.warning_words import animal_marks
from dashboard.words import listed, num, number_word, plural, sex_counts
from genetics import Sex

MOST_ROWS = 25
SEARCH_FROM = 13
READING = (
    "Genes as you wrote them; beneath, how they were read where that differs. A name leads to the animal, "
    "where it can be changed."
)


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
    st.title(_title(answer))
    target = draw(lead(_lead(answer)), "lead")
    if target:
        session.go(target)
    undo_line()
    refused("undo")
    animal_form.add()
    if answer.rows:
        _table(answer)
        pairing_list.show(answer)


def _title(answer: AnimalsAnswer) -> str:
    here = len(answer.here)
    if not answer.rows:
        return "No animals yet: write the first one as on its label"
    if not here:
        if len(answer.rows) == 1:
            return "The one animal of this book is no longer with you"
        return "No animal of this book is with you"
    counts = zip(answer.sexes(), ("male", "female", "unsexed one"), strict=True)
    kinds = listed([f"{number_word(n)} {plural(n, word)}" for n, word in counts if n])
    if here == 1:
        return f"You keep one animal, {kinds}"
    return f"You keep {number_word(here)} animals: {kinds}"


def _lead(answer: AnimalsAnswer) -> str:
    if not answer.rows:
        words = "Two animals you may pair and a few prices are enough for a first estimate."
        return f"{words} {link('Or bring in a file you have', 'book')}."
    words = esc(f"{pairing_list.plan_sentence(answer)}.")
    gone = [f"{number_word(n)} {word}" for word in ("sold", "died") if (n := answer.status_count(word))]
    return words + (f" Gone: {listed(gone)}; their records stay." if gone else "")


def _table(answer: AnimalsAnswer) -> None:
    rows = _found(answer.rows)
    shown = rows if session.choice("all_animals", default=False) else rows[:MOST_ROWS]
    if not rows:
        draw(note("none", "No animal fits these words."), "no_fit")
        return
    marked = sum(bool(row.reading.harms) for row in rows)
    title = "Every animal was read" if not any(row.reading.fault for row in rows) else "Some can’t be read"
    if marked:
        who = "one carries" if marked == 1 else f"{number_word(marked)} carry"
        title += f"; {who} a gene with a health note"
    target = draw(animals_table(title, READING, rows=[_line(row) for row in shown]), "animals")
    if target:
        session.go(target)
    if len(rows) > len(shown) and st.button(f"Show all {num(len(rows))} animals"):
        session.choose("all_animals", value=True)
        st.rerun()


def _found(rows: tuple[AnimalRow, ...]) -> tuple[AnimalRow, ...]:
    """Rows whose name, genes or status hold the words that are looked for."""
    if len(rows) < SEARCH_FROM:
        return rows
    words = st.text_input("Find by name, gene or status", key="find_animal", width=420).casefold().strip()
    return tuple(row for row in rows if words in _searched(row))


def _searched(row: AnimalRow) -> str:
    animal = row.animal
    return f"{animal.name} {animal.text} {row.reading.written} {animal.status}".casefold()


def _line(row: AnimalRow) -> AnimalLine:
    animal, reading = row.animal, row.reading
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
    )
