"""An animal's forebears as a picture, how closely its parents are related, and its young by mate."""

from __future__ import annotations

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import esc, heading, link, strong
from dashboard.figures.pedigree import Forebear, pedigree_picture
from dashboard.figures.plain import facts_html
from dashboard.jobs.pedigree import MateYoung, PedigreeAnswer, pedigree_answer
from dashboard.records import AnimalRecord
from dashboard.words import listed, number_word, percent, plural

READING = "Sire above, dam below. Names lead to the animals; parents are set among the fields above."
_MOST_YOUNG = 12


def show(animal: AnimalRecord) -> None:
    """Show where an animal comes from and what came of it."""
    book = session.current_book()
    answer = session.computed("pedigree", lambda: pedigree_answer(book, animal.id), parts=animal.id)
    if answer.known:
        title = _title(answer)
        places = {place: _forebear(found, answer) for place, found in answer.places.items()}
        start = Forebear(answer.animal.name, "", answer.animal.text)
        html = heading(title, READING, spaced=True)
        html += pedigree_picture(start, places, message=_message(answer)) + _related(answer)
    else:
        words = "Choose its sire and dam among the fields above, and they are drawn here."
        html = heading(f"The parents of {animal.name} are not known", words, spaced=True)
    _follow(draw(html, "pedigree"))
    if answer.young:
        _follow(draw(_young(answer), "young"))


def _follow(target: str | None) -> None:
    if target:
        session.go(target)


def _title(answer: PedigreeAnswer) -> str:
    name, sire, dam = answer.animal.name, answer.places[2], answer.places[3]
    if sire is None or dam is None:
        known, other = ("dam", "sire") if sire is None else ("sire", "dam")
        found = dam if sire is None else sire
        return f"{name}: {known} {found.name if found else ''}; the {other} is not known"
    return f"{name} is from {sire.name} × {dam.name}"


def _message(answer: PedigreeAnswer) -> str:
    known = answer.known
    return (
        f"Pedigree of {answer.animal.name}: {number_word(known)} of {number_word(len(answer.places))} "
        f"forebears in the picture {plural(known, 'is', 'are')} known"
    )


def _forebear(found: AnimalRecord | None, answer: PedigreeAnswer) -> Forebear | None:
    if found is None:
        return None
    times = sum(other is not None and other.id == found.id for other in answer.places.values())
    also = f"here {'twice' if times == 2 else f'{number_word(times)} times'}" if times > 1 else ""
    return Forebear(found.name, f"animals?id={found.id}", found.text, also)


def _related(answer: PedigreeAnswer) -> str:
    """Say how closely the parents are related, where they share a forebear."""
    if not answer.shared:
        return ""
    names = listed([animal.name for animal in answer.shared[:3]])
    more = len(answer.shared) - 3
    who = f"{names} and {number_word(more)} more" if more > 0 else names
    words = f"{who} {plural(len(answer.shared), 'stands', 'stand')} on both sides."
    if answer.inbreeding is not None:
        words += (
            f" Inbreeding coefficient {percent(answer.inbreeding, 1)}: at so many genes both copies are "
            "expected to come from one forebear, as far as the book knows them."
        )
    return f'<p class="spaced">{esc(words)}</p>'


def _young(answer: PedigreeAnswer) -> str:
    count = answer.young
    verb = plural(count, "is", "are")
    title = f"{number_word(count, start=True)} young of {answer.animal.name} {verb} in the book"
    rows = [(_mate(mate), _names(mate)) for mate in answer.mates]
    return heading(title, spaced=True) + facts_html(title, rows)


def _mate(found: MateYoung) -> str:
    if found.mate is None:
        return "with a mate that is not known"
    return f"with {link(found.mate.name, f'animals?id={found.mate.id}', strong=True)}"


def _names(found: MateYoung) -> str:
    shown = [link(young.name, f"animals?id={young.id}") for young in found.young[:_MOST_YOUNG]]
    more = len(found.young) - len(shown)
    tail = f" and {strong(number_word(more))} more" if more else ""
    return ", ".join(shown) + tail
