"""Who are an animal's forebears? Names on a picture of joined lines; a list in steps on a phone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from dashboard.figures.markup import esc, link, strong, sub

NOT_KNOWN: Final = "not known"
_ROW: Final = 46  # height of one great-grandparent [px]
_SHARES: Final = (0.0, 24.0, 50.0, 75.0)  # left edge of each generation [%]
_GAP: Final = 2.0  # between the line and a name [%]

_STYLE: Final = """
<style>
.tree { position: relative; margin: 10px 0 4px; }
.tree svg { position: absolute; inset: 0; width: 100%; height: 100%; overflow: visible; }
.tree svg line { stroke: var(--axis); stroke-width: 1; }
.tree ul { margin: 0; padding: 0; list-style: none; }
.tree .who { position: absolute; transform: translateY(-50%); padding-right: 10px; line-height: 1.25; }
.tree .who > div, .tree .who > a, .tree .who > b {
  display: block; overflow: hidden; text-overflow: ellipsis; white-space: nowrap;
}
.tree .who > .role { display: none; }
.tree .unknown { color: var(--soft); }
@container (max-width: 700px) {
  .tree { height: auto !important; }
  .tree svg { display: none; }
  .tree .who { position: static; transform: none; padding: 5px 0; width: auto !important; }
  .tree .who > div, .tree .who > a, .tree .who > b { white-space: normal; }
  .tree .who > .role { display: block; color: var(--soft); font-size: 13px; }
  .tree ul ul { margin-left: 5px; padding-left: 13px; border-left: 1px solid var(--axis); }
}
</style>
"""


@dataclass(frozen=True)
class Forebear:
    """One animal of the picture: name, link, what it shows and carries, and a word to its side.

    `also` is said before its genes, such as that it stands in the picture twice.
    """

    name: str
    link: str
    genes: str
    also: str = ""


def pedigree_picture(start: Forebear, places: Mapping[int, Forebear | None], *, message: str) -> str:
    """Draw an animal with its parents, grandparents and great-grandparents.

    Parameters
    ----------
    start
        The animal itself.
    places
        Forebears by place: 2 the sire and 3 the dam; 2n and 2n + 1 the parents of place n, to 15. None
        is one that is not known; a place that is not there is not drawn.
    message
        What the picture says, for those who don't see it.
    """
    everyone: dict[int, Forebear | None] = {1: start, **places}
    deepest = max(place.bit_length() - 1 for place in everyone)
    rows = 2**deepest
    height = max(rows, 2) * _ROW
    lines = "".join(_joins(place, everyone, deepest) for place in everyone)
    names = _item(1, everyone, deepest)
    return (
        f'{_STYLE}<div class="tree" style="height:{height}px">'
        f'<svg role="img" aria-label="{esc(message)}">{lines}</svg>'
        f'<ul role="list">{names}</ul></div>'
    )


def _middle(place: int) -> float:
    """Height of a place in the picture [%]: the middle of its share of the rows."""
    step = place.bit_length() - 1
    return 100 * (place - 2**step + 0.5) / 2**step


def _left(place: int, deepest: int) -> float:
    return _SHARES[place.bit_length() - 1] * (1 if deepest == 3 else 3 / max(deepest, 1) * 0.9)


def _joins(place: int, everyone: Mapping[int, Forebear | None], deepest: int) -> str:
    """Lines from an animal to its parents: level, upright, level."""
    parents = [number for number in (2 * place, 2 * place + 1) if number in everyone]
    if not parents:
        return ""
    across = _left(parents[0], deepest) - 1.2 * _GAP
    ends = [_middle(number) for number in parents]
    drawn = [
        _line(across, ends[0], across, ends[-1]),
        _line(across - _GAP, _middle(place), across, _middle(place)),
    ]
    drawn += [_line(across, end, across + _GAP, end) for end in ends]
    return "".join(drawn)


def _line(x1: float, y1: float, x2: float, y2: float) -> str:
    return f'<line x1="{x1:.2f}%" y1="{y1:.3f}%" x2="{x2:.2f}%" y2="{y2:.3f}%"/>'


def _item(place: int, everyone: Mapping[int, Forebear | None], deepest: int) -> str:
    """Write one animal, and its parents as a list within."""
    parents = [number for number in (2 * place, 2 * place + 1) if number in everyone]
    inside = "".join(_item(number, everyone, deepest) for number in parents)
    further = f'<ul role="list">{inside}</ul>' if inside else ""
    left = _left(place, deepest)
    right = _left(parents[0], deepest) - 2.2 * _GAP if parents else min(left + 25, 100)
    style = f"left:{left:.2f}%;top:{_middle(place):.3f}%;width:{max(right - left, 15):.2f}%"
    who = f'<div class="who" style="{style}">{_who(place, everyone[place])}</div>'
    return f'<li role="listitem">{who}{further}</li>'


def _who(place: int, found: Forebear | None) -> str:
    role = f'<div class="role">{esc(role_of(place))}</div>' if place > 1 else ""
    if found is None:
        return f'{role}<div class="unknown">{NOT_KNOWN}</div>'
    name = strong(found.name) if place == 1 else link(found.name, found.link, strong=True)
    return role + name + sub(" · ".join(part for part in (found.also, found.genes) if part))


def role_of(place: int) -> str:
    """Say who stands in a place: "sire", "dam of the sire", "sire of the dam of the sire"."""
    words = []
    while place > 1:
        words.append("dam" if place % 2 else "sire")
        place //= 2
    return " of the ".join(words)
