"""Which word, shape and ground stand for each meaning; colour never stands alone."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final, NamedTuple

from dashboard.figures.markup import esc


class Meaning(NamedTuple):
    """How one meaning shows: its ground's CSS class, its shape and its usual word."""

    css: str
    shape: str
    word: str


MEANINGS: Final = MappingProxyType(
    {
        "flood": Meaning("flood", "≋", "Flood"),
        "welfare": Meaning("welfare", "▲", "Welfare"),
        "loss": Meaning("loss", "▼", "Loses more often than not"),
        "none": Meaning("unknown", "?", "Can’t say"),
        "decide": Meaning("plain", "□", "To decide"),
        "sell": Meaning("forecast", "●", "Sell now"),
        "hold": Meaning("ink", "◆", "Hold back"),
        "test": Meaning("unknown", "?", "Test first"),
        "keep": Meaning("forecast", "●", "Keep"),
        "watch": Meaning("flood", "◐", "Watch"),
        "leave": Meaning("loss", "○", "Leave"),
        "falling": Meaning("plain", "↘", "Falling"),
        "holding": Meaning("plain", "→", "Holding"),
        "rising": Meaning("plain", "↗", "Rising"),
    }
)
_NOTE_CSS: Final = MappingProxyType(
    {
        "flood": "flood",
        "welfare": "welfare",
        "loss": "loss",
        "none": "unknown",
        "decide": "plain",
        "plain": "plain",
    }
)
NOTE_KINDS: Final = tuple(_NOTE_CSS)


class MarkError(ValueError):
    """A mark was asked for that has no meaning here."""


def meaning(kind: str) -> Meaning:
    """Look a meaning up.

    Raises
    ------
    MarkError
        For a kind that is not in MEANINGS.
    """
    if kind not in MEANINGS:
        raise MarkError(f"no mark is called “{kind}”; allowed: {', '.join(MEANINGS)}")
    return MEANINGS[kind]


def mark(kind: str, words: str = "") -> str:
    """Write a mark: shape, then its word. Words of your own replace the word or, after a colon, follow it.

    `mark("flood", ": 2.4 × what sells")` gives "≋ Flood: 2.4 × what sells".
    """
    found = meaning(kind)
    text = found.word + words if not words or words.startswith(":") else words
    return f'<span class="mark {found.css}"><span aria-hidden="true">{found.shape}</span> {esc(text)}</span>'


def note(kind: str, html: str) -> str:
    """Write a note with the rule that belongs to its kind; the inside must come escaped.

    Flood has a double rule, welfare a solid, loss a dashed, "none" (refused, can't say) a dotted one,
    "decide" a plain one.

    Raises
    ------
    MarkError
        For a kind that is not in NOTE_KINDS.
    """
    if kind not in NOTE_KINDS:
        raise MarkError(f"no note is called “{kind}”; allowed: {', '.join(NOTE_KINDS)}")
    return f'<div class="note {_NOTE_CSS[kind]}">{html}</div>'


def marked_note(kind: str, name: str, *, text: str, link_html: str = "") -> str:
    """Write a note that opens with its mark and the name it concerns; texts are escaped here."""
    bold = f" <b>{esc(name)}</b>" if name else ""
    return note(kind, f"{mark(kind)}{bold} {esc(text)} {link_html}")
