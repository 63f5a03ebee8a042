"""How does the relation of two animals read: how close, through whom, and what is known of the harm?"""

from __future__ import annotations

from typing import Final

from dashboard.jobs.relations import CandidatePairs, PairRelation
from dashboard.warning_words import ASK_A_VET
from dashboard.words import listed, num, number_word, of_hundred, percent, plural
from genetics import SharedAncestor

# Wright's coefficient of the young by relation of the parents, highest first
DEGREES: Final = (
    (1 / 4, "full sibs, or parent and young"),
    (1 / 8, "half sibs"),
    (1 / 16, "first cousins"),
    (1 / 64, "second cousins"),
)
CAUTION: Final = (
    "In isolated adders, another snake, inbreeding went with smaller litters and with more deformed and "
    "stillborn young (Biological Conservation 75(2):113-118, 1996); for ball pythons this program knows no "
    "such measurement. " + ASK_A_VET
)
UNRELATED: Final = (
    "As far as the book knows their forebears, no gene can come to a hatchling twice from one animal."
)
COEFFICIENT: Final = (
    "Wright’s coefficient: the share of its genes at which a hatchling is expected to have two copies of "
    "one and the same ancestor’s. Animals without recorded parents are taken to be unrelated."
)
_NEAR: Final = 1e-9


def like(inbreeding: float) -> str:
    """Compare a coefficient with relations everybody knows: "half sibs", "closer than first cousins"."""
    for degree, words in DEGREES:
        if abs(inbreeding - degree) < _NEAR:
            return words
        if inbreeding > degree:
            return f"closer than {words}"
    return f"less close than {DEGREES[-1][1]}" if inbreeding > 0 else "no ancestor in common"


def share(inbreeding: float) -> str:
    """Print a coefficient in percent, with decimals only where there are any: "25 %", "6.25 %"."""
    value = 100 * inbreeding
    decimals = next((d for d in (0, 1, 2) if abs(value - round(value, d)) < 1e-9), 2)
    return "under " + percent(0.0001, 2) if 0 < value < 0.01 else percent(inbreeding, decimals)


def title(found: PairRelation, sire: str, dam: str) -> str:
    """Say how two animals are related, in one sentence."""
    if found.inbreeding is None:
        return f"It can’t be said how {sire} and {dam} are related"
    if found.inbreeding <= 0:
        return f"{sire} and {dam} have no ancestor in common in this book"
    return f"Young of {sire} × {dam} would be {share(found.inbreeding)} inbred"


def paths_title(found: PairRelation, paths: int) -> str:
    """Say by how many paths, and through how many ancestors, two animals are related."""
    many = len(found.ancestors)
    way = f"{number_word(paths, start=True)} {plural(paths, 'path')}"
    return f"{way} through {number_word(many)} {plural(many, 'shared ancestor')}"


def compared(found: PairRelation) -> str:
    """Say with which relation the parents compare; empty where there is nothing to compare."""
    if not found.inbreeding:
        return ""
    words = like(found.inbreeding)
    if words.startswith(("closer", "less")):
        return f"The parents are {words}."
    return f"The parents are as close as {words}."


def note_sentence(found: PairRelation, sire: str, dam: str) -> str:
    """Say above the profit that two animals are close relatives, through whom, and what may come of it."""
    words = f"The young would be {share(found.inbreeding or 0.0)} inbred."
    return " ".join(part for part in (words, *relation(found, sire, dam)) if part)


def relation(found: PairRelation, sire: str, dam: str) -> tuple[str, str]:
    """Say how close the parents are, and through whom; parent and young need no comparison."""
    who = through(found.ancestors, sire, dam)
    alone = len(found.ancestors) == 1 and found.ancestors[0].id in (sire, dam)
    plain = alone and abs((found.inbreeding or 0.0) - DEGREES[0][0]) < _NEAR
    return ("" if plain else compared(found)), who


def through(ancestors: tuple[SharedAncestor, ...], sire: str, dam: str) -> str:
    """Say through whom they are related: one is the other's forebear, or whom they share."""
    if not ancestors:
        return ""
    first = ancestors[0].id
    if first in (sire, dam):
        other = dam if first == sire else sire
        steps = len(ancestors[0].paths[0].animals) - 1
        tie = {1: f"a parent of {other}", 2: f"a grandparent of {other}"}.get(steps, f"a forebear of {other}")
        return f"{first} is {tie}."
    names = [ancestor.id for ancestor in ancestors[:3]]
    more = len(ancestors) - len(names)
    who = f"{', '.join(names)} and {number_word(more)} more" if more else listed(names)
    return f"They share {who}."


def sure(chance: float) -> str:
    """Say how sure a path is that runs through one of several possible sires."""
    return f"{of_hundred(chance)} of 100: the sire is not certain"


def left_out(unread: tuple[str, ...]) -> str:
    """Say which animals take no part because their text can't be read; empty for none."""
    if not unread:
        return ""
    names = listed(list(unread[:3])) if len(unread) <= 3 else f"{', '.join(unread[:3])} and others"
    return f"{names} can’t be read, so what runs through {'it' if len(unread) == 1 else 'them'} is left out."


def candidates_title(found: CandidatePairs) -> str:
    """Say how many possible pairings are of relatives."""
    if not found.count:
        return "There are no two animals to pair"
    of = f"of {num(found.count)} possible {plural(found.count, 'pairing')}"
    if not found.related:
        return f"None {of} has an ancestor in common in this book"
    verb = plural(found.close, "is", "are")
    if not found.close:
        shares = plural(found.related, "shares", "share")
        return f"No close relatives; {num(found.related)} {of} {shares} an ancestor"
    words = f"{num(found.close)} {of} {verb} of close relatives"
    return f"{words}, {number_word(found.close_in_plan)} in the plan" if found.close_in_plan else words


def candidates_reading(found: CandidatePairs, shown: int) -> str:
    """Say how the table is read, and what it leaves out."""
    words = "Every male with every female that is here, the closest first. Close: as half sibs or closer."
    if shown < found.related:
        words += f" The first {number_word(shown)} of {num(found.related)} are shown; the file holds all."
    rest = found.count - found.related
    if rest:
        words += f" {num(rest)} {plural(rest, 'pairing has', 'pairings have')} no ancestor in common."
    return words
