"""Pairing, under the parents: where the sums take them otherwise than written, and what they leave aside."""

from __future__ import annotations

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, lead, link
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.pairing import PairingAnswer
from dashboard.jobs.parents_known import ParentOtherwise, ParentsKnown, parents_known
from dashboard.words import listed
from genetics import Sex


def show(answer: PairingAnswer) -> None:
    """Say in a line each what the sums know better than what is written, and what they leave aside."""
    book = session.current_book()
    found = parents_known(book, answer.valued.couple, catalogue=catalogue_of(book))
    lines = [_otherwise(parent) for parent in found.otherwise]
    lines += [esc(words) for words in _aside(found, answer)]
    if lines:
        target = draw("".join(lead(line) for line in lines), "parents-known")
        if target:
            session.go(target)


def _otherwise(parent: ParentOtherwise) -> str:
    animal = parent.animal
    whom = "him" if animal.sex is Sex.MALE else "her"
    name = link(animal.name, f"animals?id={animal.id}")
    words = f" is written {animal.text}; all records together make {whom} {parent.known}, "
    return name + esc(words + "and the sums use that.")


def _aside(found: ParentsKnown, answer: PairingAnswer) -> list[str]:
    said = []
    sire, dam = answer.valued.couple.sire.name, answer.valued.couple.dam.name
    if found.depends == "yes":
        at = listed(list(found.depends_at))
        said.append(
            f"What is known of {sire} and of {dam} hangs together at {at}: if one carries it, the other is "
            "likelier or less likely to. The sums take each of them by itself."
        )
    elif found.depends == "can't say":
        said.append(
            f"Too much hangs together in what is known of {sire} and of {dam}; the sums take each of them "
            "by itself."
        )
    if found.hiding_left_out:
        pairs = listed([f"{one} hides {other}" for one, other in found.hiding_left_out])
        said.append(
            f"So many genes meet here that looks are listed as if nothing were hidden where {pairs}: such "
            "young can’t be told apart by eye, though they stand in rows of their own."
        )
    return said
